"""Which food a name means, and what may be a name."""

from assistant.counting.facts import Food
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    ask,
    choice,
)
from assistant.dialogue.state import Context
from assistant.values import Name, Said
from grammar.foods import unquoted
from grammar.words import name_key

MAX_NAME = 80


def one_food(ctx: Context, said: str) -> Food | Outcome:
    """The food of exactly this name, or the question which one is meant."""
    name = unquoted(said)
    found = ctx.foods.exact(name_key(name)) if name_key(name) else ()
    if len(found) == 1:
        return found[0]
    near = tuple(f.facts.name for f in found) or ctx.foods.near(name)
    at = ctx.text.find(said)
    before, behind = ctx.text[:at], ctx.text[at + len(said) :]
    choices = tuple(choice("choice-name", before + f'"{n}"' + behind, food=Name(n)) for n in near)
    code = "ask-name" if choices else "no-such-food"
    return ask(
        Ask("name", code, {"said": Said(name)}, choices=choices, unread=(name,),
            hint=("foods", "cancel")), ctx.text
    )  # fmt: skip


def bad_name(name: str) -> str | None:
    """The code of what is wrong with a food's name, or None."""
    if not name_key(name) or not any(c.isalpha() for c in name):
        return "name-no-letters"
    return "name-too-long" if len(name) > MAX_NAME else None

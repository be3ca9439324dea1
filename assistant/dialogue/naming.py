"""Which food a name means, and what may be a name."""

from collections.abc import Callable, Sequence

from assistant.counting.facts import Food
from assistant.dialogue.leftover import another_food
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    ask,
    choice,
)
from assistant.dialogue.record import Foods
from assistant.dialogue.replies import Choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Arg, Listed, Name, Said
from grammar.foods import unquoted
from grammar.words import name_key

MAX_NAME = 80


def identified(food: Food) -> str:
    """The name with the food's identity behind it: it means this food where several share a name.

    "Milk, whole [sr:01077]"
    """
    return f"{food.facts.name} [{food.food_id}]"


def reference(foods: Foods, food: Food) -> str:
    """The name that means this food and no other."""
    name = food.facts.name
    return name if len(foods.exact(name_key(name))) <= 1 else identified(food)


def choices_of(foods: Foods, same: Sequence[Food], put: Callable[[str], str]) -> tuple[Choice, ...]:
    """Foods of one name as choices, told apart by where they are from."""
    return tuple(
        choice("choice-name-of", put(quoted(reference(foods, food))), food=Name(food.facts.name),
               source=Name(food.facts.source), id=Name(food.food_id))
        for food in same
    )  # fmt: skip


def one_food(ctx: Context, said: str) -> Food | Outcome:
    """The food of exactly this name, or the question which one is meant."""
    name = unquoted(said)
    found = ctx.foods.exact(name_key(name)) if name_key(name) else ()
    if len(found) == 1:
        return found[0]
    at = ctx.text.find(said)
    before, behind = ctx.text[:at], ctx.text[at + len(said) :]
    if found:
        told = choices_of(ctx.foods, found, lambda words: before + words + behind)
        return ask(Ask("name", "ask-which-food", {"said": Said(name)}, choices=told,
                       hint=("1", "cancel")), ctx.text)  # fmt: skip
    like = ctx.foods.near(name)
    near = tuple(n for n in like if not another_food(name, n))
    others = tuple(n for n in like if n not in near)
    if like and others and like[0] == others[0]:  # the likest is another food: it is told
        args: dict[str, Arg] = {"said": Said(name), "foods": Listed(tuple(Name(n) for n in others))}
        return ask(Ask("name", "name-other", args, unread=(name,), hint=("foods", "cancel")),
                   ctx.text)  # fmt: skip
    choices = tuple(choice("choice-name", before + f'"{n}"' + behind, food=Name(n)) for n in near)
    code = "ask-name" if choices else "no-such-food"
    return ask(
        Ask("name", code, {"said": Said(name)}, choices=choices, unread=(name,),
            hint=("foods", "cancel")), ctx.text
    )  # fmt: skip


def exactly_named(ctx: Context, asked: Outcome) -> Outcome:
    """The question which food is to be forgotten: names that are only like the words are told, and
    no number forgets one."""
    question = asked.reply.question
    if question is None or question.asked.code != "ask-name":
        return asked
    names = [food.text for c in question.choices if isinstance(food := c.label.args["food"], Name)]
    args: dict[str, Arg] = {
        "said": question.asked.args["said"],
        "foods": Listed(tuple(map(Name, names))),
    }
    hint = (f"forget the food {names[0]}", "foods", "cancel")
    return ask(Ask("name", "forget-unknown", args, unread=asked.reply.unread, hint=hint), ctx.text)


def bad_name(name: str) -> str | None:
    """The code of what is wrong with a food's name, or None."""
    if not name_key(name) or not any(c.isalpha() for c in name):
        return "name-no-letters"
    return "name-too-long" if len(name) > MAX_NAME else None

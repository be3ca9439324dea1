""" "250 g of it", "a quarter of the pot": which recipe that is, told or asked, never guessed.

"It" is the recipe of the last turn that was about a food; where another food was spoken of since,
or several on one plate, it is asked.
"""

import re
from datetime import timedelta

from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.dialogue.events import Event, RecipeNamed, RecipeSaved
from assistant.dialogue.last_meal import last_meal
from assistant.dialogue.outcome import Ask, Outcome, ask, choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Name, Said, decimal_text
from grammar import patterns
from grammar.nodes import Number
from grammar.numbers import read_number
from grammar.phrases import MAX_LENGTH
from grammar.words import name_key

SPOKEN_OF = timedelta(minutes=60)
"""How long a recipe is "it" (common practice, no source)."""
_KINDS = (
    "recipe-saved", "recipe-named", "food-saved", "measure-saved", "alias-saved", "food-forgotten",
    "meal-counted", "dose-refused", "question-asked",
)  # fmt: skip
_SHARE = (
    r"(?:half|(?:an?|one|two|three|four|five)\s+(?:half|thirds?|quarters?|fourths?|fifths?|sixths?|"
    r"eighths?|tenths?)|\d{1,4}\s?/\s?\d{1,4}|\d{1,4}(?:\.\d{1,4})?|[½⅓⅔¼¾⅛]|\d{1,2}\s?(?:%|percent))"
)
_END = r"(?=\s*(?:$|[,;.!?+&]|(?:plus|and|with|for|at)\b))"
_OF_IT = patterns.compile(rf"\bof\s+(?:it|that\s+recipe|the\s+same\s+recipe){_END}", re.I)
_BARE = patterns.compile(rf"\s*(?P<share>{_SHARE})\s+of\s+it\b", re.I)
_OF_POT = patterns.compile(
    rf"(?P<share>{_SHARE})\s+(?:of\s+)?(?:the|that|this|my)\s+(?:whole\s+)?"
    rf"(?P<whole>pot|pan|batch|tray|recipe){_END}",
    re.I,
)
_ALL = patterns.compile(
    r"(?:all\s+of\s+the|the\s+whole|the\s+entire|all\s+the)\s+"
    rf"(?P<whole>pot|pan|batch|tray|recipe){_END}",
    re.I,
)


def recipes(ctx: Context) -> tuple[Food, ...]:
    """Every recipe of the library, in order of name."""
    found: dict[str, Food] = {}
    for kept in ctx.record.events(("recipe-saved",)):
        if isinstance(kept.event, RecipeSaved) and kept.event.food_id not in found:
            food = ctx.foods.by_id(kept.event.food_id)
            if food is not None and not food.retired and food.facts.recipe is not None:
                found[food.food_id] = food
    return tuple(sorted(found.values(), key=lambda food: name_key(food.facts.name)))


def spoken_of(ctx: Context) -> Food | None:
    """The recipe that "it" is; None where that is not plain."""
    last = ctx.record.events(_KINDS, since=ctx.now - SPOKEN_OF, last=12)
    if not last or last[-1].said_at > ctx.now:
        return None
    turn = last[-1].turn
    ids = {i for kept in last if kept.turn == turn and (i := _recipe_of(kept.event))}
    if len(ids) != 1:
        return None
    food = ctx.foods.by_id(ids.pop())
    living = food is not None and not food.retired and food.facts.recipe is not None
    return food if living else None


def _recipe_of(event: Event) -> str | None:
    if isinstance(event, RecipeSaved):
        return event.food_id
    return event.recipe_id if isinstance(event, RecipeNamed) else None


def which(ctx: Context, put: dict[str, str]) -> Outcome:
    """Which recipe is meant: put has the sentence of each name."""
    choices = tuple(choice("choice-name", text, food=Name(n)) for n, text in put.items())[:9]
    return ask(Ask("which-recipe", "ask-which-recipe", {"said": Said(ctx.text)}, choices=choices,
                   hint=("1", "cancel")), ctx.text)  # fmt: skip


def with_name(ctx: Context) -> Context | Outcome | None:
    """The sentence with the recipe's name for "it" or "the pot"; None where it says neither."""
    text = ctx.text
    if len(text) > MAX_LENGTH:
        return None
    found = _OF_IT.search(text) or _OF_POT.search(text) or _ALL.search(text)
    if found is None:
        return None
    known = recipes(ctx)
    if not known:
        if _OF_IT.search(text) is None:
            return None
        return ask(Ask("name", "it-is-nothing", {"said": Said(text)}, hint=("foods",)), text)
    if _BARE.match(text) and last_meal(ctx) is not None:
        return None  # "half of it" may be said of the meal; the words are asked about
    food = spoken_of(ctx)
    if food is None:
        return which(ctx, {f.facts.name: _put(text, found, f.facts.name) for f in known})
    return replace(ctx, text=_put(text, found, food.facts.name))


def figure(share: str) -> str:
    """ "a third" as 1/3, so that it is read the same before every word; what is none as said."""
    number = read_number(share)
    return decimal_text(number.value) if isinstance(number, Number) else share


def _put(text: str, found: re.Match[str], name: str) -> str:
    """The text with the recipe's name in the place that was found."""
    parts = found.groupdict()
    if "share" in parts:
        words = f"{figure(parts['share'])} {parts['whole'].casefold()} of {quoted(name)}"
    elif "whole" in parts:
        words = f"1 {parts['whole'].casefold()} of {quoted(name)}"
    elif bare := _BARE.match(text):
        return f"{figure(bare['share'])} recipe of {quoted(name)}{text[bare.end() :]}"
    else:
        words = f"of {quoted(name)}"
    return text[: found.start()] + words + text[found.end() :]

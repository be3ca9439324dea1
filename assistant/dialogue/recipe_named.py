"""Which recipe a sentence names; where it names none, which was talked about."""

import re

from assistant.counting.facts import Food
from assistant.dialogue.naming import one_food
from assistant.dialogue.outcome import (
    Outcome,
    answer,
    answered,
    next_step,
)
from assistant.dialogue.recipe_ingredients import EXAMPLE
from assistant.dialogue.recipe_it import recipes, spoken_of, which
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Name
from grammar import patterns
from grammar.recipes import RecipeSentence
from grammar.words import name_key


def called(ctx: Context, name: str) -> Food | None:
    """The recipe of exactly this name; None where there is none, or it is another food."""
    bare = name.strip()
    names = (
        bare,
        patterns.sub(r"^(?:the|my|our)\s+", "", bare, flags=re.I),
    )  # "the stew makes 5 bowls"
    keys = dict.fromkeys(name_key(each.strip('"“”')) for each in names)
    found = next((foods for key in keys if (foods := ctx.foods.exact(key))), ())
    return found[0] if len(found) == 1 and found[0].facts.recipe is not None else None


def one_recipe(ctx: Context, said: RecipeSentence) -> Food | Outcome:
    """The recipe that is named, or spoken of; or the question which."""
    name = said.parts.get("name", "")
    if not name:
        food = spoken_of(ctx)
        if food is not None:
            return food
        known = recipes(ctx)
        if not known:
            return answered(answer("no-recipes"), next_step(EXAMPLE))
        return which(ctx, {f.facts.name: with_name(ctx.text, f.facts.name) for f in known})
    found = one_food(ctx, name)
    if isinstance(found, Outcome) or found.facts.recipe is not None:
        return found
    hint = next_step(f"show {found.facts.name}", "recipes")
    return answered(answer("no-recipe", food=Name(found.facts.name)), hint)


_RECIPE_WORD = patterns.compile(r"\brec\w*p\w*", re.I)


_WEIGHS = patterns.compile(r"(?P<head>.+?)\s+(?:weighs|is)\s+(?P<rest>.+)", re.I)


def with_name(text: str, name: str) -> str:
    """A sentence on "the recipe" or "the pot" with its name."""
    bare = text.rstrip(" .!?")
    word = _RECIPE_WORD.search(bare)
    if word is not None:
        return f"{bare[: word.end()]} {quoted(name)}{bare[word.end() :]}"
    weighs = _WEIGHS.fullmatch(bare)
    if weighs is None:
        return f"{bare} of {quoted(name)}"
    if patterns.match(r"(?:the\s+)?(?:finished|cooked)\b", bare, re.I):
        return f"the finished {quoted(name)} weighs {weighs['rest']}"
    return f"{weighs['head']} of {quoted(name)} weighs {weighs['rest']}"

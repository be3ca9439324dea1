"""A recipe said: what goes in, what comes out; saved, or asked about."""

from fractions import Fraction

from assistant.counting.facts import Food, FoodFacts, Recipe
from assistant.counting.policy import Unknown, count_reference
from assistant.dialogue import recipe_collecting
from assistant.dialogue.events import RecipeBegun, RecipeSaved
from assistant.dialogue.naming import MAX_NAME, bad_name
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    next_step,
    yes_no,
)
from assistant.dialogue.recipe_ingredients import EXAMPLE, ingredients, opened
from assistant.dialogue.recipe_lines import as_data, count_lines, doubts, example_of
from assistant.dialogue.recipe_pot import outcome_of_pot
from assistant.dialogue.recipe_weight import weight_doubt
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name, Said
from grammar.recipe_lines import more_to_come
from grammar.recipes import RecipeSentence
from grammar.words import name_key


def save(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "recipe NAME makes 6 bowls: INGREDIENTS"."""
    name = said.parts["name"]
    bad = bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])}, hint=(EXAMPLE,)), ctx.text)
    old = _in_the_library(ctx, name)
    if isinstance(old, Outcome):
        return old
    if said.body and more_to_come(ctx.text):
        return opened(ctx, recipe_collecting.more(ctx.text, name))
    comes = outcome_of_pot(ctx, name, said.yields)
    if isinstance(comes, Ask):
        return opened(ctx, comes)
    if not said.body:
        return opened(ctx, recipe_collecting.begin(ctx.text, name))
    food_id = old.food_id if old else name_key(name)
    inside = ingredients(ctx, said, name, food_id)
    if isinstance(inside, Outcome):
        return inside
    if old is not None and said.parts["how"] != "replace":
        return opened(ctx, _replace(ctx, old, said.parts["how"]))
    recipe = Recipe(inside, comes.makes, comes.grams, comes.millilitres, said.uncounted)
    extra = old.facts.extra if old is not None and old.facts.recipe is not None else ()
    facts = FoodFacts(old.facts.name if old else name, "EU", "recipe", {}, source="recipe",
                      extra=extra, recipe=recipe)  # fmt: skip
    wrong = cannot_be(facts) or weight_doubt(ctx, facts, said)
    if wrong is not None:
        return opened(ctx, wrong)
    return saved(ctx, food_id, facts, "recipe-replaced" if old else "recipe-saved")


def saved(ctx: Context, food_id: str, facts: FoodFacts, code: str, *told: Line) -> Outcome:
    """The reply to a recipe that is saved: each ingredient, the whole, a portion of it."""
    assert facts.recipe is not None
    wrong = cannot_be(facts)
    if wrong is not None:
        return ask(wrong, ctx.text)
    lines = [answer(code, food=Name(facts.name)), *told, *count_lines(ctx, facts)]
    lines.extend(doubts(facts))
    first = example_of(facts)
    lines.append(next_step(first, f"show recipe {facts.name}"))
    events = (RecipeSaved(food_id, facts), RecipeBegun(""))
    return answered(*lines, events=events, facts=as_data(facts))


HEAVIEST = Fraction(50_000)
"""Grams or millilitres that no pot at home holds (common practice, no source)."""


def cannot_be(facts: FoodFacts) -> Ask | None:
    """A finished food lighter than the carbohydrate in it, or a pot beyond any at home."""
    recipe = facts.recipe
    assert recipe is not None
    args: dict[str, Arg] = {"food": Name(facts.name)}
    for made, unit in ((recipe.cooked_grams, "g"), (recipe.cooked_millilitres, "ml")):
        if made is not None and made > HEAVIEST:
            return Ask("number", "recipe-too-heavy", {**args, "made": Amount(made, unit)})
    counted = count_reference(facts, "total")
    weight = recipe.cooked_grams
    if weight is None or isinstance(counted, Unknown) or counted.result.low <= weight:
        return None
    args |= {"made": Amount(weight, "g"), "counted": Amount(counted.result.value, "g", 2)}
    return Ask("number", "recipe-too-light", args)


def _in_the_library(ctx: Context, name: str) -> Food | Outcome | None:
    """The user's own food or recipe of this name, which a recipe would replace."""
    found = ctx.foods.exact(name_key(name))
    names = {name_key(each) for each in ctx.foods.names()} if found else set()
    own = [f for f in found if name_key(f.facts.name) in names]  # an imported name may be had
    if not own:
        return None
    if name_key(own[0].facts.name) != name_key(name):
        args: dict[str, Arg] = {"said": Said(name), "food": Name(own[0].facts.name)}
        return ask(Ask("name", "recipe-name-taken", args), ctx.text)
    return own[0]


def _replace(ctx: Context, old: Food, how: str) -> Ask:
    """The name is taken: the whole sentence again, as a replacement."""
    text = ctx.text.lstrip()
    text = text[len(how) :].lstrip() if how else text
    code = "ask-replace-recipe" if old.facts.recipe is not None else "ask-replace-by-recipe"
    return Ask("recipe", code, {"food": Name(old.facts.name)}, choices=yes_no(f"replace {text}"))

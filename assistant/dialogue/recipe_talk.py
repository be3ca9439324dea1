"""Sentences about recipes: shown, listed, forgotten; and the table of all of them."""

from collections.abc import Callable
from datetime import timedelta
from fractions import Fraction

from assistant.counting.facts import Food, FoodFacts
from assistant.counting.policy import Unknown, count_reference
from assistant.dialogue.events import FoodForgotten, RecipeBegun, RecipeNamed, RecipeSaved
from assistant.dialogue.meal_lines import counted_lines, reference_of, times_line
from assistant.dialogue.naming import exactly_named
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    fact,
    next_step,
)
from assistant.dialogue.recipe_changes import follow, half, makes, scale, weight
from assistant.dialogue.recipe_ingredients import EXAMPLE
from assistant.dialogue.recipe_it import recipes
from assistant.dialogue.recipe_lines import as_data, count_lines, doubts
from assistant.dialogue.recipe_named import called, one_recipe
from assistant.dialogue.recipe_now import current
from assistant.dialogue.recipe_saving import save
from assistant.dialogue.recipe_shares import SIMPLE, share_of
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Part, Said
from grammar.recipes import RecipeSentence, read_recipe
from grammar.words import name_key

WAITS = timedelta(days=1)
"""How long a recipe that was begun can be gone on with."""


def handle(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """The turn for a sentence about recipes; None where its name is no recipe's after all."""
    if said.form == "save":
        known = called(ctx, said.parts["name"])
        bare = not said.body and not said.yields and not said.uncounted
        return show(ctx, said) if bare and known is not None else save(ctx, said)
    if said.form == "unclear":
        return ask(Ask("recipe", "recipe-no-colon", hint=(EXAMPLE,)), ctx.text)
    if said.form == "figure":
        args: dict[str, Arg] = {"said": Said(said.parts["name"])}
        return ask(Ask("recipe", "recipe-name-figure", args, hint=(EXAMPLE,)), ctx.text)
    if said.form == "long":
        return ask(Ask("recipe", "recipe-too-long", hint=(EXAMPLE,)), ctx.text)
    handlers: dict[str, Callable[[Context, RecipeSentence], Outcome | None]] = {
        "list": list_recipes,
        "resume": _nothing_waits,
        "forget": forget,
        "follow": follow,
        "scale": scale,
        "half": half,
        "show": show,
        "weight": weight,
        "makes": makes,
    }
    return handlers[said.form](ctx, said)


def _nothing_waits(_: Context, __: RecipeSentence) -> Outcome:
    return answered(answer("recipe-none-waits"), next_step(EXAMPLE))


def list_recipes(ctx: Context, _: RecipeSentence) -> Outcome:
    """ "recipes"."""
    known = recipes(ctx)
    if not known:
        return answered(answer("no-recipes"), next_step(EXAMPLE))
    names = Listed(tuple(Name(food.facts.name) for food in known))
    return answered(
        answer("recipes", count=Amount(Fraction(len(known)), "recipe"), foods=names),
        next_step(f"show recipe {known[0].facts.name}"),
        facts={"recipes": [food.facts.name for food in known]},
    )


def forget(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "forget recipe lentil stew": recipes that hold it keep what they know of it."""
    food = one_recipe(ctx, said)
    if isinstance(food, Outcome):
        return exactly_named(ctx, food)
    return answered(answer("food-forgotten", food=Name(food.facts.name)), next_step("undo"),
                    events=(FoodForgotten(food.food_id),))  # fmt: skip


def show(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "show recipe lentil stew": each ingredient with its working, the whole, the portions."""
    food = one_recipe(ctx, said)
    return food if isinstance(food, Outcome) else shown(ctx, food)


def shown(ctx: Context, food: Food) -> Outcome:
    """All that is known of a recipe, as it stands now."""
    food_now = current(ctx, food)
    if isinstance(food_now, Ask):
        return ask(food_now, ctx.text)
    facts = food_now.facts
    assert facts.recipe is not None
    lines = [answer("recipe-shown", food=Name(facts.name))]
    at = 0
    for each in count_lines(ctx, facts):
        lines.append(each)
        if each.code == "count-part":
            lines.extend(_working(ctx, facts, at))
            at += 1
    if not any(line.code == "count-part" for line in lines):
        parts = facts.recipe.ingredients
        lines[1:1] = [fact("recipe-part", said=Said(i.said), food=Name(i.facts.name))
                      for i in parts]  # fmt: skip
    for measure in facts.extra:
        if measure.grams is not None:
            args: dict[str, Arg] = {"count": Amount(measure.count, measure.unit),
                                    "amount": Amount(measure.grams, "g")}  # fmt: skip
            lines.append(fact("food-measure", **args))
    lines.extend(doubts(facts))
    return answered(*lines, events=(RecipeNamed(food.food_id),), facts=as_data(facts))


def _working(ctx: Context, facts: FoodFacts, at: int) -> list[Line]:
    """How one ingredient counts: by its label, times how much goes in."""
    assert facts.recipe is not None
    each = facts.recipe.ingredients[at]
    policy = ctx.settings.policy
    counted = count_reference(each.facts, policy, ctx.settings.polyols) if policy else None
    if counted is None or isinstance(counted, Unknown):
        return []
    share = share_of(each.factor.value) if each.facts.recipe is not None else None
    args: dict[str, Arg] = {"said": Said(each.said), "food": Name(each.facts.name)}
    if share is not None and share[1] <= SIMPLE:
        args["share"] = Part(each.factor.value)
        lines = [Line("working", "count-part-share", args)]
    else:
        args |= {"times": Amount(each.factor.value, "times"), "reference": reference_of(each.facts)}
        lines = [Line("working", "count-part-times", args)]
    lines.extend(counted_lines(each.facts, counted))
    total = counted.result.by(each.factor)
    lines.append(times_line(each.factor.value, share, counted.result.value, total.value))
    return lines


def waiting(ctx: Context) -> str | None:
    """The newest sentence of a recipe that was begun and neither saved nor dropped; or None."""
    kinds = ("recipe-begun", "recipe-saved")
    begun: dict[str, str] = {}
    saved_in: int | None = None
    for kept in ctx.record.events(kinds, since=ctx.now - WAITS):
        event = kept.event
        if isinstance(event, RecipeSaved):
            begun.pop(name_key(event.facts.name), None)
            saved_in = kept.turn
        elif isinstance(event, RecipeBegun) and event.said:
            name = _name_of(event.said)
            begun.pop(name, None)
            begun[name] = event.said
        elif begun and kept.turn != saved_in:  # dropped; behind a saved one it says no more
            begun.popitem()
    return next(reversed(begun.values()), None)


def _name_of(text: str) -> str:
    said = read_recipe(text)
    return name_key(said.parts.get("name", text)) if said is not None else name_key(text)


def no_figures(facts: FoodFacts) -> Outcome:
    """A figure told of a recipe or an estimate: they have none of their own."""
    code = "recipe-no-figures" if facts.recipe is not None else "estimate-no-figures"
    return answered(answer(code, food=Name(facts.name)), next_step(f"show {facts.name}"))

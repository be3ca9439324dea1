"""The lines that tell a recipe: what it counts, what it makes, what is doubtful in it."""

from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Recipe
from assistant.counting.policy import Counted, count_reference
from assistant.counting.recipes import Changed, as_now
from assistant.dialogue.meal_lines import between, grams, part_line
from assistant.dialogue.outcome import (
    caution,
    fact,
    next_step,
)
from assistant.dialogue.recipe_now import finder
from assistant.dialogue.recipe_weight import figures, is_heavier, is_lighter, is_odd_volume
from assistant.dialogue.replies import Line
from assistant.dialogue.shown import measure
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name
from grammar.words import name_key


def example_of(facts: FoodFacts) -> str:
    """How a portion of it could be said."""
    assert facts.recipe is not None
    made = facts.recipe.makes[0].unit if facts.recipe.makes else None
    if made is None and facts.recipe.cooked_grams is not None:
        return f"... g of {facts.name}"
    if made is not None and made == name_key(facts.name).split()[-1]:
        return f"... {facts.name}"
    return f"... {made} of {facts.name}" if made else f"... of the pot of {facts.name}"


def count_lines(ctx: Context, facts: FoodFacts) -> list[Line]:
    """What the whole recipe counts by the user's policy, and one of each portion."""
    assert facts.recipe is not None
    policy = ctx.settings.policy
    lines: list[Line] = []
    if policy is None:
        return [*made_lines(facts.recipe), fact("recipe-policy-first"),
                next_step("count total carbohydrate", "count net carbohydrate")]  # fmt: skip
    if isinstance(as_now(facts, finder(ctx), ctx.settings.kitchen), Changed):
        return [*made_lines(facts.recipe), caution("recipe-not-settled")]
    counted = count_reference(facts, policy, ctx.settings.polyols)
    if not isinstance(counted, Counted):
        args: dict[str, Arg] = {"food": Name(counted.food), "nutrient": Name(counted.nutrient)}
        return [*made_lines(facts.recipe), caution("recipe-unknown-figure", **args)]
    lines.extend(replace(part_line(p), role="portion") for p in counted.parts)
    lines.append(Line("total", "recipe-whole", {
        "counted": grams(counted.result.value), "range": between(counted.result)}))  # fmt: skip
    for made in facts.recipe.makes:
        one = counted.result.times(1 / made.count)
        args = {"count": measure(made.count, made.unit), "one": measure(Fraction(1), made.unit),
                "counted": grams(one.value), "range": between(one)}  # fmt: skip
        lines.append(fact("recipe-makes", **args))
    return [*lines, *made_lines(facts.recipe, portions=False)]


def made_lines(recipe: Recipe, portions: bool = True) -> list[Line]:
    """What comes out, without counts."""
    lines = []
    for made in recipe.makes if portions else ():
        lines.append(fact("recipe-makes-only", count=measure(made.count, made.unit)))
    if recipe.cooked_grams is not None:
        lines.append(fact("recipe-weighs", weight=Amount(recipe.cooked_grams, "g")))
    if recipe.cooked_millilitres is not None:
        lines.append(fact("recipe-holds", volume=Amount(recipe.cooked_millilitres, "ml")))
    return lines


def doubts(facts: FoodFacts) -> list[Line]:
    """What the user should know of the recipe: not counted, no yield, heavier than it can be."""
    recipe = facts.recipe
    assert recipe is not None
    lines = []
    if recipe.uncounted:
        words = Listed(tuple(Name(w) for w in recipe.uncounted))
        lines.append(caution("recipe-uncounted", words=words))
    for off, code in ((is_heavier, "recipe-heavier"), (is_lighter, "recipe-lighter")):
        if off(recipe):
            lines.append(Line("caution", code, figures(recipe)))
    if is_odd_volume(recipe):
        made = Amount(recipe.cooked_millilitres or Fraction(0), "ml")
        lines.append(caution("recipe-odd-volume", made=made, raw=figures(recipe)["raw"]))
    if not recipe.makes and recipe.cooked_grams is None and recipe.cooked_millilitres is None:
        lines.append(caution("recipe-makes-nothing"))
        lines.append(next_step(f"{facts.name} makes ... bowls",
                               f"the finished {facts.name} weighs ... g"))  # fmt: skip
    return lines


def as_data(facts: FoodFacts) -> dict[str, object]:
    """The recipe as plain data."""
    assert facts.recipe is not None
    recipe = facts.recipe
    return {
        "recipe": {
            "name": facts.name,
            "ingredients": [
                {"said": i.said, "food": i.facts.name, "times_label_amount": i.factor.value}
                for i in recipe.ingredients
            ],
            "makes": [{"count": m.count, "unit": m.unit} for m in recipe.makes],
            "cooked_grams": recipe.cooked_grams,
            "cooked_millilitres": recipe.cooked_millilitres,
            "not_counted": list(recipe.uncounted),
        }
    }

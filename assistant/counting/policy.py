"""From a label's carbohydrate to what is counted, by the policy that the user chose."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Ingredient, Recipe
from assistant.counting.rounding import printed_range
from assistant.values import Ranged

Policy = Literal["total", "net", "fibre-over-5"]

POLICIES: tuple[Policy, ...] = ("total", "net", "fibre-over-5")

HALF = Fraction(1, 2)
FIBRE_THRESHOLD = Fraction(5)
"""Grams of fibre a labelled serving above which half is subtracted: "over 5 g", a hospital
diabetes talk (Ascension, fiber and carbohydrate counting: 24 g with 13 g of fibre is 17.5 g)."""


class Subtraction(Struct, frozen=True):
    """One thing taken off: fibre, polyols or a named polyol, its figure, the share, the amount."""

    nutrient: str
    figure: Ranged
    share: Fraction
    taken: Ranged


class CountedPart(Struct, frozen=True):
    """One ingredient of a recipe and what it counts in the whole of it."""

    ingredient: Ingredient
    result: Ranged


class Counted(Struct, frozen=True):
    """What is counted of one reference amount: carbohydrate, subtractions, result, and why.

    reason: total (the policy counts all), fibre-outside (the label's law has it outside already),
    subtracted, under-threshold (fibre not over 5 g), recipe (each ingredient by itself: parts).
    """

    carbohydrate: Ranged
    subtractions: tuple[Subtraction, ...]
    result: Ranged
    reason: Literal["total", "fibre-outside", "subtracted", "under-threshold", "recipe"]
    parts: tuple[CountedPart, ...] = ()


class Unknown(Struct, frozen=True):
    """A figure that the policy needs and the label does not state; or one that cannot be.

    food: the ingredient that it is about; empty where it is the food itself.
    """

    nutrient: str
    why: Literal["not-stated", "more-than-carbohydrate", "no-serving"]
    food: str = ""


NAMED_POLYOLS = (
    "erythritol", "xylitol", "maltitol", "sorbitol", "mannitol", "isomalt", "lactitol",
)  # fmt: skip


def _polyols(facts: FoodFacts) -> Ranged | None:
    """Sugar alcohol as declared: the line for all of them, else the sum of the named ones."""
    whole = _figure(facts, "polyols")
    if whole is not None:
        return whole
    named = [f for f in (_figure(facts, name) for name in NAMED_POLYOLS) if f is not None]
    return sum(named[1:], named[0]) if named else None


def _figure(facts: FoodFacts, name: str) -> Ranged | None:
    nutrient = facts.nutrients.get(name)
    return None if nutrient is None else printed_range(nutrient, facts.region)


def _sugar_alcohol(facts: FoodFacts, counted: Mapping[str, Fraction]) -> list[Subtraction]:
    """What is taken off for sugar alcohol: half, or what the user set for a kind by name.

    Australia and New Zealand: listed sugar alcohol is outside available carbohydrate already
    (FSANZ Schedule 11, by difference), so nothing is taken off.
    """
    if facts.region in {"AU", "NZ"}:
        return []
    taken = []
    rest = _polyols(facts)
    for name, share in counted.items():
        figure = _figure(facts, name)
        if figure is None or rest is None:
            continue
        taken.append(Subtraction(name, figure, 1 - share, figure.times(1 - share)))
        rest = rest.minus(figure)
    if rest is not None and rest.value > 0:
        taken.append(Subtraction("polyols", rest, HALF, rest.times(HALF)))
    return taken


def count_reference(
    facts: FoodFacts, policy: Policy, polyols_counted: Mapping[str, Fraction] | None = None
) -> Counted | Unknown:
    """What one reference amount (a serving, 100 g, 100 ml) counts, in grams.

    total: all carbohydrate. net: less all fibre where fibre is inside the carbohydrate, and less
    half of declared sugar alcohol (polyols_counted: the share that counts of a kind that the user
    set by name, 0 for none). fibre-over-5: less half of the fibre where it is inside and
    over 5 g in the labelled amount. Fibre is never subtracted where it stands outside.
    A recipe counts what its ingredients count, each by its own label.
    """
    if facts.recipe is not None:
        return _recipe(facts.recipe, policy, polyols_counted)
    carbohydrate = _figure(facts, "carbohydrate")
    if carbohydrate is None:
        return Unknown("carbohydrate", "not-stated")
    if policy == "total":
        return Counted(carbohydrate, (), carbohydrate, "total")
    subtractions: list[Subtraction] = []
    reason: Literal["total", "fibre-outside", "subtracted", "under-threshold"] = "fibre-outside"
    if facts.fibre_inside:
        fibre = _figure(facts, "fibre")
        if fibre is None:
            return Unknown("fibre", "not-stated")
        if policy == "fibre-over-5" and facts.region.startswith("table-") and fibre.value > 0:
            return Unknown("fibre", "no-serving")  # it is about a serving, and a table has none
        if policy == "net":
            subtractions.append(Subtraction("fibre", fibre, Fraction(1), fibre))
            reason = "subtracted"
        elif fibre.value > FIBRE_THRESHOLD:
            subtractions.append(Subtraction("fibre", fibre, HALF, fibre.times(HALF)))
            reason = "subtracted"
        else:
            reason = "under-threshold"
    if policy == "net":
        subtractions.extend(_sugar_alcohol(facts, polyols_counted or {}))
    result = carbohydrate
    for subtraction in subtractions:
        result = result.minus(subtraction.taken)
    if result.value < 0:
        return Unknown(subtractions[0].nutrient, "more-than-carbohydrate")
    return Counted(carbohydrate, tuple(subtractions), result, reason)


def _recipe(
    recipe: Recipe, policy: Policy, polyols_counted: Mapping[str, Fraction] | None
) -> Counted | Unknown:
    """The whole recipe: each ingredient by the policy, times how much of it goes in."""
    nothing = Ranged.exactly(Fraction(0))
    carbohydrate, result = nothing, nothing
    parts = []
    for each in recipe.ingredients:
        counted = count_reference(each.facts, policy, polyols_counted)
        if isinstance(counted, Unknown):
            return counted if counted.food else replace(counted, food=each.facts.name)
        part = counted.result.by(each.factor)
        parts.append(CountedPart(each, part))
        carbohydrate += counted.carbohydrate.by(each.factor)
        result += part
    return Counted(carbohydrate, (), result, "recipe", tuple(parts))

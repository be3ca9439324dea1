"""What a plate holds: sums that never hide a label without the figure."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import FoodFacts

COUNTED: Mapping[str, str] = {
    "fat": "g",
    "saturated fat": "g",
    "fibre": "g",
    "protein": "g",
    "sodium": "mg",
    "carbohydrate": "g",
}
"""The nutrients that are summed, each in the unit of its daily value.

A new one goes to the end, so that saved sessions verify. Carbohydrate is the total that the daily
value is of, fibre inside (21 CFR 101.9(c)(6)), whatever the way of counting: it is no figure for a
dose.
"""

SALT_PER_SODIUM = Fraction(5, 2)
"""Salt is sodium times 2.5: Regulation (EU) 1169/2011, Annex I, point 11."""

_IN: Mapping[tuple[str, str], Fraction] = {
    ("g", "g"): Fraction(1),
    ("mg", "g"): Fraction(1, 1000),
    ("g", "mg"): Fraction(1000),
    ("mg", "mg"): Fraction(1),
}


class NutrientSum(Struct, frozen=True):
    """amount over the labels that tell it; how many tell it, and how many do not."""

    nutrient: str
    amount: Fraction
    unit: str
    known: int
    missing: int


def figure(facts: FoodFacts, nutrient: str) -> Fraction | None:
    """The figure of one reference amount in the unit of COUNTED; None where the label has none.

    "Less than 1 g" is taken as 1 g. Sodium comes from salt where the label tells only that.
    """
    unit = COUNTED[nutrient]
    told = facts.nutrients.get(nutrient)
    if nutrient == "carbohydrate" and not facts.fibre_inside:
        fibre = figure(facts, "fibre")
        if told is None or (told.unit, unit) not in _IN or fibre is None:
            return None
        return told.value * _IN[told.unit, unit] + fibre
    if told is not None and (told.unit, unit) in _IN:
        return told.value * _IN[told.unit, unit]
    if nutrient == "sodium":
        salt = facts.nutrients.get("salt")
        if salt is not None and (salt.unit, unit) in _IN:
            return salt.value * _IN[salt.unit, unit] / SALT_PER_SODIUM
    return None


def sums(parts: Iterable[tuple[FoodFacts, Fraction]]) -> tuple[NutrientSum, ...]:
    """Each nutrient over these foods (facts, multiple of the label's amount).

    A food of which there is nothing (0 times) is passed over.
    """
    eaten = [(facts, factor) for facts, factor in parts if factor > 0]
    found = []
    for nutrient, unit in COUNTED.items():
        figures = [(figure(facts, nutrient), factor) for facts, factor in eaten]
        known = [value * factor for value, factor in figures if value is not None]
        total = sum(known, Fraction(0))
        found.append(NutrientSum(nutrient, total, unit, len(known), len(eaten) - len(known)))
    return tuple(found)

"""Does the energy of a table's food fit its other figures? A slip in a figure shows there.

Only a gross miss counts: specific factors (Atwater's by food), organic acids and what is lost in
digestion are lawful differences.
"""

from collections.abc import Mapping
from fractions import Fraction

from assistant.counting.checks import ALCOHOL, CARBOHYDRATE, FAT, FIBRE, KJ_PER_KCAL, PROTEIN
from assistant.counting.facts import FoodFacts
from assistant.values import Ranged

SHARE, SLACK = Fraction(1, 5), Fraction(30)
"""A gross miss: more than a fifth of the stated energy and 30 kcal beside (our choice; of 21,171
foods of six published tables it finds drinks whose alcohol the table does not state, sugarless gum
and a handful of rows, among them one of release 28 that states 158 kcal for 17.6 g of fat)."""
UNSTATED_FIBRE = Fraction(10)
"""Grams of fibre that a table without a figure for it may leave out."""

_NONE = Ranged.exactly(Fraction(0))


def far_off(facts: FoodFacts, ranges: Mapping[str, Ranged]) -> bool:
    """Is the stated energy far from what fat, carbohydrate, protein and alcohol give?

    ranges: grams of each nutrient, with what their rounding allows. False where a figure is
    missing.
    """
    stated = _stated(facts)
    if stated is None or not {"fat", "carbohydrate", "protein"} <= set(ranges):
        return False
    fibre = ranges.get("fibre")
    polyols = ranges.get("polyols", _NONE)
    carbohydrate = ranges["carbohydrate"]
    inside = polyols.high + (fibre.high if fibre is not None and facts.fibre_inside else 0)
    low = CARBOHYDRATE * max(Fraction(0), carbohydrate.low - inside)
    high = CARBOHYDRATE * carbohydrate.high
    if not facts.fibre_inside:
        high += FIBRE * (UNSTATED_FIBRE if fibre is None else fibre.high)
    for nutrient, factor in (("fat", FAT), ("protein", PROTEIN), ("alcohol", ALCOHOL)):
        low += factor * ranges.get(nutrient, _NONE).low
        high += factor * ranges.get(nutrient, _NONE).high
    slack = SLACK + SHARE * stated
    return not low - slack <= stated <= high + slack


def _stated(facts: FoodFacts) -> Fraction | None:
    kcal, joules = facts.nutrients.get("energy kcal"), facts.nutrients.get("energy kJ")
    if kcal is not None:
        return kcal.value
    return None if joules is None else joules.value / KJ_PER_KCAL

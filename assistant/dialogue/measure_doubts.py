"""Is a measure that the user tells of a food likely a slip?"""

from fractions import Fraction

from assistant.counting.facts import FoodFacts, Measure
from assistant.counting.portions import Weighed, weigh
from assistant.counting.units import LABEL_MILLILITRES, conversion
from assistant.dialogue.state import Context
from grammar.measures import find_measure
from grammar.nodes import MeasureWord

APART = 3
"""A told weight so many times the label's own, or less than that part, is asked about."""
LIGHTEST, HEAVIEST = Fraction(1, 10), Fraction(2)
"""Grams of a millilitre of food: beyond these it is asked about."""
MOST = Fraction(3000)
"""Grams or millilitres of one of a measure; these bounds are common practice, no source."""


def unlikely(
    ctx: Context, facts: FoodFacts, told: Measure, measure: MeasureWord | None, name: str
) -> bool:
    """Is what was told far from the label's own, no weight that food has, or more than a meal?"""
    amount = told.grams if told.grams is not None else told.millilitres
    assert amount is not None
    if amount / told.count > MOST:
        return True
    volume = _volume(ctx, told)
    weight = None if volume is None or told.grams is None else told.grams / volume
    if weight is not None and not LIGHTEST <= weight <= HEAVIEST:
        return True
    known = weigh(facts, told.count, measure, name, ctx.settings.kitchen)
    if not isinstance(known, Weighed):
        return False
    before = known.grams if told.grams is not None else known.millilitres
    return before is not None and not before / APART <= amount <= before * APART


def _volume(ctx: Context, told: Measure) -> Fraction | None:
    """Millilitres of the measure, where it is one of volume: a cup of whichever size."""
    found = find_measure(told.unit)
    if found is None:
        return None
    unit = found[0]
    if found[1] == "volume":
        return told.count * conversion(unit, "millilitre")
    one = ctx.settings.kitchen.get(unit) or LABEL_MILLILITRES.get(unit)
    return None if one is None else told.count * one

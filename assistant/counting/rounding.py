"""What a printed figure may hide: the ranges that the laws on label rounding allow."""

from fractions import Fraction
from functools import lru_cache

from assistant.counting.facts import Nutrient, Region
from assistant.values import Ranged

HALF = Fraction(1, 2)


def _printed_step(figure: Nutrient) -> Fraction:
    """Half of the last printed digit: a figure printed finer than the law asks is trusted so."""
    return Fraction(1, 2 * 10**figure.decimals)


def _per_serving_law(figure: Nutrient) -> Ranged:
    """Carbohydrate, fibre, sugars, sugar alcohol, protein a serving on a US-type label.

    21 CFR 101.9(c)(6): under 0.5 g may be 0; under 1 g "less than 1 g"; else the nearest gram.
    """
    value = figure.value
    if figure.below:
        return Ranged(value, Fraction(0), value)
    if value == 0:
        return Ranged(value, value, HALF)
    half_step = min(HALF, _printed_step(figure))
    return Ranged(value, max(Fraction(0), value - half_step), value + half_step)


def _per_hundred_law(figure: Nutrient) -> Ranged:
    """The same nutrients per 100 g or 100 ml on an EU-type label.

    Commission guidance on tolerances, December 2012, table 4: from 10 g the nearest gram, from
    0.5 to 10 g the nearest 0.1 g, up to 0.5 g "0 g" or "<0.5 g".
    """
    value = figure.value
    if figure.below:
        return Ranged(value, Fraction(0), value)
    if value == 0:
        return Ranged(value, value, HALF)
    law = HALF if value >= 10 else Fraction(1, 20)
    half_step = min(law, _printed_step(figure))
    return Ranged(value, max(Fraction(0), value - half_step), value + half_step)


@lru_cache(maxsize=1 << 14)
def _of_table(figure: Nutrient) -> Ranged:
    """A figure of a table of food composition: off by half of its last digit, or as it says."""
    value = figure.value
    if figure.below:
        return Ranged(value, Fraction(0), value)
    step = _printed_step(figure) if figure.off_by is None else figure.off_by
    return Ranged(value, max(Fraction(0), value - step), value + step)


def printed_range(figure: Nutrient, region: Region) -> Ranged:
    """The printed figure in grams with the range that the law of its label allows.

    Canada, Japan: read as the US rule (coarser than theirs, so the range is wide enough).
    Australia and New Zealand, UK: as the EU rule. Common practice, no source, for these four.
    """
    if region.startswith("table-"):
        return _of_table(figure)
    if region in {"US", "CA", "JP"}:
        return _per_serving_law(figure)
    return _per_hundred_law(figure)

"""Mean, standard deviation, coefficient of variation and quartiles of exact figures."""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

from msgspec import Struct

ROOT_PLACES = 20
"""Decimals to which a square root is worked out, rounded half to even."""


class Spread(Struct, frozen=True):
    """n figures: mean, ends and median exact; sd (n - 1 below) to ROOT_PLACES, cv in percent.

    sd is None for one figure, cv where there is no sd or the mean is not above nought.
    """

    n: int
    mean: Fraction
    low: Fraction
    high: Fraction
    median: Fraction
    sd: Fraction | None
    cv: Fraction | None


def root(value: Fraction) -> Fraction:
    """The square root of a figure that is not negative, to ROOT_PLACES decimals."""
    with localcontext() as context:
        context.prec = 60
        exact = (Decimal(value.numerator) / Decimal(value.denominator)).sqrt()
        step = Decimal(1).scaleb(-ROOT_PLACES)
        return Fraction(exact.quantize(step, rounding=ROUND_HALF_EVEN))


def quantile(figures: Sequence[Fraction], share: Fraction) -> Fraction:
    """The figure below which this share lies, between neighbours in a straight line.

    The ends are the smallest and the largest (the usual "inclusive" way). figures: not empty.
    """
    ordered = sorted(figures)
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (ordered[above] - ordered[below]) * (place - below)


def spread(figures: Sequence[Fraction]) -> Spread | None:
    """The spread of these figures; None where there are none."""
    if not figures:
        return None
    n = len(figures)
    mean = sum(figures, Fraction(0)) / n
    sd = None
    if n > 1:
        sd = root(sum(((f - mean) ** 2 for f in figures), Fraction(0)) / (n - 1))
    cv = sd / mean * 100 if sd is not None and mean > 0 else None
    return Spread(n, mean, min(figures), max(figures), quantile(figures, Fraction(1, 2)), sd, cv)

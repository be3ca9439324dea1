"""How good a count is, by published figures on how exact a count has to be.

Within 10 g of the count: Smart and others, Diabetic Medicine 2012 (doi
10.1111/j.1464-5491.2012.03595.x): a dose for 60 g held for 50 to 70 g, not for 40 g or 80 g.
Within 20 per cent of it: Deeb and others, Journal of Diabetes Science and Technology 2017;11:753,
who call such an estimate accurate. All arithmetic is exact, and a bound itself is within it.
"""

from fractions import Fraction

from msgspec import Struct

WITHIN_GRAMS = Fraction(10)
WITHIN_SHARE = Fraction(20, 100)


class Judged(Struct, frozen=True):
    """A count against the exact one. off: how far above it (below: under nought)."""

    exact: Fraction
    off: Fraction
    in_grams: bool
    in_share: bool

    @property
    def code(self) -> str:
        """Which of the two bounds it meets."""
        if self.in_grams and self.in_share:
            return "judge-both"
        if self.in_grams:
            return "judge-grams-only"
        return "judge-share-only" if self.in_share else "judge-neither"


def judge_count(given: Fraction, exact: Fraction) -> Judged:
    """The count that was given, by both bounds."""
    off = given - exact
    return Judged(exact, off, abs(off) <= WITHIN_GRAMS, abs(off) <= exact * WITHIN_SHARE)


def pen_steps(given: Fraction, exact: Fraction, step: Fraction) -> Fraction:
    """How many steps of the pen a dose is away; a part of a step where it is on none."""
    return abs(given - exact) / step

"""The dose working: carbohydrate and glucose to an exact figure, step by step. No rule is here.

Meal part = carbohydrate / ratio. Correction = (glucose - target) / correction factor. Active
insulin comes off as the user set it. One rounding, at the end. The formula is the one of the
published clinic sheets named in tests/dosing.
"""

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Literal

from assistant.dosing.active import Left, Taken, active
from assistant.dosing.settings import Settings
from assistant.values import Glucose, Ranged


@dataclass(frozen=True, slots=True)
class NotGiven:
    """No word about glucose: it has to be asked."""


@dataclass(frozen=True, slots=True)
class NoReading:
    """The user said that there is no reading."""


Reading = Glucose | NotGiven | NoReading


@dataclass(frozen=True, slots=True)
class Facts:
    """What a dose is worked out from. doses: all of the journal that can still matter.

    earlier: the newest reading in the journal of the last 24 hours, where there is one.
    felt_low: a low was felt since then. unsettled_dose: a dose was told, and a question about it
    (which time, how many units) is not answered yet. record_gap: doses may be missing from the
    journal, which was put back from a backup or begun anew.
    """

    counted: Ranged
    glucose: Reading
    settings: Settings
    doses: tuple[Taken, ...]
    now: datetime
    earlier: Glucose | None = None
    felt_low: bool = False
    unsettled_dose: bool = False
    record_gap: bool = False


@dataclass(frozen=True, slots=True)
class Working:
    """Every figure of the working, exact.

    meal, correction: units. active_total: units still active. correction_after: what is left of
    the correction once active insulin came off it (off the correction only), else the correction.
    floored: the correction after active insulin was below zero and counts as zero.
    exact: the sum. rounded: the sum on the pen's step. spread: exact at both ends of the count.
    """

    ratio: Fraction
    ratio_from: int
    meal: Ranged
    glucose: Glucose | None
    target: Glucose | None
    factor: Glucose | None
    correction: Fraction
    lefts: tuple[Left, ...]
    active_total: Fraction
    correction_after: Fraction
    floored: bool
    exact: Fraction
    rounded: Fraction
    spread: tuple[Fraction, Fraction]
    spread_rounded: tuple[Fraction, Fraction]


def round_dose(exact: Fraction, step: Fraction, rule: Literal["down", "nearest"]) -> Fraction:
    """The dose on the pen's step. down: never above exact. nearest: a tie goes down.

    A tie goes down because that is the cautious side (common practice, no source).
    """
    steps = exact / step
    whole = steps.numerator // steps.denominator
    if rule == "nearest" and steps - whole > Fraction(1, 2):
        whole += 1
    return whole * step


def work_out(facts: Facts) -> Working:
    """The working. Raises ValueError where a setting is missing; the review never lets it."""
    s = facts.settings
    if s.missing():
        raise ValueError("settings are missing")
    assert s.ratio is not None
    assert s.factor is not None
    assert s.target is not None
    assert s.duration is not None
    assert s.pen_step is not None
    assert s.rounding is not None
    ratio_from, ratio = s.ratio.at(facts.now)
    meal = facts.counted.times(1 / ratio)
    glucose = facts.glucose if isinstance(facts.glucose, Glucose) else None
    target = s.target.at(facts.now)
    factor = s.factor.at(facts.now)
    correction = Fraction(0)
    if glucose is not None:
        unit = factor.unit
        correction = (glucose.as_unit(unit) - target.as_unit(unit)) / factor.value
    lefts = active(facts.doses, facts.now, s.duration)
    active_total = sum((left.units for left in lefts), Fraction(0))
    correction_after, floored = correction, False
    if s.active_rule == "correction" and correction > 0:
        floored = active_total > correction
        correction_after = max(Fraction(0), correction - active_total)
    off_whole = active_total if s.active_rule == "whole" else Fraction(0)
    rest = correction_after - off_whole
    exact = meal.value + rest
    spread = (meal.low + rest, meal.high + rest)
    low, high = (round_dose(max(Fraction(0), e), s.pen_step, s.rounding) for e in spread)
    return Working(
        ratio=ratio,
        ratio_from=ratio_from,
        meal=meal,
        glucose=glucose,
        target=target if glucose else None,
        factor=factor if glucose else None,
        correction=correction,
        lefts=lefts,
        active_total=active_total,
        correction_after=correction_after,
        floored=floored,
        exact=exact,
        rounded=round_dose(exact, s.pen_step, s.rounding),
        spread=spread,
        spread_rounded=(low, high),
    )

"""The dose working: carbohydrate and glucose to an exact figure, step by step. No rule is here.

Meal part = carbohydrate / ratio. Correction = (glucose - target) / correction factor. Active
insulin comes off as the user set it, then a reduction that they stated. One rounding, at the end.
The formula is the one of the published clinic sheets named in tests/dosing.
"""

from datetime import datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.dosing.active import Left, Taken, active
from assistant.dosing.settings import Settings
from assistant.values import Glucose, Ranged


class NotGiven(Struct, frozen=True):
    """No word about glucose: it has to be asked."""


class NoReading(Struct, frozen=True):
    """The user said that there is no reading."""


Reading = Glucose | NotGiven | NoReading


class Reduction(Struct, frozen=True):
    """A share of the dose that the user takes off, and why. Nought: they said that none comes off.

    Raises ValueError for a share below nought or from one up: it can only make a dose smaller.
    """

    share: Fraction
    why: Literal["activity", "illness", "other"]

    def __post_init__(self) -> None:
        if not 0 <= self.share < 1:
            raise ValueError("a reduction takes a share from 0 up to, but not, 1 off the dose")


class Raised(Struct, frozen=True):
    """A cap that was raised lately: the setting's name, what it was, what it became, when.

    old and new are units, grams, minutes or a share, as the setting is; hours: of a window.
    """

    name: str
    old: Fraction
    new: Fraction
    at: datetime
    old_hours: Fraction | None = None
    hours: Fraction | None = None


class Facts(Struct, frozen=True):
    """What a dose is worked out from. doses: all of the journal that can still matter.

    earlier, earlier_at: the newest reading in the journal of the last 24 hours, where there is one,
    and when it was taken. felt_low_at: when a low was felt since then. doubted_at: when a figure
    that may be a low was told since then, and its unit was never settled. unsettled_dose: a
    dose was told, and a question about it (which time, how many units) is not answered yet.
    record_gap: doses may be missing from the journal, which was put back from a backup or begun
    anew.
    reduction, activity, illness, alcohol: as said with the meal. glucose_at: when the reading was
    taken, where that was said or the sentence waited for an answer (glucose_waited: only the
    latter); None is now. meal_at: when the meal is, likewise.
    same_meal_at: when the same meal was counted just before. confirmed: the sentence says "that is
    right". newest: when the newest turn of the journal was said. schedule_at: now on the clock
    that times of day go by, where that is not the clock of now; clocks: the offsets in minutes to
    choose from while that is not settled.
    fat, protein: grams of the meal, as far as the labels state them. unchecked: foods with a label
    check that failed; doubted: those where it is the carbohydrate. widest: the food that makes
    most of the range; widest_by: because its amount was said roughly, by the rounding of its label,
    or by the foods inside it. estimated: a food of the plate is an estimate. raised: caps raised
    lately.
    """

    counted: Ranged
    glucose: Reading
    settings: Settings
    doses: tuple[Taken, ...]
    now: datetime
    earlier: Glucose | None = None
    felt_low_at: datetime | None = None
    unsettled_dose: bool = False
    record_gap: bool = False
    reduction: Reduction | None = None
    activity: bool = False
    illness: bool = False
    alcohol: bool = False
    glucose_at: datetime | None = None
    meal_at: datetime | None = None
    same_meal_at: datetime | None = None
    confirmed: bool = False
    newest: datetime | None = None
    schedule_at: datetime | None = None
    clocks: tuple[int, ...] = ()
    fat: Fraction | None = None
    protein: Fraction | None = None
    unchecked: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
    widest: str | None = None
    widest_by: Literal["amount", "label", "inside"] = "amount"
    estimated: bool = False
    raised: tuple[Raised, ...] = ()
    earlier_at: datetime | None = None
    doubted_at: datetime | None = None
    glucose_waited: bool = False

    @property
    def clock(self) -> datetime:
        """Now, on the clock that the user's times of day go by."""
        return self.schedule_at or self.now


class Working(Struct, frozen=True):
    """Every figure of the working, exact.

    meal, correction: units. active_total: units still active. correction_after: what is left of
    the correction once active insulin came off it (off the correction only), else the correction.
    floored: the correction after active insulin was below zero and counts as zero.
    unreduced: the sum. taken_off: what a stated reduction takes off it. exact: the rest.
    rounded: that on the pen's step. spread: exact at both ends of the count.
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
    unreduced: Fraction
    taken_off: Fraction
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


def _reduced(amount: Fraction, reduction: Reduction | None) -> Fraction:
    """The dose less the stated share; a dose below nought has nothing that could come off."""
    if reduction is None or amount <= 0:
        return amount
    return amount * (1 - reduction.share)


def work_out(facts: Facts) -> Working:
    """The working. Raises ValueError where a setting is missing; the review never lets it."""
    s = facts.settings
    if s.missing():
        raise ValueError("settings are missing")
    assert s.ratio is not None
    assert s.factor is not None
    assert s.target is not None
    assert s.duration is not None
    assert s.active_shape is not None
    assert s.pen_step is not None
    assert s.rounding is not None
    ratio_from, ratio = s.ratio.at(facts.clock)
    meal = facts.counted.times(1 / ratio)
    glucose = facts.glucose if isinstance(facts.glucose, Glucose) else None
    target = s.target.at(facts.clock)
    factor = s.factor.at(facts.clock)
    correction = Fraction(0)
    if glucose is not None:
        unit = factor.unit
        correction = (glucose.as_unit(unit) - target.as_unit(unit)) / factor.value
    lefts = active(facts.doses, facts.now, s.duration, s.active_shape)
    active_total = sum((left.units for left in lefts), Fraction(0))
    correction_after, floored = correction, False
    if s.active_rule == "correction" and correction > 0:
        floored = active_total > correction
        correction_after = max(Fraction(0), correction - active_total)
    off_whole = active_total if s.active_rule == "whole" else Fraction(0)
    rest = correction_after - off_whole
    unreduced = meal.value + rest
    exact = _reduced(unreduced, facts.reduction)
    spread = (
        _reduced(meal.low + rest, facts.reduction),
        _reduced(meal.high + rest, facts.reduction),
    )
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
        unreduced=unreduced,
        taken_off=unreduced - exact,
        exact=exact,
        rounded=round_dose(exact, s.pen_step, s.rounding),
        spread=spread,
        spread_rounded=(low, high),
    )

"""Insulin that is still active, and the doses that count against the window cap."""

from datetime import timedelta
from fractions import Fraction

import pytest
from strategies import NOW, ago, invented_facts, invented_settings

from assistant.dosing.active import (
    active,
    constants_in_duration,
    in_window,
    left_of,
    share_left,
)
from assistant.dosing.working import NoReading, Reduction, work_out

FOUR_HOURS = timedelta(hours=4)


@pytest.mark.parametrize(
    ("duration", "hours", "percent"),
    [
        # Linear per-hour clinic table: common teaching, no source (from memory).
        (4, 1, 75), (4, 2, 50), (4, 3, 25), (4, 4, 0),
        (5, 1, 80), (5, 2, 60), (5, 3, 40), (5, 4, 20), (5, 5, 0),
        # The same line at its ends and beyond.
        (4, 0, 100), (5, 0, 100), (4, 5, 0), (5, 24, 0),
    ],
)  # fmt: skip
def test_what_is_left_follows_the_per_hour_table(duration, hours, percent):
    left = left_of(ago("10", hours=hours), NOW, timedelta(hours=duration), "line")
    assert left.units == Fraction(percent, 10)
    assert left.age == timedelta(hours=hours)


def test_four_units_two_hours_ago_leave_two_over_four_hours():
    """Derived vector (no published example with active insulin was found)."""
    assert left_of(ago("4.0", hours=2), NOW, FOUR_HOURS, "line").units == 2


def test_active_insulin_above_the_correction_leaves_a_correction_of_nought():
    """Derived vector: 8.0 u one hour ago leave 6.0, more than the 3.0 of the correction."""
    settings = invented_settings("15", "50", "100")
    w = work_out(invented_facts("45", "250", settings, [ago("8.0", hours=1)]))
    assert w.active_total == 6
    assert w.correction == 3
    assert w.correction_after == 0
    assert w.floored
    assert w.exact == w.meal.value == 3


def test_active_insulin_equal_to_the_correction_is_not_called_floored():
    settings = invented_settings("15", "50", "100")
    w = work_out(invented_facts("45", "250", settings, [ago("4.0", hours=1)]))
    assert (w.active_total, w.correction_after, w.floored, w.exact) == (3, 0, False, 3)


def test_the_whole_rule_takes_active_insulin_off_the_meal_part_too():
    settings = invented_settings("15", "50", "100", active_rule="whole")
    w = work_out(invented_facts("45", "250", settings, [ago("8.0", hours=1)]))
    assert w.exact == 3 + 3 - 6


def test_the_correction_rule_never_touches_the_meal_part():
    settings = invented_settings("15", "50", "100")
    for glucose in ("100", "80", NoReading()):
        without = work_out(invented_facts("45", glucose, settings))
        with_dose = work_out(invented_facts("45", glucose, settings, [ago("8.0", hours=1)]))
        assert with_dose.exact == without.exact
        assert not with_dose.floored


def test_a_negative_correction_stays_and_is_not_made_deeper_by_the_correction_rule():
    settings = invented_settings("15", "50", "100")
    w = work_out(invented_facts("45", "75", settings, [ago("8.0", hours=1)]))
    assert w.correction == w.correction_after == Fraction(-1, 2)
    assert w.exact == Fraction(5, 2)


def test_a_dose_dated_after_now_counts_whole():
    left = left_of(ago("4", hours=-1), NOW, FOUR_HOURS, "line")
    assert left.units == 4
    assert left.age == timedelta(hours=-1)
    assert in_window([left.taken], NOW, FOUR_HOURS) == (left.taken,)


def test_the_line_is_exact_to_the_microsecond():
    left = left_of(ago("1", microseconds=1), NOW, timedelta(hours=1), "line")
    assert left.units == 1 - Fraction(1, 3_600_000_000)
    nearly = left_of(ago("1", hours=1, microseconds=-1), NOW, timedelta(hours=1), "line")
    assert nearly.units == Fraction(1, 3_600_000_000)


def test_only_doses_with_something_left_are_listed_oldest_first():
    spent, old, new = ago("5", hours=4), ago("2", hours=3), ago("3", hours=1)
    lefts = active([new, spent, old], NOW, FOUR_HOURS, "line")
    assert [left.taken for left in lefts] == [old, new]
    assert [left.units for left in lefts] == [Fraction(1, 2), Fraction(9, 4)]


def test_several_doses_add_up():
    settings = invented_settings("15", "50", "100")
    doses = [ago("4", hours=2), ago("4", hours=3), ago("100", hours=9)]
    assert work_out(invented_facts("45", "250", settings, doses)).active_total == 3


def test_the_window_counts_whole_doses_that_are_no_longer_whole_in_the_body():
    doses = [ago("6", hours=3), ago("2", hours=1)]
    assert sum(dose.units for dose in in_window(doses, NOW, FOUR_HOURS)) == 8


def test_a_dose_exactly_at_the_edge_of_the_window_counts():
    edge = ago("6", hours=4)
    assert in_window([edge], NOW, FOUR_HOURS) == (edge,)
    assert in_window([ago("6", hours=4, microseconds=1)], NOW, FOUR_HOURS) == ()


def test_the_window_is_its_own_span_not_the_insulins_duration():
    doses = [ago("6", hours=5)]
    assert active(doses, NOW, FOUR_HOURS, "line") == ()
    assert in_window(doses, NOW, timedelta(hours=6)) == tuple(doses)


# The curve: Hovorka et al., Physiol Meas 2004;25:905, (1 + t/T) e^(-t/T) not yet absorbed.


def test_the_duration_holds_so_many_time_constants_that_5_percent_is_left():
    """(1 + K) e^(-K) = 0.05, checked with a series of fractions instead of the program's own."""
    k = Fraction(str(constants_in_duration()))
    assert abs((1 + k) / e_to(k) - Fraction(1, 20)) < Fraction(1, 10**50)
    assert str(constants_in_duration()).startswith("4.7438645183905")


def e_to(x: Fraction) -> Fraction:
    """e^x by its series, to far more digits than are compared."""
    unit = 10**80
    scaled = x.numerator * unit // x.denominator
    total = term = unit
    for n in range(1, 200):
        term = term * scaled // (n * unit)
        total += term
    return Fraction(total, unit)


@pytest.mark.parametrize(
    ("minutes", "percent"),
    [
        # The paper's time constant of 55 min (from memory); percents derived from the formula by
        # a step-by-step solution of the two compartments, to one decimal.
        (30, "89.6"), (60, "70.2"), (90, "51.3"), (120, "35.9"), (150, "24.4"), (180, "16.2"),
        (240, "6.8"), (300, "2.8"), (360, "1.1"),
    ],
)  # fmt: skip
def test_the_curve_leaves_what_the_two_compartments_leave(minutes, percent):
    seconds = 55 * 60 * Fraction(str(constants_in_duration()))
    duration = timedelta(microseconds=round(seconds * 1_000_000))
    left = share_left(timedelta(minutes=minutes), duration, "curve") * 100
    assert abs(left - Fraction(percent)) <= Fraction(5, 100)


def test_at_the_end_of_the_duration_5_percent_is_left_and_it_counts_on_for_as_long_again():
    left = left_of(ago("10", hours=4), NOW, FOUR_HOURS, "curve").units
    assert Fraction(1, 2) <= left < Fraction(1, 2) + Fraction(1, 10**30)
    nearly = left_of(ago("10", hours=8, microseconds=-1), NOW, FOUR_HOURS, "curve").units
    assert 0 < nearly < Fraction(1, 100)
    assert left_of(ago("10", hours=8), NOW, FOUR_HOURS, "curve").units == 0


def test_the_curve_is_whole_at_the_start_and_for_a_dose_dated_ahead():
    for age in (timedelta(0), timedelta(hours=-1)):
        assert share_left(age, FOUR_HOURS, "curve") == 1


@pytest.mark.parametrize("minutes", [1, 17, 60, 61, 100, 133, 239, 241, 300, 479])
def test_the_curve_is_rounded_up_at_the_fortieth_decimal(minutes):
    """More counts as active: the cautious side. The true value by the series of e_to."""
    x = Fraction(str(constants_in_duration())) * minutes / 240
    true = (1 + x) / e_to(x)
    share = share_left(timedelta(minutes=minutes), FOUR_HOURS, "curve")
    assert (share * 10**40).denominator == 1
    assert true <= share < true + Fraction(1, 10**40)


def test_days_count_in_full_beside_hours():
    """A day is 86,400 seconds: of 36 hours a third is left."""
    left = share_left(timedelta(days=1), timedelta(hours=36), "line")
    assert left == Fraction(1, 3)


def test_the_curve_only_falls():
    shares = [share_left(timedelta(minutes=m), FOUR_HOURS, "curve") for m in range(0, 500, 7)]
    assert shares == sorted(shares, reverse=True)
    assert len(set(shares)) == len([m for m in range(0, 500, 7) if m < 480]) + 1


def test_no_shape_has_a_default():
    with pytest.raises(ValueError, match="missing"):
        work_out(invented_facts("45", "250", invented_settings(active_shape=None)))


# A reduction that the user states


def test_a_reduction_takes_its_share_off_the_whole_exact_dose_before_rounding():
    """(45/15 + (250 - 100)/50) less 30 per cent is 6 - 1.8 = 4.2, given as 4."""
    settings = invented_settings("15", "50", "100", max_reduction=Fraction(1, 2))
    reduction = Reduction(Fraction(3, 10), "activity")
    w = work_out(invented_facts("45", "250", settings, reduction=reduction))
    assert (w.unreduced, w.taken_off, w.exact, w.rounded) == (
        6,
        Fraction("1.8"),
        Fraction("4.2"),
        4,
    )


def test_a_published_cut_for_exercise():
    """Derived from the Diabetes Spectrum table (Rabasa-Lhoret et al. 2001): 6.0 u before 30 min of
    moderate exercise, 50 per cent less, is 3.0; before 60 min, 75 per cent less, 1.5."""
    settings = invented_settings("10", pen_step=Fraction(1, 2))
    for share, units in (("1/2", "3"), ("3/4", "3/2")):
        reduction = Reduction(Fraction(share), "activity")
        w = work_out(invented_facts("60", "120", settings, reduction=reduction))
        assert w.rounded == Fraction(units)


def test_a_reduction_never_makes_a_dose_below_nought_larger():
    settings = invented_settings("15", "50", "100")
    reduction = Reduction(Fraction(1, 2), "other")
    facts = invented_facts("0", "75", settings, reduction=reduction)
    assert work_out(facts).exact == work_out(facts).unreduced == Fraction(-1, 2)


@pytest.mark.parametrize("share", ["-1/100", "1", "3/2"])
def test_a_reduction_that_is_none_cannot_be_made(share):
    with pytest.raises(ValueError, match="share"):
        Reduction(Fraction(share), "other")

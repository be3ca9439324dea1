"""Insulin that is still active, and the doses that count against the window cap."""

from datetime import timedelta
from fractions import Fraction

import pytest
from strategies import NOW, ago, invented_facts, invented_settings

from assistant.dosing.active import active, in_window, left_of
from assistant.dosing.working import NoReading, work_out

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

"""The working's own figures, each once by hand: which settings, both ends, what came off.

Figures are invented; the formula is that of the published sheets (test_published_examples).
"""

from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import fields, replace
from strategies import NOW, ago, all_day, invented_facts, invented_settings

from assistant.dosing.settings import GlucoseSchedule, Schedule, Settings
from assistant.dosing.working import Facts, NoReading, NotGiven, Reduction, round_dose, work_out
from assistant.values import Glucose, Ranged

HALF = Fraction(1, 2)


def ranged(low: str, value: str, high: str) -> Ranged:
    return Ranged(Fraction(value), Fraction(low), Fraction(high))


def test_every_figure_of_one_working():
    """50 g (44 to 62) at 10; 170 to 120 at 50; 4 units an hour ago over 4 hours; a fifth less."""
    settings = invented_settings(active_rule="correction", pen_step=HALF)
    facts = invented_facts(
        ranged("44", "50", "62"), "170", settings, [ago("1", hours=3)],
        reduction=Reduction(Fraction(1, 5), "other"),
    )  # fmt: skip
    w = work_out(facts)
    assert (w.ratio, w.ratio_from) == (10, 0)
    assert w.meal == ranged("4.4", "5", "6.2")
    assert w.glucose == Glucose(Fraction(170), "mg/dL")
    assert w.target == Glucose(Fraction(120), "mg/dL")
    assert w.factor == Glucose(Fraction(50), "mg/dL")
    assert w.correction == 1
    assert [left.units for left in w.lefts] == [Fraction(1, 4)]
    assert w.active_total == Fraction(1, 4)
    assert w.correction_after == Fraction(3, 4)
    assert w.floored is False
    assert w.unreduced == Fraction("5.75")
    assert w.taken_off == Fraction("1.15")
    assert w.exact == Fraction("4.6")
    assert w.rounded == Fraction("4.5")
    # (4.4 + 0.75) x 0.8 and (6.2 + 0.75) x 0.8
    assert w.spread == (Fraction("4.12"), Fraction("5.56"))
    assert w.spread_rounded == (4, Fraction("5.5"))


@pytest.mark.parametrize("rule", ["correction", "whole"])
def test_without_a_reading_there_is_no_correction_and_no_target_to_tell(rule):
    settings = invented_settings(active_rule=rule)
    for glucose in (NoReading(), NotGiven()):
        w = work_out(invented_facts("60", glucose, settings, [ago("4", hours=2)]))
        assert (w.glucose, w.target, w.factor) == (None, None, None)
        assert (w.correction, w.correction_after, w.floored) == (0, 0, False)
        assert w.exact == (6 if rule == "correction" else 4)


def test_the_ends_below_nought_are_told_exactly_and_rounded_as_nought():
    """2 g to 30 g at 10, 70 to 120 at 50: 0.2 - 1, 2 - 1 and 3 - 1."""
    w = work_out(invented_facts(ranged("2", "20", "30"), "70"))
    assert w.correction == w.correction_after == -1
    assert w.exact == 1
    assert w.spread == (Fraction("-0.8"), 2)
    assert w.spread_rounded == (0, 2)


def test_both_ends_are_rounded_by_the_users_own_rule_and_step():
    counted = ranged("46", "50", "56")
    for rule, step, ends in (
        ("nearest", Fraction(1), (5, 6)), ("down", Fraction(1), (4, 5)),
        ("nearest", HALF, (Fraction("4.5"), Fraction("5.5"))),
    ):  # fmt: skip
        w = work_out(
            invented_facts(counted, "120", invented_settings(rounding=rule, pen_step=step))
        )
        assert w.spread_rounded == ends


@pytest.mark.parametrize(
    ("exact", "step", "rule", "rounded"),
    [
        # down: never above; nearest: a tie goes down (common practice, no source)
        ("4.9", "1", "down", "4"), ("4.5", "1", "nearest", "4"), ("4.51", "1", "nearest", "5"),
        ("4.49", "1", "nearest", "4"), ("4.75", "1/2", "nearest", "4.5"),
        ("4.76", "1/2", "nearest", "5"), ("4.76", "1/2", "down", "4.5"), ("0", "1", "down", "0"),
        ("-0.3", "1", "down", "-1"), ("4.44", "1/20", "nearest", "4.45"), ("5", "1", "down", "5"),
        ("4.44", "1/20", "down", "4.4"), ("2/3", "1/3", "down", "2/3"),
    ],
)  # fmt: skip
def test_a_dose_on_the_pens_step(exact, step, rule, rounded):
    assert round_dose(Fraction(exact), Fraction(step), rule) == Fraction(rounded)


MORNING = Schedule(((0, Fraction(10)), (720, Fraction(20))))


def test_the_times_of_day_go_by_the_clock_that_they_were_set_on():
    """It is 12:00; on the clock of the schedules it is 11:59, before the noon entries."""
    settings = replace(
        invented_settings(), ratio=MORNING, factor=GlucoseSchedule("mg/dL", MORNING),
        target=GlucoseSchedule("mg/dL", Schedule(((0, Fraction(100)), (720, Fraction(140))))),
    )  # fmt: skip
    now = work_out(invented_facts("60", "160", settings))
    assert (now.ratio, now.ratio_from, now.meal.value, now.correction) == (20, 720, 3, 1)
    other = invented_facts("60", "160", settings, schedule_at=NOW - timedelta(minutes=1))
    assert other.clock == NOW - timedelta(minutes=1)
    then = work_out(other)
    assert (then.ratio, then.ratio_from, then.meal.value, then.correction) == (10, 0, 6, 6)
    assert invented_facts().clock == NOW


def test_active_insulin_is_of_now_and_not_of_the_schedules_clock():
    late = invented_facts(
        "60", "220", doses=[ago("4", hours=2)], schedule_at=NOW + timedelta(hours=9)
    )
    assert work_out(late).active_total == 2


@pytest.mark.parametrize("name", Settings.NEEDED)
def test_without_any_one_of_its_settings_nothing_is_worked_out(name):
    settings = replace(invented_settings(), **{name: None})
    with pytest.raises(ValueError, match="missing"):
        work_out(invented_facts("60", Glucose(Fraction(120), "mg/dL"), settings))


@pytest.mark.parametrize("share", ["0", "1/2", "99/100"])
def test_a_share_from_nought_up_to_but_not_all_is_a_reduction(share):
    facts = invented_facts("60", "120", reduction=Reduction(Fraction(share), "other"))
    assert work_out(facts).exact == 6 * (1 - Fraction(share))


@pytest.mark.parametrize("share", ["-1/100", "1", "2"])
def test_no_reduction_can_make_a_dose_larger_or_take_all_of_it(share):
    with pytest.raises(ValueError, match="share"):
        Reduction(Fraction(share), "other")


@pytest.mark.parametrize(("carbs", "exact"), [("0", "-1/2"), ("5", "0"), ("15", "1/2")])
def test_a_reduction_takes_from_a_dose_above_nought_only(carbs, exact):
    """95 is half a unit below the target; 5 g at 10 makes it nought, 15 g one unit to halve."""
    facts = invented_facts(carbs, "95", reduction=Reduction(HALF, "other"))
    assert work_out(facts).exact == Fraction(exact)


@pytest.mark.parametrize(
    ("taken", "after", "floored"), [("1", "1/4", False), ("4/3", "0", False), ("2", "0", True)]
)
def test_the_correction_is_floored_only_where_more_is_active_than_it(taken, after, floored):
    """One unit of correction; an hour ago, three quarters of what was taken are left."""
    w = work_out(invented_facts("60", "170", doses=[ago(taken, hours=1)]))
    assert w.correction_after == Fraction(after)
    assert w.floored is floored
    assert w.exact == 6 + Fraction(after)


def test_each_unit_of_target_and_factor_is_taken_as_it_was_said():
    """180.156 mg/dL is 10 mmol/L: 2 above a target of 8, at 2 mmol/L a unit (18.0156 exactly)."""
    settings = invented_settings(unit="mg/dL", target="144.1248")
    settings = replace(settings, factor=GlucoseSchedule("mmol/L", all_day("2")))
    w = work_out(invented_facts("0", Glucose(Fraction(10), "mmol/L"), settings))
    assert w.correction == 1


def test_nothing_is_assumed_that_was_not_said() -> None:
    """No low, no unclear dose, no gap, no exercise, illness, alcohol, confirmation or estimate."""
    facts = Facts(Ranged.exactly(Fraction(10)), NotGiven(), Settings(), (), NOW)
    said = {field.name for field in fields(facts) if getattr(facts, field.name) is True}
    assert said == set()
    flags = [field.name for field in fields(facts) if getattr(facts, field.name) is False]
    assert len(flags) == 8


def test_where_nothing_else_is_known_a_range_is_of_the_amount():
    """So that a food is named to be weighed, as before, where nobody says why its range is wide."""
    assert invented_facts().widest_by == "amount"

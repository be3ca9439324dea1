"""What must hold of every dose, whatever the figures."""

from datetime import timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from strategies import (
    NOW,
    all_day,
    dose_facts,
    dose_settings,
    doses_before,
    fractions,
    invented_facts,
    moments,
    ranged,
    schedules,
)

from assistant.dosing.active import Taken, active, share_left
from assistant.dosing.review import Asks, Refusal, Suggestion, review
from assistant.dosing.rules import all_rules, is_low
from assistant.dosing.settings import GlucoseSchedule, Schedule
from assistant.dosing.working import Facts, Reduction, round_dose, work_out
from assistant.values import MG_DL_PER_MMOL_L, Glucose, Ranged

RULES = all_rules()
STEPS = st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(1, 20)])


@given(dose_facts(), fractions("0", "100"))
def test_more_carbohydrate_is_never_less_insulin(facts: Facts, more: Fraction):
    less = work_out(facts)
    bigger = work_out(replace(facts, counted=facts.counted + Ranged.exactly(more)))
    assert bigger.exact >= less.exact
    assert bigger.rounded >= less.rounded
    assert (bigger.exact > less.exact) == (more > 0)


@given(dose_facts(), fractions("2", "60"), fractions("0", "60"))
def test_more_grams_for_a_unit_is_never_more_insulin(facts: Facts, ratio: Fraction, more: Fraction):
    def with_ratio(value: Fraction) -> Facts:
        return replace(facts, settings=replace(facts.settings, ratio=all_day(value)))

    strong, weak = work_out(with_ratio(ratio)), work_out(with_ratio(ratio + more))
    assert weak.exact <= strong.exact
    assert weak.rounded <= strong.rounded


@given(dose_facts(), fractions("0", "300"))
def test_higher_glucose_is_never_less_insulin(facts: Facts, more: Fraction):
    assert isinstance(facts.glucose, Glucose)
    higher = replace(facts, glucose=Glucose(facts.glucose.value + more, "mg/dL"))
    assert work_out(higher).exact >= work_out(facts).exact
    assert work_out(higher).rounded >= work_out(facts).rounded


@given(dose_facts(), fractions("1/20", "20"), st.integers(-3600, 86_400))
def test_more_active_insulin_is_never_more_insulin(facts: Facts, units: Fraction, age: int):
    another = Taken(units, facts.now - timedelta(seconds=age))
    more = work_out(replace(facts, doses=(*facts.doses, another)))
    less = work_out(facts)
    assert more.exact <= less.exact
    assert more.rounded <= less.rounded
    assert more.active_total >= less.active_total


@given(dose_facts(), fractions("0", "0.99"), fractions("0", "0.99"))
def test_a_larger_reduction_is_never_more_insulin(facts: Facts, one: Fraction, other: Fraction):
    small, large = sorted((one, other))
    none = work_out(facts)
    less = work_out(replace(facts, reduction=Reduction(small, "other")))
    least = work_out(replace(facts, reduction=Reduction(large, "illness")))
    assert least.exact <= less.exact <= none.exact
    assert least.rounded <= less.rounded <= none.rounded
    assert less.unreduced == none.exact
    assert less.taken_off == max(Fraction(0), none.exact) * small


@given(dose_facts())
def test_a_later_moment_never_leaves_more_of_a_dose(facts: Facts):
    assert facts.settings.duration is not None
    assert facts.settings.active_shape is not None
    for dose in facts.doses:
        shares = [
            share_left(facts.now - dose.at + step, facts.settings.duration,
                       facts.settings.active_shape)
            for step in (timedelta(0), timedelta(microseconds=1), timedelta(hours=1))
        ]  # fmt: skip
        assert 1 >= shares[0] >= shares[1] >= shares[2] >= 0


@given(dose_facts(), st.integers(1, 480))
def test_a_longer_duration_never_leaves_less_insulin_active(facts: Facts, minutes: int):
    assert facts.settings.duration is not None
    longer = facts.settings.duration + timedelta(minutes=minutes)
    slow = replace(facts, settings=replace(facts.settings, duration=longer))
    assert work_out(slow).active_total >= work_out(facts).active_total
    assert work_out(slow).exact <= work_out(facts).exact


@given(fractions("-50", "50"), STEPS)
def test_rounding_down_is_never_above_exact_and_less_than_a_step_below(exact, step):
    rounded = round_dose(exact, step, "down")
    assert rounded <= exact < rounded + step
    assert (rounded / step).denominator == 1


@given(fractions("-50", "50"), STEPS)
def test_nearest_is_within_half_a_step_and_never_more_than_half_above(exact, step):
    rounded = round_dose(exact, step, "nearest")
    assert -step / 2 <= exact - rounded <= step / 2
    assert (rounded / step).denominator == 1
    if abs(exact - rounded) == step / 2:
        assert rounded < exact


@given(dose_facts())
def test_a_suggestion_keeps_every_limit(facts: Facts):
    verdict = review(facts, None, RULES)
    assert isinstance(verdict, Suggestion | Refusal | Asks)
    if not isinstance(verdict, Suggestion):
        return
    s = facts.settings
    assert s.cap_dose is not None
    assert s.cap_window is not None
    assert s.pen_step is not None
    assert 0 <= verdict.units <= s.cap_dose
    assert (verdict.units / s.pen_step).denominator == 1
    assert isinstance(facts.glucose, Glucose)
    assert not is_low(facts.glucose)
    edge = facts.now - s.cap_window.span
    recent = sum((d.units for d in facts.doses if d.at >= edge), Fraction(0))
    assert verdict.units == 0 or recent + verdict.units <= s.cap_window.units


@given(st.data())
def test_a_dose_that_breaks_a_limit_is_refused(data: st.DataObject):
    """From the other side: the limits worked out here, and the verdict must agree."""
    facts = data.draw(dose_facts())
    s, w = facts.settings, work_out(facts)
    assert s.cap_dose is not None
    assert s.cap_window is not None
    assert isinstance(facts.glucose, Glucose)
    edge = facts.now - s.cap_window.span
    recent = sum((d.units for d in facts.doses if d.at >= edge), Fraction(0))
    broken = (
        w.rounded > s.cap_dose
        or (w.rounded > 0 and recent + w.rounded > s.cap_window.units)
        or w.exact < 0
        or facts.glucose.value < 70
    )
    assert isinstance(review(facts, None, RULES), Refusal) == broken


def in_mmol(schedule: GlucoseSchedule) -> GlucoseSchedule:
    entries = schedule.schedule.entries
    return GlucoseSchedule("mmol/L", Schedule(tuple((m, v / MG_DL_PER_MMOL_L) for m, v in entries)))


@given(dose_facts(), st.booleans(), st.booleans(), st.booleans())
def test_both_glucose_units_come_to_exactly_the_same(facts: Facts, glucose, target, factor):
    s = facts.settings
    assert isinstance(facts.glucose, Glucose)
    assert s.target is not None
    assert s.factor is not None
    moved = replace(
        facts,
        glucose=Glucose(facts.glucose.value / MG_DL_PER_MMOL_L, "mmol/L")
        if glucose
        else facts.glucose,
        settings=replace(
            s,
            target=in_mmol(s.target) if target else s.target,
            factor=in_mmol(s.factor) if factor else s.factor,
        ),
    )
    here, there = work_out(facts), work_out(moved)
    assert (here.exact, here.correction, here.rounded) == (
        there.exact, there.correction, there.rounded,
    )  # fmt: skip


@given(dose_facts(), ranged("100"), ranged("100"))
def test_splitting_the_count_in_two_changes_nothing(facts: Facts, one: Ranged, other: Ranged):
    whole = work_out(replace(facts, counted=one + other))
    first = work_out(replace(facts, counted=one))
    second = work_out(replace(facts, counted=other))
    assert whole.meal == first.meal + second.meal
    turned = work_out(replace(facts, counted=other + one))
    assert (turned.exact, turned.spread) == (whole.exact, whole.spread)


@given(dose_facts())
def test_the_order_of_the_doses_changes_nothing(facts: Facts):
    back = replace(facts, doses=tuple(reversed(facts.doses)))
    assert work_out(back).exact == work_out(facts).exact
    assert work_out(back).active_total == work_out(facts).active_total


@given(st.data())
def test_active_insulin_is_never_negative_nor_more_than_was_taken(data: st.DataObject):
    doses = data.draw(doses_before(NOW))
    shape = data.draw(st.sampled_from(["line", "curve"]))
    for left in active(doses, NOW, timedelta(minutes=data.draw(st.integers(1, 1440))), shape):
        assert 0 < left.units <= left.taken.units


@given(dose_facts())
def test_the_spread_holds_the_exact_dose(facts: Facts):
    w = work_out(facts)
    assert w.spread[0] <= w.exact <= w.spread[1]
    assert 0 <= w.spread_rounded[0] <= w.spread_rounded[1]
    assert w.spread_rounded[0] <= max(w.rounded, Fraction(0)) <= w.spread_rounded[1]


@given(dose_facts())
def test_the_steps_of_the_working_can_be_redone_by_hand(facts: Facts):
    w = work_out(facts)
    assert w.meal.value * w.ratio == facts.counted.value
    assert w.glucose is not None
    assert w.target is not None
    assert w.factor is not None
    assert w.correction * w.factor.value == w.glucose.mg_dl - w.target.mg_dl
    assert sum((left.units for left in w.lefts), Fraction(0)) == w.active_total
    off = w.active_total if facts.settings.active_rule == "whole" else 0
    assert w.meal.value + w.correction_after - off == w.exact
    if w.floored:
        assert w.correction_after == 0
        assert w.active_total > w.correction


@given(schedules("1", "100"), moments)
def test_a_schedule_holds_until_its_next_entry_over_midnight(schedule: Schedule, moment):
    starts = dict(schedule.entries)
    minute = moment.hour * 60 + moment.minute
    while minute not in starts:
        minute = (minute - 1) % 1440
    assert schedule.at(moment) == (minute, starts[minute])


@given(dose_settings(), ranged(), fractions("20", "500"), st.integers(0, 1439))
def test_the_same_facts_give_the_same_working(settings, counted, glucose, minute):
    now = NOW.replace(hour=minute // 60, minute=minute % 60)
    facts = invented_facts(counted, glucose, settings, (), now)
    assert work_out(facts) == work_out(facts)
    first, second = review(facts, None, RULES), review(facts, None, RULES)
    assert type(first) is type(second)

"""What each rule tells with its finding, figure by figure.

The figures are those that the rule's sentence names (the sentences stand in assistant.render).
Here is each rule once, or once for each unit, with figures that are all different, so that none
can stand for another. All are invented.
"""

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import fields, replace
from strategies import NOW, ago, invented_facts, invented_settings

from assistant.dosing.limits import LIMITS
from assistant.dosing.rule import OpenSuggestion, units
from assistant.dosing.rules import LOW, LOW_MMOL, VERY_HIGH, VERY_HIGH_MMOL, Case, all_rules
from assistant.dosing.rules_record import too_wide
from assistant.dosing.rules_time import minutes, offset_text
from assistant.dosing.settings import Schedule, WindowCap
from assistant.dosing.working import Facts, NoReading, Raised, Reduction, work_out
from assistant.values import (
    Amount,
    Arg,
    Between,
    Glucose,
    Listed,
    Moment,
    Name,
    Phrase,
    Ranged,
    Typed,
)

EARLIER = NOW - timedelta(minutes=50)


def amount(value: str, unit: str, *places: int) -> Amount:
    return Amount(Fraction(value), unit, *places)


def at(facts: Facts, waiting: OpenSuggestion | None = None) -> Case:
    return Case(facts, None if facts.settings.missing() else work_out(facts), waiting)


def set_to(glucose: object = "120", carbs: str | Ranged = "60", **settings: object) -> Case:
    return at(invented_facts(carbs, glucose, invented_settings(**settings)))


def known(glucose: object = "120", **facts: object) -> Case:
    return at(invented_facts("60", glucose, **facts))


def raised(name: str, old: str, new: str, *hours: Fraction) -> Case:
    return known(raised=(Raised(name, Fraction(old), Fraction(new), EARLIER, *hours),))


@dataclass(frozen=True)
class Told:
    """A case in which a rule speaks, and every figure that it tells."""

    rule: str
    case: Case
    args: dict[str, Arg]


OPEN = OpenSuggestion(Fraction(7, 2), Moment(EARLIER, NOW))
MMOL = {"ratio": "10", "factor": "2.5", "target": "6", "unit": "mmol/L"}
WIDE = Ranged(Fraction(50), Fraction(43), Fraction(59))
TWO = Schedule(((0, Fraction(10)), (720, Fraction(12))))
LONG = WindowCap(Fraction(10), timedelta(days=1, minutes=90))
TELLS = [
    Told(
        "unconfirmed-suggestion", at(invented_facts(glucose="120"), OPEN),
        {"units": amount("7/2", "unit"), "moment": Moment(EARLIER, NOW)},
    ),
    Told("glucose-low", known("61"), {"glucose": amount("61", "mg/dL")}),
    Told("glucose-low", set_to("3.2", **MMOL), {"glucose": amount("3.2", "mmol/L")}),
    Told(
        "glucose-was-low", known(NoReading(), earlier=Glucose(Fraction("3.2"), "mmol/L")),
        {"glucose": amount("3.2", "mmol/L")},
    ),
    Told("low-was-felt", known(NoReading(), felt_low_at=EARLIER), {}),
    Told(
        "glucose-doubted", known(NoReading(), doubted_at=EARLIER),
        {"moment": Moment(EARLIER, NOW), "sentence": Typed("glucose ... mmol/L")},
    ),
    Told(
        "newer-reading",
        known(glucose_at=EARLIER, earlier=Glucose(Fraction("4.1"), "mmol/L"), earlier_at=NOW),
        {"glucose": amount("4.1", "mmol/L"), "moment": Moment(NOW, NOW)},
    ),
    Told("unsettled-dose", known(unsettled_dose=True), {}),
    Told("record-gap", known(record_gap=True), {}),
    Told("glucose-not-given", known(None), {}),
    Told("no-reading", known(NoReading()), {}),
    Told("over-dose-cap", set_to(cap_dose=Fraction(5)), {"cap": amount("5", "unit")}),
    Told(
        "over-window-cap",
        at(
            invented_facts(
                "60", "120",
                invented_settings(cap_window=LONG),
                [ago("4", hours=20), ago("3", hours=2)],
            )
        ),
        {
            "cap": amount("10", "unit"), "hours": amount("51/2", "hour"),
            "taken": amount("7", "unit"),
        },
    ),
    Told(
        "over-meal-cap", set_to(carbs="81", cap_meal=Fraction(80)),
        {"cap": amount("80", "g"), "counted": amount("81", "g")},
    ),
    Told("below-zero", set_to("71", "0"), {}),
    Told(
        "glucose-very-high", known("241"),
        {"glucose": amount("241", "mg/dL"), "limit": amount("240", "mg/dL")},
    ),
    Told(
        "glucose-very-high", set_to("14.5", **MMOL),
        {"glucose": amount("14.5", "mmol/L"), "limit": amount("14", "mmol/L")},
    ),
    # 95 is half a factor of 50 below the target of 120.
    Told("glucose-below-target", known("95"), {"correction": amount("-1/2", "unit")}),
    Told(
        "range-moves-dose", set_to(carbs=Ranged(Fraction(50), Fraction(39), Fraction(61))),
        {"low": amount("3", "unit"), "high": amount("6", "unit")},
    ),
    Told(
        "range-over-dose-cap",
        set_to(carbs=Ranged(Fraction(50), Fraction(39), Fraction(61)), cap_dose=Fraction(5)),
        {"low": amount("3", "unit"), "cap": amount("5", "unit")},
    ),
    Told(
        "range-over-window-cap",
        at(
            invented_facts(
                Ranged(Fraction(30), Fraction(20), Fraction(40)), "120",
                invented_settings(cap_window=LONG),
                [ago("4", hours=20), ago("3", hours=2)],
            )
        ),
        {
            "low": amount("2", "unit"), "cap": amount("10", "unit"),
            "hours": amount("51/2", "hour"), "taken": amount("7", "unit"),
        },
    ),
    Told(
        "range-over-meal-cap",
        set_to(carbs=Ranged(Fraction(79), Fraction(70), Fraction(88)), cap_meal=Fraction(80)),
        {"cap": amount("80", "g"), "counted": amount("88", "g", 2)},
    ),
    Told(
        "glucose-old",
        at(
            invented_facts(
                "60", "120", invented_settings(reading_age=timedelta(minutes=15)),
                glucose_at=NOW - timedelta(minutes=40, seconds=1),
            )
        ),
        {"age": amount("41", "minute"), "limit": amount("15", "minute")},
    ),
    Told(
        "reading-age-missing", known(glucose_at=NOW - timedelta(minutes=40)),
        {"age": amount("40", "minute"), "sentence": Typed("a reading counts for ... minutes")},
    ),
    Told(
        "glucose-ahead", known(glucose_at=NOW + timedelta(minutes=3)),
        {"moment": Moment(NOW + timedelta(minutes=3), NOW)},
    ),
    Told(
        "meal-not-now", known(meal_at=NOW + timedelta(hours=1)),
        {"moment": Moment(NOW + timedelta(hours=1), NOW), "limit": amount("15", "minute")},
    ),
    Told(
        "clock-went-back", known(newest=NOW + timedelta(minutes=3)),
        {"moment": Moment(NOW + timedelta(minutes=3), NOW), "now": Moment(NOW, NOW)},
    ),
    Told(
        "clock-changed",
        at(invented_facts(glucose="120", settings=invented_settings(ratio="9"), clocks=(0, 60))),
        {"settings": Listed(())},
    ),
    Told(
        "clock-changed",
        at(
            invented_facts(
                glucose="120", settings=replace(invented_settings(), ratio=TWO), clocks=(0, 60)
            )
        ),
        {"settings": Listed((Phrase("setting-ratio"),))},
    ),
    Told("same-meal-twice", known(same_meal_at=EARLIER), {"moment": Moment(EARLIER, NOW)}),
    Told(
        "same-meal-again", known(same_meal_at=EARLIER, confirmed=True),
        {"moment": Moment(EARLIER, NOW)},
    ),
    Told(
        "reduction-no-bound", known(reduction=Reduction(Fraction(30, 100), "illness")),
        {"share": amount("30", "percent"), "sentence": Typed("reductions up to ... percent")},
    ),
    Told(
        "reduction-over-bound",
        at(
            invented_facts(
                "60", "120", invented_settings(max_reduction=Fraction(20, 100)),
                reduction=Reduction(Fraction(30, 100), "illness"),
            )
        ),
        {"share": amount("30", "percent"), "bound": amount("20", "percent")},
    ),
    Told("activity-not-settled", known(activity=True), {}),
    Told("activity", known(activity=True), {}),
    Told("illness", known(illness=True), {}),
    Told("alcohol", known(alcohol=True), {}),
    Told(
        "high-fat-protein", known(fat=Fraction(41), protein=Fraction(12)),
        {"figures": Listed((amount("41", "g of fat", 1), amount("12", "g of protein", 1)))},
    ),
    # What no label states is no gram that could be told.
    Told(
        "high-fat-protein", known(fat=None, protein=Fraction(45)),
        {"figures": Listed((amount("45", "g of protein", 1),))},
    ),
    Told(
        "high-fat-protein", known(fat=Fraction(45), protein=None),
        {"figures": Listed((amount("45", "g of fat", 1),))},
    ),
    Told(
        "food-doubted", known(unchecked=("rusk", "oats"), doubted=("rusk", "bun")),
        {"foods": Listed((Name("rusk"), Name("bun")))},
    ),
    Told(
        "food-failed-check", known(unchecked=("rusk", "oats", "jam"), doubted=("rusk",)),
        {"foods": Listed((Name("oats"), Name("jam")))},
    ),
    Told(
        "settings-changed",
        at(invented_facts(glucose="120"), replace(OPEN, settings_changed=True)),
        {"moment": Moment(EARLIER, NOW)},
    ),
    Told(
        "raised-cap_dose", raised("cap_dose", "8", "9"),
        {"old": amount("8", "unit"), "new": amount("9", "unit"), "moment": Moment(EARLIER, NOW)},
    ),
    Told(
        "raised-cap_meal", raised("cap_meal", "80", "90"),
        {"old": amount("80", "g"), "new": amount("90", "g"), "moment": Moment(EARLIER, NOW)},
    ),
    Told(
        "raised-max_reduction", raised("max_reduction", "1/5", "1/4"),
        {
            "old": amount("20", "percent"), "new": amount("25", "percent"),
            "moment": Moment(EARLIER, NOW),
        },
    ),
    Told(
        "raised-ask_range", raised("ask_range", "1/5", "1/4"),
        {
            "old": amount("20", "percent"), "new": amount("25", "percent"),
            "moment": Moment(EARLIER, NOW),
        },
    ),
    Told(
        "raised-reading_age", raised("reading_age", "15", "20"),
        {"old": amount("15", "minute"), "new": amount("20", "minute"),
         "moment": Moment(EARLIER, NOW)},
    ),
    Told(
        "raised-cap_window", raised("cap_window", "10", "12", Fraction(4), Fraction(3)),
        {
            "old": amount("10", "unit"), "new": amount("12", "unit"),
            "old_hours": amount("4", "hour"), "hours": amount("3", "hour"),
            "moment": Moment(EARLIER, NOW),
        },
    ),
    Told(
        "range-too-wide", set_to(carbs=WIDE, ask_range=Fraction(1, 10)),
        {
            "range": Between(Fraction(43), Fraction(59), "g", 2),
            "share": amount("10", "percent"),
        },
    ),
    Told(
        "range-wide",
        at(
            invented_facts(
                WIDE, "120", invented_settings(ask_range=Fraction(1, 10)), confirmed=True
            )
        ),
        {
            "range": Between(Fraction(43), Fraction(59), "g", 2),
            "share": amount("10", "percent"),
        },
    ),
]  # fmt: skip


@pytest.mark.parametrize("told", TELLS, ids=[t.rule for t in TELLS])
def test_a_rule_tells_these_figures_and_no_other(told: Told):
    found = next(r for r in all_rules() if r.id == told.rule).look(told.case)
    assert found is not None
    assert found.args == told.args


def test_every_rule_that_tells_something_is_looked_at():
    """settings-missing has tests of its own, setting by setting (test_rules)."""
    assert {t.rule for t in TELLS} | {"settings-missing"} == {r.id for r in all_rules()}


def test_the_rules_stand_in_the_order_in_which_a_reply_tells_them():
    """What forbids comes first, then what asks, then what warns: missing numbers and lows at the
    head of the refusals, so that of many lines the gravest is read first."""
    assert [r.id for r in all_rules()] == [
        "settings-missing", "glucose-low", "glucose-was-low", "low-was-felt",
        "glucose-doubted",
        "unconfirmed-suggestion", "settings-changed", "unsettled-dose", "clock-went-back",
        "glucose-old", "reading-age-missing", "glucose-ahead", "meal-not-now", "record-gap",
        "over-dose-cap", "over-window-cap", "over-meal-cap", "below-zero", "reduction-no-bound",
        "reduction-over-bound", "food-doubted", "clock-changed", "glucose-not-given",
        "newer-reading",
        "activity-not-settled", "same-meal-twice", "range-too-wide", "no-reading",
        "glucose-very-high", "glucose-below-target", *(f"raised-{name}" for name in LIMITS),
        "illness", "activity", "alcohol", "high-fat-protein", "food-failed-check",
        "same-meal-again", "range-wide", "range-over-dose-cap", "range-over-window-cap",
        "range-over-meal-cap", "range-moves-dose",
    ]  # fmt: skip


@pytest.mark.parametrize("name", LIMITS)
def test_of_several_raisings_of_one_limit_the_newest_is_told(name):
    first = Raised(name, Fraction(1, 5), Fraction(1, 4), EARLIER)
    second = Raised(name, Fraction(1, 4), Fraction(1, 2), NOW)
    other = Raised("other", Fraction(7), Fraction(8), NOW)
    rule = next(r for r in all_rules() if r.id == f"raised-{name}")
    found = rule.look(known(raised=(first, second, other)))
    assert found is not None
    assert found == rule.look(known(raised=(second,)))
    assert found.args["moment"] == Moment(NOW, NOW)


@pytest.mark.parametrize("hours", [(Fraction(4), None), (None, Fraction(4))])
def test_a_raising_tells_hours_only_where_both_are_known(hours):
    step = Raised("cap_window", Fraction(10), Fraction(12), EARLIER, *hours)
    found = next(r for r in all_rules() if r.id == "raised-cap_window").look(known(raised=(step,)))
    assert found is not None
    assert set(found.args) == {"old", "new", "moment"}


def test_the_published_limits_carry_their_units():
    """Low: Battelino et al. 2019. Very high: American Diabetes Association; UK leaflets."""
    assert Glucose(Fraction(70), "mg/dL") == LOW
    assert Glucose(Fraction("3.9"), "mmol/L") == LOW_MMOL
    assert Glucose(Fraction(240), "mg/dL") == VERY_HIGH
    assert Glucose(Fraction(14), "mmol/L") == VERY_HIGH_MMOL


@pytest.mark.parametrize("felt", [EARLIER, None])
def test_a_felt_low_refuses_where_glucose_was_not_told_at_all(felt):
    found = next(r for r in all_rules() if r.id == "low-was-felt").look(
        known(None, felt_low_at=felt)
    )
    assert (found is not None) == (felt is not None)


@pytest.mark.parametrize("glucose", [None, "120"])
def test_an_earlier_low_speaks_only_where_the_user_says_that_there_is_no_reading(glucose):
    """Without a word on glucose it is asked first; a reading of now stands above an old one."""
    low = Glucose(Fraction(54), "mg/dL")
    rule = next(r for r in all_rules() if r.id == "glucose-was-low")
    assert rule.look(known(glucose, earlier=low)) is None
    assert rule.look(known(NoReading(), earlier=None)) is None


def test_a_low_without_its_time_is_of_now_and_another_figure_without_one_is_no_newer_one():
    looks = {r.id: r.look for r in all_rules()}
    low, other = Glucose(Fraction(54), "mg/dL"), Glucose(Fraction(119), "mg/dL")
    assert looks["glucose-was-low"](known(glucose_at=EARLIER, earlier=low)) is not None
    assert looks["glucose-was-low"](known("120", earlier=low)) is None
    assert looks["newer-reading"](known(glucose_at=EARLIER, earlier=other)) is None
    assert looks["newer-reading"](known(glucose_at=EARLIER, earlier_at=NOW)) is None
    for glucose in (None, NoReading()):
        case = known(glucose, glucose_at=EARLIER, earlier=other, earlier_at=NOW)
        assert looks["newer-reading"](case) is None


@pytest.mark.parametrize("rule", ["glucose-old", "reading-age-missing", "glucose-ahead"])
def test_no_age_of_a_reading_where_none_was_given(rule):
    """A time without a reading, or a reading of now, has no age that could be judged."""
    looks = next(r for r in all_rules() if r.id == rule).look
    hour = timedelta(hours=1)
    for limit in (None, timedelta(minutes=15)):
        settings = invented_settings(reading_age=limit)
        for glucose, when in ((NoReading(), NOW - hour), (NoReading(), NOW + hour), ("120", None),
                              ("120", NOW)):  # fmt: skip
            assert looks(at(invented_facts("60", glucose, settings, glucose_at=when))) is None


def test_a_reading_from_ahead_is_told_once_and_not_as_too_old_or_without_a_limit():
    looks = {r.id: r.look for r in all_rules()}
    for limit in (None, timedelta(minutes=15)):
        facts = invented_facts(
            "60", "120", invented_settings(reading_age=limit), glucose_at=NOW + timedelta(hours=1)
        )
        assert looks["glucose-ahead"](at(facts)) is not None
        assert looks["glucose-old"](at(facts)) is None
        assert looks["reading-age-missing"](at(facts)) is None


def test_a_reading_from_the_past_is_not_told_as_one_from_ahead():
    look = next(r for r in all_rules() if r.id == "glucose-ahead").look
    assert look(known(glucose_at=NOW - timedelta(microseconds=1))) is None


@pytest.mark.parametrize(
    ("span", "whole"),
    [
        (timedelta(0), 0), (timedelta(microseconds=1), 1), (timedelta(seconds=60), 1),
        (timedelta(seconds=61), 2), (timedelta(hours=25), 1500),
    ],
)  # fmt: skip
def test_an_age_in_minutes_is_rounded_up(span, whole):
    assert minutes(span) == Amount(Fraction(whole), "minute")


@pytest.mark.parametrize(
    ("offset", "text"),
    [
        (0, "+00:00"), (60, "+01:00"), (120, "+02:00"), (330, "+05:30"), (-1, "-00:01"),
        (-210, "-03:30"), (-600, "-10:00"), (840, "+14:00"), (59, "+00:59"), (5, "+00:05"),
    ],
)  # fmt: skip
def test_a_clocks_offset_is_written_as_it_is_typed(offset, text):
    """As in ISO 8601: a sign, two digits of hours, a colon, two digits of minutes."""
    assert offset_text(offset) == text


def test_without_the_users_share_no_range_is_too_wide():
    counted = Ranged(Fraction(50), Fraction(0), Fraction(500))
    assert not too_wide(set_to(carbs=counted))
    assert too_wide(set_to(carbs=counted, ask_range=Fraction(1, 5)))


def test_a_wide_range_that_is_not_confirmed_is_asked_and_not_told_and_the_other_way_round():
    looks = {r.id: r.look for r in all_rules()}
    settings = invented_settings(ask_range=Fraction(1, 10))
    for confirmed in (True, False):
        case = at(invented_facts(WIDE, "120", settings, confirmed=confirmed))
        assert (looks["range-wide"](case) is not None) == confirmed
        assert (looks["range-too-wide"](case) is None) == confirmed
    narrow = at(invented_facts("50", "120", settings, confirmed=True))
    assert looks["range-wide"](narrow) is None


def test_an_estimate_is_asked_about_beyond_a_fifth_whatever_the_user_set():
    """From the rule: one dose is never told for a count that may be half or twice as much."""
    wide = Ranged(Fraction(50), Fraction(40), Fraction(51))
    look = {r.id: r.look for r in all_rules()}["range-too-wide"]
    for share in (None, Fraction(3, 4)):
        settings = invented_settings(ask_range=share)
        case = at(invented_facts(wide, "120", settings, estimated=True))
        assert look(case).kind == "ask"
        assert look(at(invented_facts(wide, "120", settings))) is None
    edge = Ranged(Fraction(50), Fraction(45), Fraction(55))
    settings = invented_settings(ask_range=None)
    assert look(at(invented_facts(edge, "120", settings, estimated=True))) is None
    narrower = invented_settings(ask_range=Fraction(1, 10))
    assert look(at(invented_facts(edge, "120", narrower, estimated=True))) is not None


def test_units_of_insulin_are_told_as_units():
    assert units(Fraction(7, 2)) == Amount(Fraction(7, 2), "unit")


def test_what_is_not_said_is_not_so():
    """Facts and suggestions without a word on something do not say that it is so."""
    facts = invented_facts()
    said = {f.name for f in fields(facts) if f.default is False}
    assert said == {
        "glucose_waited", "unsettled_dose", "record_gap", "activity", "illness", "alcohol",
        "confirmed",
        "estimated",
    }  # fmt: skip
    assert {f.name for f in fields(facts) if f.default is True} == set()
    assert facts.clocks == facts.unchecked == facts.doubted == facts.raised == ()
    assert OpenSuggestion(Fraction(1), Moment(NOW, NOW)).settings_changed is False


def test_a_dose_of_one_unit_is_held_against_the_window_too():
    settings = invented_settings(cap_window=WindowCap(Fraction(10), timedelta(hours=4)))
    look = next(r for r in all_rules() if r.id == "over-window-cap").look
    assert look(at(invented_facts("10", "120", settings, [ago("10", hours=1)]))) is not None
    assert look(at(invented_facts("9", "120", settings, [ago("11", hours=1)]))) is None


@pytest.mark.parametrize(
    ("rule", "setting"),
    [("over-dose-cap", "cap_dose"), ("over-window-cap", "cap_window"),
     ("range-moves-dose", "pen_step"), ("range-over-dose-cap", "cap_dose"),
     ("range-over-window-cap", "cap_window")],
)  # fmt: skip
def test_a_rule_without_its_own_setting_has_nothing_to_say(rule, setting):
    """That it is missing is told by settings-missing, whatever a working beside it says."""
    whole = at(invented_facts(WIDE, "120"))
    bare = replace(whole.facts.settings, **{setting: None})
    case = Case(replace(whole.facts, settings=bare), whole.working, None)
    assert next(r for r in all_rules() if r.id == rule).look(case) is None


EVERY_SETTING = {
    "cap_meal": Fraction(100), "max_reduction": Fraction(1, 2),
    "reading_age": timedelta(minutes=15), "ask_range": Fraction(1, 5),
}  # fmt: skip


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
@pytest.mark.parametrize("settings", [{}, EVERY_SETTING], ids=["needed", "all"])
@pytest.mark.parametrize("confirmed", [True, False])
def test_no_rule_has_anything_to_say_of_a_plain_meal(rule, settings, confirmed):
    """A reading of now at the target, a count without a range, nothing else said."""
    facts = invented_facts("60", "120", invented_settings(**settings), confirmed=confirmed)
    assert rule.look(at(facts)) is None


def test_a_reduction_within_its_bound_is_not_called_one_without_a_bound():
    looks = {r.id: r.look for r in all_rules()}
    settings = invented_settings(max_reduction=Fraction(1, 2))
    case = at(invented_facts("60", "120", settings, reduction=Reduction(Fraction(1, 4), "other")))
    assert looks["reduction-no-bound"](case) is None
    assert looks["reduction-over-bound"](case) is None
    unbound = known(reduction=Reduction(Fraction(1, 4), "other"))
    assert looks["reduction-over-bound"](unbound) is None


@pytest.mark.parametrize("confirmed", [True, False])
def test_the_same_meal_is_either_asked_about_or_told_by_what_the_user_said(confirmed):
    looks = {r.id: r.look for r in all_rules()}
    case = known(same_meal_at=EARLIER, confirmed=confirmed)
    assert (looks["same-meal-again"](case) is not None) == confirmed
    assert (looks["same-meal-twice"](case) is None) == confirmed

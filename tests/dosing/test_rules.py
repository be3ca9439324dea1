"""Each rule where it fires, and at its edge, where it does not."""

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace
from strategies import NOW, ago, invented_facts, invented_settings

from assistant.dosing.limits import LIMITS
from assistant.dosing.rules import Case, Finding, OpenSuggestion, all_rules, is_low
from assistant.dosing.settings import Settings, WindowCap
from assistant.dosing.working import Facts, NoReading, Raised, Reduction, work_out
from assistant.values import Amount, Glucose, Listed, Moment, Phrase, Ranged

OPEN = OpenSuggestion(Fraction(3), Moment(NOW, NOW))


def case(facts: Facts, waiting: OpenSuggestion | None = None) -> Case:
    working = None if facts.settings.missing() else work_out(facts)
    return Case(facts, working, waiting)


def look(rule: str, at: Case) -> Finding | None:
    return next(r for r in all_rules() if r.id == rule).look(at)


def capped(dose: str = "100", window: str = "1000", hours: int = 4, **changes) -> Settings:
    cap = WindowCap(Fraction(window), timedelta(hours=hours))
    return invented_settings(cap_dose=Fraction(dose), cap_window=cap, **changes)


def mmol(**changes) -> Settings:
    return invented_settings("10", "2.5", "6", "mmol/L", **changes)


def counted(low: str, value: str, high: str) -> Ranged:
    return Ranged(Fraction(value), Fraction(low), Fraction(high))


@dataclass(frozen=True)
class Example:
    """One rule: its kind, a case in which it fires, and the nearest case in which it does not."""

    rule: str
    kind: str
    fires: Case
    edge: Case
    name: str = ""


def read_ago(settings: Settings, **age: float) -> Facts:
    """A reading that was taken so long ago."""
    return invented_facts(glucose="120", settings=settings, glucose_at=NOW - timedelta(**age))


def waited(**age: float) -> Facts:
    """A reading without a time, in a sentence that waited so long; no limit is set."""
    return replace(read_ago(invented_settings(), **age), glucose_waited=True)


def less(share: str) -> Reduction:
    """A reduction that was stated."""
    return Reduction(Fraction(share), "activity")


BEFORE, TICK = NOW - timedelta(minutes=10), timedelta(microseconds=1)
LOW, OTHER = Glucose(Fraction(54), "mg/dL"), Glucose(Fraction(119), "mg/dL")
HALF = Fraction(1, 2)
LIMIT = invented_settings(reading_age=timedelta(minutes=15))
BOUND = invented_settings(max_reduction=HALF)
ASKED = invented_settings(ask_range=Fraction(1, 5))
EXAMPLES = [
    Example(
        "settings-missing", "refuse",
        case(invented_facts(settings=replace(invented_settings(), rounding=None))),
        case(invented_facts(settings=invented_settings())),
    ),
    Example(
        "unconfirmed-suggestion", "refuse",
        case(invented_facts(glucose="120"), OPEN), case(invented_facts(glucose="120")),
    ),
    # Level 1 low: under 70 mg/dL (3.9 mmol/L), Battelino et al., Diabetes Care 2019;42:1593.
    Example(
        "glucose-low", "refuse",
        case(invented_facts(glucose="69.9")), case(invented_facts(glucose="70")), "mg/dL",
    ),
    Example(
        "glucose-low", "refuse",
        case(invented_facts(glucose="3.89", settings=mmol())),
        case(invented_facts(glucose="3.9", settings=mmol())), "mmol/L",
    ),
    # The same figures for the newest earlier reading, where there is none now.
    Example(
        "glucose-was-low", "refuse",
        case(invented_facts(glucose=NoReading(), earlier=Glucose(Fraction("69.9"), "mg/dL"))),
        case(invented_facts(glucose=NoReading(), earlier=Glucose(Fraction(70), "mg/dL"))), "mg/dL",
    ),
    Example(
        "glucose-was-low", "refuse",
        case(invented_facts(glucose=NoReading(), earlier=Glucose(Fraction("3.89"), "mmol/L"))),
        case(invented_facts(glucose=NoReading(), earlier=Glucose(Fraction("3.9"), "mmol/L"))),
        "mmol/L",
    ),
    Example(
        "glucose-was-low", "refuse",
        case(invented_facts(glucose=NoReading(), earlier=Glucose(Fraction(54), "mg/dL"))),
        case(invented_facts(glucose="70", earlier=Glucose(Fraction(54), "mg/dL"))),
        "a new reading stands",
    ),
    # A reading of before the low, or of the same moment, says nothing of what came after it.
    Example(
        "glucose-was-low", "refuse",
        case(invented_facts(glucose="120", glucose_at=BEFORE, earlier=LOW, earlier_at=BEFORE)),
        case(invented_facts(glucose="120", glucose_at=BEFORE + TICK, earlier=LOW,
                            earlier_at=BEFORE)), "an older reading",
    ),
    Example(
        "low-was-felt", "refuse",
        case(invented_facts(glucose="120", glucose_at=BEFORE, felt_low_at=BEFORE)),
        case(invented_facts(glucose="120", glucose_at=BEFORE + TICK, felt_low_at=BEFORE)),
        "an older reading",
    ),
    Example(
        "glucose-doubted", "refuse",
        case(invented_facts(glucose=NoReading(), doubted_at=BEFORE)),
        case(invented_facts(glucose=None, doubted_at=BEFORE)), "asked first",
    ),
    Example(
        "glucose-doubted", "refuse",
        case(invented_facts(glucose="120", glucose_at=BEFORE, doubted_at=BEFORE)),
        case(invented_facts(glucose="120", doubted_at=BEFORE)), "a reading of now",
    ),
    Example(
        "newer-reading", "ask",
        case(invented_facts(glucose="120", glucose_at=BEFORE, earlier=OTHER, earlier_at=BEFORE)),
        case(invented_facts(glucose="120", glucose_at=BEFORE + TICK, earlier=OTHER,
                            earlier_at=BEFORE)), "another figure",
    ),
    Example(
        "newer-reading", "ask",
        case(invented_facts(glucose="120", glucose_at=BEFORE, earlier=OTHER, earlier_at=NOW)),
        case(invented_facts(glucose="119", glucose_at=BEFORE, earlier=OTHER, earlier_at=NOW)),
        "the same figure",
    ),
    Example(
        "low-was-felt", "refuse",
        case(invented_facts(glucose=NoReading(), felt_low_at=BEFORE)),
        case(invented_facts(glucose="70", felt_low_at=BEFORE)), "a reading says otherwise",
    ),
    Example(
        "unsettled-dose", "refuse",
        case(invented_facts(glucose="120", unsettled_dose=True)),
        case(invented_facts(glucose="120", unsettled_dose=False)),
    ),
    Example(
        "record-gap", "refuse",
        case(invented_facts(glucose="120", record_gap=True)),
        case(invented_facts(glucose="120", record_gap=False)),
    ),
    Example(
        "glucose-not-given", "ask",
        case(invented_facts()), case(invented_facts(glucose=NoReading())),
    ),
    Example(
        "no-reading", "caution",
        case(invented_facts(glucose=NoReading())), case(invented_facts(glucose="120")),
    ),
    # The user's caps: the cap itself is allowed.
    Example(
        "over-dose-cap", "refuse",
        case(invented_facts("90", "120", capped("8"))),
        case(invented_facts("80", "120", capped("8"))), "whole units",
    ),
    Example(
        "over-dose-cap", "refuse",
        case(invented_facts("85", "120", capped("8", pen_step=HALF))),
        case(invented_facts("80", "120", capped("8", pen_step=HALF))), "half units",
    ),
    Example(
        "over-window-cap", "refuse",
        case(invented_facts("60", "120", capped(window="10"), [ago("5", hours=3)])),
        case(invented_facts("50", "120", capped(window="10"), [ago("5", hours=3)])), "cap",
    ),
    Example(
        "over-window-cap", "refuse",
        case(invented_facts("60", "120", capped(window="10"), [ago("5", hours=4)])),
        case(invented_facts("60", "120", capped(window="10"), [ago("5", hours=4, seconds=1)])),
        "span",
    ),
    Example(
        "over-window-cap", "refuse",
        case(invented_facts("60", "120", capped(window="10"), [ago("5", hours=-1)])),
        case(invented_facts("9", "120", capped(window="10"), [ago("15", hours=1)])),
        "a dose dated ahead counts; nought adds nothing",
    ),
    Example(
        "over-window-cap", "refuse",
        case(invented_facts("60", "120", capped(window="5.9"))),
        case(invented_facts("60", "120", capped(window="6"))), "this dose alone",
    ),
    Example(
        "over-meal-cap", "refuse",
        case(invented_facts("80.1", "120", invented_settings(cap_meal=Fraction(80)))),
        case(invented_facts("80", "120", invented_settings(cap_meal=Fraction(80)))),
    ),
    Example(
        "over-meal-cap", "refuse",
        case(invented_facts("81", "120", invented_settings(cap_meal=Fraction(80)))),
        case(invented_facts("300", "120", invented_settings())), "not set",
    ),
    # 10 g at 10 is 1 unit; 70 is exactly one factor of 50 below 120.
    Example(
        "below-zero", "refuse",
        case(invented_facts("9.9", "70")), case(invented_facts("10", "70")),
    ),
    Example(
        "below-zero", "refuse",
        case(invented_facts("30", "120", invented_settings(active_rule="whole"),
                            [ago("4", minutes=59)])),
        case(invented_facts("30", "120", invented_settings(active_rule="whole"),
                            [ago("4", hours=1)])),
        "active insulin off the whole",
    ),
    # Ketones: above 240 mg/dL (American Diabetes Association), above 14 mmol/L (UK leaflets).
    Example(
        "glucose-very-high", "caution",
        case(invented_facts(glucose="240.1")), case(invented_facts(glucose="240")), "mg/dL",
    ),
    Example(
        "glucose-very-high", "caution",
        case(invented_facts(glucose="14.1", settings=mmol())),
        case(invented_facts(glucose="14", settings=mmol())), "mmol/L",
    ),
    Example(
        "glucose-below-target", "caution",
        case(invented_facts(glucose="119.9")), case(invented_facts(glucose="120")),
    ),
    # Times. The reading's limit is the user's; 15 minutes for the meal and 2 for the clock are
    # common practice, no source.
    Example(
        "glucose-old", "refuse",
        case(read_ago(LIMIT, minutes=15, seconds=1)), case(read_ago(LIMIT, minutes=15)),
    ),
    Example(
        "reading-age-missing", "refuse",
        case(read_ago(invented_settings(), minutes=1)), case(read_ago(LIMIT, minutes=1)),
    ),
    Example(
        "reading-age-missing", "refuse",
        case(read_ago(invented_settings(), seconds=1)), case(read_ago(invented_settings())),
        "a reading of now has no age",
    ),
    # 5 minutes for an answer: common practice, no source.
    Example(
        "reading-age-missing", "refuse",
        case(waited(minutes=5, seconds=1)), case(waited(minutes=5)), "waited for an answer",
    ),
    Example(
        "glucose-ahead", "refuse",
        case(read_ago(LIMIT, seconds=-1)), case(read_ago(LIMIT)),
    ),
    Example(
        "meal-not-now", "refuse",
        case(invented_facts(glucose="120", meal_at=NOW + timedelta(minutes=15, seconds=1))),
        case(invented_facts(glucose="120", meal_at=NOW + timedelta(minutes=15))), "ahead",
    ),
    Example(
        "meal-not-now", "refuse",
        case(invented_facts(glucose="120", meal_at=NOW - timedelta(minutes=15, seconds=1))),
        case(invented_facts(glucose="120", meal_at=NOW - timedelta(minutes=15))), "behind",
    ),
    Example(
        "clock-went-back", "refuse",
        case(invented_facts(glucose="120", newest=NOW + timedelta(minutes=2, seconds=1))),
        case(invented_facts(glucose="120", newest=NOW + timedelta(minutes=2))),
    ),
    Example(
        "clock-changed", "ask",
        case(invented_facts(glucose="120", clocks=(120, 60))), case(invented_facts(glucose="120")),
    ),
    Example(
        "same-meal-twice", "ask",
        case(invented_facts(glucose="120", same_meal_at=NOW)),
        case(invented_facts(glucose="120", same_meal_at=NOW, confirmed=True)),
    ),
    Example(
        "same-meal-again", "caution",
        case(invented_facts(glucose="120", same_meal_at=NOW, confirmed=True)),
        case(invented_facts(glucose="120", confirmed=True)),
    ),
    # What the day holds.
    Example(
        "reduction-no-bound", "refuse",
        case(invented_facts(glucose="120", reduction=less("1/100"))),
        case(invented_facts(glucose="120", reduction=less("0"))),
    ),
    Example(
        "reduction-over-bound", "refuse",
        case(invented_facts(glucose="120", settings=BOUND, reduction=less("51/100"))),
        case(invented_facts(glucose="120", settings=BOUND, reduction=less("50/100"))),
    ),
    Example(
        "activity-not-settled", "ask",
        case(invented_facts(glucose="120", activity=True)),
        case(invented_facts(glucose="120", activity=True, reduction=less("0"))),
    ),
    Example(
        "activity", "caution",
        case(invented_facts(glucose="120", activity=True, reduction=less("0"))),
        case(invented_facts(glucose="120")),
    ),
    Example(
        "illness", "caution",
        case(invented_facts(glucose="120", illness=True)), case(invented_facts(glucose="120")),
    ),
    Example(
        "alcohol", "caution",
        case(invented_facts(glucose="120", alcohol=True)), case(invented_facts(glucose="120")),
    ),
    # 40 g of fat needed 6 per cent more insulin, 60 g 21 (Diabetes Care 2020;43:59); 40 g of
    # protein from memory.
    Example(
        "high-fat-protein", "caution",
        case(invented_facts(glucose="120", fat=Fraction("40.1"))),
        case(invented_facts(glucose="120", fat=Fraction(40), protein=Fraction(40))), "fat",
    ),
    Example(
        "high-fat-protein", "caution",
        case(invented_facts(glucose="120", protein=Fraction("40.1"))),
        case(invented_facts(glucose="120", fat=None, protein=None)), "protein",
    ),
    # The record.
    Example(
        "settings-changed", "caution",
        case(invented_facts(glucose="120"), replace(OPEN, settings_changed=True)),
        case(invented_facts(glucose="120"), OPEN),
    ),
    Example(
        "food-doubted", "refuse",
        case(invented_facts(glucose="120", unchecked=("puzzle",), doubted=("puzzle",))),
        case(invented_facts(glucose="120", unchecked=("puzzle",))),
    ),
    Example(
        "food-failed-check", "caution",
        case(invented_facts(glucose="120", unchecked=("puzzle",))),
        case(invented_facts(glucose="120", unchecked=("puzzle",), doubted=("puzzle",))),
    ),
    *(
        Example(
            f"raised-{name}", "caution",
            case(invented_facts(glucose="120", raised=(Raised(name, HALF, Fraction(1), NOW),))),
            case(invented_facts(glucose="120", raised=(Raised("other", HALF, HALF, NOW),))),
        )
        for name in LIMITS
    ),
    # 45 to 55 around 50 is a fifth of it.
    Example(
        "range-too-wide", "ask",
        case(invented_facts(counted("44.9", "50", "55"), "120", ASKED)),
        case(invented_facts(counted("45", "50", "55"), "120", ASKED)),
    ),
    Example(
        "range-too-wide", "ask",
        case(invented_facts(counted("40", "50", "60"), "120", ASKED)),
        case(invented_facts(counted("40", "50", "60"), "120", ASKED, confirmed=True)), "confirmed",
    ),
    Example(
        "range-wide", "caution",
        case(invented_facts(counted("44.9", "50", "55"), "120", ASKED, confirmed=True)),
        case(invented_facts(counted("45", "50", "55"), "120", ASKED, confirmed=True)),
    ),
    Example(
        "range-moves-dose", "caution",
        case(invented_facts(counted("59", "65", "80"), "120")),
        case(invented_facts(counted("60", "65", "79.9"), "120")),
    ),
    # The ends of a range: the upper end is held against the caps as the middle is.
    Example(
        "range-over-dose-cap", "caution",
        case(invented_facts(counted("50", "60", "90"), "120", capped("8"))),
        case(invented_facts(counted("50", "60", "89.9"), "120", capped("8"))),
    ),
    Example(
        "range-over-dose-cap", "caution",
        case(invented_facts(counted("50", "80", "90"), "120", capped("8"))),
        case(invented_facts(counted("50", "90", "99"), "120", capped("8"))),
        "a refused dose has no ends",
    ),
    Example(
        "range-over-window-cap", "caution",
        case(invented_facts(counted("40", "50", "60"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
        case(invented_facts(counted("40", "50", "59.9"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
    ),
    Example(
        "range-over-window-cap", "caution",
        case(invented_facts(counted("40", "50", "60"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
        case(invented_facts(counted("40", "60", "70"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
        "a refused dose has no ends",
    ),
    Example(
        "range-over-meal-cap", "caution",
        case(invented_facts(counted("60", "80", "80.1"), "120",
                            invented_settings(cap_meal=Fraction(80)))),
        case(invented_facts(counted("60", "79", "80"), "120",
                            invented_settings(cap_meal=Fraction(80)))),
    ),
    Example(
        "range-over-meal-cap", "caution",
        case(invented_facts(counted("60", "80", "90"), "120",
                            invented_settings(cap_meal=Fraction(80)))),
        case(invented_facts(counted("60", "81", "90"), "120",
                            invented_settings(cap_meal=Fraction(80)))),
        "a refused meal has no ends",
    ),
    Example(
        "range-moves-dose", "caution",
        case(invented_facts(counted("50", "60", "80"), "120", capped("8"))),
        case(invented_facts(counted("50", "60", "90"), "120", capped("8"))),
        "no dose above the cap is told",
    ),
    Example(
        "range-moves-dose", "caution",
        case(invented_facts(counted("30", "40", "50"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
        case(invented_facts(counted("30", "40", "60"), "120", capped(window="10"),
                            [ago("5", hours=3)])),
        "nor one above the cap of some hours",
    ),
]  # fmt: skip

NAMES = [f"{e.rule} {e.name}".strip() for e in EXAMPLES]


def test_every_rule_has_an_example_and_an_id_of_its_own():
    ids = [rule.id for rule in all_rules()]
    assert len(set(ids)) == len(ids)
    assert {e.rule for e in EXAMPLES} == set(ids)


@pytest.mark.parametrize("example", EXAMPLES, ids=NAMES)
def test_the_rule_fires(example):
    found = look(example.rule, example.fires)
    assert found is not None
    assert (found.rule, found.kind) == (example.rule, example.kind)


@pytest.mark.parametrize("example", EXAMPLES, ids=NAMES)
def test_the_rule_is_quiet_at_its_edge(example):
    assert look(example.rule, example.edge) is None


@pytest.mark.parametrize(
    ("value", "unit", "low"),
    [
        # Battelino et al. 2019: under 70 mg/dL (3.9 mmol/L); each in its own unit.
        ("70", "mg/dL", False), ("69.9", "mg/dL", True), ("69.999", "mg/dL", True),
        ("3.9", "mmol/L", False), ("3.89", "mmol/L", True), ("3.899", "mmol/L", True),
        ("54", "mg/dL", True), ("3.0", "mmol/L", True), ("0", "mg/dL", True),
        ("100", "mg/dL", False), ("5.5", "mmol/L", False),
    ],
)  # fmt: skip
def test_low_is_below_the_published_figure_of_its_own_unit(value, unit, low):
    assert is_low(Glucose(Fraction(value), unit)) is low


@pytest.mark.parametrize("name", Settings.NEEDED)
def test_each_missing_setting_alone_refuses_and_is_named(name):
    settings = replace(invented_settings(), **{name: None})
    found = look("settings-missing", case(invented_facts(glucose="120", settings=settings)))
    assert found is not None
    assert found.kind == "refuse"
    assert found.args["missing"] == Listed((Phrase(f"setting-{name}"),))


def test_all_missing_settings_are_named_together():
    found = look("settings-missing", case(invented_facts(settings=Settings())))
    assert found is not None
    assert found.args["missing"] == Listed(tuple(Phrase(f"setting-{n}") for n in Settings.NEEDED))


def test_settings_that_only_count_are_not_needed_for_a_dose():
    settings = invented_settings(policy=None, glucose_unit=None, cap_meal=None)
    glucose = Glucose(Fraction(120), "mg/dL")
    facts = invented_facts(glucose=glucose, settings=settings)
    assert look("settings-missing", case(facts)) is None


def test_the_window_cap_tells_the_cap_the_hours_and_what_was_taken():
    facts = invented_facts(
        "60", "120", capped(window="10", hours=5), [ago("4", hours=3), ago("3", hours=5)]
    )
    found = look("over-window-cap", case(facts))
    assert found is not None
    assert found.args == {
        "cap": Amount(Fraction(10), "unit"),
        "hours": Amount(Fraction(5), "hour"),
        "taken": Amount(Fraction(7), "unit"),
    }


@pytest.mark.parametrize("span", [timedelta(minutes=90), timedelta(hours=24), timedelta(days=1)])
def test_the_window_caps_hours_are_exact(span):
    settings = invented_settings(cap_window=WindowCap(Fraction(1), span))
    found = look("over-window-cap", case(invented_facts("60", "120", settings)))
    assert found is not None
    hours = found.args["hours"]
    assert isinstance(hours, Amount)
    assert hours.value == Fraction(int(span.total_seconds()), 3600)


def test_a_dose_rounded_down_onto_the_cap_is_allowed_and_one_rounded_up_over_it_is_not():
    """The cap is on the dose as given: 8.9 given as 8 is within 8; 8.6 given as 9 is not."""
    down = capped("8", rounding="down")
    nearest = capped("8", rounding="nearest")
    assert look("over-dose-cap", case(invented_facts("89", "120", down))) is None
    assert look("over-dose-cap", case(invented_facts("86", "120", nearest))) is not None


@pytest.mark.parametrize("glucose", ["70", "100", "120", "240", "250", "400"])
def test_a_low_is_never_found_in_a_reading_from_seventy_up(glucose):
    assert look("glucose-low", case(invented_facts(glucose=glucose))) is None


def test_cautions_with_dose_figures_are_marked_as_such():
    below = look("glucose-below-target", case(invented_facts(glucose="100")))
    moves = look("range-moves-dose", case(invented_facts(counted("10", "50", "90"), "120")))
    high = look("glucose-very-high", case(invented_facts(glucose="300")))
    none = look("no-reading", case(invented_facts(glucose=NoReading())))
    assert below is not None
    assert below.about_dose
    assert moves is not None
    assert moves.about_dose
    assert high is not None
    assert not high.about_dose
    assert none is not None
    assert not none.about_dose
    over = look("range-over-dose-cap", case(invented_facts(counted("9", "50", "99"), "120",
                                                           capped("8"))))  # fmt: skip
    hours = look("range-over-window-cap", case(invented_facts(counted("9", "50", "99"), "120",
                                                              capped(window="8"))))  # fmt: skip
    settings = invented_settings(cap_meal=Fraction(80))
    grams = look("range-over-meal-cap", case(invented_facts(counted("9", "50", "99"), "120",
                                                            settings)))  # fmt: skip
    assert over is not None
    assert over.about_dose
    assert hours is not None
    assert hours.about_dose
    assert grams is not None
    assert not grams.about_dose


def test_the_ends_of_the_range_are_told_on_the_pens_step():
    found = look("range-moves-dose", case(invented_facts(counted("19", "50", "96"), "120")))
    assert found is not None
    assert found.args == {"low": Amount(Fraction(1), "unit"), "high": Amount(Fraction(9), "unit")}


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_no_rule_breaks_where_settings_are_missing(rule):
    for settings in (Settings(), replace(invented_settings(), pen_step=None)):
        glucose = Glucose(Fraction(60), "mg/dL")
        rule.look(Case(invented_facts("60", glucose, settings), None, None))


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.id)
def test_no_rule_breaks_where_there_is_no_working(rule):
    facts = invented_facts(counted("9", "50", "99"), "120", capped("8", "9"))
    found = rule.look(Case(facts, None, None))
    assert found is None

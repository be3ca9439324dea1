"""Only the review makes a suggestion; refuse beats ask, ask beats a suggestion."""

import ast
import copy
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace
from strategies import NOW, ago, invented_facts, invented_settings

import assistant
import grammar
from assistant.dosing import review as review_module
from assistant.dosing.review import Asks, Refusal, Suggestion, review
from assistant.dosing.rules import Finding, OpenSuggestion, all_rules
from assistant.dosing.settings import Settings, WindowCap
from assistant.dosing.working import Facts, NoReading, work_out
from assistant.values import Amount, Glucose, Moment, Ranged

RULES = all_rules()
OPEN = OpenSuggestion(Fraction(7), Moment(NOW, NOW))


class Says:
    """A rule that always says the same."""

    def __init__(self, kind: str, name: str = "invented", about_dose: bool = False) -> None:
        self.id = name
        self.kind = kind
        self.about_dose = about_dose

    def look(self, case):
        return Finding(self.id, self.kind, about_dose=self.about_dose)


class Breaks:
    """A rule with a bug."""

    id = "broken"

    def __init__(self, error: Exception) -> None:
        self.error = error

    def look(self, case):
        raise self.error


def suggestion() -> Suggestion:
    given = review(invented_facts("60", "220"), None, RULES)
    assert isinstance(given, Suggestion)
    return given


def test_the_review_gives_the_rounded_dose_of_the_working():
    facts = invented_facts("60", "220")
    given = review(facts, None, RULES)
    assert isinstance(given, Suggestion)
    assert given.working == work_out(facts)
    assert given.units == given.working.rounded == 8
    assert given.cautions == ()


@pytest.mark.parametrize("seal", [None, object(), True, "reviewed", 0])
def test_a_suggestion_made_elsewhere_raises(seal):
    working = work_out(invented_facts("60", "220"))
    with pytest.raises(TypeError, match="only the review"):
        Suggestion(Fraction(8), working, (), seal)


@pytest.mark.parametrize("seal", [None, object()])
def test_a_copy_with_another_seal_raises(seal):
    with pytest.raises(TypeError, match="only the review"):
        replace(suggestion(), seal=seal)


def test_a_copy_with_another_dose_raises():
    """The review did not see that dose: no unreviewed dose may be shown."""
    with pytest.raises(TypeError):
        replace(suggestion(), units=Fraction(80))


def test_a_suggestion_cannot_be_changed_in_place():
    given = suggestion()
    with pytest.raises(AttributeError):
        given.units = Fraction(80)


def test_a_deep_copy_of_a_suggestion_is_no_way_around_the_seal():
    given = suggestion()
    try:
        other = copy.deepcopy(given)
    except TypeError:
        return
    assert (other.units, other.working) == (given.units, given.working)


def package_sources() -> list[Path]:
    folders = [Path(p) for package in (assistant, grammar) for p in package.__path__]
    return [path for folder in folders for path in sorted(folder.rglob("*.py"))]


def names_of(tree: ast.AST) -> set[str]:
    """Every name, attribute and imported name in the code, and every text constant."""
    found: set[str] = set()
    for node in ast.walk(tree):
        match node:
            case ast.Name(id=name) | ast.Attribute(attr=name) | ast.alias(name=name):
                found.add(name)
            case ast.Constant(value=str(text)):
                found.add(text)
    return found


def test_no_other_module_names_the_seal():
    own = Path(review_module.__file__)
    naming = [p for p in package_sources() if "_Seal" in p.read_text(encoding="utf-8")]
    assert naming == [own]


def test_no_other_module_builds_a_suggestion():
    """A module that names the review's Suggestion may test for it, and never calls it."""
    own = Path(review_module.__file__)
    looked = 0
    for path in package_sources():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        imports = [
            n for n in ast.walk(tree)
            if isinstance(n, ast.ImportFrom) and n.module and "dosing.review" in n.module
        ]  # fmt: skip
        taken = {a.asname or a.name for n in imports for a in n.names}
        looked += len(imports)
        if path == own:
            continue
        assert not any(a.asname for n in imports for a in n.names), path
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert not (node.func.id == "Suggestion" and "Suggestion" in taken), path
            if isinstance(node, ast.Attribute) and node.attr == "seal":
                pytest.fail(f"{path} reads the seal")
    assert looked > 0


def test_a_suggestion_is_built_once_in_the_review():
    tree = ast.parse(Path(review_module.__file__).read_text(encoding="utf-8"))
    calls = [
        n for n in ast.walk(tree)
        if isinstance(n, ast.Call) and isinstance(n.func, ast.Name) and n.func.id == "Suggestion"
    ]  # fmt: skip
    assert len(calls) == 1


def test_the_working_knows_nothing_of_rules():
    for name in ("working.py", "active.py", "settings.py"):
        path = Path(review_module.__file__).with_name(name)
        names = names_of(ast.parse(path.read_text(encoding="utf-8")))
        assert not {n for n in names if n.startswith("assistant.dosing.r")}


@pytest.mark.parametrize(
    "error", [ValueError("x"), ZeroDivisionError(), KeyError("x"), AssertionError(), TypeError()]
)
@pytest.mark.parametrize("at", range(len(RULES)), ids=[r.id for r in RULES])
def test_an_exception_in_any_rule_is_a_refusal(error, at):
    rules = (*RULES[:at], Breaks(error), *RULES[at + 1 :])
    given = review(invented_facts("60", "220"), None, rules)
    assert isinstance(given, Refusal)
    assert [f.rule for f in given.findings] == ["rule-failed"]
    assert all(f.kind == "refuse" for f in given.findings)


def test_an_exception_in_the_working_is_a_refusal():
    """A ratio of nought cannot be said; if it ever stood in the settings there is no dose."""
    given = review(invented_facts("60", "220", invented_settings("0")), None, RULES)
    assert isinstance(given, Refusal)
    assert "rule-failed" in {f.rule for f in given.findings}


def test_without_any_rule_missing_settings_are_still_no_dose():
    settings = replace(invented_settings(), ratio=None)
    given = review(invented_facts("60", settings=settings), None, ())
    assert isinstance(given, Refusal)


def test_refuse_beats_ask_and_ask_beats_a_suggestion():
    facts = invented_facts("60", "220")
    refuse, ask, caution = Says("refuse"), Says("ask"), Says("caution")
    for rules in ([refuse, ask, caution], [caution, ask, refuse], [ask, refuse]):
        assert isinstance(review(facts, None, rules), Refusal)
    for rules in ([ask, caution], [caution, ask], [ask]):
        assert isinstance(review(facts, None, rules), Asks)
    given = review(facts, None, [caution])
    assert isinstance(given, Suggestion)
    assert [c.rule for c in given.cautions] == ["invented"]


def test_every_refusal_is_told_in_the_order_of_the_rules():
    given = review(
        invented_facts("200", "60", invented_settings(cap_dose=Fraction(5), cap_meal=Fraction(80))),
        OPEN,
        RULES,
    )
    assert isinstance(given, Refusal)
    told = [f.rule for f in given.findings]
    assert told == ["glucose-low", "unconfirmed-suggestion", "over-dose-cap", "over-meal-cap"]


def test_a_low_without_settings_is_told_too():
    glucose = Glucose(Fraction(60), "mg/dL")
    facts = invented_facts("60", glucose, replace(invented_settings(), cap_dose=None))
    given = review(facts, None, RULES)
    assert isinstance(given, Refusal)
    assert {f.rule for f in given.findings} == {"settings-missing", "glucose-low"}


def test_a_meal_without_a_word_on_glucose_is_asked_about():
    given = review(invented_facts("60"), None, RULES)
    assert isinstance(given, Asks)
    assert given.finding.rule == "glucose-not-given"


def test_no_reading_gives_the_meal_part_with_a_caution():
    given = review(invented_facts("60", NoReading()), None, RULES)
    assert isinstance(given, Suggestion)
    assert given.units == 6
    assert [c.rule for c in given.cautions] == ["no-reading"]


def test_a_dose_of_exactly_nought_is_suggested_as_nought():
    given = review(invented_facts("10", "70"), None, RULES)
    assert isinstance(given, Suggestion)
    assert given.units == 0


# A refusal carries no dose figure. In each case the working comes to figures that no other
# number of the case is equal to, so that any of them in the refusal could only be the dose.

WIDE = Ranged(Fraction("82.3"), Fraction("41.7"), Fraction("133.9"))


def four_hours(units: str) -> WindowCap:
    return WindowCap(Fraction(units), timedelta(hours=4))


REFUSED: dict[str, tuple[Facts, OpenSuggestion | None]] = {
    "glucose-low": (invented_facts(WIDE, "66.6"), None),
    "unconfirmed-suggestion": (invented_facts(WIDE, "111.1"), OPEN),
    "glucose-was-low": (
        invented_facts(WIDE, NoReading(), earlier=Glucose(Fraction("66.6"), "mg/dL")), None,
    ),
    "over-dose-cap": (
        invented_facts(WIDE, "111.1", invented_settings(cap_dose=Fraction(2))), None,
    ),
    "over-window-cap": (
        invented_facts(
            WIDE, "111.1", invented_settings(cap_window=four_hours("11")), [ago("10", hours=3)]
        ),
        None,
    ),
    "over-meal-cap": (
        invented_facts(WIDE, "111.1", invented_settings(cap_meal=Fraction(50))), None,
    ),
    "below-zero": (
        invented_facts(
            WIDE, "111.1", invented_settings(active_rule="whole"), [ago("33", minutes=7)]
        ),
        None,
    ),
}  # fmt: skip


def test_every_refusing_rule_that_lets_a_working_be_made_is_looked_at():
    """settings-missing has no working, so no dose to tell."""
    kinds = set()
    for facts, waiting in REFUSED.values():
        given = review(facts, waiting, RULES)
        assert isinstance(given, Refusal)
        kinds |= {f.rule for f in given.findings}
    assert kinds == set(REFUSED)


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_carries_no_dose_figure(name):
    facts, waiting = REFUSED[name]
    given = review(facts, waiting, RULES)
    assert isinstance(given, Refusal)
    w = work_out(facts)
    doses = {
        w.exact, w.rounded, w.meal.value, w.meal.low, w.meal.high, w.correction,
        w.correction_after, *w.spread, *w.spread_rounded,
    }  # fmt: skip
    for finding in (*given.findings, *given.cautions):
        assert not (finding.about_dose and finding in given.cautions)
        for arg in finding.args.values():
            assert not (isinstance(arg, Amount) and arg.unit == "unit" and arg.value in doses)
    assert not hasattr(given, "working")
    assert not hasattr(given, "units")


def test_a_refusal_leaves_out_cautions_with_dose_figures_and_keeps_the_others():
    rules = [Says("refuse"), Says("caution", "a", about_dose=True), Says("caution", "b")]
    given = review(invented_facts("60", "220"), None, rules)
    assert isinstance(given, Refusal)
    assert [c.rule for c in given.cautions] == ["b"]


def test_a_very_high_reading_is_still_told_with_a_refusal():
    """Ketones matter more where no dose is given."""
    given = review(
        invented_facts("60", "300", invented_settings(cap_dose=Fraction(2))), None, RULES
    )
    assert isinstance(given, Refusal)
    assert [c.rule for c in given.cautions] == ["glucose-very-high"]


def test_a_suggestion_with_another_working_or_without_its_cautions_raises():
    """The seal is for one working and its own cautions: a dose without its warning is another."""
    given = review(invented_facts("60", "300"), None, RULES)
    assert isinstance(given, Suggestion)
    assert [c.rule for c in given.cautions] == ["glucose-very-high"]
    for changes in (
        {"working": work_out(invented_facts("61", "300"))},
        {"cautions": ()},
        {"cautions": (Finding("invented", "caution"),)},
    ):
        with pytest.raises(TypeError, match="only the review"):
            replace(given, **changes)


def test_without_any_rule_nothing_is_reviewed_and_nothing_is_suggested():
    given = review(invented_facts("60", "120"), None, ())
    assert given == Refusal((Finding("rule-failed", "refuse"),), ())


def test_a_working_that_breaks_is_a_refusal_before_any_question():
    """A ratio of nought cannot be worked with; that glucose was not told is not asked first."""
    broken = invented_facts("60", None, invented_settings("0"))
    given = review(broken, None, RULES)
    assert isinstance(given, Refusal)
    assert given.findings == (Finding("rule-failed", "refuse"),)
    assert review(broken, None, [Says("ask")]) == given


def test_a_broken_working_is_told_first():
    given = review(invented_facts("60", "60", invented_settings("0")), None, RULES)
    assert isinstance(given, Refusal)
    assert [f.rule for f in given.findings] == ["rule-failed", "glucose-low"]


def test_no_working_is_no_dose_even_where_no_rule_refuses():
    """Settings are missing, and the rules given do not look: still no dose, and cautions stay."""
    facts = invented_facts("60", Glucose(Fraction(120), "mg/dL"), Settings())
    given = review(facts, None, [Says("caution", "a"), Says("caution", "b", about_dose=True)])
    assert isinstance(given, Refusal)
    assert given.findings == (Finding("rule-failed", "refuse"),)
    assert "a" in {c.rule for c in given.cautions}


def test_a_rule_that_breaks_refuses_by_its_own_code():
    given = review(invented_facts("60", "120"), None, [Breaks(ValueError("x")), Says("caution")])
    assert given == Refusal((Finding("rule-failed", "refuse"),), (Finding("invented", "caution"),))


def test_of_several_questions_the_first_is_asked():
    rules = [Says("caution"), Says("ask", "first"), Says("ask", "second")]
    given = review(invented_facts("60", "120"), None, rules)
    assert isinstance(given, Asks)
    assert given.finding.rule == "first"

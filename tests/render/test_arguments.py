"""Each kind of argument, written and spoken; every trap of spoken figures has a row."""

from datetime import datetime, timedelta, timezone
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.render.arguments import argument, figure, in_words, quoted
from assistant.values import (
    Amount,
    Between,
    ClockTime,
    Listed,
    Moment,
    Name,
    Phrase,
    Said,
    Typed,
)
from grammar.words import plural

ZONE = timezone(timedelta(hours=1))
NOW = datetime(2026, 3, 2, 9, 30, tzinfo=ZONE)


@pytest.mark.parametrize(
    ("value", "unit", "places", "written", "said"),
    [
        (Fraction("41.1"), "g", 4, "41.1 g", "41.1 grams"),
        (Fraction(1), "g", 4, "1 g", "1 gram"),
        (Fraction("0.5"), "g", 4, "0.5 g", "0.5 grams"),
        (Fraction("162"), "mg/dL", 4, "162 mg/dL", "162 milligrams per decilitre"),
        (Fraction("9.1"), "mmol/L", 4, "9.1 mmol/L", "9.1 millimoles per litre"),
        (Fraction(1), "unit", 4, "1 unit", "1 unit"),
        (Fraction("2.50"), "unit", 4, "2.5 units", "2.5 units"),
        (Fraction("5.0"), "unit", 4, "5 units", "5 units"),
        (Fraction("0.5"), "unit", 4, "0.5 units", "0.5 units"),
        (Fraction(0), "unit", 4, "0 units", "0 units"),
        (Fraction(52, 45), "unit", 4, "about 1.1556 units", "about 1.1556 units"),
        (Fraction(-3), "unit", 4, "-3 units", "minus 3 units"),
        (Fraction(-1, 3), "unit", 2, "about -0.33 units", "about minus 0.33 units"),
        (Fraction(10), "g/unit", 4, "10 g per unit", "10 grams per unit"),
        (
            Fraction(45),
            "mg/dL/unit",
            4,
            "45 mg/dL per unit",
            "45 milligrams per decilitre per unit",
        ),
        (
            Fraction("2.5"),
            "mmol/L/unit",
            4,
            "2.5 mmol/L per unit",
            "2.5 millimoles per litre per unit",
        ),
        (Fraction(12000), "mg", 4, "12000 mg", "12000 milligrams"),
        (Fraction(10), "mcg", 4, "10 mcg", "10 micrograms"),
        (Fraction(250), "kcal", 4, "250 kcal", "250 kilocalories"),
        (Fraction(100), "kJ", 4, "100 kJ", "100 kilojoules"),
        (Fraction(400), "IU", 4, "400 international units", "400 international units"),
        (Fraction(50), "percent", 4, "50%", "50 percent"),
        (Fraction(2), "oz", 4, "2 oz", "2 ounces"),
        (Fraction("1.5"), "serving", 4, "1.5 servings", "1.5 servings"),
        (Fraction("0.5"), "cup", 4, "0.5 cup", "0.5 cup"),
        (Fraction(2), "cup", 4, "2 cups", "2 cups"),
        (Fraction(2), "slices", 4, "2 slices", "2 slices"),
        (Fraction(1), "slices", 4, "1 slice", "1 slice"),
        (Fraction(2), "medium", 4, "2 medium", "2 medium"),
        (Fraction("1.5"), "times", 4, "1.5 times", "1.5 times"),
        (Fraction(4), "hour", 4, "4 hours", "4 hours"),
        (Fraction(3), "", 4, "3", "3"),
    ],
)
def test_amount(value: Fraction, unit: str, places: int, written: str, said: str) -> None:
    amount = Amount(value, unit, places)
    assert argument(amount, "sighted") == written
    assert argument(amount, "spoken") == said


@pytest.mark.parametrize(
    ("low", "high", "written", "said"),
    [
        (Fraction("39.5"), Fraction("42.7"), "39.5 to 42.7 g", "39.5 to 42.7 grams"),
        (Fraction(30), Fraction(30), "30 g", "30 grams"),
        (Fraction(1, 3), Fraction(2, 3), "about 0.3 to 0.7 g", "about 0.3 to 0.7 grams"),
        (Fraction("39.51"), Fraction("39.54"), "about 39.5 g", "about 39.5 grams"),
        (Fraction(-1), Fraction(1), "-1 to 1 g", "minus 1 to 1 gram"),
    ],
)
def test_between(low: Fraction, high: Fraction, written: str, said: str) -> None:
    assert argument(Between(low, high, "g"), "sighted") == written
    assert argument(Between(low, high, "g"), "spoken") == said


def test_figure__half_goes_to_even() -> None:
    assert figure(Fraction("0.125"), 2)[0] == "0.12"
    assert figure(Fraction("0.375"), 2)[0] == "0.38"


def test_figure__nought_has_no_minus() -> None:
    assert figure(Fraction(-1, 1000), 2)[0] == "0"


@given(st.fractions(min_value=-(10**9), max_value=10**9), st.integers(0, 6))
def test_figure__is_what_it_shows(value: Fraction, places: int) -> None:
    text, rounded, shown = figure(value, places)
    assert Fraction(text) == shown
    assert rounded == (shown != value)
    assert abs(shown - value) * 2 * 10**places <= 1
    assert not text.startswith(".")
    assert "." not in text or not text.endswith("0")


@pytest.mark.parametrize("form", ["sighted", "spoken"])
def test_times_and_lists(form) -> None:
    def moment(at: datetime) -> str:
        return argument(Moment(at, NOW), form)

    assert moment(NOW.replace(hour=8, minute=0)) == "08:00"
    assert moment(datetime(2026, 3, 1, 17, 0, tzinfo=timezone.utc)) == "18:00 yesterday"  # noqa: UP017
    assert moment(NOW - timedelta(days=2)) == "09:30 on 28 February 2026"
    assert moment(NOW + timedelta(days=1)) == "09:30 tomorrow"
    assert argument(ClockTime(360), form) == "06:00"
    three = Listed((Name("a"), Name("b"), Name("c")))
    assert argument(three, form) == "a, b and c"
    assert argument(Listed((Name("a"),)), form) == "a"
    or_b = '"a" or "b"' if form == "sighted" else "a, or b"
    assert argument(Listed((Typed("a"), Typed("b"))), form) == or_b
    assert argument(Phrase("x"), form, {"x": "some words"}) == "some words"


@pytest.mark.parametrize("form", ["sighted", "spoken"])
@pytest.mark.parametrize("kind", [Said, Typed])
def test_quoted_words(kind, form) -> None:
    shown = {"sighted": '"2 x 3 = <6>"', "spoken": "2 times 3 equals below 6 above"}
    assert argument(kind("2 x 3 = <6>"), form) == shown[form]
    lines = {"sighted": "\"say 'x', now\"", "spoken": "say 'x', now"}
    assert argument(kind('say "x"\nnow\x1b[2J'), form) == lines[form]


def test_quoted__cuts_only_past_200() -> None:
    assert quoted("a" * 200) == f'"{"a" * 200}"'
    assert quoted("a" * 201) == f'"{"a" * 200} ..."'


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("2% milk", "2 percent milk"),
        ("half & half", "half and half"),
        ("crème brûlée", "crème brûlée"),
        ("ご飯", "ご飯"),
        ("bread <thin>", "bread below thin above"),
        ("½ fat cheese", "0.5 fat cheese"),
        ("a → b ─ c ✓", "a b c"),
    ],
)
def test_names_for_the_ear(name: str, said: str) -> None:
    assert in_words(name) == said
    assert argument(Name(name), "sighted") == name


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("slice", "slices"),
        ("pinch", "pinches"),
        ("berry", "berries"),
        ("tray", "trays"),
        ("loaf", "loaves"),
        ("glass", "glasses"),
        ("small bowl", "small bowls"),
        ("large", "large"),
    ],
)
def test_plural(one: str, many: str) -> None:
    assert plural(one) == many

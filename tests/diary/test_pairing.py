"""Meals and the readings around them, at the edges of the stated rules (no source: ours)."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from assistant.diary.entries import Diary, Dose, Meal, Reading
from assistant.diary.pairing import paired
from assistant.values import Glucose, Ranged

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def meal(minutes: float = 0) -> Meal:
    counted = Ranged.exactly(Fraction(40))
    return Meal(NOON + timedelta(minutes=minutes), "rye bread", (), counted)


def reading(minutes: float, value: str = "100", unit: str = "mg/dL") -> Reading:
    return Reading(Glucose(Fraction(value), unit), NOON + timedelta(minutes=minutes))


def dose(minutes: float) -> Dose:
    return Dose(Fraction(4), NOON + timedelta(minutes=minutes))


def one(*readings: Reading):
    diary = Diary(readings=readings, meals=(meal(),))
    (pair,) = paired(diary, diary.meals).pairs
    return pair


@pytest.mark.parametrize(
    ("minutes", "fits"),
    [(-15.1, False), (-15, True), (0, True), (5, True), (5.1, False)],
)
def test_start(minutes, fits) -> None:
    assert (one(reading(minutes)).start is not None) == fits


@pytest.mark.parametrize(
    ("minutes", "fits"), [(89.9, False), (90, True), (120, True), (150, True), (150.1, False)]
)
def test_two_hours(minutes, fits) -> None:
    assert (one(reading(minutes)).two is not None) == fits


@pytest.mark.parametrize(
    ("minutes", "fits"), [(209.9, False), (210, True), (240, True), (270, True), (270.1, False)]
)
def test_four_hours(minutes, fits) -> None:
    assert (one(reading(minutes)).four is not None) == fits


def test_the_nearest_reading_is_taken_and_of_two_as_near_the_later() -> None:
    found = one(reading(95, "1"), reading(110, "2"), reading(130, "3"), reading(149, "4"))
    assert found.two.glucose.value == 3


def test_the_rise_is_exact_across_units() -> None:
    # 1 mmol/L is 18.0156 mg/dL, so 10 mmol/L less 100 mg/dL is 80.156 mg/dL
    found = one(reading(0, "100"), reading(120, "10", "mmol/L"))
    assert found.rise("mg/dL") == Fraction("80.156")
    assert found.rise("mmol/L") == Fraction("80.156") / Fraction("18.0156")
    assert one(reading(0)).rise("mg/dL") is None


@pytest.mark.parametrize(
    ("minutes", "close"), [(1, True), (239.9, True), (240, False), (-239.9, True), (-240, False)]
)
def test_another_meal(minutes, close) -> None:
    first = meal()
    diary = Diary(meals=tuple(sorted((first, meal(minutes)), key=lambda m: m.at)))
    assert bool(paired(diary, [first]).close) == close


@pytest.mark.parametrize(
    ("minutes", "close"),
    [(0, False), (30, False), (30.1, True), (239.9, True), (240, False),
     (-30, False), (-30.1, True), (-239.9, True), (-240, False)],
)  # fmt: skip
def test_a_dose_that_is_not_the_meals_own(minutes, close) -> None:
    diary = Diary(meals=(meal(),), doses=(dose(minutes),))
    assert bool(paired(diary, diary.meals).close) == close


def test_two_meals_said_at_one_time_are_too_close_to_each_other() -> None:
    diary = Diary(meals=(meal(), meal()))
    assert len(paired(diary, diary.meals).close) == 2

"""Lines that give no reading: in doubt one is a low, and of the last day. Units that are in doubt.

The rule of safety is the project's own: what cannot be read and may be a low counts as one.
"""

from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction

import pytest

from assistant.diary.entries import Reading
from assistant.diary.readings_file import Sheet, new_to, read_sheet
from assistant.diary.twins import twins
from assistant.values import Glucose

NOW = datetime(2026, 11, 2, 13, tzinfo=UTC)
HEAD = "time,value,unit\n"


def sheet(lines: str, **given) -> Sheet:
    found = read_sheet(HEAD + lines, NOW, **given)
    assert isinstance(found, Sheet)
    return found


def left(line: str):
    """The one line that is left out."""
    found = sheet(line)
    assert found.rows == ()
    (only,) = found.left_out
    return only


@pytest.mark.parametrize(
    ("value", "low"),
    [
        ("<40", True), ("< 3.9", True), ("45 mg/dL", True), ("LO (<20)", True), ("Low!", True),
        ("2.9*", True), ("--", True), ("error 4", True), ("0", True), ("12", True),
        ("110 mg/dL", False), ("6.1*", False), ("HI", False), ("HI (>600)", False), (">400", False),
        ("high 3.1", True), ("112 or 61", True),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_read_may_be_a_low(value, low) -> None:
    assert left(f"2026-11-02T07:00Z,{value},mg/dL").maybe_low is low


@pytest.mark.parametrize(
    ("line", "low"),
    [
        ("2026-11-02T07:00Z,3,1,mmol/L", True),  # 3,1 with its comma unquoted
        ("2026-11-02T07:00Z,10,1,mmol/L", False),
        ("2026-11-02T07:00Z,61", True),
        ("2026-11-02T07:00Z,112,mg/dL,after a meal", False),
        ("2026-11-02T07:00Z,61,mg/dL,after a meal", True),
        ("2026-11-02T07:00Z,??,mg/dL,", True),
        ("2026-11-02T07:00Z", False),  # nothing is there
    ],
)
def test_a_line_with_other_columns_may_be_a_low_and_keeps_its_time(line, low) -> None:
    found = left(line)
    assert (found.reason, found.maybe_low) == ("columns", low)
    assert found.at == datetime(2026, 11, 2, 7, tzinfo=UTC)


def test_an_empty_value_is_a_low_where_another_cell_says_so() -> None:
    head = "time,value,unit,note\n"
    for note, low in (("LO", True), ("slow walk", False), ("", False)):
        found = read_sheet(f"{head}2026-11-02T07:00Z,,mg/dL,{note}\n", NOW)
        assert isinstance(found, Sheet)
        assert [e.maybe_low for e in found.left_out] == [low]


DAY = timedelta(days=1)


@pytest.mark.parametrize(
    ("time", "possible"),
    [
        ("2026-11-02T07:00", True),
        ("2026-11-01T03:00", True),  # at 12 hours behind UTC it is 15:00, which is in the last day
        ("2026-10-31T07:00", False),
        ("2.11.2026 07:00", True),
        ("11/02/26 07:00", True),
        ("30.10.2026 07:00", False),
        ("05/12/2026 07:00", False),  # the 12th of May, since the 5th of December is to come
        ("20261102T0700", True),
        ("20261001T0700", False),
        ("this morning", True),
        ("", True),
        ("07:00", True),
        ("2026-11-02T15:00Z", True),  # to come: the meter's clock is wrong
    ],
)
def test_a_time_that_cannot_be_read_may_be_of_the_last_day(time, possible) -> None:
    assert left(f"{time},61,mg/dL").may_be_since(NOW - DAY) is possible


# A file in the wrong unit


def reasons(found: Sheet) -> list[tuple[str, bool]]:
    return [(e.reason, e.maybe_low) for e in found.left_out]


def lines(unit: str, *values: str) -> str:
    return "".join(f"2026-10-2{n}T07:00Z,{value},{unit}\n" for n, value in enumerate(values))


def test_figures_of_both_units_are_in_doubt_where_the_file_has_the_other_unit() -> None:
    found = sheet(lines("mg/dL", "5.5", "22.1", "7.2", "20.4"))
    assert found.rows == ()
    assert reasons(found) == [("other-unit", False), ("unit-doubt", True), ("other-unit", False),
                              ("unit-doubt", True)]  # fmt: skip


def test_one_line_is_enough_and_figures_of_one_unit_only_stay() -> None:
    found = sheet(lines("mg/dL", "25", "112", "6.1"))
    assert [r.reading.glucose.value for r in found.rows] == [112]
    other = sheet(lines("mmol/L", "25", "6.1", "112"))
    assert [r.reading.glucose.value for r in other.rows] == [Fraction("6.1")]
    assert reasons(other) == [("unit-doubt", True), ("other-unit", False)]


def test_decimals_in_mg_dl_are_a_sign_too() -> None:
    assert reasons(sheet(lines("mg/dL", "22.1", "112", "24"))) == [("unit-doubt", True)] * 2


def test_a_file_in_one_unit_keeps_its_extremes() -> None:
    assert len(sheet(lines("mg/dL", "22", "31", "112")).rows) == 3
    assert len(sheet(lines("mmol/L", "22.1", "31.0", "6.2")).rows) == 3
    mixed = lines("mg/dL", "22", "112") + "2026-10-27T07:00Z,6.2,mmol/L\n"
    assert len(sheet(mixed).rows) == 3


# The same reading twice


def at(minute: int, second: int = 0) -> datetime:
    return datetime(2026, 11, 2, 8, minute, second, tzinfo=UTC)


def reading(value: int, when: datetime, *, imported: bool = False) -> Reading:
    return Reading(Glucose(Fraction(value), "mg/dL"), when, imported)


def test_the_same_figure_in_the_same_minute_is_known() -> None:
    new = new_to([reading(162, at(0, 10))], sheet("2026-11-02T08:00Z,162,mg/dL"))
    assert (new.readings, new.known, new.against) == ((), 1, ())


def test_another_figure_in_the_same_minute_contradicts() -> None:
    new = new_to([reading(162, at(0, 10))], sheet("2026-11-02T08:00Z,161,mg/dL"))
    assert (new.readings, [e.reason for e in new.against]) == ((), ["contradicts-record"])


def test_two_times_with_seconds_are_two_readings() -> None:
    new = new_to([reading(162, at(0, 10))], sheet("2026-11-02T08:00:40Z,150,mg/dL"))
    assert len(new.readings) == 1


def test_twins_are_told_up_to_15_minutes_apart() -> None:
    typed = [reading(162, at(20)), reading(99, at(20))]
    new = [reading(162, at(m), imported=True) for m in (4, 5, 35, 36)]
    assert [two.at.minute for _, two in twins(typed, new)] == [5, 35]


def test_a_line_is_told_in_the_clock_of_its_file() -> None:
    lines = "2026-11-02T07:30Z,112,mg/dL\n2026-11-02T07:30Z,61,mg/dL\n"
    found = read_sheet(HEAD + lines, NOW.astimezone(timezone(timedelta(hours=-5))))
    assert isinstance(found, Sheet)
    assert [e.said for e in found.left_out] == ["2026-11-02 07:30Z, 112, mg/dL",
                                                "2026-11-02 07:30Z, 61, mg/dL"]  # fmt: skip

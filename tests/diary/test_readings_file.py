"""Readings out of a CSV: what is read, and each way in which a line can be wrong."""

from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.diary.entries import Reading
from assistant.diary.readings_file import NoSheet, Sheet, new_to, read_sheet
from assistant.values import Glucose

ZONE = timezone(timedelta(hours=1))
NOW = datetime(2026, 3, 8, 12, tzinfo=ZONE)
HEAD = "time,value,unit\n"


def sheet(lines: str, head: str = HEAD, **given) -> Sheet:
    found = read_sheet(head + lines, NOW, **given)
    assert isinstance(found, Sheet)
    return found


def only(lines: str, **given):
    (row,) = sheet(lines, **given).rows
    return row.reading


@pytest.mark.parametrize(
    ("line", "value", "unit"),
    [
        ("2026-03-08T07:30+01:00,112,mg/dL", "112", "mg/dL"),
        ("2026-03-08 07:30+01:00,112,MG/DL", "112", "mg/dL"),
        ("2026-03-08T06:30Z,6.2,mmol/L", "6.2", "mmol/L"),
        ("2026-03-08T06:30:00.000Z,6.20,mmol / l", "6.2", "mmol/L"),
    ],
)
def test_a_line(line, value, unit) -> None:
    found = only(line)
    assert found.glucose == Glucose(Fraction(value), unit)
    assert found.at == datetime(2026, 3, 8, 7, 30, tzinfo=ZONE)
    assert found.at.utcoffset() == timedelta(hours=1)  # Z is told on the clock of now


def test_a_local_time_needs_an_offset_for_the_file() -> None:
    line = "2026-03-08T07:30,112,mg/dL"
    assert [e.reason for e in sheet(line).left_out] == ["no-offset"]
    found = only(line, offset=timedelta(hours=2))
    assert found.at == datetime(2026, 3, 8, 5, 30, tzinfo=UTC)
    own = only("2026-03-08T07:30+01:00,112,mg/dL", offset=timedelta(hours=2))
    assert own.at == datetime(2026, 3, 8, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_columns_in_any_order_and_with_others(mark) -> None:
    text = f"Unit{mark}note{mark}VALUE{mark}Time\nmg/dL{mark}x{mark}112{mark}2026-03-08T07:30Z\n"
    found = read_sheet("\ufeff" + text, NOW)
    assert found.rows[0].reading.glucose.value == 112
    assert found.unused == ("note",)


WRONG = [
    ("2026-03-08T07:30Z,112", "columns", False),
    ("2026-03-08T07:30Z,112,mg/dL,more", "columns", False),
    (",112,mg/dL", "no-time", False),
    ("8.3.2026 07:30,112,mg/dL", "time-unread", False),
    ("03/08/2026 07:30,112,mg/dL", "time-unread", False),
    ("2026-02-30T07:30Z,112,mg/dL", "time-unread", False),
    ("2026-03-08,112,mg/dL", "time-unread", False),
    ("2026-03-08T12:00:01+01:00,112,mg/dL", "to-come", False),
    ("2026-03-08T12:00:01+01:00,61,mg/dL", "to-come", True),
    ("2026-03-08T07:30Z,,mg/dL", "no-value", False),
    ("2026-03-08T07:30Z,about 112,mg/dL", "value-unread", True),
    ("2026-03-08T07:30Z,-112,mg/dL", "value-unread", True),
    ("2026-03-08T07:30Z,1e2,mg/dL", "value-unread", True),
    ('2026-03-08T07:30Z,"6,2",mmol/L', "value-comma", False),
    ('2026-03-08T07:30Z,"3,2",mmol/L', "value-comma", True),
    ("2026-03-08T07:30Z,LO,mg/dL", "word-low", True),
    ("2026-03-08T07:30Z,HI,mg/dL", "word-high", False),
    ("2026-03-08T07:30Z,112,", "no-unit", False),
    ("2026-03-08T07:30Z,61,", "no-unit", True),
    ("2026-03-08T07:30Z,112,mg", "unit-unread", False),
    # 6.2 mg/dL and 112 mmol/L are shown by no meter, but each is an everyday figure in the other
    ("2026-03-08T07:30Z,6.2,mg/dL", "other-unit", False),
    ("2026-03-08T07:30Z,3.2,mg/dL", "other-unit", True),
    ("2026-03-08T07:30Z,112,mmol/L", "other-unit", False),
    ("2026-03-08T07:30Z,0.5,mmol/L", "implausible", True),
    ("2026-03-08T07:30Z,700,mg/dL", "implausible", False),
]


@pytest.mark.parametrize(("line", "reason", "maybe_low"), WRONG)
def test_a_wrong_line_is_left_out_and_told(line, reason, maybe_low) -> None:
    found = sheet(f"2026-03-01T07:30Z,112,mg/dL\n{line}\n")
    assert len(found.rows) == 1
    (left,) = found.left_out
    assert (left.line, left.reason, left.maybe_low) == (3, reason, maybe_low)
    assert left.said


def test_the_same_line_twice_is_one_reading() -> None:
    found = sheet("2026-03-08T07:30Z,112,mg/dL\n2026-03-08T08:30+01:00,112.0,mg/dL\n")
    assert (len(found.rows), found.twice, found.left_out) == (1, 1, ())


def test_two_figures_at_one_time_are_both_left_out() -> None:
    found = sheet("2026-03-08T07:30Z,112,mg/dL\n2026-03-08T07:30Z,61,mg/dL\n")
    assert found.rows == ()
    assert [(e.line, e.reason, e.maybe_low) for e in found.left_out] == [
        (2, "contradicts", True),
        (3, "contradicts", True),
    ]


@pytest.mark.parametrize(
    ("text", "why"),
    [("", "empty"), ("\n \n", "empty"), ("a,b,c\n1,2,3", "no-header"),
     ("time,value,value,unit\n", "no-header"), ("2026-03-08T07:30Z,112,mg/dL", "no-header"),
     (HEAD + '2026-03-08T07:30Z,"112,mg/dL\n', "not-csv")],
)  # fmt: skip
def test_no_such_file(text, why) -> None:
    found = read_sheet(text, NOW)
    assert isinstance(found, NoSheet)
    assert found.why == why


def test_what_is_new_to_the_record() -> None:
    found = sheet("2026-03-08T07:30Z,112,mg/dL\n2026-03-08T08:30Z,90,mg/dL\n"
                  "2026-03-08T09:30Z,61,mg/dL\n")  # fmt: skip
    known = [
        Reading(Glucose(Fraction(112), "mg/dL"), datetime(2026, 3, 8, 7, 30, tzinfo=UTC)),
        Reading(Glucose(Fraction(91), "mg/dL"), datetime(2026, 3, 8, 8, 30, tzinfo=UTC)),
    ]
    new = new_to(known, found)
    assert [r.glucose.value for r in new.readings] == [61]
    assert new.known == 1
    assert [(e.line, e.reason) for e in new.against] == [(3, "contradicts-record")]


@given(st.text(max_size=300))
def test_any_text_is_answered(text) -> None:
    assert isinstance(read_sheet(text, NOW), Sheet | NoSheet)
    assert isinstance(read_sheet(HEAD + text, NOW), Sheet | NoSheet)


@given(st.lists(st.tuples(st.integers(0, 4000), st.integers(20, 600)), max_size=30))
def test_reading_a_file_again_finds_nothing_new(rows) -> None:
    lines = "".join(
        f"{(NOW - timedelta(minutes=m)).isoformat()},{value},mg/dL\n" for m, value in rows
    )
    found = sheet(lines)
    new = new_to((), found)
    again = new_to(new.readings, found)
    assert again.readings == ()
    assert again.known == len(new.readings) == len(found.rows)

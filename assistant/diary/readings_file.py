"""Glucose readings out of a plain CSV: a header with time, value and unit, then one a line.

    time,value,unit
    2026-03-02T07:30+01:00,112,mg/dL

Commas, semicolons or tabs part the columns; other columns are not used. A time is ISO 8601 with its
offset, or without one where the offset of the whole file was stated. A line that could be read in
more than one way is left out and told with its reason; nothing is converted or guessed. Where a
line shows that its unit is not what the file says, the figures that both units know are in doubt.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.diary.bands import is_low
from assistant.diary.doubtful_lines import (
    BEHIND,
    OTHER,
    PLAUSIBLE,
    cells_may_be_low,
    latest,
    low_somehow,
    plausible,
    unit_of,
    word_of,
    words_may_be_low,
    words_tell_low,
)
from assistant.diary.entries import Reading, minute_of
from assistant.values import Glucose, GlucoseUnit
from grammar import patterns

Reason = Literal[
    "columns",  # fewer or more columns than the header
    "no-time", "time-unread", "no-offset", "to-come",
    "no-value", "value-unread", "value-comma", "word-low", "word-high",
    "no-unit", "unit-unread",
    "other-unit",  # no meter shows it in this unit, but one would in the other
    "unit-doubt",  # both units know the figure, and the file is in doubt about its unit
    "implausible",
    "contradicts",  # two figures at one time in the file
    "contradicts-record",  # the record has another figure at that time
]  # fmt: skip

COLUMNS = ("time", "value", "unit")
MOST_ROWS = 200_000
MOST_CELL = 200


class LeftOut(Struct, frozen=True):
    """A line of the file that gives no reading: its number, why, and the cells as they are.

    at: its time where that could be read; else latest is the latest that it could be, None for any.
    maybe_low: it could be a low, in one way of reading it.
    """

    line: int
    reason: Reason
    said: str
    at: datetime | None = None
    maybe_low: bool = False
    latest: datetime | None = None

    def may_be_since(self, moment: datetime) -> bool:
        """Could it be of this time or later?"""
        until = self.at or self.latest
        return until is None or until >= moment


class Row(Struct, frozen=True):
    """A line that gives a reading. said: its cells as they are."""

    line: int
    reading: Reading
    said: str


class Sheet(Struct, frozen=True):
    """What a file comes to: its readings in order of time, what is left out, lines said twice.

    unused: columns beside the three.
    """

    rows: tuple[Row, ...]
    left_out: tuple[LeftOut, ...]
    twice: int
    unused: tuple[str, ...] = ()


class NoSheet(Struct, frozen=True):
    """The file as a whole cannot be read, and why."""

    why: Literal["not-there", "not-text", "empty", "no-header", "too-long", "not-csv"]
    said: str = ""


_TIME = patterns.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(:\d{2}(?:\.\d{1,6})?)?\s*(Z|[+-]\d{2}:\d{2})?", re.I
)
_FIGURE = patterns.compile(r"\d{1,5}(\.\d{1,6})?")


def read_sheet(text: str, now: datetime, offset: timedelta | None = None) -> Sheet | NoSheet:
    """The readings of a file. offset: of times that are written without one.

    now: a reading after it is left out; a time written with Z is told on the clock of now.
    """
    lines = text.removeprefix("\ufeff")
    if not lines.strip():
        return NoSheet("empty")
    header = lines.lstrip("\r\n").splitlines()[0]
    mark = max(",;\t", key=header.count)
    try:
        rows = list(_rows(lines, mark))
    except csv.Error as fault:
        return NoSheet("not-csv", str(fault))
    names = [cell.strip().casefold() for cell in rows[0][1]]
    if any(names.count(column) != 1 for column in COLUMNS):
        return NoSheet("no-header", header[:MOST_CELL])
    if len(rows) > MOST_ROWS:
        return NoSheet("too-long")
    places = tuple(names.index(column) for column in COLUMNS)
    found: list[Row] = []
    left: list[LeftOut] = []
    doubted: set[GlucoseUnit] = set()
    for number, cells in rows[1:]:
        said = _shown(", ".join(cell.strip() for cell in cells))
        time, value, unit = (cells[n].strip() if n < len(cells) else "" for n in places)
        read = _reading(time, value, unit, now, offset)
        if len(cells) != len(names):
            read = _misfit(cells, read, now, offset)
        elif _tells_other_unit(read, value):
            doubted.add(unit_of(unit) or "mg/dL")
        if isinstance(read, Reading):
            found.append(Row(number, read, said))
        else:
            low = read.maybe_low or (read.reason == "no-value" and words_tell_low(cells))
            left.append(replace(read, line=number, said=said, maybe_low=low))
    unused = tuple(n for n in names if n and n not in COLUMNS)
    sure, unsure = _by_unit(found, doubted)
    kept, twice, against = _settled(sure)
    ordered = sorted((*left, *unsure, *against), key=lambda each: each.line)
    rows_kept = tuple(sorted(kept, key=lambda row: row.reading.at))
    return Sheet(rows_kept, tuple(ordered), twice, unused)


def _rows(text: str, mark: str) -> Iterator[tuple[int, list[str]]]:
    """Each line that is not empty, with its number."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield reader.line_num, cells


def _reading(
    time: str, value: str, unit: str, now: datetime, offset: timedelta | None
) -> Reading | LeftOut:
    """The reading of a line, or why there is none (its line and words are put in later)."""
    low, glucose = _glucose(value, unit)
    at = _time(time, now, offset)
    if not isinstance(at, datetime):
        return LeftOut(0, at, "", None, low, _latest(time, at, now))
    if not isinstance(glucose, Glucose):
        return LeftOut(0, glucose, "", at, low)
    if at > now:
        return LeftOut(0, "to-come", "", at, low)
    return Reading(glucose, at, imported=True)


def _latest(time: str, why: Reason, now: datetime) -> datetime | None:
    """The latest that a line could be whose time cannot be read."""
    match = _TIME.fullmatch(time) if why == "no-offset" else None
    if match is None:
        return latest((time,), now)
    try:
        return datetime.fromisoformat(f"{match[1]}T{match[2]}").replace(tzinfo=UTC) + BEHIND
    except OverflowError:
        return None


def _misfit(
    cells: Sequence[str], read: Reading | LeftOut, now: datetime, offset: timedelta | None
) -> LeftOut:
    """A line with more or fewer cells than the header: its cells may be anything.

    read: what the cells come to in the places of the header.
    """
    if isinstance(read, Reading):
        return LeftOut(0, "columns", "", read.at, is_low(read.glucose))
    times = [at for cell in cells if isinstance(at := _time(cell.strip(), now, offset), datetime)]
    first = times[0] if times else None
    return LeftOut(0, "columns", "", first, cells_may_be_low(cells), latest(cells, now))


def _tells_other_unit(read: Reading | LeftOut, value: str) -> bool:
    """Does this line show that its unit may not be what it says?

    A figure that only the other unit has, or decimals: in mg/dL a meter shows none (common
    practice, no source).
    """
    if isinstance(read, LeftOut):
        return read.reason == "other-unit"
    glucose = read.glucose
    return glucose.unit == "mg/dL" and "." in value and plausible(glucose.value, "mmol/L")


def _by_unit(rows: Sequence[Row], doubted: set[GlucoseUnit]) -> tuple[list[Row], list[LeftOut]]:
    """Readings whose unit is sure, and those that both units know where theirs is in doubt."""
    sure: list[Row] = []
    unsure: list[LeftOut] = []
    for row in rows:
        glucose = row.reading.glucose
        if glucose.unit in doubted and plausible(glucose.value, OTHER[glucose.unit]):
            unsure.append(_against(row, "unit-doubt", row.reading.at, low=True))
        else:
            sure.append(row)
    return sure, unsure


def _time(text: str, now: datetime, offset: timedelta | None) -> datetime | Reason:
    if not text:
        return "no-time"
    match = _TIME.fullmatch(text)
    if match is None:
        return "time-unread"
    day, clock, seconds, zone = match.groups()
    try:
        at = datetime.fromisoformat(f"{day}T{clock}{seconds or ''}")
        if zone is None:
            return "no-offset" if offset is None else at.replace(tzinfo=timezone(offset))
        if zone.casefold() == "z":
            return at.replace(tzinfo=UTC).astimezone(now.tzinfo)
        return datetime.fromisoformat(f"{day}T{clock}{seconds or ''}{zone}")
    except (ValueError, OverflowError):
        return "time-unread"


def _glucose(value: str, unit: str) -> tuple[bool, Glucose | Reason]:
    """(could it be a low?, the figure or why there is none)."""
    if not value:
        return False, "no-value"
    word = word_of(value)
    if word is not None:
        return word == "word-low", word
    if _FIGURE.fullmatch(value) is None:
        return words_may_be_low(value), "value-comma" if "," in value else "value-unread"
    figure = Fraction(value)
    low = low_somehow(figure)
    if not unit:
        return low, "no-unit"
    known = unit_of(unit)
    if known is None:
        return low, "unit-unread"
    if plausible(figure, known):
        glucose = Glucose(figure, known)
        return is_low(glucose), glucose
    # whole figures below what a meter shows in mg/dL may stand for its LO
    low = low or (known == "mg/dL" and figure < PLAUSIBLE[known][0] and "." not in value)
    return low, "other-unit" if plausible(figure, OTHER[known]) else "implausible"


def _settled(rows: Sequence[Row]) -> tuple[list[Row], int, list[LeftOut]]:
    """Readings once each, how many lines were said twice, and those that contradict each other."""
    by_time: dict[datetime, list[Row]] = {}
    for row in rows:
        by_time.setdefault(row.reading.at, []).append(row)
    kept: list[Row] = []
    against: list[LeftOut] = []
    twice = 0
    seen: set[tuple[datetime, Glucose]] = set()
    for at, same in by_time.items():
        figures = {row.reading.glucose for row in same}
        if len(figures) > 1:
            low = any(is_low(figure) for figure in figures)
            against += [_against(row, "contradicts", at, low=low) for row in same]
            continue
        key = (minute_of(at), same[0].reading.glucose)
        fresh = key not in seen
        seen.add(key)
        if fresh:
            kept.append(same[0])
        twice += len(same) - fresh
    return kept, twice, against


def _against(row: Row, reason: Reason, at: datetime, *, low: bool) -> LeftOut:
    return LeftOut(row.line, reason, row.said, at, low)


def _shown(cells: str) -> str:
    """The cells of a line, with the day and the clock of its time apart, so that it reads well."""
    return patterns.sub(r"(\d{4}-\d{2}-\d{2})T(?=\d)", r"\1 ", cells, flags=re.I)[:MOST_CELL]


class New(Struct, frozen=True):
    """What of a file is new to the record."""

    readings: tuple[Reading, ...]
    known: int
    against: tuple[LeftOut, ...]


def new_to(record: Iterable[Reading], sheet: Sheet) -> New:
    """The readings that the record does not have; one that contradicts it is left out.

    The same figure in the same minute is the same reading: what is typed has seconds, and a file
    often has none. For that reason another figure in the minute contradicts, unless both have
    their seconds and differ in them.
    """
    by_minute: dict[datetime, list[Reading]] = {}
    for reading in record:
        by_minute.setdefault(minute_of(reading.at), []).append(reading)
    fresh: list[Reading] = []
    against: list[LeftOut] = []
    known = 0
    for row in sheet.rows:
        reading = row.reading
        there = by_minute.get(minute_of(reading.at), ())
        if any(reading.glucose == each.glucose for each in there):
            known += 1
        elif any(_one_time(reading.at, each.at) for each in there):
            low = is_low(reading.glucose)
            against.append(_against(row, "contradicts-record", reading.at, low=low))
        else:
            fresh.append(reading)
    return New(tuple(fresh), known, tuple(against))


def _one_time(one: datetime, other: datetime) -> bool:
    """May two times of one minute be the same?"""
    return one == other or minute_of(one) == one or minute_of(other) == other

"""Glucose readings out of a plain CSV: a header with time, value and unit, then one a line.

    time,value,unit
    2026-03-02T07:30+01:00,112,mg/dL

Commas, semicolons or tabs part the columns; other columns are not used. A time is ISO 8601 with its
offset, or without one where the offset of the whole file was stated. A line that could be read in
more than one way is left out and told with its reason; nothing is converted or guessed.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from typing import Literal

from assistant.diary.bands import is_low
from assistant.diary.entries import Reading
from assistant.values import Glucose, GlucoseUnit, decimal_text

Reason = Literal[
    "columns",  # fewer or more columns than the header
    "no-time", "time-unread", "no-offset", "to-come",
    "no-value", "value-unread", "value-comma", "word-low", "word-high",
    "no-unit", "unit-unread",
    "other-unit",  # no meter shows it in this unit, but one would in the other
    "implausible",
    "contradicts",  # two figures at one time in the file
    "contradicts-record",  # the record has another figure at that time
]  # fmt: skip

PLAUSIBLE: Mapping[GlucoseUnit, tuple[Fraction, Fraction]] = {
    "mg/dL": (Fraction(20), Fraction(600)),
    "mmol/L": (Fraction("1.1"), Fraction("33.3")),
}
"""What meters show as a figure (common practice, no source)."""
OTHER: Mapping[GlucoseUnit, GlucoseUnit] = {"mg/dL": "mmol/L", "mmol/L": "mg/dL"}
COLUMNS = ("time", "value", "unit")
MOST_ROWS = 200_000
MOST_CELL = 200


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A line of the file that gives no reading: its number, why, and the cells as they are.

    at: its time where that could be read. maybe_low: it could be a low, in one way of reading it.
    """

    line: int
    reason: Reason
    said: str
    at: datetime | None = None
    maybe_low: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A line that gives a reading."""

    line: int
    reading: Reading


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a file comes to: its readings in order of time, what is left out, lines said twice.

    unused: columns beside the three.
    """

    rows: tuple[Row, ...]
    left_out: tuple[LeftOut, ...]
    twice: int
    unused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NoSheet:
    """The file as a whole cannot be read, and why."""

    why: Literal["not-there", "not-text", "empty", "no-header", "too-long", "not-csv"]
    said: str = ""


_TIME = re.compile(
    r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2})(:\d{2}(?:\.\d{1,6})?)?\s*(Z|[+-]\d{2}:\d{2})?", re.I
)
_FIGURE = re.compile(r"\d{1,5}(\.\d{1,6})?")
_UNITS: Mapping[str, GlucoseUnit] = {"mg/dl": "mg/dL", "mmol/l": "mmol/L"}


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
    for number, cells in rows[1:]:
        said = _shown(", ".join(cell.strip() for cell in cells))
        if len(cells) != len(names):
            left.append(LeftOut(number, "columns", said))
            continue
        time, value, unit = (cells[place].strip() for place in places)
        read = _reading(time, value, unit, now, offset)
        if isinstance(read, Reading):
            found.append(Row(number, read))
        else:
            left.append(replace(read, line=number, said=said))
    unused = tuple(n for n in names if n and n not in COLUMNS)
    kept, twice, against = _settled(found)
    ordered = sorted((*left, *against), key=lambda each: each.line)
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
        return LeftOut(0, at, "", None, low)
    if not isinstance(glucose, Glucose):
        return LeftOut(0, glucose, "", at, low)
    if at > now:
        return LeftOut(0, "to-come", "", at, low)
    return Reading(glucose, at, imported=True)


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
    if value.casefold() in {"lo", "low"}:
        return True, "word-low"
    if value.casefold() in {"hi", "high"}:
        return False, "word-high"
    if _FIGURE.fullmatch(value) is None:
        comma = "," in value
        near = value.replace(",", ".")
        figure = Fraction(near) if _FIGURE.fullmatch(near) else None
        return figure is not None and _maybe_low(figure), "value-comma" if comma else "value-unread"
    figure = Fraction(value)
    low = _maybe_low(figure)
    if not unit:
        return low, "no-unit"
    known = _UNITS.get(re.sub(r"\s+", "", unit).casefold())
    if known is None:
        return low, "unit-unread"
    if plausible(figure, known):
        glucose = Glucose(figure, known)
        return is_low(glucose), glucose
    return low, "other-unit" if plausible(figure, OTHER[known]) else "implausible"


def plausible(value: Fraction, unit: GlucoseUnit) -> bool:
    """Could a meter show this?"""
    low, high = PLAUSIBLE[unit]
    return low <= value <= high


def _maybe_low(value: Fraction) -> bool:
    """Would the figure be a low in a unit in which a meter shows it?"""
    units = (u for u in PLAUSIBLE if plausible(value, u))
    return any(is_low(Glucose(value, unit)) for unit in units)


def _settled(rows: Sequence[Row]) -> tuple[list[Row], int, list[LeftOut]]:
    """Readings once each, how many lines were said twice, and those that contradict each other."""
    by_time: dict[datetime, list[Row]] = {}
    for row in rows:
        by_time.setdefault(row.reading.at, []).append(row)
    kept: list[Row] = []
    against: list[LeftOut] = []
    twice = 0
    for at, same in by_time.items():
        figures = {row.reading.glucose for row in same}
        if len(figures) > 1:
            low = any(is_low(figure) for figure in figures)
            against += [_against(row, "contradicts", at, low=low) for row in same]
            continue
        kept.append(same[0])
        twice += len(same) - 1
    return kept, twice, against


def _against(row: Row, reason: Reason, at: datetime, *, low: bool) -> LeftOut:
    return LeftOut(row.line, reason, told(row.reading), at, low)


def told(reading: Reading) -> str:
    """A reading as a line of such a file."""
    glucose = reading.glucose
    return _shown(f"{reading.at.isoformat()}, {decimal_text(glucose.value)}, {glucose.unit}")


def _shown(cells: str) -> str:
    """The cells of a line, with the day and the clock of its time apart, so that it reads well."""
    return re.sub(r"(\d{4}-\d{2}-\d{2})T(?=\d)", r"\1 ", cells, flags=re.I)[:MOST_CELL]


@dataclass(frozen=True, slots=True)
class New:
    """What of a file is new to the record."""

    readings: tuple[Reading, ...]
    known: int
    against: tuple[LeftOut, ...]


def new_to(record: Iterable[Reading], sheet: Sheet) -> New:
    """The readings that the record does not have; one that contradicts it is left out."""
    by_time: dict[datetime, set[Glucose]] = {}
    for reading in record:
        by_time.setdefault(reading.at, set()).add(reading.glucose)
    fresh: list[Reading] = []
    against: list[LeftOut] = []
    known = 0
    for row in sheet.rows:
        reading = row.reading
        there = by_time.get(reading.at)
        if there is None:
            fresh.append(reading)
        elif reading.glucose in there:
            known += 1
        else:
            low = is_low(reading.glucose)
            against.append(_against(row, "contradicts-record", reading.at, low=low))
    return New(tuple(fresh), known, tuple(against))

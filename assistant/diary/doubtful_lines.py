"""Lines of a file that give no reading: could one be a low, and how late? In doubt it could."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from assistant.diary.bands import is_low
from assistant.values import Glucose, GlucoseUnit
from grammar import patterns

PLAUSIBLE: Mapping[GlucoseUnit, tuple[Fraction, Fraction]] = {
    "mg/dL": (Fraction(20), Fraction(600)),
    "mmol/L": (Fraction("1.1"), Fraction("33.3")),
}
"""What meters show as a figure (common practice, no source)."""
OTHER: Mapping[GlucoseUnit, GlucoseUnit] = {"mg/dL": "mmol/L", "mmol/L": "mg/dL"}
UNITS: Mapping[str, GlucoseUnit] = {"mg/dl": "mg/dL", "mmol/l": "mmol/L"}
BEHIND = timedelta(hours=12)
"""The clock that is furthest behind: a local time without offset is at most so much later."""

_FIGURE = patterns.compile(r"\d{1,5}(?:[.,]\d{1,6})?")
_SHOWN = patterns.compile(
    r"(?P<sign>[<>≤≥]?)\s*(?P<figure>\d{1,5}(?:[.,]\d{1,6})?)"
    r"\s*(?:mg\s*/\s*dl|mmol\s*/\s*l)?\s*[*!^h]*",
    re.I,
)
_BELOW, _ABOVE = frozenset("<≤"), frozenset(">≥")
_SURE_LOW = patterns.compile(r"(?:lo|low)\b[\s(<≤\d.,)]*", re.I)
_SURE_HIGH = patterns.compile(r"(?:hi|high)\b[\s(>≥\d.,)]*", re.I)
_HIGH = patterns.compile(r"(?:hi|high)\b|[>≥]", re.I)
_LOW = patterns.compile(r"\b(?:lo|low|hypo)\b|[<≤]", re.I)
_YEAR_FIRST = patterns.compile(
    r"(?<!\d)(?:(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})|(\d{4})(\d{2})(\d{2}))(?!\d)"
)
_YEAR_LAST = patterns.compile(r"(?<!\d)(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})(?!\d)")


def plausible(value: Fraction, unit: GlucoseUnit) -> bool:
    """Could a meter show this?"""
    low, high = PLAUSIBLE[unit]
    return low <= value <= high


def unit_of(text: str) -> GlucoseUnit | None:
    """The unit that a cell names, or None."""
    return UNITS.get(patterns.sub(r"\s+", "", text).casefold())


def low_somehow(value: Fraction) -> bool:
    """Is it a low in a unit in which a meter shows it, or below what any meter shows?"""
    if value < min(low for low, _ in PLAUSIBLE.values()):
        return True  # some meters write nought where they showed LO
    return any(is_low(Glucose(value, unit)) for unit in PLAUSIBLE if plausible(value, unit))


def word_of(value: str) -> Literal["word-low", "word-high"] | None:
    """Does the meter tell a low or a high without a figure: "LO", "HI (>600)", "<40"?"""
    shown = _SHOWN.fullmatch(value)
    low = shown is not None and low_somehow(_figure(shown["figure"]))
    if _SURE_LOW.fullmatch(value) or (low and shown is not None and shown["sign"] in _BELOW):
        return "word-low"
    high = _SURE_HIGH.fullmatch(value) or (shown is not None and shown["sign"] in _ABOVE)
    return "word-high" if high and not words_may_be_low(value) else None


def words_may_be_low(value: str) -> bool:
    """Could a value that is no plain figure be a low? "45 mg/dL", "LO (<20)", "2.9*": yes.

    No only where it is one figure that is none, or the word for a high.
    """
    text = value.strip()
    shown = _SHOWN.fullmatch(text)
    if shown is not None:
        return shown["sign"] in _BELOW or low_somehow(_figure(shown["figure"]))
    if _HIGH.match(text) and not _LOW.search(text):
        return any(low_somehow(_figure(each)) for each in _FIGURE.findall(text))
    return True


def _figure(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))


def words_tell_low(cells: Sequence[str]) -> bool:
    """Does a cell beside an empty value have the word for a low?"""
    return any(_LOW.search(cell) for cell in cells)


def cells_may_be_low(cells: Sequence[str]) -> bool:
    """Could the cells of a line with too many or too few of them hold a low?

    Two that stand side by side may be one figure, whose comma parted them: 3 and 1 may be 3.1. One
    digit behind a figure is not taken by itself, since it is its decimal.
    """
    told = [c.strip() for c in cells if c.strip() and unit_of(c) is None and not has_day(c)]
    alone = told[:1]
    for one, two in pairwise(told):
        pair = one.isdecimal() and two.isdecimal()
        alone += [f"{one}.{two}"] if pair else []
        alone += [] if pair and len(two) == 1 else [two]
    return any(map(words_may_be_low, alone))


def has_day(text: str) -> bool:
    """Is a day written in it?"""
    return bool(_YEAR_FIRST.search(text) or _YEAR_LAST.search(text))


def latest(texts: Sequence[str], now: datetime) -> datetime | None:
    """The latest time that a line could be of, from the day in one of its cells; None: any time.

    2/11/2026 may be two days. One that is to come is not taken where another is past.
    """
    for text in texts:
        ends = [datetime.combine(day, time.max, UTC) + BEHIND for day in _days(text)]
        if ends:
            past = [end for end in ends if end <= now + timedelta(days=2)]
            return max(past or ends)
    return None


def _days(text: str) -> Iterator[date]:
    """Every day that is written in a text, in each way in which it can be read."""
    for match in _YEAR_FIRST.finditer(text):
        year, month, day = match.groups()[:3] if match[1] else match.groups()[3:]
        yield from _day(year, month, day)
    for match in _YEAR_LAST.finditer(text):
        year = match[3] if len(match[3]) == 4 else f"20{match[3]}"
        yield from _day(year, match[1], match[2])
        yield from _day(year, match[2], match[1])


def _day(year: str, month: str, day: str) -> Iterator[date]:
    try:
        found = date(int(year), int(month), int(day))
        if found < date.max - timedelta(days=3):
            yield found
    except ValueError:
        return

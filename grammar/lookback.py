"""Sentences that look back: what happened after a meal or a food, glucose, the visit's report."""

import re
from datetime import date
from functools import cache
from typing import Literal

from msgspec import Struct

from grammar import patterns

Form = Literal["after", "glucose", "report"]
Span = Literal["none", "today", "yesterday", "week", "last-week", "month", "last-month", "last",
               "between", "since"]  # fmt: skip
SHAPES = ("html", "markdown", "csv", "fhir")


class Period(Struct, frozen=True):
    """The time that is meant. first and last for "between" and "since"; count days for "last"."""

    span: Span
    first: date | None = None
    last: date | None = None
    count: int = 0


class Lookback(Struct, frozen=True):
    """A sentence: what is asked, the time, the words behind "after", the report's form."""

    form: Form
    period: Period
    what: str = ""
    shape: str = ""


class LookbackMisread(Struct, frozen=True):
    """A sentence that opens like one of these; these of its words were not understood."""

    form: Form
    said: str


_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september",
           "october", "november", "december")  # fmt: skip
_DAY = (r"(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}(?:st|nd|rd|th)?\s+(?:of\s+)?(?:" + "|".join(_MONTHS)
        + r"),?\s+\d{4})")  # fmt: skip
_PERIODS: tuple[tuple[Span, str], ...] = (
    ("today", r"today"),
    ("yesterday", r"yesterday"),
    ("week", r"(?:(?:in|over)\s+)?this\s+week(?:\s+so\s+far)?"),
    ("last-week", r"(?:in\s+)?last\s+week"),
    ("month", r"(?:(?:in|over)\s+)?this\s+month(?:\s+so\s+far)?"),
    ("last-month", r"(?:in\s+)?last\s+month"),
    ("last", r"(?:(?:in|over|for|of)\s+)?(?:the\s+)?(?:last|past)\s+(?P<count>\d{1,4}|two|three|"
             r"four|six|seven|ten|fourteen)\s+(?P<unit>days?|weeks?)"),
    ("last", r"(?:in|over|for)\s+the\s+(?:last|past)\s+(?P<unit>week|fortnight)"),
    ("between", rf"(?:from|between)\s+(?P<first>{_DAY})\s+(?:to|until|till|through|and)\s+"
                rf"(?P<last>{_DAY})"),
    ("between", rf"(?:(?:on|for|of)\s+)?(?P<first>{_DAY})"),
    ("since", rf"(?:since|from)\s+(?P<first>{_DAY})"),
)  # fmt: skip
_WORDS = {"two": 2, "three": 3, "four": 4, "six": 6, "seven": 7, "ten": 10, "fourteen": 14}
_SUGAR = r"(?:my\s+|the\s+)?(?:(?:blood\s+)?(?:glucose|sugars?)|bg|readings?)"
_HEADS: tuple[tuple[Form, str], ...] = (
    ("after", r"what\s+(?:happened|happens|has\s+happened)(?:\s+to\s+" + _SUGAR + r")?\s+after\s+"),
    ("after", r"how\s+(?:was|is|were|did)\s+" + _SUGAR
              + r"(?:\s+(?:do|go|look|change))?\s+after\s+"),
    ("glucose", r"how\s+(?:was|is|were|are)\s+" + _SUGAR + r"(?:\s+doing)?"),
    ("glucose", r"how\s+(?:has|have|did)\s+" + _SUGAR + r"\s+(?:been|do|go|look)"),
    ("glucose", r"(?:show\s+(?:me\s+)?)?(?:a\s+)?(?:summary|review)\s+of\s+" + _SUGAR),
    ("report", r"(?:(?:please\s+)?(?:make|write|show|print|give|prepare|create)\s+(?:me\s+)?)?"
               r"(?:an?\s+|the\s+|my\s+)?(?:visit\s+report|report)(?:\s+for\s+(?:the|my)\s+(?:next\s+)?"
               r"(?:visit|care\s+team|clinic|appointment|doctor|nurse|diabetes\s+team))?"),
)  # fmt: skip
_OWN = patterns.compile(rf"\s*(?:show\s+(?:me\s+)?)?{_SUGAR}\s+(?P<period>\D.*)", re.I | re.S)
_BARE = patterns.compile(rf"\s*(?:show\s+(?:me\s+)?)?{_SUGAR}\s+after\s+(?P<rest>.+)", re.I | re.S)
_MEAL = patterns.compile(r"(?:my\s+)?(?:breakfast|lunch|dinner|supper|brunch|snack|meal)s?", re.I)
"""Without a question word only these may follow: "glucose after lunch 60" is a reading."""
_SHAPE = patterns.compile(r"[\s,]+(?:as|in)\s+(?:an?\s+)?(?P<shape>html|markdown|csv|fhir)"
                    r"(?:\s+(?:page|file|bundle|table))?", re.I)  # fmt: skip
_EDGE = patterns.compile(r"[\s.!?,]*(?:\b(?:please|thanks|thank\s+you))?[\s.!?,]*$", re.I)


@cache
def _compiled() -> tuple[tuple[tuple[Form, re.Pattern[str]], ...],
                         tuple[tuple[Span, re.Pattern[str]], ...]]:  # fmt: skip
    return (
        tuple((form, patterns.compile(r"\s*" + head, re.I)) for form, head in _HEADS),
        tuple((span, patterns.compile(pattern, re.I)) for span, pattern in _PERIODS),
    )


def read_lookback(text: str) -> Lookback | LookbackMisread | None:
    """The sentence; which of its words were not understood; or None where it asks none of this.

    >>> read_lookback("what happened after oat cereal last week?").what
    'oat cereal'
    """
    said = _EDGE.sub("", text)
    for form, head in _compiled()[0]:
        match = head.match(said)
        if match is None:
            continue
        rest = said[match.end() :]
        if form == "after":
            return _after(rest)
        if rest and not rest[0].isspace() and rest[0] not in ",:":
            continue
        return _over(form, rest)
    bare = _BARE.fullmatch(said)
    if bare is not None:
        found = _after(bare["rest"])
        return found if isinstance(found, Lookback) and _MEAL.fullmatch(found.what) else None
    own = _OWN.fullmatch(said)
    period = _period(own["period"]) if own else None
    return Lookback("glucose", period) if isinstance(period, Period) else None


def _after(rest: str) -> Lookback | LookbackMisread | None:
    """The words behind "after", and the time at their end."""
    for _, pattern in _compiled()[1]:
        for match in pattern.finditer(rest):
            if match.end() != len(rest) or not rest[: match.start()].strip(" ,"):
                continue
            period = _period(match[0])
            what = rest[: match.start()].strip(" ,")
            if isinstance(period, Period):
                return Lookback("after", period, what=what)
            return LookbackMisread("after", match[0])
    what = rest.strip()
    return Lookback("after", Period("none"), what=what) if what else None


def _over(form: Form, rest: str) -> Lookback | LookbackMisread:
    shape = _SHAPE.search(rest) if form == "report" else None
    if shape is not None:
        rest = rest[: shape.start()] + rest[shape.end() :]
    rest = rest.strip(" ,:")
    asked = patterns.sub(
        r"^(?:for|of)\s+(?=this|last|today|yesterday|from|the\s)", "", rest, flags=re.I
    )
    period = Period("none") if not asked else _period(asked)
    if not isinstance(period, Period):
        return LookbackMisread(form, rest)
    return Lookback(form, period, shape=shape["shape"].casefold() if shape else "")


def _period(text: str) -> Period | None:
    """The time that the whole text says; None for any other text and for days that are none."""
    for span, pattern in _compiled()[1]:
        match = pattern.fullmatch(text.strip())
        if match is None:
            continue
        parts = match.groupdict()
        if span == "last":
            return Period(span, count=_days(parts.get("count"), parts["unit"].casefold()))
        first = read_day(parts["first"]) if parts.get("first") else None
        last = read_day(parts["last"]) if parts.get("last") else first
        if span in {"between", "since"} and (first is None or last is None):
            return None
        return Period(span, first, last)
    return None


def _days(count: str | None, unit: str) -> int:
    if unit == "fortnight":
        return 14
    number = 1 if count is None else _WORDS.get(count.casefold()) or int(count)
    return number * (7 if unit.startswith("week") else 1)


def read_day(text: str) -> date | None:
    """A day as 2026-03-02 or 2 March 2026; None for anything else, and for days that are none."""
    words = patterns.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?\s+(?:of\s+)?([a-z]+),?\s+(\d{4})",
                         text.strip().casefold())  # fmt: skip
    digits = patterns.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text.strip())
    try:
        if digits:
            return date(int(digits[1]), int(digits[2]), int(digits[3]))
        if words and words[2] in _MONTHS:
            return date(int(words[3]), _MONTHS.index(words[2]) + 1, int(words[1]))
    except ValueError:
        return None
    return None

"""The days that words mean, seen from now; or what is wrong with them."""

from datetime import date, timedelta

from msgspec import Struct

from assistant.diary.entries import Days
from grammar.lookback import Form, Period

USUAL = {"glucose": 7, "after": 28, "report": 14}
"""Days looked back on where none were said; always told. 14 is what the consensus asks of a
sensor; the others are common practice, no source."""
MOST = 366


class BadPeriod(Struct, frozen=True):
    """Why the words are no range of days: too-long, to-come or backwards."""

    why: str


def days_of(period: Period, form: Form, today: date) -> Days | BadPeriod:
    """The days. A range that ends in days to come ends today (the reply tells its last day)."""
    first, last = _ends(period, form, today)
    if first is None:
        return BadPeriod("too-long")
    if first > today:
        return BadPeriod("to-come")
    if last < first:
        return BadPeriod("backwards")
    days = Days(first, min(last, today))
    return days if len(days) <= MOST else BadPeriod("too-long")


def ranges(today: date) -> dict[str, tuple[date, date]]:
    """First and last day of what words without a figure mean. A week begins on Monday."""
    monday = today - timedelta(days=today.weekday())
    month = today.replace(day=1)
    yesterday = today - timedelta(days=1)
    return {
        "today": (today, today),
        "yesterday": (yesterday, yesterday),
        "week": (monday, today),
        "last-week": (monday - timedelta(days=7), monday - timedelta(days=1)),
        "month": (month, today),
        "last-month": ((month - timedelta(days=1)).replace(day=1), month - timedelta(days=1)),
    }


def _ends(period: Period, form: Form, today: date) -> tuple[date | None, date]:
    simple = ranges(today)
    if period.span in simple:
        return simple[period.span]
    if period.span == "between" and period.first and period.last:
        return period.first, period.last
    if period.span == "since" and period.first:
        return period.first, today
    count = period.count if period.span == "last" else USUAL[form]
    if not 0 < count <= MOST:
        return None, today
    return today - timedelta(days=count - 1), today

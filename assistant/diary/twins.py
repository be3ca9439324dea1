"""Readings that may be one: typed, and read out of a file some minutes apart, with one figure."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from datetime import datetime, timedelta

from assistant.diary.entries import Reading
from assistant.values import Glucose

NEAR = timedelta(minutes=15)
"""How far the clock of a meter may be off, and typing behind it (common practice, no source)."""


def twins(typed: Iterable[Reading], imported: Iterable[Reading]) -> list[tuple[Reading, Reading]]:
    """(typed, imported) of the same figure, at most NEAR apart; each imported one once."""
    by_figure: dict[Glucose, list[Reading]] = {}
    for reading in sorted(typed, key=_at):
        by_figure.setdefault(reading.glucose, []).append(reading)
    found = []
    for reading in imported:
        same = by_figure.get(reading.glucose, [])
        first = bisect_left(same, reading.at - NEAR, key=_at)
        last = bisect_right(same, reading.at + NEAR, key=_at)
        if first < last:
            found.append((same[first], reading))
    return found


def _at(reading: Reading) -> datetime:
    return reading.at

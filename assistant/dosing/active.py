"""Insulin that is still active: a straight line over the user's duration of action."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Taken:
    """A dose that is in the body."""

    units: Fraction
    at: datetime


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of one dose: the dose, its age, and the units still active."""

    taken: Taken
    age: timedelta
    units: Fraction


def _seconds(span: timedelta) -> Fraction:
    return Fraction(span.days * 86_400 + span.seconds) + Fraction(span.microseconds, 1_000_000)


def left_of(taken: Taken, now: datetime, duration: timedelta) -> Left:
    """units x (1 - age / duration), exact; whole for a dose dated after now (the cautious side).

    The straight line is the per-hour clinic table: over 4 hours 75, 50, 25, 0 per cent are left
    at 1, 2, 3, 4 hours (common teaching, no source).
    """
    age = now - taken.at
    share = 1 - _seconds(age) / _seconds(duration)
    return Left(taken, age, taken.units * min(Fraction(1), max(Fraction(0), share)))


def active(doses: Iterable[Taken], now: datetime, duration: timedelta) -> tuple[Left, ...]:
    """The doses of which something is left, oldest first."""
    lefts = (left_of(dose, now, duration) for dose in doses)
    return tuple(sorted((x for x in lefts if x.units > 0), key=lambda x: x.taken.at))


def in_window(doses: Iterable[Taken], now: datetime, span: timedelta) -> tuple[Taken, ...]:
    """Whole doses that count against a cap over this span; one exactly as old as it still does."""
    return tuple(d for d in doses if now - d.at <= span)

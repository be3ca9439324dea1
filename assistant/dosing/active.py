"""Insulin that is still active, on the shape that the user chose with their care team.

line: units x (1 - age / duration). curve: the absorption of Hovorka et al., Physiol Meas
2004;25:905, two compartments in a row with one time constant T, of which (1 + t/T) e^(-t/T) is
left after t. Neither is a default.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from functools import cache
from typing import Literal

from msgspec import Struct

Shape = Literal["line", "curve"]

_EXACT = Context(prec=60, rounding=ROUND_HALF_EVEN)
_PLACES = Decimal(1).scaleb(-40)
"""The curve is worked out to 60 digits and rounded up at the fortieth decimal: more counts as
active, which is the cautious side. The line needs no rounding."""

LEFT_AT_END = Decimal("0.05")
"""What the curve leaves at the end of the user's duration; T follows from it."""

TAIL = 2
"""The curve counts on until this many durations, when under 0.1 per cent is left of the dose, and
is then dropped. It is not cut at the duration, where 5 per cent is still left: counting it makes
the dose smaller, never larger."""


class Taken(Struct, frozen=True):
    """A dose that is in the body."""

    units: Fraction
    at: datetime


class Left(Struct, frozen=True):
    """What is left of one dose: the dose, its age, and the units still active."""

    taken: Taken
    age: timedelta
    units: Fraction


def _seconds(span: timedelta) -> Fraction:
    return Fraction(span.days * 86_400 + span.seconds) + Fraction(span.microseconds, 1_000_000)


def _still(x: Decimal) -> Decimal:
    """(1 + x) e^(-x)."""
    return _EXACT.multiply(_EXACT.add(Decimal(1), x), _EXACT.exp(_EXACT.minus(x)))


@cache
def constants_in_duration() -> Decimal:
    """How many time constants T a duration holds: the K with (1 + K) e^(-K) = 0.05, 4.7438645...

    Newton's steps from 5; the slope of (1 + K) e^(-K) is -K e^(-K). Seven double the right
    digits beyond 60.
    """
    k = Decimal(5)
    for _ in range(8):
        slope = _EXACT.multiply(k, _EXACT.exp(_EXACT.minus(k)))
        k = _EXACT.add(k, _EXACT.divide(_EXACT.subtract(_still(k), LEFT_AT_END), slope))
    return k


def _on_curve(part: Fraction) -> Fraction:
    """The share left once so many durations have passed, 0 <= part < TAIL."""
    durations = _EXACT.divide(Decimal(part.numerator), Decimal(part.denominator))
    left = _still(_EXACT.multiply(durations, constants_in_duration()))
    return Fraction(left.quantize(_PLACES, rounding=ROUND_CEILING, context=_EXACT))


def share_left(age: timedelta, duration: timedelta, shape: Shape) -> Fraction:
    """The share of a dose that is still active; all of it for a dose dated after now.

    The straight line is the per-hour clinic table: over 4 hours 75, 50, 25, 0 per cent are left
    at 1, 2, 3, 4 hours (common teaching, no source).
    """
    part = _seconds(age) / _seconds(duration)
    if part <= 0:
        return Fraction(1)
    if shape == "curve":
        return _on_curve(part) if part < TAIL else Fraction(0)
    return max(Fraction(0), 1 - part)


def left_of(taken: Taken, now: datetime, duration: timedelta, shape: Shape) -> Left:
    """What is left of one dose. Whole for a dose dated after now (the cautious side)."""
    age = now - taken.at
    return Left(taken, age, taken.units * share_left(age, duration, shape))


def active(
    doses: Iterable[Taken], now: datetime, duration: timedelta, shape: Shape
) -> tuple[Left, ...]:
    """The doses of which something is left, oldest first."""
    lefts = (left_of(dose, now, duration, shape) for dose in doses)
    return tuple(sorted((x for x in lefts if x.units > 0), key=lambda x: x.taken.at))


def in_window(doses: Iterable[Taken], now: datetime, span: timedelta) -> tuple[Taken, ...]:
    """Whole doses that count against a cap over this span; one exactly as old as it still does."""
    return tuple(d for d in doses if now - d.at <= span)

"""The user's limits: they are lowered at once, and raised only with a spelled-out confirmation."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

from assistant.dosing.settings import Settings, WindowCap, fold
from assistant.dosing.working import Raised

LIMITS = ("cap_dose", "cap_window", "cap_meal", "max_reduction", "reading_age", "ask_range")
"""Settings that only ever forbid or ask; a larger figure allows more."""

_MINUTE = timedelta(minutes=1)


def _hours(span: timedelta) -> Fraction:
    return Fraction(span // timedelta(microseconds=1), 3_600_000_000)


def raised(name: str, old: Settings, new: Settings, at: datetime) -> Raised | None:
    """What was raised when the new setting allows more than the old one did; else None.

    A window cap allows more with more units, or with a shorter span. A first figure raises
    nothing.
    """
    before, after = getattr(old, name), getattr(new, name)
    if before is None or after is None:
        return None
    if isinstance(before, WindowCap) and isinstance(after, WindowCap):
        if after.units <= before.units and after.span >= before.span:
            return None
        return Raised(name, before.units, after.units, at, _hours(before.span), _hours(after.span))
    if after <= before:
        return None
    if isinstance(before, timedelta):
        return Raised(name, Fraction(before // _MINUTE), Fraction(after // _MINUTE), at)
    return Raised(name, before, after, at)


def raises(
    said: Iterable[tuple[str, Mapping[str, Any], datetime]],
) -> tuple[tuple[int, Raised], ...]:
    """Every raising among these (name, value, when), oldest first, with its place among them.

    What was lowered since is told as far as it is still higher than before the raising.
    """
    latest: dict[str, Settings] = {}
    found: list[tuple[int, Settings, Raised]] = []
    for place, (name, value, at) in enumerate(said):
        if name not in LIMITS:
            continue
        old, new = latest.get(name, Settings()), fold([(name, value, at)])
        step = raised(name, old, new, at)
        latest[name] = new
        if step is not None:
            found.append((place, old, step))
            continue
        found = [f for each in found if (f := _lowered(each, name, new)) is not None]
    return tuple((place, step) for place, _, step in found)


def _lowered(
    each: tuple[int, Settings, Raised], name: str, new: Settings
) -> tuple[int, Settings, Raised] | None:
    """What is left of a raising once the limit of this name was lowered; None where nothing is."""
    place, old, step = each
    if step.name != name:
        return each
    left = raised(name, old, new, step.at)
    return None if left is None else (place, old, left)

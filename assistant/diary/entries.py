"""The entries of a diary as plain values, each with its own time, and a range of days of them.

A day is the calendar day of the clock on which an entry was said, as its time carries it.
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Any

from msgspec import Struct

from assistant.values import Glucose, Ranged


def minute_of(at: datetime) -> datetime:
    """The minute in which a time is: what is typed has seconds, and a file may have none."""
    return at.replace(second=0, microsecond=0)


class Reading(Struct, frozen=True):
    """A glucose reading; imported: it came from a file, else it was typed."""

    glucose: Glucose
    at: datetime
    imported: bool = False


class Part(Struct, frozen=True):
    """One food of a meal, with what of it was counted (grams of carbohydrate).

    amount and unit are as said ("1.5", "serving"); grams and millilitres where they are known.
    estimated: it had no label, and was counted as foods that it is like.
    """

    food: str
    counted: Ranged
    amount: Fraction
    unit: str
    grams: Fraction | None = None
    millilitres: Fraction | None = None
    estimated: bool = False


class Meal(Struct, frozen=True):
    """A meal that stands. at: when it began; named: 'lunch' where that was said, else ''.

    turn: the number of the turn that said it first; policy: the way of counting that held when it
    was counted, '' where that is not known.
    """

    at: datetime
    said: str
    parts: tuple[Part, ...]
    counted: Ranged
    named: str = ""
    turn: int = 0
    policy: str = ""

    @property
    def estimates(self) -> tuple[str, ...]:
        """Its foods that had no label."""
        return tuple(dict.fromkeys(part.food for part in self.parts if part.estimated))

    def has(self, food: str) -> bool:
        """Is this food, by its name in the library, a part of it?"""
        return any(part.food == food for part in self.parts)


class Dose(Struct, frozen=True):
    """Insulin taken, in units. turn: the number of the turn that told it."""

    units: Fraction
    at: datetime
    turn: int = 0


def units_of(doses: Iterable[Dose]) -> Fraction:
    """The units of these doses together."""
    return sum((dose.units for dose in doses), Fraction(0))


class Refusal(Struct, frozen=True):
    """A dose that was refused: the words, and the ids of the rules."""

    at: datetime
    said: str
    rules: tuple[str, ...]


class Declined(Struct, frozen=True):
    """A suggestion that was not taken, or dropped."""

    units: Fraction
    at: datetime


class Changed(Struct, frozen=True):
    """A sentence that set one number or several."""

    said: str
    at: datetime


class Diary(Struct, frozen=True):
    """Entries in order of time. felt: lows without a figure; gaps: the record may lack doses."""

    readings: tuple[Reading, ...] = ()
    meals: tuple[Meal, ...] = ()
    doses: tuple[Dose, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    declined: tuple[Declined, ...] = ()
    unsettled: tuple[Declined, ...] = ()
    """Suggestions of which it is not known whether they were taken."""
    changes: tuple[Changed, ...] = ()
    felt: tuple[datetime, ...] = ()
    gaps: tuple[datetime, ...] = ()
    unread: tuple[datetime, ...] = ()
    """Lines of files that may be a low and could not be read: when, or when they were imported."""
    highs: tuple[datetime, ...] = ()
    """Highs of a file without a figure."""

    def within(self, days: "Days") -> "Diary":
        """The entries of these days."""
        return Diary(
            tuple(r for r in self.readings if days.hold(r.at)),
            tuple(m for m in self.meals if days.hold(m.at)),
            tuple(d for d in self.doses if days.hold(d.at)),
            tuple(r for r in self.refusals if days.hold(r.at)),
            tuple(d for d in self.declined if days.hold(d.at)),
            tuple(d for d in self.unsettled if days.hold(d.at)),
            tuple(c for c in self.changes if days.hold(c.at)),
            tuple(f for f in self.felt if days.hold(f)),
            tuple(g for g in self.gaps if days.hold(g)),
            tuple(u for u in self.unread if days.hold(u)),
            tuple(h for h in self.highs if days.hold(h)),
        )

    def by_day(self) -> dict[date, "Diary"]:
        """The entries of each day that has any: as within() gives them, in one walk."""
        found: dict[date, dict[str, list[Any]]] = {}
        for part in self.__struct_fields__:
            for entry in getattr(self, part):
                at: datetime = entry if isinstance(entry, datetime) else entry.at
                found.setdefault(at.date(), {}).setdefault(part, []).append(entry)
        return {
            day: Diary(**{name: tuple(held) for name, held in parts.items()})
            for day, parts in found.items()
        }

    def times(self) -> tuple[datetime, ...]:
        """When each meal, dose, reading, felt low and refused dose was."""
        return (
            *(r.at for r in self.readings),
            *(m.at for m in self.meals),
            *(d.at for d in self.doses),
            *(r.at for r in self.refusals),
            *self.felt,
        )

    def clocks_differ(self, *more: datetime) -> bool:
        """Do these times, and those of more, carry more than one offset?"""
        return len({at.utcoffset() for at in (*self.times(), *more)}) > 1


class Days(Struct, frozen=True):
    """A range of days, both ends included."""

    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise ValueError("the range ends before it begins")

    def hold(self, at: datetime) -> bool:
        """Is this time on one of the days, by the clock that it carries?"""
        return self.first <= at.date() <= self.last

    def __iter__(self) -> Iterator[date]:
        return (self.first + timedelta(days=n) for n in range(len(self)))

    def __len__(self) -> int:
        return (self.last - self.first).days + 1

"""One day of the diary: what was eaten and taken on it, and its entries as lines, in order of time.

A day, and the clock of each entry, are those of the report: the clock that the entry carries.
"""

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction

from msgspec import Struct

from assistant.dialogue import lookback_lines as told
from assistant.dialogue.diary_of import read_diary
from assistant.dialogue.events import MealCounted
from assistant.dialogue.meal_lines import between, grams
from assistant.dialogue.outcome import fact
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import in_own_words
from assistant.dialogue.state import Context
from assistant.diary.entries import Days, Diary, units_of
from assistant.values import Amount, Arg, ClockTime, Ranged, Said


class DayFacts(Struct, frozen=True):
    """One day: its entries, what was counted of its meals, and its lines in order of time."""

    day: date
    diary: Diary
    meals: tuple[MealCounted, ...]
    lines: tuple[Line, ...]

    @property
    def counted(self) -> Ranged:
        """What its meals count together."""
        return sum((m.counted for m in self.meals), Ranged.exactly(Fraction(0)))

    @property
    def units(self) -> Fraction:
        """The insulin taken on it."""
        return units_of(self.diary.doses)


class SomeDays(Struct, frozen=True):
    """A range of days, and the diary around them."""

    range: Days
    whole: Diary
    days: tuple[DayFacts, ...]

    @property
    def diary(self) -> Diary:
        """The entries of the days."""
        return self.whole.within(self.range)

    @property
    def meals(self) -> tuple[MealCounted, ...]:
        """What was counted of all their meals."""
        return tuple(meal for day in self.days for meal in day.meals)


def some_days(ctx: Context, first: date, last: date) -> SomeDays:
    """The days from first to last, both included."""
    read = read_diary(ctx.record, first)
    each = read.diary.by_day()
    eaten: dict[date, list[MealCounted]] = {}
    for meal, counted in zip(read.diary.meals, read.counted, strict=True):
        eaten.setdefault(meal.at.date(), []).append(counted)
    found = []
    for day in Days(first, last):
        here = each.get(day, Diary())
        found.append(DayFacts(day, here, tuple(eaten.get(day, ())), _lines(here)))
    return SomeDays(Days(first, last), read.diary, tuple(found))


def today(ctx: Context) -> DayFacts:
    """The day of now."""
    return some_days(ctx, ctx.now.date(), ctx.now.date()).days[0]


def _lines(here: Diary) -> tuple[Line, ...]:
    found: list[tuple[datetime, Line]] = []

    def put(at: datetime, code: str, **args: Arg) -> None:
        clock = ClockTime(at.hour * 60 + at.minute)
        found.append((at, fact(f"today-{code}", moment=clock, **args)))

    for reading in here.readings:
        glucose = reading.glucose
        put(reading.at, "glucose", glucose=Amount(glucose.value, glucose.unit))
    for at in here.felt:
        put(at, "low-felt")
    for at in here.highs:
        put(at, "high")
    for meal in here.meals:
        put(meal.at, "meal", said=Said(in_own_words(meal.said)), counted=grams(meal.counted.value))
    for dose in here.doses:
        put(dose.at, "dose", units=Amount(dose.units, "unit"))
    for refusal in here.refusals:
        put(refusal.at, "refused", said=Said(in_own_words(refusal.said)))
    for declined in here.declined:
        put(declined.at, "not-taken")
    return tuple(line for _, line in sorted(found, key=lambda pair: pair[0]))


def sum_args(day: DayFacts) -> dict[str, Arg]:
    """Meals, grams with their range, and units of a day."""
    return {
        "meals": Amount(Fraction(len(day.meals)), "meal"),
        "counted": grams(day.counted.value),
        "range": between(day.counted),
        "units": Amount(day.units, "unit"),
    }


def day_data(day: DayFacts) -> dict[str, object]:
    """A day for JSON."""
    return {
        "day": day.day.isoformat(),
        "meals": len(day.meals),
        "counted_carbs_g": day.counted.value,
        "units": day.units,
    }


def about_sums(here: Diary, clocks: Sequence[datetime] = ()) -> list[Line]:
    """What has to be known of the sums of some days: what is not in them, and what they mix.

    clocks: more times of the answer, such as now.
    """
    lines = told.refused_lines(here)
    lines += told.ways_lines(here.meals)
    lines += told.estimate_lines(here.meals)
    if here.clocks_differ(*clocks):
        lines.append(fact("days-clocks"))
    return lines

"""The figures of a range of days, all exact: by day, by meal of the day, by food, lows."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from fractions import Fraction

from msgspec import Struct

from assistant.diary.bands import Band, counted, is_low
from assistant.diary.entries import Days, Diary, Dose, Meal, Reading, units_of
from assistant.diary.pairing import OWN_DOSE, Pair, Paired, paired
from assistant.diary.parts_of_day import MEALS, PARTS, MealOfDay, by_clock, meal_of_day
from assistant.diary.spread import Spread, spread
from assistant.values import GlucoseUnit

BEFORE_LOW = timedelta(hours=6)
"""So long before a low, the last meal, dose and reading are told (common practice, no source)."""
FEW = 10
"""Fewer figures than this are called few (common practice, no source)."""
PATTERN = 3
"""So many of a kind are pointed out as something to show the care team (no source)."""


class DayFigures(Struct, frozen=True):
    """One day. counted: grams; None where no meal was logged. lowest, highest: of its readings."""

    day: date
    meals: int
    counted: Fraction | None
    doses: int
    units: Fraction
    readings: int
    lowest: Fraction | None
    highest: Fraction | None
    lows: int
    refused: int

    @property
    def has_data(self) -> bool:
        """Was anything logged on it?"""
        return bool(self.meals or self.doses or self.readings or self.refused or self.lows)


class MealFigures(Struct, frozen=True):
    """The meals of one time of the day: grams of carbohydrate counted in all, and the insulin that
    was taken beside them."""

    name: MealOfDay
    meals: int
    counted: Fraction
    doses: int
    units: Fraction

    @property
    def mean(self) -> Fraction:
        """Grams a meal."""
        return self.counted / self.meals


class Low(Struct, frozen=True):
    """A low reading, or a felt low without a figure, and the last things in the hours before."""

    at: datetime
    reading: Reading | None
    meal: Meal | None
    dose: Dose | None
    before: Reading | None


class After(Struct, frozen=True):
    """What was read after some meals. name: a meal of the day, or a food.

    The spreads are over the meals that have the readings: start, two and four over all that are
    not too close, rise over those with both start and 2 hours. bands: of the 2 hour readings.
    """

    name: str
    paired: Paired
    start: Spread | None
    two: Spread | None
    four: Spread | None
    rise: Spread | None
    bands: dict[Band, int]

    @property
    def meals(self) -> int:
        """All of them, measured or not."""
        return len(self.paired.pairs) + len(self.paired.close)

    @property
    def unmeasured(self) -> int:
        """Not too close to anything, but without a reading at the start or at 2 hours."""
        return len(self.paired.pairs) - len(self.paired.measured)


class Figures(Struct, frozen=True):
    """All that is told of a range of days. Glucose figures are in unit."""

    days: Days
    unit: GlucoseUnit
    diary: Diary
    by_day: tuple[DayFigures, ...]
    by_meal: tuple[MealFigures, ...]
    apart: tuple[Dose, ...]
    """Doses that were taken beside no meal."""
    glucose: Spread | None
    bands: dict[Band, int]
    lows: tuple[Low, ...]
    after: After
    after_meal: tuple[After, ...]
    after_food: tuple[After, ...]
    refused: dict[str, int]
    """Rule -> how many doses it refused; a dose may be refused by several."""

    @property
    def with_data(self) -> int:
        """Days with any entry."""
        return sum(1 for day in self.by_day if day.has_data)

    @property
    def empty(self) -> tuple[date, ...]:
        """Days without an entry."""
        return tuple(day.day for day in self.by_day if not day.has_data)

    @property
    def meal_days(self) -> int:
        """Days with a meal."""
        return sum(1 for day in self.by_day if day.meals)

    @property
    def dose_days(self) -> int:
        """Days with a dose."""
        return sum(1 for day in self.by_day if day.doses)

    @property
    def counted(self) -> Fraction:
        """Grams of carbohydrate counted in all."""
        return sum((m.counted.value for m in self.diary.meals), Fraction(0))

    @property
    def units(self) -> Fraction:
        """Units of insulin taken in all."""
        return units_of(self.diary.doses)


def figures(whole: Diary, days: Days, unit: GlucoseUnit) -> Figures:
    """The figures of these days. whole: also what is around them, for the meals at the edges."""
    here = whole.within(days)
    each = here.by_day()
    groups = meals_by_part(here)
    doses, apart = doses_by_meal(whole, here)
    foods = dict.fromkeys(part.food for meal in here.meals for part in meal.parts)
    return Figures(
        days,
        unit,
        here,
        tuple(_day(each.get(day, Diary()), day, unit) for day in days),
        tuple(_of_part(name, meals, doses.get(name, ())) for name, meals in groups),
        apart,
        spread([r.glucose.as_unit(unit) for r in here.readings]),
        counted(here.readings),
        _lows(whole, here),
        after("", whole, here.meals, unit),
        tuple(after(name, whole, meals, unit) for name, meals in groups),
        tuple(
            after(food, whole, [m for m in here.meals if m.has(food)], unit)
            for food in sorted(foods)
        ),
        dict(Counter(rule for r in here.refusals for rule in dict.fromkeys(r.rules))),
    )


def meals_by_part(here: Diary) -> list[tuple[MealOfDay, list[Meal]]]:
    """The meals of each time of the day that has any, in order of the day."""
    groups = ((name, [m for m in here.meals if meal_of_day(m) == name]) for name in MEALS)
    return [(name, meals) for name, meals in groups if meals]


def doses_by_meal(
    whole: Diary, here: Diary
) -> tuple[dict[MealOfDay, tuple[Dose, ...]], tuple[Dose, ...]]:
    """The doses of some days by the meal beside which they were taken; and those beside none.

    A dose is of the nearest meal up to OWN_DOSE away, of two that are equally near the earlier.
    whole: also what is around the days; a dose beside a meal of another day is of none of these.
    here holds the very meals of whole.
    """
    mine = set(map(id, here.meals))
    found: dict[MealOfDay, tuple[Dose, ...]] = {}
    apart = []
    for dose in here.doses:
        first = bisect_left(whole.meals, dose.at - OWN_DOSE, key=_at)
        near = whole.meals[first : bisect_right(whole.meals, dose.at + OWN_DOSE, key=_at)]
        off = [(abs(meal.at - dose.at), meal.at, n) for n, meal in enumerate(near)]
        meal = near[min(off)[2]] if off else None
        if meal is None or id(meal) not in mine:
            apart.append(dose)
        else:
            part = meal_of_day(meal)
            found[part] = (*found.get(part, ()), dose)
    return found, tuple(apart)


def _at(meal: Meal) -> datetime:
    return meal.at


def _of_part(name: MealOfDay, meals: Sequence[Meal], doses: Sequence[Dose]) -> MealFigures:
    return MealFigures(name, len(meals), _sum(meals), len(doses), units_of(doses))


def _sum(meals: Iterable[Meal]) -> Fraction:
    return sum((m.counted.value for m in meals), Fraction(0))


def _day(here: Diary, day: date, unit: GlucoseUnit) -> DayFigures:
    read = [r.glucose.as_unit(unit) for r in here.readings]
    lows = sum(1 for r in here.readings if is_low(r.glucose))
    return DayFigures(
        day,
        len(here.meals),
        _sum(here.meals) if here.meals else None,
        len(here.doses),
        units_of(here.doses),
        len(read),
        min(read, default=None),
        max(read, default=None),
        lows + len(here.felt),
        len(here.refusals),
    )


def after(name: str, whole: Diary, meals: Sequence[Meal], unit: GlucoseUnit) -> After:
    """What was read after these meals of a diary."""
    found = paired(whole, meals)
    two = [p.two for p in found.pairs if p.two is not None]
    rises = [rise for p in found.pairs if (rise := p.rise(unit)) is not None]
    return After(
        name,
        found,
        _spread((p.start for p in found.pairs), unit),
        _spread(two, unit),
        _spread((p.four for p in found.pairs), unit),
        spread(rises),
        counted(two),
    )


def _spread(readings: Iterable[Reading | None], unit: GlucoseUnit) -> Spread | None:
    return spread([r.glucose.as_unit(unit) for r in readings if r is not None])


def _lows(whole: Diary, here: Diary) -> tuple[Low, ...]:
    found = [_low(whole, r.at, r) for r in here.readings if is_low(r.glucose)]
    found += [_low(whole, at, None) for at in here.felt]
    return tuple(sorted(found, key=lambda low: low.at))


def _low(whole: Diary, at: datetime, reading: Reading | None) -> Low:
    def near(times: datetime) -> bool:
        return timedelta(0) < at - times <= BEFORE_LOW

    meals = [m for m in whole.meals if near(m.at)]
    doses = [d for d in whole.doses if near(d.at)]
    before = [r for r in whole.readings if near(r.at)]
    return Low(
        at,
        reading,
        meals[-1] if meals else None,
        doses[-1] if doses else None,
        before[-1] if before else None,
    )


def lows_by_part(lows: Iterable[Low]) -> tuple[tuple[MealOfDay, int], ...]:
    """Parts of the day -> on how many different days they had a low; only those with PATTERN."""
    days: dict[MealOfDay, set[date]] = {}
    for low in lows:
        days.setdefault(by_clock(low.at), set()).add(low.at.date())
    return tuple((p, len(days[p])) for p in PARTS if len(days.get(p, ())) >= PATTERN)


def high_after(afters: Iterable[After]) -> tuple[tuple[str, int, int], ...]:
    """(meal, 2 hour readings above the range, all of them), where they are most of PATTERN."""
    found = []
    for each in afters:
        high = each.bands["high"] + each.bands["very-high"]
        total = sum(each.bands.values())
        if high >= PATTERN and 2 * high > total:
            found.append((each.name, high, total))
    return tuple(found)


def pairs_of(each: After) -> tuple[Pair, ...]:
    """Its measured meals, newest first."""
    return tuple(sorted(each.paired.measured, key=lambda p: p.meal.at, reverse=True))

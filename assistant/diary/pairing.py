"""Each meal with its readings: at its start, 2 hours and 4 hours later.

The bounds are common practice, no source:
* start: the reading nearest to the meal, from 15 minutes before to 5 minutes after it;
* 2 hours, 4 hours: the reading nearest to that time, up to 30 minutes off;
* of two that are equally near, the later one.
A meal is too close, and left out, where another counted meal is less than 4 hours away, or a dose
that is not the meal's own: one taken less than 4 hours away, but more than 30 minutes. A meal whose
dose was refused may have been eaten, so it counts like such a dose: up to 30 minutes away it is
taken to be the meal itself, said before.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction

from msgspec import Struct

from assistant.diary.entries import Diary, Meal, Reading
from assistant.values import GlucoseUnit

START_BEFORE, START_AFTER = timedelta(minutes=15), timedelta(minutes=5)
NEAR = timedelta(minutes=30)
APART = timedelta(hours=4)
OWN_DOSE = timedelta(minutes=30)
TWO, FOUR = timedelta(hours=2), timedelta(hours=4)


class Pair(Struct, frozen=True):
    """A meal and what was read around it; None where no reading fits."""

    meal: Meal
    start: Reading | None
    two: Reading | None
    four: Reading | None

    def rise(self, unit: GlucoseUnit) -> Fraction | None:
        """From the start to 2 hours, exact in this unit; below nought for a fall."""
        if self.start is None or self.two is None:
            return None
        return self.two.glucose.as_unit(unit) - self.start.glucose.as_unit(unit)


class Paired(Struct, frozen=True):
    """Meals with their readings, and those that were too close to something else."""

    pairs: tuple[Pair, ...]
    close: tuple[Meal, ...]

    @property
    def measured(self) -> tuple[Pair, ...]:
        """Those with a reading at the start and one at 2 hours."""
        return tuple(p for p in self.pairs if p.start is not None and p.two is not None)


def paired(diary: Diary, meals: Sequence[Meal]) -> Paired:
    """These meals of a diary; what is around them is looked for in all of it."""
    readings = sorted(diary.readings, key=lambda r: r.at)
    times = [r.at for r in readings]
    meal_times = sorted(m.at for m in diary.meals)
    dose_times = sorted((*(d.at for d in diary.doses), *(r.at for r in diary.refusals)))
    pairs, close = [], []
    for meal in meals:
        if _too_close(meal.at, meal_times, dose_times):
            close.append(meal)
            continue

        def found(wanted: datetime, before: timedelta, after: timedelta) -> Reading | None:
            first = bisect_left(times, wanted - before)
            last = bisect_right(times, wanted + after)
            near = readings[first:last]
            return min(reversed(near), key=lambda r: abs(r.at - wanted), default=None)

        pairs.append(
            Pair(
                meal,
                found(meal.at, START_BEFORE, START_AFTER),
                found(meal.at + TWO, NEAR, NEAR),
                found(meal.at + FOUR, NEAR, NEAR),
            )
        )
    return Paired(tuple(pairs), tuple(close))


def _too_close(at: datetime, meals: Sequence[datetime], doses: Sequence[datetime]) -> bool:
    """Another meal, or a dose or refused meal that is not its own, less than 4 hours away."""
    others = bisect_left(meals, at + APART) - bisect_right(meals, at - APART)
    if others > 1:
        return True
    near = doses[bisect_right(doses, at - APART) : bisect_left(doses, at + APART)]
    return any(abs(dose - at) > OWN_DOSE for dose in near)

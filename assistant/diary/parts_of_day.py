"""Which meal of the day: by its name where one was said, else by the clock.

The hours are common practice, no source.
"""

from datetime import datetime
from typing import Literal, get_args

from assistant.diary.entries import Meal

MealOfDay = Literal["breakfast", "lunch", "dinner", "night", "brunch", "snack"]
MEALS: tuple[MealOfDay, ...] = get_args(MealOfDay)
PARTS: tuple[MealOfDay, ...] = ("breakfast", "lunch", "dinner", "night")
"""What the clock alone can tell."""
_STARTS: tuple[tuple[int, MealOfDay], ...] = (
    (22, "night"),
    (16, "dinner"),
    (11, "lunch"),
    (4, "breakfast"),
    (0, "night"),
)
"""Hour from which -> what a meal without a name is."""


def by_clock(at: datetime) -> MealOfDay:
    """What a meal at this time is, by the clock that the time carries."""
    return next(name for hour, name in _STARTS if at.hour >= hour)


def meal_of_day(meal: Meal) -> MealOfDay:
    """Its name, where one was said ("supper" is dinner); else by the clock."""
    if meal.named == "supper":
        return "dinner"
    return next((name for name in MEALS if name == meal.named), by_clock(meal.at))

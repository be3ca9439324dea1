"""Meals that stand, and the one that was just said: what "it", "the same", "another" refer to."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from assistant.dialogue.events import DoseTaken, GlucoseRead, MealCounted, SuggestionClosed
from assistant.dialogue.record import Kept
from assistant.dialogue.state import Context
from assistant.dosing.active import Taken
from assistant.dosing.rules_time import FRESH
from assistant.values import Glucose

JUST = timedelta(minutes=30)
"""How long a meal can be changed by a few words (common practice, no source)."""


def standing(kept: Iterable[Kept]) -> list[tuple[Kept, ...]]:
    """Meals that stand, each as it was said first, then as it was changed; the last counts.

    A meal goes with its suggestion where that was dropped. Other kinds of entries are passed over.
    """
    meals: list[tuple[Kept, ...]] = []
    for each in kept:
        event = each.event
        if isinstance(event, MealCounted):
            before: tuple[Kept, ...] = ()
            for said in meals:
                if said[-1].turn == event.replaces:
                    before = said
            meals = [said for said in meals if said is not before]
            meals.append((*before, each))
        elif isinstance(event, SuggestionClosed) and event.how == "cancelled" and meals:
            meals.pop()  # the suggestion that was open belonged to the last meal
    return meals


def meals_since(ctx: Context, since: datetime | None = None) -> tuple[Kept, ...]:
    """Meals that stand, oldest first: one that was replaced, or dropped with its suggestion, is
    left out."""
    kept = ctx.record.events(("meal-counted", "suggestion-closed"), since=since)
    return tuple(said[-1] for said in standing(kept))


def last_meal(ctx: Context) -> Kept | None:
    """The last meal that was counted, if it was today and within JUST."""
    meals = meals_since(ctx, ctx.now - JUST)
    if not meals:
        return None
    last = meals[-1]
    same_day = last.said_at.astimezone(ctx.now.tzinfo).date() == ctx.now.date()
    return last if same_day and last.said_at <= ctx.now else None


def none_to_change(ctx: Context) -> tuple[str, tuple[str, ...]]:
    """Why there is no last meal: the code of the sentence, and what to type next."""
    if meals_since(ctx, ctx.now - JUST):
        return "meal-before-midnight", ("undo", "yesterday")
    return "no-meal-to-change", ("today",)


def first_said(ctx: Context, meal: Kept) -> Kept:
    """The meal as it was said first, before any change of it."""
    meals = {k.turn: k for k in ctx.record.events(("meal-counted",), since=ctx.now - 48 * JUST)}
    seen = {meal.turn}
    while isinstance(meal.event, MealCounted) and meal.event.replaces in meals:
        meal = meals[meal.event.replaces]
        if meal.turn in seen:
            break
        seen.add(meal.turn)
    return meal


def dose_since(ctx: Context, meal: Kept) -> Taken | None:
    """The insulin that was told after this meal was first said, however often it was changed."""
    first = first_said(ctx, meal)
    for kept in reversed(ctx.record.events(("dose-taken",), since=first.said_at)):
        if isinstance(kept.event, DoseTaken) and kept.turn > first.turn:
            return Taken(kept.event.units, kept.event.taken_at)
    return None


def as_dosed(ctx: Context, meal: Kept) -> Kept:
    """The meal as it stood when the insulin for it was told."""
    first = first_said(ctx, meal)
    meals = {k.turn: k for k in ctx.record.events(("meal-counted",), since=first.said_at)}
    doses = ctx.record.events(("dose-taken",), since=first.said_at)
    told = max((k.turn for k in doses if k.turn > first.turn), default=meal.turn)
    while (
        meal.turn > told
        and meal.turn != first.turn
        and isinstance(meal.event, MealCounted)
        and meal.event.replaces in meals
    ):
        meal = meals[meal.event.replaces]
    return meal


def carried(ctx: Context, glucose: Glucose) -> Kept | None:
    """The reading that a figure in a changed meal repeats: the last one of that figure, within
    JUST; None where it was not read before, and so is a reading of now."""
    kinds = ("glucose-read",)
    for kept in reversed(ctx.record.events(kinds, since=ctx.now - JUST)):
        if isinstance(kept.event, GlucoseRead) and kept.event.glucose == glucose:
            return kept
    return None


def is_of_now(ctx: Context, read: Kept) -> bool:
    """May a reading stand for now in a changed meal? It is FRESH, and no reading and no low was
    told after it, in whatever chat."""
    event = read.event
    at = event.taken_at if isinstance(event, GlucoseRead) else read.said_at
    if not timedelta(0) <= ctx.now - at <= FRESH:
        return False
    told = ctx.record.events(("glucose-read", "low-felt"), since=ctx.now - 2 * JUST)
    return not any(kept.turn > read.turn for kept in told)

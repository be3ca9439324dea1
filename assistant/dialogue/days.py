"""A day or a week: what was counted and dosed, nutrients, the goal of the day. Facts only."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from assistant.dialogue.day_nutrients import mean_lines, nutrient_lines
from assistant.dialogue.events import (
    DoseRefused,
    DoseTaken,
    GlucoseRead,
    GoalSaid,
    MealCounted,
)
from assistant.dialogue.last_meal import standing
from assistant.dialogue.meal_lines import between, grams
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact, next_step
from assistant.dialogue.periods import ranges
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Line
from assistant.dialogue.said_around import meal_name
from assistant.dialogue.sentence_parts import in_own_words
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Day, Listed, Name, Ranged, Said, Spark
from grammar.kitchen import KitchenSentence
from grammar.nodes import Number

MOST_GOAL = Fraction(1000)
"""Grams a day above which a goal is asked about (common practice, no source)."""


_KINDS = ("meal-counted", "dose-taken", "glucose-read", "dose-refused", "suggestion-closed")


@dataclass(frozen=True, slots=True)
class DayFacts:
    """One day: its meals that stand, the doses taken on it, and its lines in order of time."""

    day: date
    meals: tuple[MealCounted, ...]
    doses: tuple[DoseTaken, ...]
    lines: tuple[Line, ...]

    @property
    def counted(self) -> Ranged:
        """What its meals count together."""
        return sum((m.counted for m in self.meals), Ranged.exactly(Fraction(0)))

    @property
    def units(self) -> Fraction:
        """The insulin taken on it."""
        return sum((d.units for d in self.doses), Fraction(0))


def _midnight(ctx: Context, day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=ctx.now.tzinfo)


def days(ctx: Context, first: date, last: date) -> tuple[DayFacts, ...]:
    """The days from first to last, both included, by the clock of now."""
    kept = ctx.record.events(_KINDS, since=_midnight(ctx, first))
    meals = [said[-1] for said in standing(kept)]
    found = []
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        found.append(_day(ctx, day, kept, [m for m in meals if _on(ctx, m.said_at) == day]))
    return tuple(found)


def _on(ctx: Context, at: datetime) -> date:
    return at.astimezone(ctx.now.tzinfo).date()


def _day(ctx: Context, day: date, kept: Sequence[Kept], meals: list[Kept]) -> DayFacts:
    lines: list[tuple[datetime, Line]] = []
    doses = []
    eaten = []
    for each in meals:
        if isinstance(each.event, MealCounted):
            eaten.append(each.event)
            args: dict[str, Arg] = {
                "moment": ctx.moment(each.said_at),
                "said": Said(in_own_words(each.event.said)),
                "counted": grams(each.event.counted.value),
            }
            lines.append((each.said_at, fact("today-meal", **args)))
    for each in kept:
        event = each.event
        if isinstance(event, DoseTaken) and _on(ctx, event.taken_at) == day:
            doses.append(event)
            shown = Amount(event.units, "unit")
            at = ctx.moment(event.taken_at)
            lines.append((event.taken_at, fact("today-dose", moment=at, units=shown)))
        elif isinstance(event, GlucoseRead) and _on(ctx, event.taken_at) == day:
            shown = Amount(event.glucose.value, event.glucose.unit)
            at = ctx.moment(event.taken_at)
            lines.append((event.taken_at, fact("today-glucose", moment=at, glucose=shown)))
        elif isinstance(event, DoseRefused) and _on(ctx, each.said_at) == day:
            said = Said(in_own_words(event.said))
            line = fact("today-refused", moment=ctx.moment(each.said_at), said=said)
            lines.append((each.said_at, line))
    ordered = tuple(line for _, line in sorted(lines, key=lambda pair: pair[0]))
    return DayFacts(day, tuple(eaten), tuple(doses), ordered)


def goal(ctx: Context) -> Fraction | None:
    """The user's goal of a day in grams; None where none was said."""
    last = ctx.record.events(("goal-said",), last=1)
    event = last[-1].event if last else None
    return event.grams if isinstance(event, GoalSaid) else None


def left_of_goal(ctx: Context) -> Fraction | None:
    """Grams left of today's goal (below nought where it is passed); None without a goal."""
    wanted = goal(ctx)
    if wanted is None:
        return None
    (here,) = days(ctx, ctx.now.date(), ctx.now.date())
    return wanted - here.counted.value


def _goal_line(ctx: Context, day: DayFacts) -> list[Line]:
    """What is left of the goal today, or was left on a day that is over."""
    wanted = goal(ctx)
    if wanted is None:
        return []
    left = wanted - day.counted.value
    args: dict[str, Arg] = {"goal": grams(wanted), "left": grams(abs(left))}
    if day.day == ctx.now.date():
        return [fact("goal-left" if left >= 0 else "goal-passed", **args)]
    return [fact("goal-left-then" if left >= 0 else "goal-passed-then", **args)]


def about_today(ctx: Context) -> tuple[Line, ...]:
    """The goal and the nutrients of today, behind its meals."""
    (here,) = days(ctx, ctx.now.date(), ctx.now.date())
    return (*_goal_line(ctx, here), *nutrient_lines(here.meals)) if here.meals else ()


def yesterday(ctx: Context) -> Outcome:
    """Meals, doses and readings of yesterday, then the goal and the nutrients."""
    day = ctx.now.date() - timedelta(days=1)
    (here,) = days(ctx, day, day)
    if not here.lines:
        return answered(answer("yesterday-nothing"))
    head = answer("yesterday", **_sum_args(here))
    return answered(head, *here.lines, *_goal_line(ctx, here), *nutrient_lines(here.meals),
                    facts={"yesterday": _data(here)})  # fmt: skip


def _sum_args(day: DayFacts) -> dict[str, Arg]:
    return {
        "meals": Amount(Fraction(len(day.meals)), "meal"),
        "counted": grams(day.counted.value),
        "range": between(day.counted),
        "units": Amount(day.units, "unit"),
    }


def _data(day: DayFacts) -> dict[str, object]:
    return {
        "day": day.day.isoformat(),
        "meals": len(day.meals),
        "counted_carbs_g": day.counted.value,
        "units": day.units,
    }


def span(ctx: Context, said: KitchenSentence) -> Outcome:
    """ "this week", "last week", "last 7 days": each day, then means and nutrients."""
    first, last = ranges(ctx.now.date())[said.form]
    found = days(ctx, first, last)
    full = [day for day in found if day.meals]
    if not any(day.lines for day in found):
        return answered(answer("span-nothing", first=Day(first), last=Day(last)))
    meals = [meal for day in found for meal in day.meals]
    units = sum((day.units for day in found), Fraction(0))
    lines = [answer("span", first=Day(first), last=Day(last),
                    meals=Amount(Fraction(len(meals)), "meal"), units=Amount(units, "unit"),
                    days=Amount(Fraction(len(full)), "day"))]  # fmt: skip
    lines.extend(fact("span-day", day=Day(day.day), **_sum_args(day)) for day in found if day.lines)
    empty = [day for day in found if not day.lines]
    if empty:
        lines.append(fact("span-empty", days=Listed(tuple(Day(day.day) for day in empty))))
    if len(found) > 1:
        counts = tuple(day.counted.value if day.meals else None for day in found)
        lines.append(fact("span-spark", spark=Spark(counts, "g")))
        doses = tuple(day.units if day.lines else None for day in found)
        lines.append(fact("span-spark-units", spark=Spark(doses, "unit")))
    if full:
        mean = sum((day.counted.value for day in full), Fraction(0)) / len(full)
        days_with = Amount(Fraction(len(full)), "day")
        lines.append(fact("span-mean", counted=grams(mean), days=days_with))
    lines.extend(_by_name(meals))
    lines.extend(_goal_days(ctx, full))
    nutrients = nutrient_lines(meals)
    if nutrients and len(full) > 1:
        lines.extend(mean_lines(meals, len(full)))
    else:
        lines.extend(nutrients)
    return answered(*lines, facts={"days": [_data(day) for day in found]})


def _by_name(meals: Sequence[MealCounted]) -> list[Line]:
    """Breakfast, lunch and so on, where meals were said to be that."""
    found: dict[str, list[MealCounted]] = {}
    for meal in meals:
        found.setdefault(meal_name(meal.said), []).append(meal)
    if set(found) <= {""}:
        return []
    lines = []
    for name, those in sorted(found.items(), key=lambda pair: (not pair[0], pair[0])):
        total = sum((m.counted.value for m in those), Fraction(0))
        args: dict[str, Arg] = {
            "meals": Amount(Fraction(len(those)), "meal"),
            "counted": grams(total),
            "mean": grams(total / len(those)),
        }
        if name:
            lines.append(fact("span-meal", name=Name(name), **args))
        else:
            lines.append(fact("span-meal-unnamed", **args))
    return lines


def _goal_days(ctx: Context, full: Sequence[DayFacts]) -> list[Line]:
    wanted = goal(ctx)
    if wanted is None or not full:
        return []
    within = sum(1 for day in full if day.counted.value <= wanted)
    return [fact("goal-days", goal=grams(wanted), within=Amount(Fraction(within), ""),
                 days=Amount(Fraction(len(full)), "day"))]  # fmt: skip


def set_goal(ctx: Context, said: KitchenSentence) -> Outcome:
    """ "my goal is 180 g of carbohydrate a day"; "no goal". There is none until it is said."""
    if said.form == "no-goal":
        return answered(answer("goal-none"), events=(GoalSaid(None),))
    number = said.number
    if not isinstance(number, Number) or number.value <= 0:
        return ask(Ask("number", "figure-odd", {"said": Said(said.parts["number"])}), ctx.text)
    if number.value > MOST_GOAL:
        return ask(Ask("number", "goal-large", {"goal": grams(number.value)}), ctx.text)
    return answered(answer("goal-set", goal=grams(number.value)), next_step("what is left"),
                    events=(GoalSaid(number.value),))  # fmt: skip


def left(ctx: Context) -> Outcome:
    """ "what is left" of today's goal."""
    wanted, rest = goal(ctx), left_of_goal(ctx)
    if wanted is None or rest is None:
        return answered(answer("fits-no-goal"), next_step("my goal is ... g of carbohydrate a day"))
    args: dict[str, Arg] = {"goal": grams(wanted), "left": grams(abs(rest))}
    lines = [answer("goal-left" if rest >= 0 else "goal-passed", **args)]
    return answered(*lines, next_step("what can I have", "today"), facts={"left_g": rest})

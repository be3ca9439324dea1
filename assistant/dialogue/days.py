"""A day or a week: what was counted and dosed, nutrients, the goal of the day. Facts only."""

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue import lookback_lines as told
from assistant.dialogue.day_lines import (
    DayFacts,
    SomeDays,
    about_sums,
    day_data,
    some_days,
    sum_args,
)
from assistant.dialogue.day_lines import today as day_of_now
from assistant.dialogue.day_nutrients import mean_lines, nutrient_lines
from assistant.dialogue.goals import goal_days, goal_line
from assistant.dialogue.meal_lines import grams
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact
from assistant.dialogue.paging import PAGE, page
from assistant.dialogue.periods import MOST, ranges
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.diary.entries import units_of
from assistant.diary.figures import doses_by_meal, meals_by_part
from assistant.values import Amount, Arg, Day, Listed, Spark
from grammar.kitchen import KitchenSentence

MOST_BLOCKS = 31
"""More days than this are told by the week, and not one by one."""


def today(ctx: Context, start: int = 0) -> Outcome:
    """Meals, doses and readings since midnight, in order of time; dropped meals do not count."""
    here = day_of_now(ctx)
    if not here.lines:
        return answered(answer("today-nothing"))
    args = sum_args(here)
    total = answer("today", **{k: args[k] for k in ("meals", "counted", "units")})
    data = {"meals": len(here.meals), "counted_carbs_g": here.counted.value, "units": here.units}
    after = _after(ctx, here)
    if len(here.lines) > PAGE:
        outcome = page(total, here.lines, "today", start, {"today": data})
        whole = (*outcome.reply.lines, *after)
        return replace(outcome, reply=replace(outcome.reply, lines=whole))
    return answered(total, *here.lines, *after, facts={"today": data})


def _after(ctx: Context, here: DayFacts) -> list[Line]:
    """The goal, what the sums hold or lack, and the nutrients of a day, behind its entries."""
    clocks = (ctx.now,) if here.day == ctx.now.date() else ()
    lines = about_sums(here.diary, clocks)
    if here.meals:
        lines = [*goal_line(ctx, here), *lines, *nutrient_lines(here.meals)]
    return lines


def yesterday(ctx: Context) -> Outcome:
    """Meals, doses and readings of yesterday, then the goal and the nutrients."""
    day = ctx.now.date() - timedelta(days=1)
    (here,) = some_days(ctx, day, day).days
    if not here.lines:
        return answered(answer("yesterday-nothing"))
    head = answer("yesterday", **sum_args(here))
    return answered(head, *here.lines, *_after(ctx, here), facts={"yesterday": day_data(here)})


def _range(ctx: Context, said: KitchenSentence) -> tuple[date, date] | None:
    if said.form != "some-days":
        return ranges(ctx.now.date())[said.form]
    count = said.count
    if not 0 < count <= MOST:
        return None
    return ctx.now.date() - timedelta(days=count - 1), ctx.now.date()


def span(ctx: Context, said: KitchenSentence) -> Outcome:
    """ "this week", "last 14 days", "last month": each day, then means and nutrients."""
    wanted = _range(ctx, said)
    if wanted is None:
        return ask(Ask("misread", "period-too-long", hint=("last 14 days",)), ctx.text)
    found = some_days(ctx, *wanted)
    first, last = Day(wanted[0]), Day(wanted[1])
    full = [day for day in found.days if day.meals]
    if not any(day.lines for day in found.days):
        return answered(answer("span-nothing", first=first, last=last))
    units = sum((day.units for day in found.days), Fraction(0))
    lines = [answer("span", first=first, last=last, units=Amount(units, "unit"),
                    meals=Amount(Fraction(len(found.meals)), "meal"),
                    days=Amount(Fraction(len(full)), "day"))]  # fmt: skip
    lines += _each_day(found.days)
    if len(found.days) > 1:
        counts = tuple(day.counted.value if day.meals else None for day in found.days)
        lines.append(fact("span-spark", spark=Spark(counts, "g")))
        doses = tuple(day.units if day.lines else None for day in found.days)
        lines.append(fact("span-spark-units", spark=Spark(doses, "unit")))
    if full:
        mean = sum((day.counted.value for day in full), Fraction(0)) / len(full)
        days_with = Amount(Fraction(len(full)), "day")
        lines.append(fact("span-mean", counted=grams(mean), days=days_with))
    lines += _by_meal(found)
    lines += goal_days(ctx, full)
    lines += about_sums(found.diary)
    nutrients = nutrient_lines(found.meals)
    if nutrients and len(full) > 1:
        lines.extend(mean_lines(found.meals, len(full)))
    else:
        lines.extend(nutrients)
    return answered(*lines, facts={"days": [day_data(day) for day in found.days]})


def _each_day(days: Sequence[DayFacts]) -> list[Line]:
    """A line for each day with entries, and which have none; of many days the blocks alone."""
    if len(days) > MOST_BLOCKS:
        return []
    lines = [fact("span-day", day=Day(day.day), **sum_args(day)) for day in days if day.lines]
    empty = tuple(Day(day.day) for day in days if not day.lines)
    if empty:
        lines.append(fact("span-empty", days=Listed(empty)))
    return lines


def _by_meal(found: SomeDays) -> list[Line]:
    """Breakfast, lunch and so on, by name or by the clock, with the insulin taken beside them."""
    here = found.diary
    doses, apart = doses_by_meal(found.whole, here)
    lines = []
    for part, meals in meals_by_part(here):
        total = sum((m.counted.value for m in meals), Fraction(0))
        args: dict[str, Arg] = {
            "name": told.called(part),
            "meals": Amount(Fraction(len(meals)), "meal"),
            "counted": grams(total),
            "mean": grams(total / len(meals)),
            "units": Amount(units_of(doses.get(part, ())), "unit"),
        }
        lines.append(fact("span-meal", **args))
    if apart:
        lines.append(fact("span-apart", doses=Amount(Fraction(len(apart)), "dose"),
                          units=Amount(units_of(apart), "unit")))  # fmt: skip
    if any(not meal.named for meal in here.meals):
        lines.append(fact("span-by-clock"))
    return lines

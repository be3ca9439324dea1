"""The user's own goal of a day: set, taken back, and what is left of it. There is no default."""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction

from assistant.dialogue import lookback_lines as told
from assistant.dialogue.day_lines import DayFacts, today
from assistant.dialogue.events import GoalSaid
from assistant.dialogue.meal_lines import grams
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact, next_step
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Said, decimal_text
from grammar.kitchen import KitchenSentence
from grammar.nodes import Number
from grammar.numbers import read_number

MOST_GOAL = Fraction(1000)
"""Grams a day above which a goal is asked about (common practice, no source)."""
EXAMPLE = "my goal is ... g of carbohydrate a day"


def goal(ctx: Context) -> Fraction | None:
    """The goal of now in grams; None where none was said."""
    last = ctx.record.events(("goal-said",), last=1)
    return _grams(last)


def goal_on(said: Sequence[Kept], day: date) -> Fraction | None:
    """The goal that held at the end of a day: one that was said later is none of that day."""
    return _grams([k for k in said if k.said_at.date() <= day])


def _grams(said: Sequence[Kept]) -> Fraction | None:
    event = said[-1].event if said else None
    return event.grams if isinstance(event, GoalSaid) else None


def left_of_goal(ctx: Context) -> tuple[Fraction | None, list[Line]]:
    """Grams left of today's goal (below nought where it is passed), None without a goal; and what
    is not in the sum."""
    wanted = goal(ctx)
    if wanted is None:
        return None, []
    here = today(ctx)
    return wanted - here.counted.value, told.refused_lines(here.diary)


def goal_line(ctx: Context, day: DayFacts) -> list[Line]:
    """What is left of the goal today, or was left on a day that is over."""
    now = day.day == ctx.now.date()
    wanted = goal(ctx) if now else goal_on(ctx.record.events(("goal-said",)), day.day)
    if wanted is None:
        return []
    rest = wanted - day.counted.value
    args: dict[str, Arg] = {"goal": grams(wanted), "left": grams(abs(rest))}
    if now:
        return [fact("goal-left" if rest >= 0 else "goal-passed", **args)]
    return [fact("goal-left-then" if rest >= 0 else "goal-passed-then", **args)]


def goal_days(ctx: Context, full: Sequence[DayFacts]) -> list[Line]:
    """On how many days with meals the goal of that day was kept, for each goal that held."""
    said = ctx.record.events(("goal-said",))
    by_goal: dict[Fraction, list[DayFacts]] = {}
    for day in full:
        wanted = goal_on(said, day.day)
        if wanted is not None:
            by_goal.setdefault(wanted, []).append(day)
    return [
        fact("goal-days", goal=grams(wanted), days=Amount(Fraction(len(those)), "day"),
             within=Amount(Fraction(sum(d.counted.value <= wanted for d in those)), ""))
        for wanted, those in by_goal.items()
    ]  # fmt: skip


def set_goal(ctx: Context, said: KitchenSentence) -> Outcome:
    """ "my goal is 180 g of carbohydrate a day"; "no goal". There is none until it is said."""
    if said.form == "no-goal":
        return answered(answer("goal-none"), events=(GoalSaid(None),))
    number = said.number
    if not isinstance(number, Number) or number.value <= 0:
        slot = Slot("grams", (f"my goal is {ANSWER} a day",))
        args: dict[str, Arg] = {"said": Said(said.parts["number"])}
        return ask(Ask("number", "goal-odd", args, slot=slot, hint=(EXAMPLE, "no goal")), ctx.text)
    sure = read_number(said.parts.get("sure", ""))
    if number.value > MOST_GOAL and not (isinstance(sure, Number) and sure.value == number.value):
        # the same figure again is meant; another one is looked at anew
        slot = Slot("grams", (f"my goal is {ANSWER} a day, {decimal_text(number.value)} is right",))
        wanted = {"goal": grams(number.value)}
        return ask(Ask("number", "goal-large", wanted, slot=slot, hint=("cancel",)), ctx.text)
    return answered(answer("goal-set", goal=grams(number.value)), next_step("what is left"),
                    events=(GoalSaid(number.value),))  # fmt: skip


def left(ctx: Context) -> Outcome:
    """ "what is left" of today's goal."""
    wanted, (rest, missing) = goal(ctx), left_of_goal(ctx)
    if wanted is None or rest is None:
        return answered(answer("fits-no-goal"), next_step(EXAMPLE))
    args: dict[str, Arg] = {"goal": grams(wanted), "left": grams(abs(rest))}
    lines = [answer("goal-left" if rest >= 0 else "goal-passed", **args), *missing]
    return answered(*lines, next_step("what can I have", "today"), facts={"left_g": rest})

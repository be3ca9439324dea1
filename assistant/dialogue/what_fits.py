""" "what can I have with 30 g left": of each own food the most that stays within."""

from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.events import ListShown
from assistant.dialogue.goals import left_of_goal
from assistant.dialogue.meal_lines import grams
from assistant.dialogue.meal_questions import MAX_GRAMS
from assistant.dialogue.outcome import Outcome, answer, answered, fact, next_step
from assistant.dialogue.paging import page
from assistant.dialogue.portion_finder import Found, Way, asked_for, find, shown_amount
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, decimal_text
from grammar.kitchen import KitchenSentence
from grammar.nodes import Number
from grammar.words import name_key


def what_fits(ctx: Context, said: KitchenSentence, start: int = 0) -> Outcome:
    """ "what can I have with 30 g left": for each own food, the most that stays within."""
    left: Fraction | Outcome | None
    missing: list[Line] = []
    if "number" in said.parts:
        left = asked_for(ctx, said.number, said.parts["number"])
    elif ctx.settings.policy is None:
        left = asked_for(ctx, Number(Fraction(0), ""), "")
    else:
        left, missing = left_of_goal(ctx)
    if isinstance(left, Outcome):
        return left
    if left is None:
        return answered(answer("fits-no-goal"), next_step("what can I have with 30 g left"))
    if left <= 0:
        return answered(answer("fits-nothing-left"), *missing, next_step("today"))
    rows, skipped = _rows(ctx, left)
    if not rows:
        return answered(answer("fits-none", left=grams(left)), *missing, next_step("foods"))
    head = answer("fits", left=grams(left))
    outcome = page(head, rows, f"what can I have with {decimal_text(left)} g left", start, {})
    lines = outcome.reply.lines
    if skipped and not any(isinstance(e, ListShown) and e.sentence for e in outcome.events):
        names = Listed(tuple(Name(n) for n in skipped[:12]))
        lines = (*lines, fact("fits-skipped", count=Amount(Fraction(len(skipped)), "food"),
                              foods=names))  # fmt: skip
    lines = (*lines, *missing, fact("find-no-dose"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def _too_much(way: Way) -> bool:
    """No portion: kilograms of something with next to no carbohydrate."""
    return way.unit in {"gram", "millilitre"} and way.rounded > MAX_GRAMS / 2


def _rows(ctx: Context, left: Fraction) -> tuple[list[Line], list[str]]:
    """A line for each food of the user's own, and the names of those that cannot be told."""
    rows, skipped = [], []
    for name in ctx.foods.names():
        foods = ctx.foods.exact(name_key(name))
        found = find(ctx, foods[0], left, down=True) if len(foods) == 1 else None
        if not isinstance(found, Found) or not found.ways or _too_much(found.ways[0]):
            skipped.append(name)
            continue
        args: dict[str, Arg] = {"food": Name(name)}
        for at, way in enumerate(found.ways[:2]):
            args[("amount", "other")[at]] = shown_amount(way.rounded, way.unit)
            args[("counted", "other_counted")[at]] = grams(way.counted.value)
        rows.append(fact("fits-row" if len(found.ways) == 1 else "fits-row-two", **args))
    return rows, skipped

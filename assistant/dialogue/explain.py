"""Questions about what is known: why, what is active, today, how much, compare, glossary."""

import re
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.counting.policy import Unknown, count_reference
from assistant.counting.portions import Weighed, weigh
from assistant.dialogue.events import (
    DoseRefused,
    DoseSuggested,
    MealCounted,
)
from assistant.dialogue.meal_lines import (
    active_line,
    curve_line,
    grams,
    hours_of,
    total_line,
)
from assistant.dialogue.naming import one_food
from assistant.dialogue.offers import OTHER_SENTENCES, POLICIES, SETTING_SENTENCES
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact, next_step
from assistant.dialogue.recipe_now import current
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import in_own_words
from assistant.dialogue.state import Context
from assistant.dosing.active import active
from assistant.values import Amount, Arg, Between, Listed, Moment, Name, Said
from grammar import patterns
from grammar.foods import FoodSentence
from grammar.nodes import MeasureWord
from grammar.words import name_key

GLOSSARY = {
    "serving": "serving",
    "serving size": "serving",
    "total carbohydrate": "total",
    "net carbohydrate": "net",
    "net carb": "net",
    "fibre": "fibre",
    "fiber": "fibre",
    "sugar alcohol": "polyols",
    "sugar alcohols": "polyols",
    "polyols": "polyols",
    "polyol": "polyols",
    "daily value": "daily-value",
    "percent daily value": "daily-value",
    "insulin to carb ratio": "ratio",
    "carb ratio": "ratio",
    "ratio": "ratio",
    "correction factor": "factor",
    "active insulin": "active",
    "target": "target",
}
"""Terms of the trade -> the code of their text."""


def _seen_from(arg: Arg, ctx: Context) -> Arg:
    """An argument of a kept line, with its times seen from now."""
    if isinstance(arg, Moment):
        return ctx.moment(arg.at)
    if isinstance(arg, Listed):
        return Listed(tuple(_seen_from(a, ctx) for a in arg.items))
    return arg


def why(ctx: Context) -> Outcome:
    """The last working in full."""
    kept = ctx.last_worked()
    if kept is None:
        return answered(answer("nothing-to-explain"))
    event = kept.event
    assert isinstance(event, MealCounted | DoseSuggested | DoseRefused)
    lines = [answer("why", said=Said(in_own_words(event.said)), moment=ctx.moment(kept.said_at))]
    is_open = ctx.suggestion is not None and ctx.suggestion.turn == kept.turn
    if isinstance(event, MealCounted):
        lines.append(replace(total_line(event.counted, "answer-count"), role="answer"))
    for line in event.lines:
        if line.role == "next":
            continue
        if line.code == "suggest" and not is_open:
            lines.append(answer("suggested-then", **line.args))
            continue
        lines.append(replace(line, args={k: _seen_from(a, ctx) for k, a in line.args.items()}))
    facts: dict[str, object] = {"explained": event.said, "kind": event.kind}
    return answered(*lines, facts=facts)


def what_is_active(ctx: Context) -> Outcome:
    """Each dose that still works, its time, and what is left."""
    duration = ctx.settings.duration
    if duration is None:
        return answered(answer("active-no-duration"), next_step(SETTING_SENTENCES["duration"]))
    shape = ctx.settings.active_shape
    if shape is None:
        sentences = (SETTING_SENTENCES["active_shape"], OTHER_SENTENCES["active_shape"])
        return answered(answer("active-no-shape"), next_step(*sentences))
    lefts = active(ctx.doses, ctx.now, duration, shape)
    total = sum((left.units for left in lefts), Fraction(0))
    lines = [answer("active-total" if lefts else "active-none", total=Amount(total, "unit"))]
    for left in lefts:
        lines.append(active_line(left, shape, ctx.now))
    if lefts and shape == "curve":
        lines.append(curve_line(duration))
    if lefts:
        lines.append(fact(f"active-{shape}", hours=hours_of(duration)))
    if ctx.record_gap():
        lines.append(Line("caution", "rule-record-gap"))
    if ctx.unsettled_elsewhere():
        lines.append(Line("caution", "rule-unsettled-dose"))
    if ctx.suggestion is not None:
        waiting = ctx.open_suggestion()
        assert waiting is not None
        lines.append(
            Line("caution", "open-suggestion",
                 {"units": Amount(waiting.units, "unit"), "moment": waiting.moment})
        )  # fmt: skip
        if waiting.settings_changed:
            lines.append(Line("caution", "rule-settings-changed", {"moment": waiting.moment}))
    data = [{"units": x.taken.units, "at": x.taken.at, "left": x.units} for x in lefts]
    return answered(*lines, facts={"active_units": total, "doses": data, "shape": shape})


def compare(ctx: Context, said: FoodSentence) -> Outcome:
    """ "compare oat cereal and rye bread": on 100 g, or on 100 ml."""
    foods: list[Food] = []
    for part in ("first", "second"):
        food = one_food(ctx, said.parts[part])
        if isinstance(food, Outcome):
            return food
        now = current(ctx, food)
        if isinstance(now, Ask):
            return ask(now, ctx.text)
        foods.append(now)
    policy = ctx.settings.policy
    if policy is None:
        return answered(answer("policy-first"), next_step(*POLICIES))
    for unit in ("gram", "millilitre"):
        word = MeasureWord(unit, "mass" if unit == "gram" else "volume", unit)
        lines = []
        for food in foods:
            weighed = weigh(food.facts, Fraction(100), word, food.facts.name, ctx.settings.kitchen)
            counted = count_reference(food.facts, policy, ctx.settings.polyols)
            if not isinstance(weighed, Weighed) or isinstance(counted, Unknown):
                break
            total = counted.result.times(weighed.factor)
            lines.append(
                answer("compare", food=Name(food.facts.name), counted=grams(total.value),
                       range=Between(total.low, total.high, "g"),
                       amount=Amount(Fraction(100), "g" if unit == "gram" else "ml"))
            )  # fmt: skip
        if len(lines) == len(foods):
            return answered(*lines)
    return answered(answer("compare-none", first=Name(foods[0].facts.name),
                           second=Name(foods[1].facts.name)))  # fmt: skip


_TERM = patterns.compile(
    r"\s*(?:what\s+(?:is|are|does)|explain|define)\s+(?:an?\s+|the\s+)?(?P<term>.+?)"
    r"(?:\s+mean)?\s*[?.!]*\s*",
    re.I | re.S,
)


def glossary(text: str) -> Outcome | None:
    """ "what is net carbohydrate"; None when no term is asked for."""
    match = _TERM.fullmatch(text)
    if not match:
        return None
    code = GLOSSARY.get(name_key(match["term"]))
    return answered(answer(f"term-{code}")) if code else None

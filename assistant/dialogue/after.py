"""Looking back: what happened after a meal or a food, how glucose was, the report for the visit.

Facts only: nothing here changes a setting, works out a dose or names another ratio.
"""

import re

from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.dialogue import lookback_lines as told
from assistant.dialogue.diary_of import diary_of
from assistant.dialogue.glucose import user_unit
from assistant.dialogue.naming import one_food
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, caution, fact, next_step
from assistant.dialogue.periods import BadPeriod, days_of
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.dialogue.visit import summary_lines
from assistant.diary.entries import Days, Diary
from assistant.diary.figures import After, Figures, after, figures
from assistant.diary.parts_of_day import meal_of_day
from assistant.values import Arg, CalendarDay, GlucoseUnit, Phrase, Said
from grammar import patterns
from grammar.lookback import Lookback, LookbackMisread, read_lookback
from grammar.words import name_key

REPORT = "report"
"""The fact by which the shell knows that a report is to be written."""
_MEALS = {
    "breakfast": "breakfast", "lunch": "lunch", "dinner": "dinner", "supper": "dinner",
    "brunch": "brunch", "snack": "snack", "snacks": "snack", "a snack": "snack",
    "breakfasts": "breakfast", "lunches": "lunch", "dinners": "dinner", "suppers": "dinner",
    "meals": "", "my meals": "", "eating": "", "a meal": "", "food": "", "each meal": "",
    "a night snack": "night", "night meals": "night", "meals at night": "night",
}  # fmt: skip
"""What stands behind "after" -> the meal of the day; "" for all meals."""


def look_back(ctx: Context) -> Outcome | None:
    """The turn for a sentence that looks back; None for any other, and for a food of that name."""
    said = read_lookback(ctx.text)
    if said is None or ctx.foods.exact(name_key(ctx.text)):
        return None
    if isinstance(said, LookbackMisread):
        return ask(Ask("misread", f"lookback-misread-{said.form}", {"said": Said(said.said)},
                       unread=(said.said,), hint=_EXAMPLES[said.form]), ctx.text)  # fmt: skip
    days = days_of(said.period, said.form, ctx.now.date())
    if isinstance(days, BadPeriod):
        return ask(Ask("misread", f"period-{days.why}", hint=_EXAMPLES[said.form]), ctx.text)
    if said.period.last is not None and said.period.last > days.last:
        note = fact("period-until-today", last=CalendarDay(days.last))
        return _noted(_answer(ctx, said, days), note)
    return _answer(ctx, said, days)


def _noted(outcome: Outcome, note: Line) -> Outcome:
    return replace(outcome, reply=replace(outcome.reply, lines=(*outcome.reply.lines, note)))


def _answer(ctx: Context, said: Lookback, days: Days) -> Outcome:
    if said.form == "after":
        return _after(ctx, said, days)
    whole = diary_of(ctx.record, days.first)
    found = figures(whole, days, unit_of(ctx, whole))
    return _glucose(found) if said.form == "glucose" else _report(said, found)


_EXAMPLES = {
    "after": ("what happened after lunch", "what happened after lunch last week"),
    "glucose": ("how was my glucose this week", "how was my glucose in the last 14 days"),
    "report": ("report for the visit", "report for the visit from ... to ..."),
}


def unit_of(ctx: Context, diary: Diary) -> GlucoseUnit:
    """The user's unit; else that of the newest reading."""
    newest = diary.readings[-1].glucose.unit if diary.readings else "mg/dL"
    return user_unit(ctx.settings) or newest


def _span(days: Days) -> dict[str, Arg]:
    return {"first": CalendarDay(days.first), "last": CalendarDay(days.last)}


def _glucose(found: Figures) -> Outcome:
    """ "how was my glucose this week": spread, bands, lows, the rise after meals."""
    span = _span(found.days)
    if found.glucose is None:
        head = [answer("glucose-none", **span)]
        if found.lows:
            head += told.low_lines(found.lows)
        return answered(*head, next_step("glucose ... at ..."),
                        facts={"lookback": told.figures_data(found)})  # fmt: skip
    days = sum(1 for day in found.by_day if day.readings)
    lines: list[Line] = [
        answer("glucose-span", count=told.counted(found.glucose.n, "reading"),
               days=told.counted(days, "day"), all=told.number(len(found.days)), **span)
    ]  # fmt: skip
    lines += told.glucose_lines(found)
    lines += told.low_lines(found.lows)
    lines += [line for each in found.after_meal if (line := told.rise_line(each, found.unit))]
    lines += told.left_lines(found.after)
    lines += told.pattern_lines(found)
    lines.append(next_step("what happened after lunch", "report for the visit"))
    return answered(*lines, facts={"lookback": told.figures_data(found)})


def _after(ctx: Context, said: Lookback, days: Days) -> Outcome:
    """ "what happened after lunch", "what happened after oat cereal"."""
    whole = diary_of(ctx.record, days.first)
    unit = unit_of(ctx, whole)
    meals = whole.within(days).meals
    what_said = _bare(ctx, said.what)
    name = _MEALS.get(name_key(what_said))
    food: Food | None = None
    if name is None:
        one = one_food(ctx, what_said)
        if isinstance(one, Outcome):
            return one
        food = one
        name = food.facts.name
        meals = tuple(m for m in meals if m.has(name))
    elif name:
        meals = tuple(m for m in meals if meal_of_day(m) == name)
    found = after(name, whole, meals, unit)
    what = told.called(name) if name else Phrase("meal-any")
    span: dict[str, Arg] = {"what": what, **_span(days)}
    data = {"after": {**told.after_data(found), "unit": unit, "first": days.first.isoformat(),
                      "last": days.last.isoformat()}}  # fmt: skip
    if not meals:
        return answered(answer("after-none", **span), facts=data)
    if found.rise is None:
        lines = [answer("after-not-measured", meals=told.counted(len(meals), "meal"), **span)]
        return answered(*lines, *told.left_lines(found), fact("after-how"),
                        next_step("glucose ... at ..."), facts=data)  # fmt: skip
    lines = [_head(found, unit, span)]
    lines += told.after_lines(found, unit)
    lines += told.left_lines(found)
    lines += told.pair_lines(found, unit)
    if food is not None and any(len(p.meal.parts) > 1 for p in found.paired.measured):
        lines.append(fact("after-other-foods"))
    lines.append(fact("after-rules"))
    lines.append(caution("after-facts-only"))
    return answered(*lines, facts=data)


def _bare(ctx: Context, words: str) -> str:
    """The words without "the" or "my" before them, unless a food is called so."""
    bare = patterns.sub(r"^(?:my|the)\s+(?=\S)", "", words, flags=re.I)
    return words if ctx.foods.exact(name_key(words)) else bare


def _head(found: After, unit: GlucoseUnit, span: dict[str, Arg]) -> Line:
    rise = found.rise
    assert rise is not None
    args: dict[str, Arg] = {"meals": told.counted(rise.n, "meal"), **span}
    args["rise"] = told.level(abs(rise.mean), unit)
    if rise.n == 1:
        return answer("after-one" if rise.mean >= 0 else "after-one-fall", **args)
    args["range"] = told.ends(rise, unit)
    return answer("after-mean" if rise.mean >= 0 else "after-mean-fall", **args)


def _report(said: Lookback, found: Figures) -> Outcome:
    """ "report for the visit": what it begins with. The shell writes it into the data folder."""
    data = {REPORT: {**told.figures_data(found), "shape": said.shape or "html"}}
    if not found.with_data:
        span = _span(found.days)
        return answered(answer("report-nothing", **span), next_step(*_EXAMPLES["report"]))
    lines = summary_lines(found)
    again = f"report for the visit from {found.days.first} to {found.days.last} as"
    return answered(*lines, caution("visit-typed"), next_step(f"{again} markdown", f"{again} CSV"),
                    facts=data)  # fmt: skip

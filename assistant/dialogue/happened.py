"""What happened: doses taken or not, readings, dropping what is open, undoing."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue.events import (
    AliasSaved,
    DoseSuggested,
    DoseTaken,
    Event,
    FoodForgotten,
    FoodSaved,
    GlucoseRead,
    MealCounted,
    MeasureSaved,
    QuestionClosed,
    SettingSaid,
    SuggestionClosed,
    Undone,
)
from assistant.dialogue.glucose import settle
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
    next_step,
    yes_no,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.dosing.rules import is_low
from assistant.values import Amount, Arg, Glucose, Name, Said, decimal_text
from grammar.nodes import Number, Unclear
from grammar.statements import Statement, When

MOST = Fraction(100)
"""Units in one dose above which the figure itself is doubted (common practice, no source)."""
APART = timedelta(minutes=2)
"""A dose dated this long before the suggestion was not the suggested one."""

UNDOABLE = (
    "dose-taken", "suggestion-closed", "glucose-read", "meal-counted", "dose-suggested",
    "alias-saved", "food-saved", "measure-saved", "food-forgotten",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Later:
    """The time of day said is still to come today."""

    minute: int


def _moment(when: When | None, now: datetime) -> datetime | _Later:
    """When it happened. A bare time of day is today's, never in the future."""
    if when is None:
        return now
    if when.ago is not None:
        return now - timedelta(seconds=float(when.ago * 60))
    if when.minute is None:
        return now
    day = now.replace(hour=when.minute // 60, minute=when.minute % 60, second=0, microsecond=0)
    if when.day == "yesterday":
        return day - timedelta(days=1)
    return _Later(when.minute) if day > now else day


def _ask_day(ctx: Context) -> Outcome:
    """ "took 4 units at 23:00" said at noon: yesterday's, or a slip?"""
    yesterday = ctx.text.rstrip(" .!") + " yesterday"
    return ask(
        Ask("time", "ask-later-today", {"moment": ctx.moment(ctx.now)},
            choices=(choice("choice-yesterday", yesterday, word="yesterday"),
                     choice("choice-no", "cancel", word="no"))), ctx.text
    )  # fmt: skip


def took(ctx: Context, statement: Statement) -> Outcome:
    """ "took 4 units at 12:45": a fact, since it is in the body."""
    waiting = ctx.suggestion.event if ctx.suggestion else None
    if isinstance(statement.number, Unclear):
        args = {"said": Said(statement.number.said)}
        return ask(Ask("number", f"figure-{statement.number.why}", args), ctx.text)
    if statement.number is None:
        if not isinstance(waiting, DoseSuggested):
            return ask(Ask("number", "took-how-many", hint=("took 4 units",)), ctx.text)
        units = waiting.units
    else:
        assert isinstance(statement.number, Number)
        units = statement.number.value
    sure = ctx.text.rstrip().endswith("that is right")
    if units > MOST and not sure:
        again = ctx.text.rstrip(" .!") + ", that is right"
        return ask(
            Ask("number", "took-very-many", {"units": Amount(units, "unit")},
                choices=yes_no(again)), ctx.text
        )  # fmt: skip
    at = _moment(statement.when, ctx.now)
    if isinstance(at, _Later):
        return _ask_day(ctx)
    return _log_dose(ctx, units, at, waiting if isinstance(waiting, DoseSuggested) else None)


def _log_dose(
    ctx: Context, units: Fraction, at: datetime, waiting: DoseSuggested | None
) -> Outcome:
    lines: list[Line] = [answer("dose-logged", units=Amount(units, "unit"), moment=ctx.moment(at))]
    events: list[Event] = [DoseTaken(units, at)]
    if waiting is not None and ctx.suggestion is not None:
        args: dict[str, Arg] = {"units": Amount(waiting.units, "unit")}
        if at < ctx.suggestion.said_at - APART:
            events.append(SuggestionClosed("cancelled"))
            lines.append(caution("dose-before-suggestion", **args))
        else:
            events.append(SuggestionClosed("taken"))
            if units != waiting.units:
                lines.append(fact("dose-differs", **args))
            if units >= 10 * waiting.units or units * 10 <= waiting.units:
                lines.append(caution("dose-ten-times", **args))
    cap = ctx.settings.cap_dose
    if cap is not None and units > cap:
        lines.append(caution("dose-over-cap", cap=Amount(cap, "unit")))
    lines.append(next_step("what is active now", "undo"))
    taken = {"units": units, "at": at}
    return answered(*lines, events=tuple(events), facts={"taken": taken})


def not_taken(ctx: Context) -> Outcome:
    """The open suggestion was declined."""
    event = ctx.suggestion.event if ctx.suggestion else None
    if not isinstance(event, DoseSuggested):
        return answered(answer("no-open-suggestion"))
    return answered(
        answer("not-taken", units=Amount(event.units, "unit")),
        events=(SuggestionClosed("not taken"),),
    )


def cancel(ctx: Context) -> Outcome:
    """Drops the open question; else the open suggestion."""
    if ctx.question is not None:
        return answered(
            answer("question-cancelled", said=Said(ctx.asked_text)), events=(QuestionClosed(),)
        )
    event = ctx.suggestion.event if ctx.suggestion else None
    if isinstance(event, DoseSuggested):
        return answered(
            answer("suggestion-cancelled", units=Amount(event.units, "unit")),
            events=(SuggestionClosed("cancelled"),),
        )
    return answered(answer("nothing-open"))


def glucose(ctx: Context, statement: Statement) -> Outcome:
    """ "glucose 143 at 12:40": a reading for the journal."""
    assert statement.number is not None
    said = statement.number.said if isinstance(statement.number, Number) else ""

    def put(figure: str) -> str:
        if not said:
            return f"glucose {figure}"
        at = ctx.text.index(said)
        return ctx.text[:at] + figure + ctx.text[at + len(said) :]

    unit = statement.unit if statement.unit in {"mg/dL", "mmol/L"} else None
    settled = settle(statement.number, unit, ctx.settings, put)  # type: ignore[arg-type]
    if isinstance(settled, Ask):
        return ask(settled, ctx.text)
    at = _moment(statement.when, ctx.now)
    if isinstance(at, _Later):
        return _ask_day(ctx)
    shown = Amount(settled.value, settled.unit)
    lines: list[Line] = [answer("glucose-logged", glucose=shown, moment=ctx.moment(at))]
    if is_low(settled):
        lines.append(caution("glucose-is-low", glucose=shown))
        lines.extend(Line("refusal", f"treat-low-{n}") for n in range(1, 6))
    return answered(
        *lines, events=(GlucoseRead(settled, at),), facts={"glucose": _data(settled, at)}
    )


def _data(glucose: Glucose, at: datetime) -> dict[str, object]:
    return {"value": glucose.value, "unit": glucose.unit, "at": at}


def _what_was(event: Event) -> Line | None:
    """What an undone event had said."""
    if isinstance(event, MealCounted):
        return fact("undone-meal", said=Said(event.said))
    if isinstance(event, DoseSuggested):
        return fact("undone-suggestion", units=Amount(event.units, "unit"))
    if isinstance(event, SuggestionClosed):
        return fact("undone-closing")
    if isinstance(event, GlucoseRead):
        return fact("undone-glucose", glucose=Amount(event.glucose.value, event.glucose.unit))
    if isinstance(event, AliasSaved):
        return fact("undone-alias", alias=Name(event.alias))
    if isinstance(event, FoodSaved):
        return fact("undone-food", food=Name(event.facts.name))
    if isinstance(event, MeasureSaved):
        return fact("undone-measure", unit=Name(event.measure.unit))
    if isinstance(event, FoodForgotten):
        return fact("undone-forgetting")
    return None


def undo(ctx: Context, *, sure: bool) -> Outcome:
    """Takes back the last turn that left something; a dose only after a yes."""
    last = ctx.record.events((*UNDOABLE, "setting-said"), last=1)
    if not last:
        return answered(answer("nothing-to-undo"))
    if isinstance(last[-1].event, SettingSaid):
        return answered(answer("setting-not-undone", said=Said(last[-1].event.said)))
    turn = last[-1].turn
    doses = [
        k for k in ctx.record.events(("dose-taken",), last=20)
        if k.turn == turn and isinstance(k.event, DoseTaken)
    ]  # fmt: skip
    if doses and not sure:
        event = doses[-1].event
        assert isinstance(event, DoseTaken)
        return ask(
            Ask("undo", "ask-undo-dose", {"units": Amount(event.units, "unit"),
                                          "moment": ctx.moment(event.taken_at)},
                choices=yes_no("undo the dose")), ctx.text
        )  # fmt: skip
    lines = [answer("undone", said=Said(last[-1].text), moment=ctx.moment(last[-1].said_at))]
    lines.extend(
        line
        for k in ctx.record.events(UNDOABLE, last=20)
        if k.turn == turn and (line := _what_was(k.event))
    )
    if doses:
        event = doses[-1].event
        assert isinstance(event, DoseTaken)
        lines.append(caution("undone-dose", units=Amount(event.units, "unit")))
        lines.append(next_step(f"took {decimal_text(event.units)} units"))
    return answered(*lines, events=(Undone(turn),))

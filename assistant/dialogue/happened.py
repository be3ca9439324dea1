"""What happened: doses taken or not, readings, dropping what is open, undoing."""

import re
from datetime import datetime, timedelta
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.clocks import on_clock
from assistant.dialogue.events import (
    ClockRight,
    DoseRefused,
    DoseSuggested,
    DoseTaken,
    Event,
    GlucoseRead,
    LowFelt,
    QuestionAsked,
    QuestionClosed,
    RecipeBegun,
    SuggestionClosed,
)
from assistant.dialogue.glucose import settle
from assistant.dialogue.lows import treat_low
from assistant.dialogue.outcome import (
    DROP,
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
    next_step,
    took_text,
    yes_no,
)
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.said_clock import ByClocks, Sentence, ask_clock, earlier_offsets
from assistant.dialogue.sentence_parts import ANSWER, in_own_words
from assistant.dialogue.state import Context
from assistant.dialogue.told_doses import clock_behind
from assistant.dosing.active import Taken
from assistant.dosing.rules import is_low
from assistant.dosing.settings import span_of
from assistant.values import Amount, Arg, Glucose, Said, Typed, decimal_text
from grammar import patterns
from grammar.nodes import Number, Unclear
from grammar.statements import Statement, When

MOST = Fraction(100)
"""Units in one dose above which the figure itself is doubted (common practice, no source)."""
APART = timedelta(minutes=2)
"""A dose dated this long before the suggestion was not the suggested one."""


class Later(Struct, frozen=True):
    """The time of day said is still to come today."""

    minute: int


class HalfDay(Struct, frozen=True):
    """ "1:30" without am or pm, where both the morning's and the afternoon's have been."""

    said: str
    minute: int


def moment_of(when: When | None, now: datetime) -> datetime | Later | HalfDay:
    """When it happened. A bare time of day is today's, never in the future.

    12:45 and 07:30 are read on the 24 hour clock; 7:30 only where it cannot be 19:30.
    """
    if when is None:
        return now
    if when.ago is not None:
        return now - span_of(when.ago)
    if when.minute is None:
        return now
    if when.offset is not None:
        now = on_clock(now, when.offset)
    day = now.replace(hour=when.minute // 60, minute=when.minute % 60, second=0, microsecond=0)
    noon = when.minute // 60 == 12
    if when.twelve and noon:
        if when.day is None and day > now and day - timedelta(hours=12) <= now:
            return HalfDay(when.twelve, when.minute - 12 * 60)
    elif when.twelve and (when.day == "yesterday" or day + timedelta(hours=12) <= now):
        return HalfDay(when.twelve, when.minute)
    if when.day == "yesterday":
        return day - timedelta(days=1)
    return Later(when.minute) if day > now else day


def told_at(
    ctx: Context, when: When | None, said: datetime
) -> datetime | Later | HalfDay | ByClocks:
    """As moment_of, seen from when it was said; or the times by several clocks, where an earlier
    one may be meant."""
    here = moment_of(when, said)
    by_others = {o: moment_of(when, on_clock(said, o)) for o in earlier_offsets(ctx, when, said)}
    half = next((at for at in (here, *by_others.values()) if isinstance(at, HalfDay)), None)
    if half is not None:
        return half
    others = tuple((o, at) for o, at in by_others.items() if isinstance(at, datetime))
    return ByClocks(here if isinstance(here, datetime) else None, others) if others else here


def _ask_time(ctx: Context, when: When | None, at: Later | HalfDay | ByClocks) -> Outcome:
    if isinstance(at, ByClocks):
        assert when is not None
        before, said, behind = ctx.text.rpartition(when.said)
        sentence = Sentence(lambda other: before + other + behind, said, yesterday=True)
        return ask(ask_clock(ctx, when, at, sentence), ctx.text)
    return _ask_day(ctx) if isinstance(at, Later) else ask_half(ctx, at)


def ask_half(ctx: Context, at: HalfDay) -> Outcome:
    """ "took 4 units at 7:30" said in the evening: which half of the day?"""
    position = ctx.text.find(at.said)
    before, behind = ctx.text[:position], ctx.text[position + len(at.said) :]
    choices = tuple(
        choice("choice-text", before + _settled_clock(minute, word) + behind, word=word,
               text=Said(f"{minute // 60:02d}:{minute % 60:02d}"))
        for minute, word in ((at.minute, "am"), (at.minute + 12 * 60, "pm"))
    )  # fmt: skip
    return ask(Ask("time", "ask-half-day", {"said": Said(at.said)}, choices=choices), ctx.text)


def _settled_clock(minute: int, word: str) -> str:
    """A time of day that is read in one way: 10:45 and 12:30 may be of either half of the day."""
    said = f"{minute // 60:02d}:{minute % 60:02d}"
    return f"{said} {word}" if 10 <= minute // 60 <= 12 else said


def _ask_day(ctx: Context) -> Outcome:
    """ "took 4 units at 23:00" said at noon: yesterday's, or a slip?"""
    sure = patterns.search(r",?\s*that\s+is\s+right\s*[.!]*\s*$", ctx.text, re.I)
    plain = ctx.text[: sure.start()] if sure else ctx.text.rstrip(" .!")
    yesterday = f"{plain} yesterday" + (", that is right" if sure else "")
    return ask(
        Ask("time", "ask-later-today", {"moment": ctx.moment(ctx.now)},
            choices=(choice("choice-yesterday", yesterday, word="yesterday"),
                     choice("choice-no", "cancel", word="no"))), ctx.text
    )  # fmt: skip


def took(ctx: Context, statement: Statement) -> Outcome:
    """ "took 4 units at 12:45": a fact, since it is in the body."""
    waiting = ctx.suggestion.event if ctx.suggestion else None
    if isinstance(statement.number, Unclear):
        said = statement.number.said
        args: dict[str, Arg] = {"said": Said(said)}
        readings = statement.number.readings
        if statement.number.why == "comma" and len(readings) == 1:
            # a bare "1" chooses; units may be typed as "4.5" or "1 unit"
            yes = choice("choice-yes", ctx.text.replace(said, readings[0], 1), word="yes")
            no = choice("choice-no", "took units", word="no")
            args |= {"reading": Said(readings[0])}
            slot = Slot("number", (ctx.text.replace(said, ANSWER, 1),))
            return ask(Ask("number", "ask-comma-one", args, choices=(yes, no), slot=slot), ctx.text)
        # the answer goes where the figure stood, so that a time beside it is kept
        slot = Slot("number", (ctx.text.replace(said, ANSWER, 1),))
        return ask(Ask("number", f"took-{statement.number.why}", args, slot=slot), ctx.text)
    if statement.number is None:
        if not isinstance(waiting, DoseSuggested):
            slot = Slot("number", (f"took {ANSWER} units",))
            return ask(Ask("number", "took-how-many", slot=slot, hint=("cancel",)), ctx.text)
        units = waiting.units
    else:
        assert isinstance(statement.number, Number)
        units = statement.number.value
    sure = ctx.text.rstrip().endswith("that is right")
    if units > MOST and not sure:
        again = ctx.text.rstrip(" .!") + ", that is right"
        if statement.when is not None and statement.when.ago is not None:
            then = ctx.said - span_of(statement.when.ago)
            clock = f"{then.hour:02d}:{then.minute:02d}"
            again = f"took {decimal_text(units)} units at {clock}, that is right"
        return ask(
            Ask("number", "took-very-many", {"units": Amount(units, "unit")},
                choices=yes_no(again)), ctx.text
        )  # fmt: skip
    behind = ctx.clock_behind()
    if behind is not None:
        return clock_behind(ctx, units, behind)
    at = told_at(ctx, statement.when, ctx.said)
    if not isinstance(at, datetime):
        return _ask_time(ctx, statement.when, at)
    if statement.when is None and isinstance(waiting, DoseSuggested):
        late = _asked_when(ctx, units)
        if late is not None:
            return late
    given = waiting if isinstance(waiting, DoseSuggested) else None
    return _log_dose(ctx, DoseTaken(units, at), given, sure)


LATE = timedelta(minutes=30)
"""A suggestion confirmed later than this may have been taken then or now (it is asked)."""


def _asked_when(ctx: Context, units: Fraction) -> Outcome | None:
    """ "took it", long after the suggestion: was it taken then, or now?"""
    assert ctx.suggestion is not None
    age = ctx.now - ctx.suggestion.said_at
    if age <= LATE:
        return None
    minutes = int(age.total_seconds() // 60)
    said = took_text(units)
    return ask(
        Ask(
            "time",
            "ask-taken-when",
            {"units": Amount(units, "unit"), "moment": ctx.moment(ctx.suggestion.said_at)},
            choices=(
                choice("choice-then", f"{said} {minutes} minutes ago", word="then",
                       moment=ctx.moment(ctx.suggestion.said_at)),
                choice("choice-now", f"{said} just now", word="now"),
            ),
        ),
        ctx.text,
    )  # fmt: skip


def _log_dose(ctx: Context, dose: DoseTaken, waiting: DoseSuggested | None, sure: bool) -> Outcome:
    """The dose is a fact and is kept at once; one that looks like a slip is asked about too."""
    units, at, doubtful = dose.units, dose.taken_at, False
    lines: list[Line] = [answer("dose-logged", units=Amount(units, "unit"), moment=ctx.moment(at))]
    events: list[Event] = [dose]
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
                doubtful = True
            if ctx.settings_changed():
                lines.append(caution("dose-settings-changed", **args))
    again = _told_before(ctx, dose)
    if again is not None:
        both: dict[str, Arg] = {
            "units": Amount(units, "unit"),
            "moment": ctx.moment(again.at),
            "all": Amount(units + again.units, "unit"),
        }
        lines.append(caution("dose-again", **both))
        doubtful = True
    cap = ctx.settings.cap_dose
    if cap is not None and units > cap:
        lines.append(caution("dose-over-cap", cap=Amount(cap, "unit")))
        doubtful = True
    taken = {"units": units, "at": at}
    if doubtful and not sure:
        check = Ask("dose-check", "ask-dose-right", {"units": Amount(units, "unit")}, tuple(lines),
            choices=(choice("choice-dose-right", DOSE_RIGHT, word="yes", text=Typed(DOSE_RIGHT)),
                     choice("choice-dose-slip", "undo", word="no")))  # fmt: skip
        asked = ask(check, ctx.text, {"taken": taken})
        return Outcome(asked.reply, (*events, *asked.events))
    lines.append(next_step("what is active now", "undo"))
    return answered(*lines, events=tuple(events), facts={"taken": taken})


def _told_before(ctx: Context, dose: DoseTaken) -> Taken | None:
    """A dose in the journal that may be this one, typed twice: as many units, at the same time."""
    near = (d for d in ctx.doses if abs(d.at - dose.taken_at) <= SAME_DOSE)
    return next((d for d in near if d.units == dose.units), None)


SAME_DOSE = timedelta(minutes=5)
"""Two equal doses within this may be one that was told twice (common practice, no source)."""
DOSE_RIGHT = "the dose is right"


def dose_right(ctx: Context) -> Outcome:
    """ "the dose is right": it was kept already."""
    doses = [k.event for k in ctx.record.events(("dose-taken",), last=1)]
    if not doses or not isinstance(doses[0], DoseTaken):
        return answered(answer("nothing-open"))
    args: dict[str, Arg] = {
        "units": Amount(doses[0].units, "unit"),
        "moment": ctx.moment(doses[0].taken_at),
    }
    return answered(answer("dose-stays", **args), next_step("what is active now"))


def clock_right(ctx: Context) -> Outcome:
    """ "the clock is right", where the journal has later times: they were wrong then."""
    return answered(answer("clock-right", moment=ctx.moment(ctx.now)), events=(ClockRight(),))


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
    """Drops the open question; else the open suggestion, where nothing was said since it was told.

    After anything else, "cancel" is likely meant for what was said last: it is asked about.
    """
    if ctx.question is not None:
        asked = ctx.question.event
        if isinstance(asked, QuestionAsked) and asked.question.kind == "dose-check":
            return replace(dose_right(ctx), events=(QuestionClosed(),))
        if isinstance(asked, QuestionAsked) and asked.question.kind == "suggestion":
            stays = fact("suggestion-stays"), next_step("took it", "not taken", DROP)
            return answered(*stays, events=(QuestionClosed(),))
        recipe = isinstance(asked, QuestionAsked) and asked.question.kind == "recipe"
        dropped = (RecipeBegun(""),) if recipe else ()
        untold = (caution("dose-dropped"),) if ctx.unsettled_dose() else ()
        return answered(
            answer("question-cancelled", said=Said(in_own_words(ctx.asked_text))),
            *untold,
            events=(QuestionClosed(), *dropped),
        )
    if ctx.suggestion is None:
        return answered(answer("nothing-open"))
    return drop(ctx) if _just_told(ctx) else _ask_drop(ctx)


def _just_told(ctx: Context) -> bool:
    """Did the last turn, in whatever chat, suggest the dose or refuse another because of it?"""
    told = ctx.record.events(("dose-suggested", "dose-refused"), last=1)
    if not told or ctx.record.newest(told[0].turn) is not None:
        return False
    event = told[0].event
    return isinstance(event, DoseSuggested) or (
        isinstance(event, DoseRefused) and "unconfirmed-suggestion" in event.rules
    )


def _ask_drop(ctx: Context) -> Outcome:
    """ "cancel" that is about nothing but an older suggestion: what became of that?"""
    assert ctx.suggestion is not None
    event = ctx.suggestion.event
    assert isinstance(event, DoseSuggested)
    units = Amount(event.units, "unit")
    args: dict[str, Arg] = {
        "units": units,
        "moment": ctx.moment(ctx.suggestion.said_at),
        "said": Said(in_own_words(event.said)),
    }
    choices = (
        choice("choice-took-units", took_text(event.units), word="took it", units=units),
        choice("choice-not-taken", "not taken", word="not taken"),
        choice("choice-drop", DROP, word="drop it"),
    )
    return ask(Ask("suggestion", "ask-drop-suggestion", args, choices=choices), ctx.text)


def drop(ctx: Context) -> Outcome:
    """ "drop the suggestion": its meal goes with it, since it was never said to be eaten."""
    event = ctx.suggestion.event if ctx.suggestion else None
    if not isinstance(event, DoseSuggested):
        return answered(answer("no-open-suggestion"))
    args: dict[str, Arg] = {
        "units": Amount(event.units, "unit"),
        "said": Said(in_own_words(event.said)),
    }
    return answered(answer("suggestion-cancelled", **args), events=(SuggestionClosed("cancelled"),))


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
    at = told_at(ctx, statement.when, ctx.read)
    if not isinstance(at, datetime):
        asked = _ask_time(ctx, statement.when, at)
        if not is_low(settled):
            return asked
        return Outcome(replace(asked.reply, lines=(*treat_low(ctx), *asked.reply.lines)),
                       (*asked.events, LowFelt(ctx.text)))  # fmt: skip
    shown = Amount(settled.value, settled.unit)
    lines: list[Line] = [answer("glucose-logged", glucose=shown, moment=ctx.moment(at))]
    if is_low(settled):
        lines.append(caution("glucose-is-low", glucose=shown))
        lines.extend(treat_low(ctx))
    return answered(
        *lines, events=(GlucoseRead(settled, at),), facts={"glucose": _data(settled, at)}
    )


def _data(glucose: Glucose, at: datetime) -> dict[str, object]:
    return {"value": glucose.value, "unit": glucose.unit, "at": at}

"""Readings out of a file, put into the record as one turn; pure, the file was read before.

What an import may do to a dose: bring a low. Lows of the last days go into the journal like typed
ones, and a line that may be a low of the last day, but cannot be read for sure, counts as a low
that was felt. All other readings go into an event that no rule reads, so that a file can neither
lift a low nor stand for the reading of now.
"""

from collections.abc import Sequence
from datetime import timedelta
from fractions import Fraction

from assistant.dialogue.diary_of import IMPORT, readings
from assistant.dialogue.events import (
    Event,
    GlucoseRead,
    ImportedReading,
    LowFelt,
    QuestionAsked,
    QuestionClosed,
    ReadingsImported,
)
from assistant.dialogue.lows import treat_low
from assistant.dialogue.outcome import Outcome, answer, answered, caution, fact, next_step
from assistant.dialogue.replies import Line
from assistant.dialogue.state import LOOK_BACK, Context
from assistant.dialogue.turn import LABEL_KINDS
from assistant.diary.bands import is_low
from assistant.diary.entries import Reading
from assistant.diary.readings_file import LeftOut, Sheet, new_to
from assistant.values import Amount, Listed, Name, Phrase, Said

SHOWN = 20
"""Lines left out that are told one by one; JSON has them all."""
_DAY = timedelta(hours=24)
JUST = timedelta(hours=1)
"""The steps for a low are told for one of the last hour (common practice, no source)."""


def said(file: str) -> str:
    """The words of the turn."""
    return IMPORT + file


def imported(ctx: Context, file: str, sheet: Sheet) -> Outcome:
    """The readings that are new, in the record; what was left out, line by line."""
    kept = ctx.record.events(("glucose-read", "readings-imported"))
    new = new_to(readings(kept), sheet)
    left = sorted((*sheet.left_out, *new.against), key=lambda each: each.line)
    events = _events(ctx, file, new.readings, left)
    lines = _summary(new.readings, new.known, sheet)
    lines += _low_lines(ctx, events)
    if left:
        lines.append(caution("import-left-out", lines=Amount(Fraction(len(left)), "line")))
        lines.extend(_left_line(each) for each in left[:SHOWN])
        if len(left) > SHOWN:
            lines.append(fact("import-left-more", count=_number(len(left) - SHOWN)))
        lines.append(fact("import-left-next"))
    if any(each.reason == "no-offset" for each in left):
        lines.append(fact("import-offset"))
    if new.readings:
        lines.append(fact("import-not-now"))
        lines.append(next_step("how was my glucose this week"))
    data = _data(file, new.readings, new.known, sheet, left)
    # a file is no part of a talk, so that it is in no talk that is saved or shared
    return answered(*lines, events=events, facts={"import": data, "aside": "import"})


def _number(count: int) -> Amount:
    return Amount(Fraction(count), "")


def _events(
    ctx: Context, file: str, new: Sequence[Reading], left: Sequence[LeftOut]
) -> tuple[Event, ...]:
    """The lows of the last days as readings, then all others; what may be a low as a felt one."""
    lows = [r for r in new if is_low(r.glucose) and ctx.now - r.at <= LOOK_BACK]
    others = tuple(ImportedReading(r.glucose, r.at) for r in new if r not in lows)
    events: list[Event] = [GlucoseRead(r.glucose, r.at) for r in lows]
    if others:
        events.append(ReadingsImported(file, others))
    last = ctx.last_reading()
    felt = {
        kept.event.said
        for kept in ctx.record.events(("low-felt",), since=ctx.now - _DAY)
        if isinstance(kept.event, LowFelt)
    }
    unsure = [
        each for each in left
        if each.maybe_low and each.at is not None and abs(ctx.now - each.at) <= _DAY
        and (last is None or each.at >= last.taken_at) and each.said not in felt
    ]  # fmt: skip
    if unsure:
        events.append(LowFelt(unsure[-1].said))
    if (lows or unsure) and _plate_waits(ctx):
        events.append(QuestionClosed())  # as a low that is typed drops a meal that waits
    return tuple(events)


def _plate_waits(ctx: Context) -> bool:
    """A meal waits for an answer; a dose that was told and is not settled is left alone."""
    asked = ctx.question.event if ctx.question else None
    if not isinstance(asked, QuestionAsked) or ctx.unsettled_dose():
        return False
    return asked.question.kind not in {*LABEL_KINDS, "dose-check"}


def _summary(new: Sequence[Reading], known: int, sheet: Sheet) -> list[Line]:
    count = Amount(Fraction(len(new)), "reading")
    lines = [answer("import-done", count=count) if new else answer("import-nothing")]
    if known:
        lines.append(fact("import-known", count=Amount(Fraction(known), "reading")))
    if sheet.twice:
        lines.append(fact("import-twice", count=Amount(Fraction(sheet.twice), "line")))
    if sheet.unused:
        names = Listed(tuple(Name(name) for name in sheet.unused))
        lines.append(fact("import-unused", columns=names))
    return lines


def _low_lines(ctx: Context, events: Sequence[Event]) -> list[Line]:
    """A low that is the newest of the last day is told with its steps, as a typed one is."""
    last = ctx.last_reading()
    lows = [
        e for e in events
        if isinstance(e, GlucoseRead) and ctx.now - e.taken_at <= _DAY
        and (last is None or e.taken_at > last.taken_at)
    ]  # fmt: skip
    lines: list[Line] = []
    if lows:
        low = max(lows, key=lambda e: e.taken_at)
        glucose = Amount(low.glucose.value, low.glucose.unit)
        moment = ctx.moment(low.taken_at)
        lines.append(Line("refusal", "import-low", {"glucose": glucose, "moment": moment}))
        if ctx.now - low.taken_at <= JUST:
            lines.extend(treat_low(ctx))
    if any(isinstance(e, LowFelt) for e in events):
        lines.append(Line("refusal", "import-maybe-low"))
    if any(isinstance(e, QuestionClosed) for e in events):
        lines.append(fact("question-dropped", said=Said(ctx.asked_text)))
    return lines


def _left_line(each: LeftOut) -> Line:
    return fact("import-left", line=_number(each.line), said=Said(each.said),
                why=Phrase(f"left-{each.reason}"))  # fmt: skip


def _data(
    file: str, new: Sequence[Reading], known: int, sheet: Sheet, left: Sequence[LeftOut]
) -> dict[str, object]:
    return {
        "file": file,
        "new": len(new),
        "known": known,
        "twice": sheet.twice,
        "left_out": [{"line": e.line, "reason": e.reason, "said": e.said} for e in left],
        "lows": sum(1 for r in new if is_low(r.glucose)),
    }

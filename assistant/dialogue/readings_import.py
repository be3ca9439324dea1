"""Readings out of a file, put into the record as one turn; pure, the file was read before.

What an import may do to a dose: bring a low. Lows of the last days go into the journal like typed
ones, and a line that may be a low of the last day, but cannot be read for sure, counts as a low
that was felt. All other readings go into an event that no rule reads, so that a file can neither
lift a low nor stand for the reading of now.
"""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from fractions import Fraction
from typing import Literal

from assistant.dialogue.diary_of import readings
from assistant.dialogue.events import (
    IMPORT,
    Event,
    GlucoseRead,
    ImportedReading,
    LowFelt,
    QuestionAsked,
    QuestionClosed,
    ReadingsImported,
    UnreadLine,
)
from assistant.dialogue.lows import treat_low
from assistant.dialogue.outcome import Outcome, answer, answered, caution, fact, next_step
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Line
from assistant.dialogue.state import LOOK_BACK, Context
from assistant.dialogue.turn import LABEL_KINDS
from assistant.diary.bands import is_low
from assistant.diary.doubtful_lines import has_day
from assistant.diary.entries import Reading
from assistant.diary.readings_file import LeftOut, Sheet, new_to
from assistant.diary.twins import twins
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
    record = readings(kept)
    new = new_to(record, sheet)
    left = sorted((*sheet.left_out, *new.against), key=lambda each: each.line)
    events = _events(ctx, file, new.readings, left, _known_lines(kept))
    lines = _summary(new.readings, new.known, sheet)
    lines += _low_lines(ctx, events)
    lines += _twin_lines(ctx, record, new.readings)
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
    ctx: Context, file: str, new: Sequence[Reading], left: Sequence[LeftOut], known: set[str]
) -> tuple[Event, ...]:
    """The lows of the last days as readings, then all others; what may be a low as a felt one.

    known: lines that an earlier import left out.
    """
    lows = [r for r in new if is_low(r.glucose) and ctx.now - r.at <= LOOK_BACK]
    others = tuple(ImportedReading(r.glucose, r.at) for r in new if r not in lows)
    events: list[Event] = [GlucoseRead(r.glucose, r.at, imported=True) for r in lows]
    unread = tuple(
        UnreadLine(each.said, _what(each), each.at) for each in left
        if (each.maybe_low or each.reason == "word-high") and each.said not in known
    )  # fmt: skip
    if others or unread:
        events.append(ReadingsImported(file, others, unread))
    unsure = _unsure(ctx, left, known)
    if unsure:
        last = unsure[-1]
        at = last.at if last.reason == "word-low" else None
        events.append(LowFelt(last.said, at, imported=True))
    if (lows or unsure) and _plate_waits(ctx):
        events.append(QuestionClosed())  # as a low that is typed drops a meal that waits
    return tuple(events)


def _what(each: LeftOut) -> Literal["low", "high", "maybe-low"]:
    if each.reason == "word-high":
        return "high"
    return "low" if each.reason == "word-low" else "maybe-low"


def _known_lines(kept: Iterable[Kept]) -> set[str]:
    """Lines of a day that can be told which an earlier import left out: the same file again brings
    nothing new. A line without a day may be of another day each time."""
    return {
        line.said
        for each in kept
        if isinstance(each.event, ReadingsImported)
        for line in each.event.unread
        if line.at is not None or has_day(line.said)
    }


def _unsure(ctx: Context, left: Sequence[LeftOut], known: set[str]) -> list[LeftOut]:
    """Lines that may be a low of the last day, in order of the file.

    In doubt they are: one without a time that can be read may be of any time, and one that is to
    come is of a meter whose clock is wrong.
    """
    last = ctx.last_reading()
    felt = {
        kept.event.said
        for kept in ctx.record.events(("low-felt",), since=ctx.now - _DAY)
        if isinstance(kept.event, LowFelt)
    }
    return [
        each for each in left
        if each.maybe_low and each.may_be_since(ctx.now - _DAY)
        and (last is None or each.may_be_since(last.taken_at))
        and each.said not in felt and (each.at is not None or each.said not in known)
    ]  # fmt: skip


def _twin_lines(ctx: Context, record: Sequence[Reading], new: Sequence[Reading]) -> list[Line]:
    """Readings that may be in the record already, as typed ones of another minute."""
    pairs = twins([r for r in record if not r.imported], new)
    if not pairs:
        return []
    lines = [caution("import-twins", count=Amount(Fraction(len(pairs)), "reading"))]
    lines += [
        fact("import-twin", glucose=Amount(two.glucose.value, two.glucose.unit),
             moment=ctx.moment(two.at), other=ctx.moment(one.at))
        for one, two in pairs[:SHOWN]
    ]  # fmt: skip
    if len(pairs) > SHOWN:
        lines.append(fact("import-twins-more", count=_number(len(pairs) - SHOWN)))
    lines.append(fact("import-twins-next"))
    return lines


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
    for felt in (e for e in events if isinstance(e, LowFelt)):
        code = "import-maybe-low" if felt.at is None else "import-low-shown"
        lines.append(Line("refusal", code, {"said": Said(felt.said)}))
        if felt.at is not None and ctx.now - felt.at <= JUST and not lows:
            lines.extend(treat_low(ctx))
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

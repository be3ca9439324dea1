"""Which clock the user's times of day go by, when the clock's offset is not what it was.

Travel and summer time move the clock. Where a schedule holds more than one value, nothing decides
for the user whether "from 11:00" moves along: it is asked once for each change, and kept.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta, timezone
from math import inf

from msgspec import Struct

from assistant.dialogue.events import ClockSettled, SettingSaid
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, choice
from assistant.dialogue.record import Record
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.dosing.rules_time import offset_text
from assistant.dosing.settings import Settings
from assistant.values import Listed, Moment, Name
from grammar.statements import Statement


class Clocks(Struct, frozen=True):
    """Offsets in minutes: of now; what times of day go by (None: not settled); what could be."""

    here: int
    goes_by: int | None
    known: tuple[int, ...]


def offset_of(at: datetime) -> int:
    """Minutes from UTC."""
    shift = at.utcoffset()
    assert shift is not None
    return shift // timedelta(minutes=1)


def on_clock(now: datetime, offset: int) -> datetime:
    """The same moment on the clock of this offset."""
    return now.astimezone(timezone(timedelta(minutes=offset)))


def _distinct(offsets: Iterable[int]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(offsets))


def clocks(record: Record, settings: Settings, now: datetime) -> Clocks:
    """What the journal says: each schedule by the clock on which it was said, until settled."""
    here = offset_of(now)
    names = settings.by_time_of_day()
    settled: ClockSettled | None = None
    after = -1.0
    for kept in record.events(("clock-settled",), last=1):
        if isinstance(kept.event, ClockSettled):
            settled, after = kept.event, kept.turn or inf
    # Schedules said since it was settled, with the clock of then. The turn that is said has no
    # number yet: it is 0, and the last.
    fresh = {
        kept.event.name: offset_of(kept.said_at)
        for kept in record.settings()
        if isinstance(kept.event, SettingSaid)
        and kept.event.name in names
        and (kept.turn or inf) > after
    }
    said = _distinct(fresh.values())
    older = len(fresh) < len(names) and settled is not None
    if not names:
        return Clocks(here, here, (here,))
    if settled is not None and older:
        known = _distinct((here, settled.goes_by, *said))
        if not said and settled.seen == here:
            return Clocks(here, settled.goes_by, known)
    else:
        known = _distinct((here, *said))
    return Clocks(here, here if len(known) == 1 else None, known)


def clock_question(ctx: Context, found: Clocks, text: str) -> Ask:
    """Which clock? The new one first, then those on which the times were said."""
    choices = tuple(
        choice(
            "choice-clock-new" if offset == found.here else "choice-clock-old",
            f"my times of day go by the clock at {offset_text(offset)}",
            text,
            word="new" if offset == found.here else "old" if len(found.known) == 2 else None,
            moment=Moment(ctx.now, on_clock(ctx.now, offset)),
            offset=Name(offset_text(offset)),
        )
        for offset in found.known
    )
    return Ask("clock", "rule-clock-changed", choices=choices)


def settle_clock(ctx: Context, statement: Statement) -> Outcome:
    """ "my times of day go by the clock at +02:00": only a clock that the journal knows."""
    found = clocks(ctx.record, ctx.settings, ctx.now)
    assert statement.minutes is not None
    offset = int(statement.minutes)
    if offset not in found.known:
        known = Listed(tuple(Name(offset_text(o)) for o in found.known))
        return ask(Ask("clock", "clock-unknown", {"known": known}), ctx.text)
    return answered(
        *clock_lines(ctx, offset), events=(ClockSettled(seen=found.here, goes_by=offset),)
    )


def clock_lines(ctx: Context, offset: int) -> tuple[Line, ...]:
    """The clock that times of day go by, and what it shows now."""
    shown = Moment(ctx.now, on_clock(ctx.now, offset))
    return (answer("clock-settled", offset=Name(offset_text(offset)), moment=shown),)

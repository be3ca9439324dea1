"""A time of day that was said, where the clock's offset is not what it was.

"at 10:45" after a flight, or on the day on which summer time begins or ends, may be meant by the
clock of now or by the earlier one; an hour may have been twice, or not at all. Nothing decides that
for the user: both times are told, and it is asked. "2 hours ago" needs no clock.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction

from msgspec import Struct

from assistant.dialogue.clocks import offset_of, on_clock
from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.replies import Choice
from assistant.dialogue.state import Context
from assistant.dosing.rules_time import offset_text
from assistant.values import Amount, Arg, Name, Said, Typed
from grammar.statements import When

DAY = timedelta(hours=24)


class ByClocks(Struct, frozen=True):
    """Times that the words may mean. here: by the clock of now, None where it is to come; others:
    by each earlier clock, with its offset in minutes."""

    here: datetime | None
    others: tuple[tuple[int, datetime], ...]


def earlier_offsets(ctx: Context, when: When | None, said: datetime) -> tuple[int, ...]:
    """Offsets of other clocks that a time of day may be meant by; none for "2 hours ago".

    The turns of the day before the time that is meant tell them, with the last turn before those:
    a clock that changed since then may have changed on either side of the time.
    """
    if when is None or when.minute is None or when.offset is not None:
        return ()
    here = offset_of(said)
    day = said.replace(hour=when.minute // 60, minute=when.minute % 60)
    meant = min(day, said) - (DAY if when.day == "yesterday" else timedelta(0))
    return tuple(o for o in ctx.record.offsets(meant) if o != here)


class Sentence(Struct, frozen=True):
    """Where the time stands. put: the whole sentence with other words in place of the time; said:
    the words of the time; yesterday: whether the sentence may say "yesterday at 12:30"."""

    put: Callable[[str], str]
    said: str
    yesterday: bool = False


def ask_clock(ctx: Context, when: When, found: ByClocks, sentence: Sentence) -> Ask:
    """Which clock? A time that is to come by the clock of now may have been yesterday's as well."""
    here = offset_of(ctx.now)
    choices: list[Choice] = []
    if found.here is not None:
        choices.append(_choice(ctx, when, (here, found.here), sentence, "new"))
    old = "old" if len(found.others) == 1 else None
    choices.extend(_choice(ctx, when, other, sentence, old) for other in found.others)
    if found.here is None and sentence.yesterday and when.day is None:
        minute = when.minute or 0
        text = sentence.put(f"yesterday {_at(minute // 60, minute % 60, here)}")
        choices.append(choice("choice-yesterday", text, word="yesterday"))
    known = [*([found.here] if found.here else []), *(at for _, at in found.others)]
    past = [at for at in known if at <= ctx.now] or [ctx.now]
    example = sentence.put(_ago(_minutes(ctx.now - max(past))))
    args: dict[str, Arg] = {"said": Said(sentence.said), "sentence": Typed(example)}
    return Ask("time", "ask-which-clock", args, choices=tuple(choices))


def _minutes(span: timedelta) -> int:
    return max(1, span // timedelta(minutes=1))


def _ago(minutes: int) -> str:
    return "1 minute ago" if minutes == 1 else f"{minutes} minutes ago"


def _at(hour: int, minute: int, offset: int) -> str:
    return f"at {hour:02d}:{minute:02d} by the clock at {offset_text(offset)}"


def _choice(
    ctx: Context, when: When, meant: tuple[int, datetime], sentence: Sentence, word: str | None
) -> Choice:
    offset, at = meant
    span = ctx.now - at
    shown = on_clock(at, offset)
    words = _at(shown.hour, shown.minute, offset)
    code = "choice-time-here" if word == "new" else "choice-time-there"
    return choice(
        f"{code}-ahead" if span < timedelta(0) else code,
        sentence.put(f"{when.day} {words}" if when.day else words),
        word=word,
        offset=Name(offset_text(offset)),
        moment=ctx.moment(at),
        age=Amount(Fraction(_minutes(abs(span))), "minute"),
    )

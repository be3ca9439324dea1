"""The result of a turn, and short ways to make one."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from assistant.dialogue.events import Event, QuestionAsked
from assistant.dialogue.replies import Choice, Line, Question, Reply, Slot
from assistant.values import Arg, Listed, Ranged, Typed, decimal_text


class Outcome(Struct, frozen=True):
    """A reply, and the events that are on disk before the reply is shown.

    deed: what is to be done with the data folder as a whole, by the shell: a copy of everything is
    written first, or everything is forgotten and these events begin a new record.
    """

    reply: Reply
    events: tuple[Event, ...] = ()
    deed: Literal["export", "forget"] | None = None


def answer(code: str, **args: Arg) -> Line:
    """A line that answers."""
    return Line("answer", code, args)


def fact(code: str, **args: Arg) -> Line:
    """A line that tells a fact."""
    return Line("fact", code, args)


def caution(code: str, **args: Arg) -> Line:
    """A line that warns."""
    return Line("caution", code, args)


def next_step(*sentences: str, code: str = "next-type") -> Line:
    """What to type next: the sentences, as they could be typed."""
    return Line("next", code, {"sentences": Listed(tuple(Typed(s) for s in sentences))})


def answered(
    *lines: Line, events: tuple[Event, ...] = (), facts: Mapping[str, object] | None = None
) -> Outcome:
    """An answer."""
    return Outcome(Reply("answered", lines, facts=facts or {}), events)


class Ask(Struct, frozen=True):
    """A question about to be asked: what is shown before it, and what may answer it."""

    kind: str
    code: str
    args: Mapping[str, Arg] = field(default_factory=dict)
    before: tuple[Line, ...] = ()
    choices: tuple[Choice, ...] = ()
    slot: Slot | None = None
    hint: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    between: Ranged | None = None
    """The ends of a count that has no single figure yet."""


def ask(wanted: Ask, text: str, facts: Mapping[str, object] | None = None) -> Outcome:
    """The question as an outcome; it stays open in the journal until answered or cancelled."""
    asked = Line("question", wanted.code, wanted.args)
    question = Question(wanted.kind, asked, wanted.choices, wanted.slot)
    lines = [*wanted.before, asked, *(choice.label for choice in wanted.choices)]
    waits = bool(wanted.choices or wanted.slot)
    # where this leaves nothing open, "cancel" would drop something else
    hint = tuple(each for each in wanted.hint if waits or each != "cancel")
    if hint:
        lines.append(next_step(*hint))
    reply = Reply("asked", tuple(lines), question=question, unread=wanted.unread,
                  facts=facts or {}, between=wanted.between)  # fmt: skip
    return Outcome(reply, (QuestionAsked(text, question),) if waits else ())


def as_said(outcome: Outcome, said_at: datetime | None, read_at: datetime | None) -> Outcome:
    """The outcome; a question in it waits with the times at which its sentence was said first."""
    if said_at is None and read_at is None:
        return outcome
    events = tuple(
        replace(e, said_at=e.said_at or said_at, read_at=e.read_at or read_at)
        if isinstance(e, QuestionAsked)
        else e
        for e in outcome.events
    )
    return replace(outcome, events=events)


def choice(code: str, *texts: str, word: str | None = None, remember: str | None = None,
           **args: Arg) -> Choice:  # fmt: skip
    """One choice of a question, and the sentences that choosing it stands for."""
    return Choice(Line("choice", code, args), texts, word, remember)


def yes_no(*texts: str) -> tuple[Choice, ...]:
    """Yes says the texts; no says cancel."""
    return (choice("choice-yes", *texts, word="yes"), choice("choice-no", "cancel", word="no"))


DROP = "drop the suggestion"


def took_text(units: Fraction) -> str:
    """The sentence that says that a dose was taken: "took 4 units", "took 1 unit"."""
    return f"took {decimal_text(units)} {'unit' if units == 1 else 'units'}"

"""How answers are given: for ear or eye, short or with the whole working, with or without history.

Said by sentence and kept in the journal, so that every later chat in the folder is the same. None
of it touches a count or a dose.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.events import MannerSaid
from assistant.dialogue.outcome import Outcome, answer, answered, fact, next_step
from assistant.dialogue.record import Record
from assistant.dialogue.state import Context

Form = Literal["spoken", "sighted"]


class Manner(Struct, frozen=True):
    """The manner as it was last said. form is None where nobody said it."""

    form: Form | None = None
    short: bool = False
    history: bool = True


SENTENCES: Mapping[str, tuple[str, str]] = {
    "speak plainly": ("form", "spoken"),
    "speak plain": ("form", "spoken"),
    "plain speech": ("form", "spoken"),
    "spoken form": ("form", "spoken"),
    "screen reader on": ("form", "spoken"),
    "show it for the eye": ("form", "sighted"),
    "show it to the eye": ("form", "sighted"),
    "sighted form": ("form", "sighted"),
    "screen reader off": ("form", "sighted"),
    "short answers": ("working", "short"),
    "answer briefly": ("working", "short"),
    "short answers please": ("working", "short"),
    "full working": ("working", "full"),
    "full answers": ("working", "full"),
    "long answers": ("working", "full"),
    "keep no history": ("history", "off"),
    "history off": ("history", "off"),
    "keep history": ("history", "on"),
    "history on": ("history", "on"),
}
"""What is typed -> (what it is about, its value)."""


def said(ctx: Context) -> Outcome:
    """One of these sentences: kept, and what it changes in one line."""
    name, value = SENTENCES[" ".join(ctx.text.casefold().split()).rstrip(" .!?")]
    lines = [answer(f"manner-{name}-{value}")]
    if (name, value) == ("working", "full") and ctx.last_worked() is not None:
        lines.append(next_step("why"))
    if (name, value) == ("history", "off"):
        lines.append(fact("manner-history-journal"))
    event = MannerSaid(name, value)
    return answered(*lines, events=(event,), facts={"manner": {"name": name, "value": value}})


def manner_of(record: Record) -> Manner:
    """The manner that the record leads to; the last sentence of each kind holds."""
    manner = Manner()
    for kept in record.events(("manner-said",)):
        event = kept.event
        if not isinstance(event, MannerSaid):
            continue
        match event.name, event.value:
            case "form", ("spoken" | "sighted") as form:
                manner = replace(manner, form=form)
            case "working", value:
                manner = replace(manner, short=value == "short")
            case "history", value:
                manner = replace(manner, history=value != "off")
    return manner

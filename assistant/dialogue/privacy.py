"""Where the data is, a copy of all of it, and forgetting everything. The store does the deeds."""

from types import MappingProxyType

from msgspec.structs import replace

from assistant.dialogue.events import RecordGap
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact, next_step
from assistant.dialogue.state import Context
from assistant.values import Name
from grammar.kitchen import FORGET_ALL

EXPORT = "countaloud-export-{day}.jsonl"
"""The name of an export in the data folder: one for each moment, to the second."""

_ASIDE = MappingProxyType({"aside": "data"})
"""Marks an answer that names this machine's folder: it is no part of a talk that is saved."""


def where(ctx: Context) -> Outcome:
    """ "where is my data"."""
    return answered(answer("data-where", folder=Name(ctx.record.place())),
                    next_step("export everything", "forget everything"),
                    facts={**_ASIDE, "folder": ctx.record.place()})  # fmt: skip


def export(ctx: Context) -> Outcome:
    """ "export everything": one file of the user's own."""
    name = EXPORT.format(day=f"{ctx.now:%Y-%m-%d-%H%M%S}")
    lines = (
        answer("data-exported", file=Name(name), folder=Name(ctx.record.place())),
        fact("data-export-form"),
        fact("data-export-private"),
    )
    return replace(
        answered(*lines, facts={**_ASIDE, "export": name, "folder": ctx.record.place()}),
        deed="export",
    )


def forget(ctx: Context, *, part: bool = False) -> Outcome:
    """ "forget everything": what would go and what would stay; nothing is done yet.

    No question waits, so no "yes" can do it: the whole sentence has to be typed. part: more was
    said than that, perhaps that only one kind of thing is to go.
    """
    codes = ("forget-goes", "forget-stays", "forget-final")
    before = tuple(map(fact, ("forget-no-part", *codes) if part else codes))
    wanted = Ask("raise", "forget-all-spelled", before=before, hint=(FORGET_ALL,))
    return ask(wanted, ctx.text)


def forget_surely(ctx: Context) -> Outcome:
    """The sentence typed in full: the store forgets, and a new record begins."""
    lines = (
        answer("all-forgotten", folder=Name(ctx.record.place())),
        fact("forgotten-goes"),
        fact("forget-stays"),
        fact("forgotten-doses"),
        next_step("set up"),
    )
    events = (RecordGap(None),)
    return replace(answered(*lines, events=events, facts=dict(_ASIDE)), deed="forget")

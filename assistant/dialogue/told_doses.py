"""Doses that were told and are not in the journal yet: what is in the body is asked about until it
is known, and no dose is suggested before.

Told in words of no sentence form ("bolused 4 units", "took 4 units before lunch"), they are seen as
doses by their words and asked about; nothing of them is guessed. A dose that is told while another
is not settled is another one, unless its sentence is what an answer would have made, or the user
says that it is the same.
"""

import re
from datetime import datetime
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue import first_run
from assistant.dialogue.events import DoseTaken, QuestionAsked, QuestionClosed
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    choice,
    fact,
    next_step,
    took_text,
)
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Choice, Line, Reply, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import TOLD, Context, tells_dose, unsettled
from assistant.values import Amount, Arg, Said, Typed
from grammar import patterns
from grammar.doses import ToldDose, told_dose
from grammar.foods import read_food_sentence
from grammar.labels import looks_like_label
from grammar.nodes import Number
from grammar.recipes import read_recipe
from grammar.statements import Misread, Statement, form_of, read_statement

SAME, OTHER = "that is the same dose", "that is another dose"


def drop_choice() -> Choice:
    """ "There was no such dose": the only choice that takes a told dose out of the way."""
    return choice("choice-drop-dose", "cancel", word="no")


# Seeing a dose in words of no form


def misread_dose(ctx: Context, wrong: Misread) -> Outcome | None:
    """A sentence that opens like a dose and goes on like none; None where it tells no dose."""
    if wrong.form != "took":
        return None
    dose = told_dose(ctx.text, opening=True)
    return None if dose is None else _asked(ctx, dose)


_OTHER_TALK = frozenset(
    {"raise", "unusual", "schedule", "label", "label-name", "region", "replace", "recipe", "undo",
     "clock", "dose-check", "same-dose", "which-recipe", "rounding", first_run.KIND, TOLD}
)  # fmt: skip
"""Questions of sentences that were understood as being about something else."""


def dose_seen(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; or the question about a dose, where the words that were not understood tell one.

    A meal that was counted as far as it goes has no words left over.
    """
    question = outcome.reply.question
    if question is None or question.kind in _OTHER_TALK or outcome.reply.portions:
        return outcome
    if form_of(ctx.text) not in {None, "glucose"} or any(
        e.kind in {"dose-taken", "food-saved", "setting-said"} for e in outcome.events
    ):
        return outcome
    dose = told_dose(ctx.text)
    if dose is None or (_first_talk(ctx) and not dose.verb):
        return outcome
    if read_food_sentence(ctx.text) is not None or read_recipe(ctx.text) is not None:
        return outcome
    if looks_like_label(ctx.text):
        return outcome
    return _asked(ctx, dose)


def _first_talk(ctx: Context) -> bool:
    """In the first talk "4 units" is an answer that went wrong."""
    event = ctx.question.event if ctx.question else None
    return isinstance(event, QuestionAsked) and event.question.kind == first_run.KIND


def _asked(ctx: Context, dose: ToldDose) -> Outcome:
    """What is missing is asked; where words are left that tell no time, the whole sentence."""
    said = Said(ctx.text)
    if dose.units is None:
        if dose.around is None:
            return _whole(ctx, "took ... units at ...")
        slot = Slot("number", (ANSWER.join(dose.around),))
        return ask(Ask(TOLD, "dose-told-number", {"said": said}, slot=slot, hint=("cancel",)),
                   ctx.text)  # fmt: skip
    sentence = took_text(dose.units)
    if dose.when:
        whole = f"{sentence} {dose.when}"
        choices = (choice("choice-dose-meant", whole, word="yes", text=Typed(whole)), drop_choice())
        return ask(Ask(TOLD, "dose-told-sure", {"said": said}, choices=choices), ctx.text)
    if not dose.only_time:
        return _whole(ctx, f"{sentence} ... minutes ago")
    args: dict[str, Arg] = {"units": Amount(dose.units, "unit")}
    slot = Slot("dose-time", (f"{sentence} {ANSWER}",))
    if not dose.unread:
        return ask(Ask(TOLD, "dose-told-bare", args, slot=slot, hint=("cancel",)), ctx.text)
    args["said"] = Said(dose.unread)
    unread = (dose.unread,)
    wanted = Ask(TOLD, "dose-told-when", args, slot=slot, hint=("cancel",), unread=unread)
    return ask(wanted, ctx.text)


def _whole(ctx: Context, example: str) -> Outcome:
    """The dose in a sentence of its own."""
    args: dict[str, Arg] = {"said": Said(ctx.text), "sentence": Typed(example)}
    wanted = Ask(TOLD, "dose-told-whole", args, choices=(drop_choice(),), unread=(ctx.text,))
    return ask(wanted, ctx.text)


def clock_behind(ctx: Context, units: Fraction, newest: datetime) -> Outcome:
    """A dose told while the clock is behind the journal: its time would be wrong for hours after
    the clock is put right, and may be later than anything that the journal knows."""
    took = took_text(units)
    args: dict[str, Arg] = {
        "units": Amount(units, "unit"),
        "now": ctx.moment(ctx.now),
        "moment": ctx.moment(newest),
        "sentence": Typed(f"{took} ... minutes ago"),
    }
    choices = (
        choice("choice-clock-right", CLOCK_RIGHT, ctx.text, word=CLOCK_RIGHT,
               moment=ctx.moment(ctx.now)),
        drop_choice(),
    )  # fmt: skip
    slot = Slot("dose-time", (f"{took} {ANSWER}",))
    return ask(Ask("time", "took-clock-back", args, choices=choices, slot=slot), ctx.text)


CLOCK_RIGHT = "the clock is right"


# A dose told beside another that is not settled


def answer_in_full(ctx: Context) -> str | None:
    """The words, where they are a dose as the open question about one is waiting for: with the
    units that were told and the time that was asked, or the other way round."""
    event = ctx.question.event if ctx.question else None
    if not isinstance(event, QuestionAsked) or not tells_dose(event):
        return None
    typed = _dose_of(ctx.text)
    if typed is None or not isinstance(typed.number, Number):
        return None
    question = event.question
    if any(_dose_of(text) == typed for c in question.choices for text in c.texts):
        return ctx.text
    whole = question.asked.code == "dose-told-whole"
    if whole or (question.slot is not None and question.slot.accepts == "dose"):
        return ctx.text if _may_be(event.text, typed.number) else None
    if question.slot is not None and question.slot.accepts == "number":
        filled = _dose_of(question.slot.texts[0].replace(ANSWER, typed.number.said))
        fits = filled is not None and filled.when == typed.when
        return ctx.text if fits and _may_be(event.text, typed.number) else None
    asks_time = question.kind == "time" or (question.slot and question.slot.accepts == "dose-time")
    if asks_time and typed.when is not None:
        return ctx.text if typed.number.value in _units_told(event) else None
    return None


def _dose_of(text: str) -> Statement | None:
    said = read_statement(patterns.sub(r",?\s*that\s+is\s+right\s*[.!]*\s*$", "", text, flags=re.I))
    return said if isinstance(said, Statement) and said.form == "took" else None


def _units_told(asked: QuestionAsked) -> set[Fraction]:
    """The units of the dose whose time is asked."""
    texts = [text for c in asked.question.choices for text in c.texts]
    slot = asked.question.slot
    texts += [slot.texts[0].replace(ANSWER, "just now")] if slot else []
    doses = [_dose_of(text) for text in texts]
    return {d.number.value for d in doses if d is not None and isinstance(d.number, Number)}


def _may_be(text: str, number: Number) -> bool:
    """Is this a reading of the figure that was told ("4,5": 4.5 or 45)? Any, where none was."""
    told = patterns.findall(r"\d[\d.,]*", text)
    if not told or form_of(text) != "took":
        return not told
    digits = patterns.sub(r"\D", "", number.said)
    return digits == patterns.sub(r"\D", "", told[0])


def told_beside(ctx: Context, outcome: Outcome) -> Outcome:
    """A dose that is told while the open question is about another: neither is lost.

    One that is logged is asked about: the same, or another? One that is asked about waits first,
    and the other behind it.
    """
    assert ctx.question is not None
    if " ".join(ctx.text.split()).casefold() == " ".join(ctx.asked_text.split()).casefold():
        return replace(outcome, events=(QuestionClosed(), *outcome.events))  # the same again
    earlier = Said(ctx.asked_text)
    if outcome.reply.status == "asked":
        lines = (*outcome.reply.lines, fact("dose-waits-too", said=earlier))
        return Outcome(replace(outcome.reply, lines=lines), outcome.events)
    choices = (
        choice("choice-same-dose", SAME, word="yes"),
        choice("choice-other-dose", OTHER, word="no"),
    )
    before = tuple(line for line in outcome.reply.lines if line.role != "next")
    wanted = Ask("same-dose", "ask-same-dose", {"said": earlier}, before, choices=choices)
    asked = ask(wanted, ctx.text, outcome.reply.facts)
    return Outcome(asked.reply, (*outcome.events, *asked.events))


def _earlier(ctx: Context) -> Kept | None:
    """The newest dose that is not settled."""
    waiting = unsettled(ctx.record, ctx.now)
    return waiting[-1] if waiting else None


def same_dose(ctx: Context) -> Outcome:
    """ "that is the same dose": the question about the one told before is settled by the logged."""
    earlier = _earlier(ctx)
    logged = ctx.record.events(("dose-taken",), last=1)
    if earlier is None or not logged or logged[-1].turn <= earlier.turn:
        return answered(answer("nothing-open"))
    dose = logged[-1].event
    assert isinstance(earlier.event, QuestionAsked)
    assert isinstance(dose, DoseTaken)
    line = answer("dose-same", said=Said(earlier.event.text), units=Amount(dose.units, "unit"),
                  moment=ctx.moment(dose.taken_at))  # fmt: skip
    return answered(
        line, next_step("what is active now", "undo"), events=(QuestionClosed(earlier.turn),)
    )


def other_dose(ctx: Context) -> Outcome:
    """ "that is another dose": the one told before is asked again."""
    earlier = _earlier(ctx)
    if earlier is None:
        return answered(answer("nothing-open"))
    assert isinstance(earlier.event, QuestionAsked)
    question = earlier.event.question
    lines: tuple[Line, ...] = (
        fact("dose-other", said=Said(earlier.event.text)),
        question.asked,
        *(c.label for c in question.choices),
        next_step("question", "cancel"),
    )
    return Outcome(Reply("asked", lines, question=question))


def settled_by_answer(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome of a dose that was typed in full as the answer to the open question."""
    if not any(isinstance(e, DoseTaken) for e in outcome.events):
        return outcome
    lines = (*outcome.reply.lines, fact("dose-answers", said=Said(ctx.asked_text)))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))

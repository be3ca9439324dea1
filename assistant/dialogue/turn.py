"""One turn: (record, library, words, clock) -> (reply, events). Pure; no input makes it raise."""

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue import explain, first_run, happened, kitchen, told_doses
from assistant.dialogue.asking import Answer, OutOfRange, answer_to
from assistant.dialogue.events import (
    Event,
    FoodSaved,
    MeasureSaved,
    QuestionAsked,
    QuestionClosed,
    RecipeSaved,
    SettingSaid,
    Undone,
)
from assistant.dialogue.low_watch import lows_stand
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answered,
    ask,
    fact,
    next_step,
)
from assistant.dialogue.pending import PendingFoods, PendingRecord
from assistant.dialogue.record import Foods, Record
from assistant.dialogue.replies import Line, Reply
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.sentences import command_of, plain, stands_alone
from assistant.dialogue.state import LOOK_BACK, Context, context, tells_dose
from assistant.values import Amount, Said
from grammar.foods import read_food_sentence
from grammar.numbers import HUGE
from grammar.recipes import read_recipe
from grammar.words import printable, squeezed

MAX_TEXT = 20_000
"""Characters of one turn: a long label fits, a book does not."""


def _cleaned(text: str) -> str:
    text = printable(text).replace(ANSWER, " ").replace("\r\n", "\n").replace("\r", "\n")
    return squeezed(text)


def turn(record: Record, foods: Foods, text: str, now: datetime) -> Outcome:
    """What the assistant answers to these words at this time, and what it leaves in the journal.

    now must carry an offset. The same arguments always give the same outcome.
    """
    cleaned = _cleaned(text)
    if not cleaned.strip():
        return ask(Ask("unread", "phrase-empty", hint=("help",)), text)
    if len(cleaned) > MAX_TEXT:
        args = {"length": Amount(Fraction(min(len(cleaned), 10 * HUGE)), "character")}
        return ask(Ask("unread", "text-too-long", args), cleaned[:200])
    ctx = context(record, foods, cleaned, now)
    outcome = _outcome(ctx, cleaned)
    outcome = lows_stand(ctx, outcome)
    if ctx.question is None or any(isinstance(e, Undone) for e in outcome.events):
        return outcome  # with what is undone, every question of before is closed
    closed = QuestionClosed(closes=ctx.question.turn)
    events = tuple(
        closed if isinstance(e, QuestionClosed) and e.closes is None else e for e in outcome.events
    )
    return replace(outcome, events=events)


def _outcome(ctx: Context, cleaned: str) -> Outcome:
    if command_of(cleaned) == "cancel":
        return happened.cancel(ctx)
    if _expired(ctx):
        return _after_expiry(ctx)
    command = command_of(cleaned)
    if ctx.question is not None and command == "question":
        return _still_open(ctx)
    if told_doses.answer_in_full(ctx):
        outcome = _said_in_turn(ctx, (cleaned,))
        return kitchen.with_waiting(ctx, told_doses.settled_by_answer(ctx, outcome))
    given = answer_to(ctx, sentence=stands_alone(cleaned))
    if isinstance(given, OutOfRange):
        return _still_open(
            ctx,
            Line("answer", "choice-out-of-range", {"count": Amount(Fraction(given.count), "")}),
        )
    if isinstance(given, Answer):
        return kitchen.with_waiting(ctx, _said_in_turn(ctx, given.texts))
    if ctx.question is not None and command == "yes":
        return _still_open(ctx, Line("answer", "not-yes-or-no"))
    outcome = plain(ctx)
    if outcome.deed is not None:
        return outcome  # an export leaves the question open; after forgetting there is none
    if ctx.question is not None:
        outcome = _with_open_question(ctx, outcome)
    return kitchen.with_waiting(ctx, outcome)


LABEL_KINDS = frozenset({"label", "label-name", "region", "replace", "recipe", first_run.KIND})
"""Questions about a label, and those of the first talk, wait for a day; all others concern what
is on the plate now."""


def _expired(ctx: Context) -> bool:
    """An old question is not answered by a new word: glucose and plate have changed since."""
    if ctx.question is None or not isinstance(ctx.question.event, QuestionAsked):
        return False
    age = ctx.now - ctx.question.said_at
    if tells_dose(ctx.question.event):  # what is in the body is asked until it is known
        return age > LOOK_BACK
    if ctx.unsettled_dose():  # one that is in the journal, on its day
        return ctx.question.said_at.astimezone(ctx.now.tzinfo).date() != ctx.now.date()
    if ctx.question.event.question.kind in LABEL_KINDS:
        return not timedelta(0) <= age <= timedelta(days=1)
    another_day = ctx.question.said_at.astimezone(ctx.now.tzinfo).date() != ctx.now.date()
    return another_day or not timedelta(0) <= age <= EXPIRY


EXPIRY = timedelta(minutes=30)
"""How long a question about a meal or a number waits (common practice, no source: a glucose
reading and a plate are not the same half an hour later)."""


def _after_expiry(ctx: Context) -> Outcome:
    """The old question is closed and told; the words are read as a sentence of their own."""
    outcome = plain(replace(ctx, question=None))
    if outcome.deed is not None:
        return outcome
    asked = ctx.question.event if ctx.question else None
    kept = isinstance(asked, QuestionAsked) and asked.question.kind == "dose-check"
    expired = fact("dose-check-expired" if kept else "question-expired", said=Said(ctx.asked_text))
    lines = (*outcome.reply.lines, expired)
    return Outcome(replace(outcome.reply, lines=lines), (QuestionClosed(), *outcome.events))


def _said_in_turn(ctx: Context, texts: tuple[str, ...]) -> Outcome:
    """An answer's sentences, one after the other, as one turn."""
    if texts == ("cancel",):
        return happened.cancel(ctx)
    assert ctx.question is not None
    events: list[Event] = [QuestionClosed(closes=ctx.question.turn)]
    before: list[Line] = []
    outcome = answered()
    for position, text in enumerate(texts):
        record = PendingRecord(ctx.record, events, text, ctx.now)
        foods = PendingFoods(ctx.foods, events)
        outcome = plain(context(record, foods, text, ctx.now))
        events.extend(outcome.events)
        if outcome.reply.status != "answered":
            kept = events[: len(events) - len(outcome.events)]
            outcome = first_run.going_on(outcome, texts[position + 1 :])
            events = [*kept, *outcome.events]
            break
        if position < len(texts) - 1:
            before.extend(
                fact(line.code, **line.args)
                for line in outcome.reply.lines
                if line.role in {"answer", "caution"}
            )
    lines = (*_read_as(texts[-1]), *outcome.reply.lines, *before)
    if first_run.is_step(texts[-1]):  # what was set first, then the next question
        lines = (*before, *outcome.reply.lines)
    return Outcome(replace(outcome.reply, lines=lines), tuple(events))


def _read_as(text: str) -> tuple[Line, ...]:
    """What an answer was taken to mean; a whole label is not read back."""
    if len(text) >= 160 or "\n" in text or text.startswith("label guide "):
        return ()
    if first_run.is_step(text):
        return ()
    return (fact("read-as", said=Said(text)),)


_FREEING = (FoodSaved, RecipeSaved, MeasureSaved, SettingSaid)


_ABOUT_SETTINGS = frozenset({"raise", "unusual", "schedule", "unit"})


def _with_open_question(ctx: Context, outcome: Outcome) -> Outcome:
    """A new sentence while a question was open: the question is dropped, answered, or waits."""
    assert ctx.question is not None
    kinds = {e.kind for e in outcome.events}
    event = ctx.question.event
    assert isinstance(event, QuestionAsked)
    if event.question.kind == first_run.KIND and _unread(outcome):
        forms = (line for line in outcome.reply.lines if line.code == "nearest-forms")
        return _still_open(ctx, fact("setup-unfit", said=Said(ctx.text)), *forms)
    moved_on = bool(
        kinds & {"question-asked", "meal-counted", "dose-refused", "dose-suggested", "undone"}
    )
    moved_on = moved_on or outcome.reply.status == "asked"
    if kinds & {"glucose-read", "dose-taken", "low-felt"}:
        # the plate waits with an older glucose: it must be typed again with the new one
        moved_on = moved_on or event.question.kind not in LABEL_KINDS
    if any(hit.rule == "unsettled-dose" for hit in outcome.reply.rules):
        return _waiting(ctx, outcome)
    if tells_dose(event) and _tells_dose(outcome):
        return told_doses.told_beside(ctx, outcome)
    if ctx.unsettled_dose() and outcome.reply.status == "asked" and not _tells_dose(outcome):
        steps = (line for line in outcome.reply.lines if line.role == "refusal")
        # no other question drops this one; the steps for a low are told all the same
        first = _still_open(ctx, *steps, fact("rule-unsettled-dose"))
        return Outcome(first.reply, tuple(e for e in outcome.events if e.kind != "question-asked"))
    if ctx.unsettled_dose() and kinds & _BESIDE_A_DOSE and not _settles(ctx, outcome):
        events = tuple(e for e in outcome.events if e.kind != "question-closed")
        return _waiting(ctx, Outcome(outcome.reply, events))
    if "setting-said" in kinds and event.question.kind in _ABOUT_SETTINGS:
        moved_on = True
    recipe = read_recipe(ctx.asked_text) is not None
    about_label = not recipe and read_food_sentence(ctx.asked_text) is not None
    moved_on = moved_on or (about_label and "food-saved" in kinds)
    if moved_on:
        dropped = fact("question-dropped", said=Said(ctx.asked_text))
        lines = (dropped, *outcome.reply.lines)
        if first_run.is_step(ctx.asked_text) and first_run.is_step(ctx.text):
            lines = outcome.reply.lines  # the talk goes on; nothing is lost
        return Outcome(replace(outcome.reply, lines=lines), (QuestionClosed(), *outcome.events))
    if (
        not about_label
        and event.question.kind in {"measure", "label", "policy", "recipe", first_run.KIND}
        and any(isinstance(e, _FREEING) for e in outcome.events)
    ):
        return _then_again(ctx, outcome)
    return _waiting(ctx, outcome)


def _tells_dose(outcome: Outcome) -> bool:
    """Is a dose logged, or asked about?"""
    return any(
        e.kind == "dose-taken" or (isinstance(e, QuestionAsked) and tells_dose(e))
        for e in outcome.events
    )


_BESIDE_A_DOSE = frozenset({"glucose-read", "low-felt", "meal-counted", "undone"})
"""Events that drop other open questions, and tell nothing of a dose that is not settled."""


def _settles(ctx: Context, outcome: Outcome) -> bool:
    """Is the dose of the open question logged, or the turn undone that told it?"""
    assert ctx.question is not None
    undone = {e.turn for e in outcome.events if isinstance(e, Undone)}
    return ctx.question.turn in undone or any(e.kind == "dose-taken" for e in outcome.events)


def _unread(outcome: Outcome) -> bool:
    """Nothing was understood and nothing is kept: an answer that went wrong, not a new sentence."""
    question = outcome.reply.question
    unclear = question is not None and question.kind in {"name", "unread", "misread", "number"}
    return unclear and all(e.kind == "question-asked" for e in outcome.events)


def _then_again(ctx: Context, outcome: Outcome) -> Outcome:
    """What was missing has been said: the sentence that waited is read again."""
    assert ctx.question is not None
    text = ctx.asked_text
    events: tuple[Event, ...] = (QuestionClosed(closes=ctx.question.turn), *outcome.events)
    record = PendingRecord(ctx.record, events, text, ctx.now)
    again = plain(context(record, PendingFoods(ctx.foods, events), text, ctx.now))
    told = tuple(
        fact(line.code, **line.args) for line in outcome.reply.lines if line.role == "answer"
    )
    lines = (*_read_as(text), *again.reply.lines, *told)
    if first_run.is_step(text):
        lines = (*told, *again.reply.lines)
    return Outcome(replace(again.reply, lines=lines), (*events, *again.events))


def _waiting(ctx: Context, outcome: Outcome) -> Outcome:
    """The question is still open, and that is said in one line."""
    lines = (*outcome.reply.lines, fact("question-waits", said=Said(ctx.asked_text)))
    return Outcome(replace(outcome.reply, lines=lines), outcome.events)


def _still_open(ctx: Context, *before: Line) -> Outcome:
    """The open question, said again in full."""
    assert ctx.question is not None
    event = ctx.question.event
    assert isinstance(event, QuestionAsked)
    question = event.question
    lines = (*before, question.asked, *(c.label for c in question.choices))
    return Outcome(Reply("asked", lines, question=question))


def _active_now(ctx: Context) -> tuple[Line, ...]:
    """How much insulin is active, where the journal knows of any."""
    told = explain.what_is_active(ctx).reply
    if not told.facts.get("active_units"):
        return ()
    return tuple(line for line in told.lines if line.code == "active-total")


def opening(record: Record, foods: Foods, now: datetime) -> Reply:
    """What the chat says at its start, and nothing else: an open suggestion, insulin that is
    active now, an open question.
    """
    ctx = context(record, foods, "", now)
    lines: list[Line] = []
    waiting = ctx.open_suggestion()
    if waiting is not None:
        lines.append(
            Line("caution", "open-suggestion",
                 {"units": Amount(waiting.units, "unit"), "moment": waiting.moment})
        )  # fmt: skip
        lines.append(next_step("took it", "not taken", "cancel"))
    if ctx.record_gap():
        lines.append(Line("caution", "rule-record-gap"))
    lines.extend(_active_now(ctx))
    if ctx.question is not None and isinstance(ctx.question.event, QuestionAsked):
        lines.append(fact("question-waits", said=Said(ctx.asked_text)))
        lines.append(ctx.question.event.question.asked)
        lines.extend(c.label for c in ctx.question.event.question.choices)
    return Reply("answered", tuple(lines))

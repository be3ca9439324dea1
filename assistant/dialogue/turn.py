"""One turn: (record, library, words, clock) -> (reply, events). Pure; no input makes it raise."""

from datetime import datetime, timedelta
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue import (
    explain,
    first_run,
    happened,
    kitchen,
    offers,
    recipe_collecting,
    same_meal,
    told_doses,
)
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
from assistant.dialogue.going_on import with_rest
from assistant.dialogue.low_watch import lows_stand
from assistant.dialogue.outcome import (
    DROP,
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
from assistant.dialogue.sentence_parts import ANSWER, in_own_words
from assistant.dialogue.sentences import command_of, plain, stands_alone
from assistant.dialogue.state import (
    LOOK_BACK,
    Context,
    ToldAs,
    context,
    in_no_words,
    tells_dose,
)
from assistant.values import Amount, Said
from grammar.foods import read_food_sentence
from grammar.numbers import HUGE
from grammar.recipes import read_recipe
from grammar.statements import form_of
from grammar.words import printable, squeezed

MAX_TEXT = 20_000
"""Characters of one turn: a long label fits, a book does not."""


def _cleaned(text: str) -> str:
    text = printable(text).replace(ANSWER, " ").replace("\r\n", "\n").replace("\r", "\n")
    return squeezed(text)


def turn(
    record: Record, foods: Foods, text: str, now: datetime, told_as: ToldAs = in_no_words
) -> Outcome:
    """What the assistant answers to these words at this time, and what it leaves in the journal.

    now must carry an offset. told_as: the words in which choices are told, so that these words
    choose them (render.turns has the turn with them). The same arguments always give the same
    outcome.
    """
    cleaned = _cleaned(text)
    if not cleaned.strip():
        ctx = context(record, foods, cleaned, now)
        if recipe_collecting.is_open(ctx) and not _expired(ctx):
            return _still_open(ctx)  # a blank line inside a paste
        return ask(Ask("unread", "phrase-empty", hint=("help",)), text)
    if len(cleaned) > MAX_TEXT:
        args = {"length": Amount(Fraction(min(len(cleaned), 10 * HUGE)), "character")}
        return ask(Ask("unread", "text-too-long", args), cleaned[:200])
    ctx = replace(context(record, foods, cleaned, now), told_as=told_as)
    outcome = lows_stand(ctx, kitchen.opened_again(ctx, _outcome(ctx, cleaned)))
    if ctx.question is None or any(isinstance(e, Undone) for e in outcome.events):
        return outcome  # with what is undone, every question of before is closed
    events = tuple(
        replace(e, closes=ctx.question.turn)
        if isinstance(e, QuestionClosed) and e.closes is None
        else e
        for e in outcome.events
    )
    return replace(outcome, events=events)


def _outcome(ctx: Context, cleaned: str) -> Outcome:
    if command_of(cleaned) == "cancel" and not isinstance(answer_to(ctx, sentence=True), Answer):
        return happened.cancel(ctx)
    if _expired(ctx):
        return _after_expiry(ctx)
    command = command_of(cleaned)
    if ctx.question is not None and command == "question":
        return _still_open(ctx)
    line = _line_of_recipe(ctx, command)
    if line is not None:
        return line
    given = answer_to(ctx, sentence=stands_alone(cleaned))
    if isinstance(given, OutOfRange):
        return _still_open(
            ctx,
            Line("answer", "choice-out-of-range", {"count": Amount(Fraction(given.count), "")}),
        )
    if isinstance(given, Answer):
        taken = _said_in_turn(ctx, given)
        noted = replace(taken.reply, lines=(*taken.reply.lines, *given.notes))
        return kitchen.with_waiting(ctx, replace(taken, reply=noted))
    if told_doses.answer_in_full(ctx):
        outcome = _said_in_turn(ctx, Answer((cleaned,), now=True))
        return kitchen.with_waiting(ctx, told_doses.settled_by_answer(ctx, outcome))
    if ctx.question is not None and command == "yes":
        return _still_open(ctx, Line("answer", "not-yes-or-no"))
    outcome = plain(ctx)
    if ctx.question is not None:
        outcome = same_meal.asked(ctx, outcome, stands_alone) or outcome
    if outcome.deed is not None:
        return outcome  # an export leaves the question open; after forgetting there is none
    if ctx.question is not None:
        outcome = (
            _beside_a_recipe(ctx, outcome)
            or _no_answer(ctx, outcome)
            or _with_open_question(ctx, outcome)
        )
    return kitchen.with_waiting(ctx, outcome)


def _line_of_recipe(ctx: Context, command: str | None) -> Outcome | None:
    """The turn for one line of a recipe that is told line by line; None for all else."""
    if not recipe_collecting.is_open(ctx):
        return None
    told = recipe_collecting.said(ctx, sentence=stands_alone(ctx.text), undoes=command == "undo")
    if isinstance(told, recipe_collecting.StillOpen):
        return _still_open(ctx, *told.before)
    if isinstance(told, recipe_collecting.Told):
        outcome = _said_in_turn(ctx, Answer(told.texts))
        lines = (*told.before, *outcome.reply.lines)
        return kitchen.with_waiting(
            ctx, Outcome(replace(outcome.reply, lines=lines), outcome.events)
        )
    return told


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
    expired = fact(
        "dose-check-expired" if kept else "question-expired",
        said=Said(in_own_words(ctx.asked_text)),
    )
    lines = (*outcome.reply.lines, expired)
    return Outcome(replace(outcome.reply, lines=lines), (QuestionClosed(), *outcome.events))


def _said_in_turn(ctx: Context, given: Answer) -> Outcome:
    """An answer's sentences, one after the other, as one turn; their times are those at which the
    sentence was said that waited."""
    texts = given.texts
    if texts == ("cancel",):
        return happened.cancel(ctx)
    assert ctx.question is not None
    events: list[Event] = [QuestionClosed(closes=ctx.question.turn, answered=True)]
    before: list[Line] = []
    outcome, text = answered(), ""
    for position, text in enumerate(texts):
        record = PendingRecord(ctx.record, events, text, ctx.now)
        foods = PendingFoods(ctx.foods, events)
        if given.now:
            outcome = plain(context(record, foods, text, ctx.now))
        else:
            outcome = plain(_waiting_in(ctx, record, foods, text, reads=given.reads))
        events.extend(outcome.events)
        if outcome.reply.status != "answered":
            kept = events[: len(events) - len(outcome.events)]
            rest = texts[position + 1 :]
            if any(map(first_run.is_step, rest)):
                followed = first_run.going_on(outcome, rest)
            else:
                followed = with_rest(outcome, rest)
            if followed.reply.question == outcome.reply.question:  # no answer brings them back
                before.extend(
                    fact("not-read-yet", said=Said(t)) for t in rest if not first_run.is_step(t)
                )
            outcome = followed
            events = [*kept, *outcome.events]
            break
        if position < len(texts) - 1:
            before.extend(
                fact(line.code, **line.args)
                for line in outcome.reply.lines
                if line.role in {"answer", "caution"}
            )
    lines = (*_read_as(text), *outcome.reply.lines, *before)
    if first_run.is_step(texts[-1]):  # what was set first, then the next question
        lines = (*before, *outcome.reply.lines)
    return Outcome(replace(outcome.reply, lines=lines), tuple(events))


def _waiting_in(
    ctx: Context, record: Record, foods: Foods, text: str, *, reads: bool = False
) -> Context:
    """The context of the waiting sentence, in a record that has this turn's events already."""
    waiting = ctx.waiting(text, reads=reads)
    found = context(record, foods, text, ctx.now)
    return replace(found, said_at=waiting.said_at, read_at=waiting.read_at)


def _read_as(text: str) -> tuple[Line, ...]:
    """What an answer was taken to mean; a whole label is not read back."""
    if len(text) >= 160 or "\n" in text or text.startswith("label guide "):
        return ()
    if first_run.is_step(text) or in_own_words(text) == "undo":
        return ()
    return (fact("read-as", said=Said(in_own_words(text))),)


_FREEING = (FoodSaved, RecipeSaved, MeasureSaved, SettingSaid)


_ABOUT_SETTINGS = frozenset({"raise", "unusual", "schedule", "unit"})


_KEPT_OPEN = frozenset({first_run.KIND, "label", "label-name", "region", "replace"})
"""Questions behind which much was typed: a slip for an answer does not lose it."""


def _no_answer(ctx: Context, outcome: Outcome) -> Outcome | None:
    """Words that answer nothing and tell nothing: the question stays, with the way out of it."""
    event = ctx.question.event if ctx.question is not None else None
    if not isinstance(event, QuestionAsked) or event.question.kind not in _KEPT_OPEN:
        return None
    dose = form_of(ctx.text) == "took" and not ctx.text[0].isdigit()  # "8 units" may be a cap
    if not _unread(outcome) or dose:
        return None
    forms = (line for line in outcome.reply.lines if line.code == "nearest-forms")
    still = _still_open(ctx, fact("setup-unfit", said=Said(ctx.text)), *forms)
    hints: tuple[Line, ...] = ()
    if event.question.kind == first_run.KIND:
        asked = first_run.talk(replace(ctx, text=ctx.asked_text, question=None)).reply
        hints = tuple(line for line in asked.lines if line.role == "next")
    lines = (*still.reply.lines, *hints, next_step("cancel", code="unfit-leave"))
    return replace(still, reply=replace(still.reply, lines=lines))


def _beside_a_recipe(ctx: Context, outcome: Outcome) -> Outcome | None:
    """A sentence of its own while a recipe is told line by line, which goes on beside it."""
    if not recipe_collecting.is_open(ctx) or not recipe_collecting.goes_on(outcome):
        return None
    if _unread(outcome) and form_of(ctx.text) is not None:  # a dose or a number with a slip in it
        told = (fact(x.code, **x.args) if x.role == "question" else x for x in outcome.reply.lines)
        return _still_open(ctx, *told)
    if _unread(outcome):
        return _still_open(ctx, recipe_collecting.unfit(ctx))
    return _waiting(ctx, outcome)


def _with_open_question(ctx: Context, outcome: Outcome) -> Outcome:
    """A new sentence while a question was open: the question is dropped, answered, or waits."""
    assert ctx.question is not None
    kinds = {e.kind for e in outcome.events}
    event = ctx.question.event
    assert isinstance(event, QuestionAsked)
    beside = _beside_the_open(ctx, outcome, event)
    if beside is not None:
        return beside
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
        dropped = fact("question-dropped", said=Said(in_own_words(ctx.asked_text)))
        lines = (dropped, *outcome.reply.lines)
        if recipe_collecting.is_open(ctx) and "recipe-begun" not in kinds:
            lines = (*outcome.reply.lines, fact("recipe-waits-for-this"))
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


def _beside_the_open(ctx: Context, outcome: Outcome, event: QuestionAsked) -> Outcome | None:
    """Answers that the open question decides: a sentence with an open place, a second line of a
    meal. None for all others.
    """
    now = outcome.reply.question.kind if outcome.reply.question is not None else ""
    if now == offers.KIND:
        return _still_open(ctx, *outcome.reply.lines)
    if now == same_meal.KIND:
        return Outcome(outcome.reply, (QuestionClosed(), *outcome.events))
    if event.question.kind == same_meal.KIND and _logs_only(outcome):
        again = _still_open(ctx, *outcome.reply.lines)
        return Outcome(again.reply, outcome.events)
    return None


def _logs_only(outcome: Outcome) -> bool:
    """A reading, and no low: a meal that waits goes on waiting, and asks for the reading anew."""
    kinds = {e.kind for e in outcome.events}
    return kinds == {"glucose-read"} and not any(
        line.code == "glucose-is-low" for line in outcome.reply.lines
    )


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
    again = plain(_waiting_in(ctx, record, PendingFoods(ctx.foods, events), text))
    told = tuple(
        fact(line.code, **line.args) for line in outcome.reply.lines if line.role == "answer"
    )
    lines = (*_read_as(text), *again.reply.lines, *told)
    if any(isinstance(e, RecipeSaved) for e in outcome.events):  # whole, and before the other one
        lines = (*(x for x in outcome.reply.lines if x.role != "next"), *_read_as(text),
                 *again.reply.lines)  # fmt: skip
    if first_run.is_step(text):
        lines = (*told, *again.reply.lines)
    return Outcome(replace(again.reply, lines=lines), (*events, *again.events))


def _waiting(ctx: Context, outcome: Outcome) -> Outcome:
    """The question is still open, and that is said in one line."""
    lines = (*outcome.reply.lines, fact("question-waits", said=Said(in_own_words(ctx.asked_text))))
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
        lines.append(next_step("took it", "not taken", DROP))
    if ctx.record_gap():
        lines.append(Line("caution", "rule-record-gap"))
    lines.extend(_active_now(ctx))
    if ctx.question is not None and isinstance(ctx.question.event, QuestionAsked):
        lines.append(fact("question-waits", said=Said(in_own_words(ctx.asked_text))))
        lines.append(ctx.question.event.question.asked)
        lines.extend(c.label for c in ctx.question.event.question.choices)
    return Reply("answered", tuple(lines))

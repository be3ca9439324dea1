"""One turn: (record, library, words, clock) -> (reply, events). Pure; no input makes it raise."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue import explain, food_talk, happened, label_guide, numbers_talk
from assistant.dialogue.asking import Answer, OutOfRange, answer_to
from assistant.dialogue.events import (
    Event,
    FoodSaved,
    LowFelt,
    MealCounted,
    MeasureSaved,
    QuestionAsked,
    QuestionClosed,
    SettingSaid,
)
from assistant.dialogue.lows import treat_low
from assistant.dialogue.meal_questions import ANSWER
from assistant.dialogue.meals import meal
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    fact,
    next_step,
)
from assistant.dialogue.pending import PendingFoods, PendingRecord
from assistant.dialogue.record import Foods, Record
from assistant.dialogue.replies import Line, Reply
from assistant.dialogue.state import Context, context
from assistant.values import Amount, Said
from grammar.foods import FoodSentence, read_food_sentence
from grammar.labels import looks_like_label
from grammar.nodes import Number
from grammar.numbers import HUGE, read_number
from grammar.statements import Misread, read_statement
from grammar.words import printable, squeezed

MAX_TEXT = 20_000
"""Characters of one turn: a long label fits, a book does not."""

_COMMANDS = {
    "why": ("why", "why that", "explain", "full working", "show the working", "how"),
    "today": ("today", "show today", "what did i eat today"),
    "active": (
        "what is active now", "what is active", "active insulin", "what insulin is active",
        "whats active", "what's active", "how much insulin is active", "what is active insulin now",
    ),
    "cancel": ("cancel", "never mind", "nevermind", "forget it", "stop", "drop it"),
    "not-taken": ("not taken", "did not take it", "didn't take it", "i did not take it",
                  "i didn't take it", "dose not taken", "skipped it"),
    "undo": ("undo", "undo that", "take that back"),
    "numbers": ("show my numbers", "my numbers", "settings", "show settings", "my settings",
                "show my settings", "numbers",
                "what is missing", "whats missing", "what's missing", "what is missing?"),
    "question": ("question", "what was the question", "repeat"),
    "help": ("help", "what can i say", "what can i type", "?", "help me"),
    "help-labels": ("help labels", "help label", "help foods", "help food"),
    "help-numbers": ("help numbers", "help settings"),
    "yes": ("yes", "y", "no", "n", "ok", "okay"),
    "took": ("took", "taken", "took it", "i took it", "took them"),
}  # fmt: skip


def _command(text: str) -> str | None:
    low = re.sub(r"\s+", " ", text.casefold().replace("’", "'")).strip()
    low = low if low == "?" else low.rstrip(" .!?")
    return next((name for name, forms in _COMMANDS.items() if low in forms), None)


def _run_command(ctx: Context, command: str) -> Outcome:
    match command:
        case "why":
            return explain.why(ctx)
        case "today":
            return explain.today(ctx)
        case "active":
            return explain.what_is_active(ctx)
        case "cancel":
            return happened.cancel(ctx)
        case "not-taken":
            return happened.not_taken(ctx)
        case "undo":
            return happened.undo(ctx)
        case "numbers":
            return numbers_talk.show(ctx)
        case "yes":
            return _yes_to_nothing(ctx)
        case "question":
            return answered(answer("no-question-open"))
        case "took":
            return _statement(replace(ctx, text="took it"))
    return answered(*(Line("fact", f"{command}-{n}") for n in range(1, _HELP_LINES[command] + 1)))


_HELP_LINES = {"help": 8, "help-labels": 7, "help-numbers": 10}


_FEELS_LOW = re.compile(
    r"\s*(?:i\s*['’]?\s*(?:m|am|feel|think\s+i\s*['’]?\s*m|might\s+be|may\s+be)\s*|am\s+i\s+|"
    r"(?=(?:feeling\s+)?(?:low|lo|hypo|shaky))|(?:my\s+)?(?:blood\s+)?(?:glucose|sugar)\s+(?:is\s+)?)"
    r"(?:feeling\s+)?(?:low|lo|shaky|hypo|going\s+low)\s*[.!?]*\s*", re.I)  # fmt: skip
_METER_HIGH = re.compile(
    r"\s*(?:my\s+)?(?:(?:blood\s+)?(?:glucose|sugar)|bg|meter|reading)\s+"
    r"(?:(?:is|says|reads)\s+)?"
    r"(?:very\s+)?(?:hi|high)\s*[.!?]*\s*", re.I)  # fmt: skip
_CHANGED_MEAL = re.compile(
    r"\s*(?:i\s+)?(?:only\s+)?(?:ate|had|finished)\s+(?:only\s+)?(?P<part>.+?)\s+of\s+(?:it|that)"
    r"\s*[.!?]*\s*", re.I)  # fmt: skip


def _special(text: str) -> Outcome | None:
    """Words about feeling low, or a meter beyond its range: guidance, and no figure is made up."""
    if _FEELS_LOW.fullmatch(text):
        return answered(answer("feels-low"), *treat_low(), events=(LowFelt(text),))
    if _METER_HIGH.fullmatch(text):
        return answered(answer("meter-high"))
    return None


def _ate_part(ctx: Context) -> Outcome | None:
    """ "ate only half of it": what that part of the last meal counts; the journal stays."""
    match = _CHANGED_MEAL.fullmatch(ctx.text)
    part = read_number(match["part"]) if match else None
    kept = ctx.record.events(("meal-counted",), last=1)
    if not isinstance(part, Number) or part.value >= 1 or not kept:
        return None
    event = kept[-1].event
    assert isinstance(event, MealCounted)
    eaten = event.counted.times(part.value)
    return answered(
        answer(
            "ate-part",
            said=Said(event.said),
            part=Amount(part.value, "times"),
            counted=Amount(eaten.value, "g", 2),
            whole=Amount(event.counted.value, "g", 2),
        ),
        Line("caution", "ate-part-caution"),
        facts={"eaten_share": part.value, "counted_carbs_g": eaten.value},
    )


def _yes_to_nothing(ctx: Context) -> Outcome:
    """ "yes" where nothing was asked: with a suggestion open it could mean too much."""
    waiting = ctx.open_suggestion()
    if waiting is None:
        return ask(Ask("nothing", "yes-to-nothing", hint=("help",)), ctx.text)
    return ask(
        Ask("nothing", "yes-to-suggestion", {"units": Amount(waiting.units, "unit")},
            hint=("took it", "not taken", "cancel")), ctx.text
    )  # fmt: skip


def _statement(ctx: Context) -> Outcome:
    statement = read_statement(_without_tail(ctx.text))
    if isinstance(statement, Misread):
        return numbers_talk.misread(ctx, statement)
    assert statement is not None
    if statement.form == "took":
        return happened.took(ctx, statement)
    if statement.form == "glucose":
        return happened.glucose(ctx, statement)
    outcome = numbers_talk.handle(ctx, statement)
    assert outcome is not None
    return outcome


def _is_statement(text: str) -> bool:
    return read_statement(_without_tail(text)) is not None


_TAIL = re.compile(r",?\s*(?:that\s+is\s+right|please|thanks|thank\s+you)\s*[.!]*\s*$", re.I)


def _without_tail(text: str) -> str:
    """The sentence without a confirmation or courtesy at its end."""
    return _TAIL.sub("", numbers_talk.SURE.sub("", text))


def _early(ctx: Context) -> Outcome | None:
    """Sentences that could be mistaken for others: the label guide, feeling low, barcodes, undo."""
    if label_guide.START.fullmatch(ctx.text):
        return ask(label_guide.begin(), ctx.text)
    guided = label_guide.next_question(ctx.text)
    if isinstance(guided, Ask):
        return ask(guided, ctx.text)
    if guided is not None:
        return _plain(replace(ctx, text=guided))
    special = _special(ctx.text) or food_talk.barcode(ctx)
    if special:
        return special
    turn_said = re.fullmatch(r"\s*undo\s+turn\s+(\d{1,12})\s*", ctx.text, re.I)
    if turn_said:
        return happened.undo(ctx, int(turn_said[1]))
    return None


def _plain(ctx: Context) -> Outcome:
    """The turn for a sentence that stands for itself."""
    command = _command(ctx.text)
    if command:
        return _run_command(ctx, command)
    early = _early(ctx)
    if early is not None:
        return early
    if "\n" in ctx.text.strip() or not _is_statement(ctx.text):
        about_food = read_food_sentence(ctx.text)
        if about_food is not None:
            outcome = _about_food(ctx, about_food)
            if outcome is not None:
                return outcome
        if looks_like_label(ctx.text):
            return food_talk.pasted_label(ctx)
    if _is_statement(ctx.text):
        return _statement(ctx)
    term = explain.glossary(ctx.text) or _ate_part(ctx)
    if term is not None:
        return term
    return meal(ctx) or ask(Ask("unread", "phrase-no-food", hint=("help",)), ctx.text)


def _about_food(ctx: Context, said: FoodSentence) -> Outcome | None:
    if said.form == "how-much":
        return explain.how_much(ctx, said)
    if said.form == "compare":
        return explain.compare(ctx, said)
    return food_talk.handle(ctx, said)


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
    if _command(cleaned) == "cancel":
        return happened.cancel(ctx)
    if _expired(ctx):
        return _after_expiry(ctx)
    command = _command(cleaned)
    if ctx.question is not None and command == "question":
        return _still_open(ctx)
    given = answer_to(ctx, sentence=_stands_alone(cleaned))
    if isinstance(given, OutOfRange):
        return _still_open(
            ctx,
            Line(
                "answer", "choice-out-of-range", {"count": Amount(Fraction(given.count), "choice")}
            ),
        )
    if isinstance(given, Answer):
        return _said_in_turn(ctx, given.texts)
    if ctx.question is not None and command == "yes":
        return _still_open(ctx, Line("answer", "not-yes-or-no"))
    outcome = _plain(ctx)
    return _with_open_question(ctx, outcome) if ctx.question is not None else outcome


LABEL_KINDS = frozenset({"label", "label-name", "region", "replace"})
"""Questions about a label wait for a day; all others concern what is on the plate now."""


def _expired(ctx: Context) -> bool:
    """An old question is not answered by a new word: glucose and plate have changed since."""
    if ctx.question is None or not isinstance(ctx.question.event, QuestionAsked):
        return False
    age = ctx.now - ctx.question.said_at
    if ctx.unsettled_dose():  # what is in the body is asked until it is known, on its day
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
    outcome = _plain(replace(ctx, question=None))
    expired = fact("question-expired", said=Said(ctx.asked_text))
    lines = (*outcome.reply.lines, expired)
    return Outcome(replace(outcome.reply, lines=lines), (QuestionClosed(), *outcome.events))


def _stands_alone(text: str) -> bool:
    """A command or a statement: never a name or a word for a free slot of a question."""
    if _command(text) is not None or _is_statement(text) or read_food_sentence(text) is not None:
        return True
    if _FEELS_LOW.fullmatch(text) or _METER_HIGH.fullmatch(text) or _CHANGED_MEAL.fullmatch(text):
        return True
    return re.match(r"\s*(?:undo|guide\s+me|what|how|why)\b", text, re.I) is not None


def _said_in_turn(ctx: Context, texts: tuple[str, ...]) -> Outcome:
    """An answer's sentences, one after the other, as one turn."""
    if texts == ("cancel",):
        return happened.cancel(ctx)
    events: list[Event] = [QuestionClosed()]
    before: list[Line] = []
    outcome = answered()
    for position, text in enumerate(texts):
        record = PendingRecord(ctx.record, events, text, ctx.now)
        foods = PendingFoods(ctx.foods, events)
        outcome = _plain(context(record, foods, text, ctx.now))
        events.extend(outcome.events)
        if outcome.reply.status != "answered":
            break
        if position < len(texts) - 1:
            before.extend(
                fact(line.code, **line.args)
                for line in outcome.reply.lines
                if line.role in {"answer", "caution"}
            )
    lines = (*_read_as(texts[-1]), *outcome.reply.lines, *before)
    return Outcome(replace(outcome.reply, lines=lines), tuple(events))


def _read_as(text: str) -> tuple[Line, ...]:
    """What an answer was taken to mean; a whole label is not read back."""
    if len(text) >= 160 or "\n" in text or text.startswith("label guide "):
        return ()
    return (fact("read-as", said=Said(text)),)


_FREEING = (FoodSaved, MeasureSaved, SettingSaid)


_ABOUT_SETTINGS = frozenset({"raise", "unusual", "schedule", "unit"})


def _with_open_question(ctx: Context, outcome: Outcome) -> Outcome:
    """A new sentence while a question was open: the question is dropped, answered, or waits."""
    assert ctx.question is not None
    kinds = {e.kind for e in outcome.events}
    event = ctx.question.event
    assert isinstance(event, QuestionAsked)
    moved_on = bool(
        kinds & {"question-asked", "meal-counted", "dose-refused", "dose-suggested", "undone"}
    )
    moved_on = moved_on or outcome.reply.status == "asked"
    if kinds & {"glucose-read", "dose-taken", "low-felt"}:
        # the plate waits with an older glucose: it must be typed again with the new one
        moved_on = moved_on or event.question.kind not in LABEL_KINDS
    if any(hit.rule == "unsettled-dose" for hit in outcome.reply.rules):
        return _waiting(ctx, outcome)
    if "setting-said" in kinds and event.question.kind in _ABOUT_SETTINGS:
        moved_on = True
    if moved_on:
        dropped = fact("question-dropped", said=Said(ctx.asked_text))
        lines = (dropped, *outcome.reply.lines)
        return Outcome(replace(outcome.reply, lines=lines), (QuestionClosed(), *outcome.events))
    if event.question.kind in {"measure", "label", "policy"} and any(
        isinstance(e, _FREEING) for e in outcome.events
    ):
        return _then_again(ctx, outcome)
    return _waiting(ctx, outcome)


def _then_again(ctx: Context, outcome: Outcome) -> Outcome:
    """What was missing has been said: the sentence that waited is read again."""
    assert ctx.question is not None
    text = ctx.asked_text
    events: tuple[Event, ...] = (QuestionClosed(), *outcome.events)
    record = PendingRecord(ctx.record, events, text, ctx.now)
    again = _plain(context(record, PendingFoods(ctx.foods, events), text, ctx.now))
    told = tuple(
        fact(line.code, **line.args) for line in outcome.reply.lines if line.role == "answer"
    )
    lines = (*_read_as(text), *again.reply.lines, *told)
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


def opening(record: Record, foods: Foods, now: datetime) -> Reply:
    """What the chat says at its start: an open suggestion, an open question, and nothing else."""
    ctx = context(record, foods, "", now)
    lines: list[Line] = []
    waiting = ctx.open_suggestion()
    if waiting is not None:
        lines.append(
            Line("caution", "open-suggestion",
                 {"units": Amount(waiting.units, "unit"), "moment": waiting.moment})
        )  # fmt: skip
        lines.append(next_step("took it", "not taken", "cancel"))
    if ctx.question is not None and isinstance(ctx.question.event, QuestionAsked):
        lines.append(fact("question-waits", said=Said(ctx.asked_text)))
        lines.append(ctx.question.event.question.asked)
        lines.extend(c.label for c in ctx.question.event.question.choices)
    return Reply("answered", tuple(lines))


__all__ = ["answer", "opening", "turn"]

"""What a sentence that stands for itself is: a command, a statement, about foods, or a meal."""

import re

from msgspec.structs import replace

from assistant.dialogue import (
    days,
    explain,
    fate,
    first_run,
    food_talk,
    gap,
    happened,
    kitchen,
    label_guide,
    label_talk,
    manners,
    nearest,
    numbers_talk,
    offers,
    paging,
    pointers,
    portion_finder,
    told_doses,
    undoing,
)
from assistant.dialogue.after import look_back
from assistant.dialogue.changes import change, leave_out_or_forget
from assistant.dialogue.low_watch import low_alone, low_kept
from assistant.dialogue.meals import meal
from assistant.dialogue.outcome import (
    DROP,
    Ask,
    Outcome,
    answer,
    answered,
    as_said,
    ask,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.said_setting import SURE
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Said
from grammar import patterns
from grammar.changes import read_change
from grammar.foods import FoodSentence, read_food_sentence
from grammar.labels import looks_like_label
from grammar.lookback import read_lookback
from grammar.lows import read_low
from grammar.nodes import Complaint
from grammar.phrases import read_phrase
from grammar.statements import Misread, Statement, read_statement

_COMMANDS = {
    "why": ("why", "why that", "explain", "show the working", "how"),
    "today": ("today", "show today", "what did i eat today"),
    "active": (
        "what is active now", "what is active", "active insulin", "what insulin is active",
        "whats active", "what's active", "how much insulin is active", "what is active insulin now",
        "iob", "my iob", "what is my iob", "what's my iob", "what is on board", "what's on board",
        "whats on board", "insulin on board", "how much insulin is on board", "on board",
        "how much insulin do i have on board", "what insulin is on board",
    ),
    "cancel": ("cancel", "never mind", "nevermind", "forget it", "stop", "drop it"),
    "drop": (DROP, "drop the dose", "drop that suggestion"),
    "not-taken": ("not taken", "did not take it", "didn't take it", "i did not take it",
                  "i didn't take it", "dose not taken", "skipped it"),
    "undo": ("undo", "undo that", "take that back"),
    "numbers": ("show my numbers", "my numbers", "settings", "show settings", "my settings",
                "show my settings", "numbers",
                "what is missing", "whats missing", "what's missing", "what is missing?"),
    "question": ("question", "what was the question", "repeat"),
    "help": ("help", "?", "help me"),
    "help-labels": ("help labels", "help label", "help foods", "help food"),
    "help-numbers": ("help numbers", "help settings"),
    "help-meals": ("help meals", "help meal", "help a meal"),
    "help-recipes": ("help recipes", "help recipe", "help kitchen", "help cooking"),
    "help-chat": ("help chat", "help answers", "help screen reader"),
    "yes": ("yes", "y", "no", "n", "ok", "okay"),
    "took": ("took", "taken"),
    "dose-right": ("the dose is right", "that dose is right"),
    "manner": tuple(manners.SENTENCES),
    "more": ("more", "more please", "next lines", "go on"),
    "set-up": ("set up", "setup", "set me up", "set it up", "start over with set up"),
    "can-say": ("what can i say", "what can i type", "what now"),
    "clock-right": ("the clock is right", "my clock is right"),
    "same-dose": (told_doses.SAME,),
    "other-dose": (told_doses.OTHER,),
    "complete": ("the record is complete", "record is complete", "my record is complete"),
}  # fmt: skip


def command_of(text: str) -> str | None:
    """The command that the whole text is, or None."""
    low = patterns.sub(r"\s+", " ", text.casefold().replace("’", "'")).strip()
    low = low if low == "?" else low.rstrip(" .!?")
    return next((name for name, forms in _COMMANDS.items() if low in forms), None)


def _run_command(ctx: Context, command: str) -> Outcome:
    runs = {
        "why": explain.why,
        "today": days.today,
        "active": explain.what_is_active,
        "cancel": happened.cancel,
        "drop": happened.drop,
        "not-taken": happened.not_taken,
        "undo": undoing.undo,
        "numbers": numbers_talk.show,
        "yes": _yes_to_nothing,
        "dose-right": happened.dose_right,
        "clock-right": happened.clock_right,
        "same-dose": told_doses.same_dose,
        "other-dose": told_doses.other_dose,
        "complete": gap.complete,
        "manner": manners.said,
        "more": _more,
        "set-up": first_run.talk,
        "can-say": nearest.what_now,
    }
    if command == "question":
        return answered(answer("no-question-open"))
    if command == "took":
        return plain(replace(ctx, text="I took it"))
    if command in runs:
        return runs[command](ctx)
    lines = [Line("fact", f"{command}-{n}") for n in range(1, _HELP_LINES[command] + 1)]
    if command not in {"help-chat", "help-numbers"}:  # numbers say it in their own words
        lines.append(Line("fact", "help-figures"))
    return answered(*lines)


def _more(ctx: Context) -> Outcome:
    """The lines of the last list that were not told yet."""
    rest = paging.rest_of(ctx)
    if rest is None:
        return answered(answer("nothing-more"))
    if rest.sentence.startswith(food_talk.HOLDING):
        word = rest.sentence.removeprefix(food_talk.HOLDING)
        return food_talk.holding_word(ctx, word, rest.told)
    lists = {"foods": food_talk.list_foods, "today": days.today}
    shown = lists.get(rest.sentence)
    return shown(ctx, rest.told) if shown else kitchen.more(ctx, rest.sentence, rest.told)


_HELP_LINES = {"help": 10, "help-labels": 9, "help-numbers": 12, "help-meals": 6, "help-chat": 6,
               "help-recipes": 8}  # fmt: skip


_METER_HIGH = patterns.compile(
    r"\s*(?:my\s+)?(?:(?:blood\s+)?(?:glucose|sugar)|bg|meter|reading)\s+"
    r"(?:(?:is|says|reads)\s+)?"
    r"(?:very\s+)?(?:hi|high)\s*[.!?]*\s*", re.I)  # fmt: skip


def _special(ctx: Context) -> Outcome | None:
    """Words about feeling low, or a meter beyond its range: guidance, and no figure is made up."""
    if _METER_HIGH.fullmatch(ctx.text):
        return answered(answer("meter-high"))
    return low_alone(ctx)


def _change(ctx: Context) -> Outcome | None:
    """A few words about the last meal: its whole sentence, said anew."""
    found = change(ctx)
    if found is None or isinstance(found, Outcome):
        return found
    then = replace(ctx, text=found.text, said_at=found.said_at, read_at=found.read_at)
    outcome = meal(then)
    if outcome is None:
        return None
    outcome = as_said(outcome, found.said_at, found.read_at)
    told = Line("fact", "read-change", {"said": Said(found.text)})
    reply = replace(outcome.reply, lines=(told, *outcome.reply.lines))
    return replace(outcome, reply=reply)


def _yes_to_nothing(ctx: Context) -> Outcome:
    """ "yes" where nothing was asked: with a suggestion open it could mean too much."""
    waiting = ctx.open_suggestion()
    if waiting is None:
        return ask(Ask("nothing", "yes-to-nothing", hint=("help",)), ctx.text)
    no = ctx.text.strip(" .!").casefold() in {"no", "n"}
    hint = ("not taken", "took it", DROP) if no else ("took it", "not taken", DROP)
    code = "no-to-suggestion" if no else "yes-to-suggestion"
    args: dict[str, Arg] = {"units": Amount(waiting.units, "unit")}
    return ask(Ask("nothing", code, args, hint=hint), ctx.text)


def _statement(ctx: Context, statement: Statement | Misread) -> Outcome:
    if isinstance(statement, Misread):
        return told_doses.misread_dose(ctx, statement) or numbers_talk.misread(ctx, statement)
    if statement.form == "took":
        return happened.took(ctx, statement)
    if statement.form == "glucose":
        return happened.glucose(ctx, statement)
    outcome = numbers_talk.handle(ctx, statement)
    assert outcome is not None
    return outcome


def _statement_in(text: str) -> Statement | Misread | None:
    return read_statement(_without_tail(text))


_TAIL = patterns.compile(r",?\s*(?:that\s+is\s+right|please|thanks|thank\s+you)\s*[.!]*\s*$", re.I)


def _without_tail(text: str) -> str:
    """The sentence without a confirmation or courtesy at its end."""
    return _TAIL.sub("", SURE.sub("", text))


_UNDO_TURN = patterns.compile(
    r"\s*undo\s+turn\s+(?P<turn>\d{1,12})(?P<sure>\s*,?\s*that\s+is\s+right)?\s*[.!]*\s*", re.I
)


def _early(ctx: Context) -> Outcome | None:
    """Sentences that could be mistaken for others: the label guide, feeling low, barcodes, undo."""
    if label_guide.START.fullmatch(ctx.text):
        return ask(label_guide.begin(), ctx.text)
    guided = label_guide.next_question(ctx.text)
    if isinstance(guided, Ask):
        return ask(guided, ctx.text)
    if guided is not None:
        return plain(replace(ctx, text=guided))
    special = _special(ctx) or first_run.early(ctx) or food_talk.barcode(ctx)
    if special:
        return special
    turn_said = _UNDO_TURN.fullmatch(ctx.text)
    if turn_said:
        return undoing.undo(ctx, int(turn_said["turn"]), sure=turn_said["sure"] is not None)
    return None


def plain(ctx: Context) -> Outcome:
    """The turn for a sentence that stands for itself. A low or a dose in it is not lost,
    whatever it is."""
    found = low_kept(ctx, told_doses.dose_seen(ctx, _plain(ctx)))
    return as_said(found, ctx.said_at, ctx.read_at)


def _plain(ctx: Context) -> Outcome:
    command = command_of(ctx.text)
    if command:
        return _run_command(ctx, command)
    early = _early(ctx)
    if early is None and offers.is_open(ctx):
        return ask(offers.still_open(ctx), ctx.text)
    early = early or look_back(ctx) or kitchen.talk(ctx, plain) or pointers.pointed(ctx)
    if early is not None:
        return early
    statement = _statement_in(ctx.text)
    if "\n" in ctx.text.strip() or statement is None:
        about_food = read_food_sentence(ctx.text)
        if about_food is not None and about_food.form == "forget":
            which = leave_out_or_forget(ctx)
            if which is not None:
                return which
        if about_food is not None:
            outcome = _about_food(ctx, about_food)
            if outcome is not None:
                return outcome
        if looks_like_label(ctx.text) and not _says_glucose(ctx.text):
            return label_talk.pasted_label(ctx)
    if statement is not None:
        return _statement(ctx, statement)
    term = explain.glossary(ctx.text) or _change(ctx)
    if term is not None:
        return kitchen.named(ctx, term)
    return _eaten(ctx)


def _eaten(ctx: Context) -> Outcome:
    """A meal, or that nothing in it was understood, with what became of its parts."""
    found = kitchen.eaten(ctx, plain)
    if found is None:
        no_food = ask(Ask("unread", "phrase-no-food", hint=("help",)), ctx.text)
        found = fate.with_reading(ctx, no_food)
    return nearest.with_forms(ctx, pointers.beside(ctx, found))


def _about_food(ctx: Context, said: FoodSentence) -> Outcome | None:
    if said.form == "how-much":
        return portion_finder.how_much(ctx, said)
    if said.form == "compare":
        return explain.compare(ctx, said)
    return food_talk.handle(ctx, said)


def _says_glucose(text: str) -> bool:
    """A meal with "blood sugar 100 mg/dL" is no label, which never tells that."""
    phrase = read_phrase(text)
    return not isinstance(phrase, Complaint) and phrase.says("glucose")


def stands_alone(text: str) -> bool:
    """A command or a statement: never a name or a word for a free slot of a question."""
    if command_of(text) is not None or _statement_in(text) or read_food_sentence(text) is not None:
        return True
    if kitchen.stands_alone(text) or read_lookback(text) is not None:
        return True
    if read_low(text) is not None or _METER_HIGH.fullmatch(text) or read_change(text):
        return True
    return patterns.match(r"\s*(?:undo|guide\s+me|what|how|why)\b", text, re.I) is not None

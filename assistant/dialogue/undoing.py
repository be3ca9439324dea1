"""Undoing: the last turn, or one by its number, is taken back. Settings and lows stay."""

from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.events import (
    IMPORT,
    AliasSaved,
    DoseSuggested,
    DoseTaken,
    Event,
    FoodForgotten,
    FoodSaved,
    GlucoseRead,
    LowFelt,
    MealCounted,
    MeasureSaved,
    QuestionClosed,
    ReadingsImported,
    RecipeSaved,
    SettingSaid,
    SuggestionClosed,
    Undone,
)
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    fact,
    next_step,
    took_text,
    yes_no,
)
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import in_own_words
from assistant.dialogue.state import Context
from assistant.dosing.rules import is_low
from assistant.dosing.settings import topic
from assistant.values import Amount, Arg, Name, Said

UNDOABLE = (
    "dose-taken", "suggestion-closed", "glucose-read", "dose-refused", "meal-counted",
    "dose-suggested", "alias-saved", "food-saved", "measure-saved", "food-forgotten",
    "recipe-saved", "goal-said",
    "readings-imported",
)  # fmt: skip


def _what_was(event: Event) -> Line | None:
    """What an undone event had said."""
    if isinstance(event, MealCounted):
        return fact("undone-meal", said=Said(in_own_words(event.said)))
    if isinstance(event, DoseSuggested):
        return fact("undone-suggestion", units=Amount(event.units, "unit"))
    if isinstance(event, SuggestionClosed):
        return fact("undone-closing")
    if isinstance(event, GlucoseRead):
        return fact("undone-glucose", glucose=Amount(event.glucose.value, event.glucose.unit))
    if isinstance(event, ReadingsImported):
        count = Amount(Fraction(len(event.readings)), "reading")
        return fact("undone-import", count=count, file=Name(event.file))
    if isinstance(event, AliasSaved):
        return fact("undone-alias", alias=Name(event.alias))
    if isinstance(event, FoodSaved | RecipeSaved):
        return fact("undone-food", food=Name(event.facts.name))
    if isinstance(event, MeasureSaved):
        return fact("undone-measure", unit=Name(event.measure.unit))
    if isinstance(event, FoodForgotten):
        return fact("undone-forgetting")
    return None


def _with_source(kept: Kept) -> Event:
    """The low of an undone turn, which is said anew; one of a file stays one of a file."""
    assert isinstance(kept.event, GlucoseRead | LowFelt)
    return replace(kept.event, imported=kept.event.imported or _of_import(kept))


def _of_import(kept: Kept) -> bool:
    """Was it said by the import of a file?"""
    return kept.text.startswith(IMPORT)


def undo(ctx: Context, number: int | None = None, *, sure: bool = False) -> Outcome:
    """Takes back the last turn that left something, or the turn of this number.

    A dose is taken back only where the user is sure: it makes later doses larger. Settings are
    not taken back: another turn's may hold by now. Whatever was being asked is closed as well: an
    undone turn must not bring an older question back.
    """
    kinds = (*UNDOABLE, "setting-said")
    last = ctx.record.events(kinds, last=1)
    if not last:
        return answered(answer("nothing-to-undo"))
    if number is None and isinstance(last[-1].event, SettingSaid):
        return _setting_stands(ctx, last[-1:])
    turn = last[-1].turn if number is None else number
    gone = [k for k in ctx.record.events(kinds, last=200) if k.turn == turn]
    if not gone:
        return answered(answer("nothing-to-undo"))
    settings = tuple(k for k in gone if isinstance(k.event, SettingSaid))
    if len(settings) == len(gone):
        return _setting_stands(ctx, settings)
    doses = [k.event for k in gone if isinstance(k.event, DoseTaken)]
    if doses and not sure:
        args: dict[str, Arg] = {
            "units": Amount(doses[-1].units, "unit"),
            "moment": ctx.moment(doses[-1].taken_at),
        }
        choices = yes_no(f"undo turn {turn}, that is right")
        return ask(Ask("undo", "ask-undo-dose", args, choices=choices), ctx.text)
    words = Said(in_own_words(gone[-1].text))
    lines = [answer("undone", said=words, moment=ctx.moment(gone[-1].said_at))]
    low_read = [k for k in gone if isinstance(k.event, GlucoseRead) and is_low(k.event.glucose)]
    # a low typed with a meal stays known without the meal, and one of a file in any case
    staying = low_read if len(gone) > len(low_read) else [k for k in low_read if _of_import(k)]
    told = [k for k in gone if k not in staying]
    lines.extend(line for k in told if (line := _what_was(k.event)))
    for dose in doses:
        lines.append(caution("undone-dose", units=Amount(dose.units, "unit")))
        lines.append(next_step(took_text(dose.units)))
    kept: list[Event] = []
    for one in settings:
        assert isinstance(one.event, SettingSaid)
        lines.append(fact("setting-stays", said=Said(one.event.said)))
    lows = [_with_source(k) for k in staying]
    kept.extend(lows)
    if len(lows) == 1:
        lines.append(fact("low-stays"))
    elif lows:
        lines.append(fact("lows-stay", count=Amount(Fraction(len(lows)), "reading")))
    felt = [k for k in ctx.record.events(("low-felt",), last=200) if k.turn == turn]
    if felt:  # a line of a file that may be a low
        kept.extend(map(_with_source, felt))
        lines.append(fact("felt-low-stays"))
    if doses:  # the dose was an answer: what it answered is not asked again
        closed = ctx.record.events(("question-closed",), since=gone[0].said_at)
        kept.extend(k.event for k in closed if k.turn == turn)
    return answered(*lines, events=(Undone(turn), QuestionClosed(), *kept))


def _setting_stands(ctx: Context, said: tuple[Kept, ...]) -> Outcome:
    """A setting is changed by typing it, never by undoing: what holds, and what to type."""
    event = said[-1].event
    assert isinstance(event, SettingSaid)
    lines = [answer("setting-not-undone", said=Said(event.said))]
    topics = {topic(k.event.name, k.event.value) for k in said if isinstance(k.event, SettingSaid)}
    for held in ctx.record.settings():
        assert isinstance(held.event, SettingSaid)
        if topic(held.event.name, held.event.value) in topics and held.turn != said[-1].turn:
            lines.append(fact("setting-holds-now", said=Said(held.event.said)))
    before = _said_before(ctx, topics, said[0].turn)
    lines.append(next_step(*before, "show my numbers"))
    return answered(*lines)


def _said_before(ctx: Context, topics: set[str], turn: int) -> tuple[str, ...]:
    """The sentences that last said these settings before a turn, as they can be typed again."""
    found: dict[str, str] = {}
    for kept in ctx.record.events(("setting-said",)):
        if isinstance(kept.event, SettingSaid) and kept.turn < turn:
            one = topic(kept.event.name, kept.event.value)
            if one in topics:
                found[one] = kept.event.said
    return tuple(dict.fromkeys(found.values()))

"""What a phrase says around its foods: glucose, times, less insulin, exercise, illness."""

import re
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.dialogue.clocks import on_clock
from assistant.dialogue.glucose import settle
from assistant.dialogue.happened import HalfDay, Later, ask_half, told_at
from assistant.dialogue.outcome import Ask, Outcome
from assistant.dialogue.said_clock import ByClocks, Sentence, ask_clock, earlier_offsets
from assistant.dialogue.state import Context
from assistant.dosing.rules_time import SOON
from assistant.dosing.working import NoReading, NotGiven, Reading, Reduction
from assistant.values import Said
from grammar import patterns
from grammar.nodes import Clause, Complaint, Number, Phrase
from grammar.phrases import read_phrase
from grammar.statements import When, read_when


class Around(Struct, frozen=True):
    """The clauses of one phrase, settled. Times are None where none was said and the phrase is of
    now. glucose_waited: the reading has no time of its own, and its phrase waited for an answer."""

    reading: Reading
    glucose_at: datetime | None = None
    glucose_waited: bool = False
    meal_at: datetime | None = None
    reduction: Reduction | None = None
    activity: bool = False
    illness: bool = False
    count_only: bool = False
    replaces: bool = False


def said_around(ctx: Context, phrase: Phrase) -> Around | Ask | Outcome:
    """All clauses of the phrase, or the first question that they lead to."""
    kinds = {clause.kind for clause in phrase.clauses}
    reading = _reading(ctx, phrase)
    if isinstance(reading, Ask):
        return reading
    glucose_at = _glucose_at(ctx, phrase)
    if isinstance(glucose_at, Ask | Outcome):
        return glucose_at
    meal_at = _meal_at(ctx, phrase)
    if isinstance(meal_at, Ask):
        return meal_at
    reduction = _reduction(phrase)
    if isinstance(reduction, Ask):
        return reduction
    timed = bool(_whens(phrase)[0])
    return Around(
        reading,
        glucose_at,
        glucose_at is not None and not timed,
        meal_at,
        reduction,
        activity="activity" in kinds,
        illness="ill" in kinds,
        count_only="count-only" in kinds,
        replaces="replaces" in kinds,
    )


def _of_kinds(phrase: Phrase, *kinds: str) -> list[Clause]:
    return [clause for clause in phrase.clauses if clause.kind in kinds]


def _reading(ctx: Context, phrase: Phrase) -> Reading | Ask:
    said = _of_kinds(phrase, "glucose", "no-reading", "low-said", "high-said")
    if not said:
        return NotGiven()
    if len(said) > 1:
        return Ask("glucose-figure", "glucose-twice")
    clause = said[0]
    if clause.kind == "low-said":
        return Ask("glucose-figure", "glucose-in-words")
    if clause.kind == "high-said":
        return Ask("glucose-figure", "meter-high")
    if clause.kind == "no-reading" or clause.value is None:
        return NoReading()
    before, after = ctx.text[: clause.start], ctx.text[clause.end :]
    unit: Literal["mg/dL", "mmol/L"] | None = None
    if clause.unit:
        unit = "mg/dL" if clause.unit == "mg/dL" else "mmol/L"
    return settle(
        clause.value, unit, ctx.settings, lambda figure: f"{before}glucose {figure}{after}"
    )


def _whens(phrase: Phrase) -> tuple[list[Clause], list[Clause]]:
    """Times right behind a glucose figure are of the reading; all others are of the meal."""
    ends = [c.end for c in _of_kinds(phrase, "glucose")]
    of_reading: list[Clause] = []
    of_meal: list[Clause] = []
    for clause in _of_kinds(phrase, "when"):
        behind = any(not phrase.text[end : clause.start].strip() for end in ends
                     if end <= clause.start)  # fmt: skip
        (of_reading if behind else of_meal).append(clause)
    return of_reading, of_meal


def _when_said(clauses: list[Clause], text: str) -> When | Ask | None:
    """The one time of these clauses, or the question about one that cannot be read."""
    if not clauses:
        return None
    when = read_when(clauses[0].said)
    if when is not None and len(clauses) == 1:
        return when
    return _unread_time(clauses[-1], text)


def _unread_time(clause: Clause, text: str) -> Ask:
    said = clause.said
    return Ask("time", "ask-meal-time", {"said": Said(said)}, unread=(said,),
               hint=(_in_place(clause, text, "at ..."),))  # fmt: skip


def _in_place(clause: Clause, text: str, words: str) -> str:
    """The sentence with these words where the clause stands."""
    return text[: clause.start] + words + text[clause.end :]


def _glucose_at(ctx: Context, phrase: Phrase) -> datetime | Ask | Outcome | None:
    """When the reading was taken: by its own time, seen from when it was said, or then."""
    clauses = _whens(phrase)[0]
    when = _when_said(clauses, phrase.text)
    if when is None and phrase.says("glucose") and ctx.read < ctx.now:
        return ctx.read
    if not isinstance(when, When):
        return when
    at = told_at(ctx, when, ctx.read)
    if isinstance(at, HalfDay):
        return ask_half(ctx, at)
    if isinstance(at, ByClocks):
        return ask_clock(ctx, when, at, _place(phrase, _whens(phrase)[0][0]))
    if isinstance(at, Later):  # the rules tell what is wrong with a reading that is to come
        day = ctx.read.replace(second=0, microsecond=0)
        later = day.replace(hour=at.minute // 60, minute=at.minute % 60)
        return _unread_time(clauses[0], phrase.text) if later <= ctx.now else later
    return at


def _meal_at(ctx: Context, phrase: Phrase) -> datetime | Ask | None:
    """The time said with the meal; of a time of day, the nearest one. Seen from when it was said,
    and without a time then, where the meal waited for an answer."""
    when = _when_said(_whens(phrase)[1], phrase.text)
    if when is None and ctx.said < ctx.now:
        return ctx.said
    if not isinstance(when, When):
        return when
    here = _nearest(when, ctx.said)
    offsets = earlier_offsets(ctx, when, ctx.said)
    by_others = [(o, _nearest(when, on_clock(ctx.said, o))) for o in offsets]
    others = tuple((o, at) for o, at in by_others if at != here)
    if others and any(abs(at - ctx.now) <= SOON for at in (here, *(at for _, at in others))):
        found = ByClocks(here, others)  # a meal of another time has no dose by any of the clocks
        return ask_clock(ctx, when, found, _place(phrase, _whens(phrase)[1][0]))
    return here


def _place(phrase: Phrase, clause: Clause) -> Sentence:
    """Where the time stands in the phrase."""
    before, behind = phrase.text[: clause.start], phrase.text[clause.end :]
    return Sentence(lambda other: before + other + behind, clause.said)


def meal_time(phrase: Phrase, now: datetime) -> datetime | None:
    """The time of the meal, where one was said that can be read, seen from when it was said."""
    when = _when_said(_whens(phrase)[1], phrase.text)
    return _nearest(when, now) if isinstance(when, When) else None


_MEAL = patterns.compile(r"breakfast|lunch|dinner|supper|brunch|snack", re.I)


def meal_name(said: str) -> str:
    """What a sentence calls its meal, in lower case; "" where it does not. Of two, the first."""
    phrase = read_phrase(said)
    words = () if isinstance(phrase, Complaint) else phrase.words
    named = (_MEAL.search(word.said) for word in words if word.role == "meal")
    return next((found[0].casefold() for found in named if found), "")


def _nearest(when: When, now: datetime) -> datetime:
    if when.ago is not None:
        return now - timedelta(seconds=float(when.ago * 60))
    assert when.minute is not None
    if when.offset is not None:
        now = on_clock(now, when.offset)
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    step = 12 if when.twelve else 24
    times = [midnight + timedelta(minutes=when.minute, hours=h) for h in range(-24, 49, step)]
    return min(times, key=lambda at: abs(at - now))


_NOTHING_OFF = patterns.compile(r"no\s+reduction", re.I)


def _reduction(phrase: Phrase) -> Reduction | Ask | None:
    said = _of_kinds(phrase, "less")
    if not said:
        return None
    clause = said[0]
    if len(said) > 1:
        return Ask("reduction", "reduction-twice")
    kinds = {c.kind for c in phrase.clauses}
    why: Literal["activity", "illness", "other"] = "other"
    if "activity" in kinds:
        why = "activity"
    elif "ill" in kinds:
        why = "illness"
    if _NOTHING_OFF.search(clause.said):
        return Reduction(Fraction(0), why)
    value = clause.value
    figure = Fraction(0) if _zero(clause) else value.value if isinstance(value, Number) else None
    if figure is None or figure >= 100:
        return Ask("reduction", "reduction-unclear", {"said": Said(clause.said)},
                   unread=(clause.said,),
                   hint=(_in_place(clause, phrase.text, "... percent less"),))  # fmt: skip
    return Reduction(figure / 100, why)


def _zero(clause: Clause) -> bool:
    """ "0% less": a stated nought."""
    return patterns.match(r"0+(\.0+)?\s*(%|per)", clause.said) is not None

"""A low in a sentence that is asked about, or that is about something else, is never lost."""

import re
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from assistant.dialogue.events import Event, GlucoseRead, LowFelt
from assistant.dialogue.glucose import UNITS, settle
from assistant.dialogue.lows import LOWS
from assistant.dialogue.meals import low_read, low_without_count
from assistant.dialogue.outcome import Outcome, fact
from assistant.dialogue.state import Context
from assistant.diary.readings_file import plausible
from assistant.dosing.rules import is_low
from assistant.values import Glucose, GlucoseUnit
from grammar.nodes import Number

_SAID = re.compile(
    r"\b(?:glucose|bg|(?:blood\s+)?sugar|reading)\s*(?:is|was|of|=|:)?\s*"
    r"(?P<figure>\d{1,3}(?:[.,]\d{1,2})?)(?![\d.,]*\d|[a-z]*\d)\s*(?P<unit>mg|mmol)?"
    r"(?!\s*(?:g|grams?|kg|ml|l|oz|tablets?|tabs?|gels?|%|per\s*cent)\b)",
    re.I,
)
_QUESTION = re.compile(r"\s*(?:what|how|why|show|compare|explain|find|save|report|help)\b", re.I)


def low_kept(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; or the steps for a low, where the words tell one that would be lost with it.

    A figure whose unit is not known counts as a low where each reading of it is one.
    """
    kinds = {event.kind for event in outcome.events}
    if kinds & {"glucose-read", "low-felt", "food-saved", "setting-said"}:
        return outcome
    if any(hit.rule in LOWS for hit in outcome.reply.rules):
        return outcome
    if "\n" in ctx.text.strip() or _QUESTION.match(ctx.text):
        return outcome
    for found in _SAID.finditer(ctx.text):
        value = Fraction(found["figure"].replace(",", "."))
        unit = _unit(found["unit"])
        settled = settle(Number(value, found["figure"]), unit, ctx.settings, str)
        if isinstance(settled, Glucose) and is_low(settled):
            return low_read(ctx, settled, (GlucoseRead(settled, ctx.now),))
        if unit is None and not isinstance(settled, Glucose) and _low_either_way(value):
            return low_without_count(ctx, (LowFelt(ctx.text),), "low-was-felt", {})
    return outcome


def _unit(said: str | None) -> GlucoseUnit | None:
    if said is None:
        return None
    return "mg/dL" if said.casefold() == "mg" else "mmol/L"


def _low_either_way(value: Fraction) -> bool:
    """Is it a low in each unit in which a meter shows it? One that none shows is asked about."""
    fits = [Glucose(value, unit) for unit in UNITS if plausible(value, unit)]
    return bool(fits) and all(map(is_low, fits))


def lows_stand(ctx: Context, outcome: Outcome) -> Outcome:
    """A low that is told while the clock is behind is of the newest time that is known: dated
    before other readings it would be left behind as soon as the clock is put right."""

    events: list[Event] = []
    newest: datetime | None = None
    for event in outcome.events:
        if isinstance(event, GlucoseRead) and is_low(event.glucose):
            newest = newest or ctx.clock_behind()
            if newest is not None and event.taken_at < newest:
                events.append(replace(event, taken_at=newest))
                continue
        events.append(event)
    if tuple(events) == outcome.events or newest is None:
        return outcome
    told = fact("low-clock-back", moment=ctx.moment(newest))
    lines = (*outcome.reply.lines, told)
    return replace(outcome, reply=replace(outcome.reply, lines=lines), events=tuple(events))

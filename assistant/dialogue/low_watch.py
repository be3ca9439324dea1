"""A low in a sentence that is asked about, or that is about something else, is never lost."""

import re
from datetime import datetime
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.events import Event, GlucoseRead, LowFelt
from assistant.dialogue.glucose import UNITS, settle, user_unit
from assistant.dialogue.lows import LOWS, treat_low
from assistant.dialogue.meals import low_read, low_without_count
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, choice, fact
from assistant.dialogue.pointers import OF_YESTERDAY
from assistant.dialogue.state import Context
from assistant.diary.doubtful_lines import PLAUSIBLE, plausible
from assistant.dosing.rules import is_low
from assistant.values import Glucose, GlucoseUnit, Said
from grammar import patterns
from grammar.foods import read_food_sentence
from grammar.labels import looks_like_label
from grammar.lows import LowTold, read_low
from grammar.nodes import Complaint, Number
from grammar.phrases import read_phrase
from grammar.recipes import read_recipe
from grammar.statements import form_of
from grammar.words import name_key

_READER = r"\b(?:(?:blood\s+)?(?:glucose|sugars?)|bgl?s?|bs|reading|meter|sensor|cgm)(?:['’]s)?"
_HEDGE = (
    r"(?:(?:about|around|roughly|approximately|approx\.?|circa|ca\.?|maybe|perhaps|nearly|almost|"
    r"under|below|over|above|(?:less|more|lower)\s+than|at\s+(?:most|least)|up\s+to)(?![a-z])|"
    r"[~≈<>≤≥]=?)"
)
_BETWEEN = (
    r"(?:\s*(?:\b(?:level|reading|is|was|of|at|now|just|only|still|down|dropped|fell|to|it['’]?s|"
    rf"says|reads|shows|showing|reading)\b|[=:]|{_HEDGE}))*\s*"
)
_NO_GRAMS = (
    r"(?!\s*(?:g|grams?|kg|ml|l|oz|tablets?|tabs?|gels?|%|per\s*cent|tsps?|tbsps?|teaspoons?|"
    r"tablespoons?|spoons?|cups?|cubes?|lumps?|servings?|slices?|pieces?|packs?|packets?|x|minutes?|"
    r"mins?|hours?|hrs?)\b)"
)


def _figure(name: str) -> str:
    """The pattern of a glucose figure; groups name and name_unit."""
    return (
        rf"(?P<{name}>\d{{1,3}}(?:[.,]\d{{1,2}})?)(?![\d.,]*\d|[a-z]*\d)\s*"
        rf"(?P<{name}_unit>mg(?:\s*/?\s*dl)?|mmols?(?:\s*/\s*l)?)?{_NO_GRAMS}"
    )


_SAID = patterns.compile(rf"{_READER}(?P<between>{_BETWEEN}){_figure('figure')}", re.I)
_UNDER_WORD = r"(?:under|below|beneath|less\s+than|lower\s+than|<=?|≤)"
_UNDER = patterns.compile(
    rf"{_READER}{_BETWEEN}{_UNDER_WORD}\s*{_figure('of')}|"
    rf"(?:^|[,;.!?\n])\s*(?:(?:and|i\s*['’]?\s*m|i\s+am|it['’]?s|it\s+is|at|just|still|now)\s+)*"
    rf"{_UNDER_WORD}\s*{_figure('alone')}\s*(?=$|[,;.!?\n])",
    re.I,
)
"""A bound for the glucose: "bg < 2.2"; or "under 2.2" as a part of its own, which no food is."""
_QUESTION = patterns.compile(
    r"\s*(?:what|how|why|show|compare|explain|find|save|report|help)\b", re.I
)


def low_kept(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; or the steps for a low, where the words tell one that would be lost with it.

    A figure whose unit is not known, or does not fit, counts as a low where each reading of it is
    one. Of "about 3.2" or "under 4" the low is kept, and no figure.
    """
    kinds = {event.kind for event in outcome.events}
    if kinds & {"glucose-read", "low-felt", "food-saved", "setting-said"}:
        return outcome
    if any(hit.rule in LOWS for hit in outcome.reply.rules):
        return outcome
    question = outcome.reply.question
    if question is not None and question.kind == OF_YESTERDAY:
        return outcome
    figure = _figure_told(ctx, outcome)
    if figure is not None or outcome.reply.status != "asked":
        return figure or outcome
    return _words_told(ctx, outcome) or outcome


_ALL_NAMES_KNOWN = frozenset({"amount", "measure", "meaning"})
"""Questions that are only asked where the library knows every name of the sentence."""


def _figure_told(ctx: Context, outcome: Outcome) -> Outcome | None:
    """A low figure that the sentence has beside a word for glucose."""
    if "\n" in ctx.text.strip() or _QUESTION.match(ctx.text):
        return None
    told = (_told(ctx, outcome, found) for found in _SAID.finditer(ctx.text))
    return next((low for low in told if low is not None), None)


def _told(ctx: Context, outcome: Outcome, found: re.Match[str]) -> Outcome | None:
    """What one figure comes to; None where it is no low."""
    value, unit = Fraction(found["figure"].replace(",", ".")), _unit(found["figure_unit"])
    settled = settle(Number(value, found["figure"]), unit, ctx.settings, str)
    if isinstance(settled, Glucose):
        between = found["between"]
        hedged = _HEDGED.search(between) is not None
        floor = _FLOOR[settled.unit] if not _MORE.search(between) else 0
        if hedged and (is_low(settled) or settled.value <= floor):
            return low_without_count(ctx, (LowFelt(ctx.text),), "low-was-felt", {})
        return low_read(ctx, settled, (GlucoseRead(settled, ctx.now),)) if is_low(settled) else None
    if _low_either_way(value):
        return low_without_count(ctx, (LowFelt(ctx.text),), "low-was-felt", {})
    if 0 < value < PLAUSIBLE["mmol/L"][0] or (unit and is_low(Glucose(value, unit))):
        # 0.5, or 15 mg/dL: a slip, or below what a meter shows; it is asked, and stays known
        return replace(outcome, events=(*outcome.events, LowFelt(ctx.text)))
    return None


_HEDGED = patterns.compile(_HEDGE, re.I)
_MORE = patterns.compile(r"over|above|more|least|[>≥]", re.I)
_FLOOR = {"mg/dL": Fraction(72), "mmol/L": Fraction(4)}
"""About this figure, or under it, may be a low ("four is the floor": common practice)."""


def _words_told(ctx: Context, asked: Outcome) -> Outcome | None:
    """A low told without a figure, or words that may tell one. Sentences about foods tell none."""
    if read_food_sentence(ctx.text) or read_recipe(ctx.text) or looks_like_label(ctx.text):
        return None
    if asked.reply.question is not None and asked.reply.question.kind in _ALL_NAMES_KNOWN:
        return None  # a food is called so
    told = _bound_told(ctx) or read_low(ctx.text)
    if told is None:
        return None
    form = form_of(ctx.text)
    if told.sure and not (told.past and _reading_is_high_enough(ctx)):
        return _low_in_words(ctx, told, asked if form == "took" else None)
    return low_or_not(ctx, told) if form in {None, "took"} else None


def _low_in_words(ctx: Context, told: LowTold, dose: Outcome | None) -> Outcome:
    """The steps first. A dose told in the same sentence is asked about all the same."""
    felt = LowFelt(ctx.text)
    if dose is not None:
        lines = (*treat_low(ctx), *dose.reply.lines)
        return replace(dose, reply=replace(dose.reply, lines=lines), events=(*dose.events, felt))
    rest = fact("low-told", said=Said(told.said))
    return low_without_count(ctx, (felt,), "low-was-felt", {}, rest)


def low_alone(ctx: Context) -> Outcome | None:
    """The turn for a sentence that tells a low and nothing else: "bg LO", "hypo now".

    "bg LO" has no word that could be food, so nothing behind this would look at it.
    """
    told = _bound_told(ctx) or read_low(ctx.text)
    if told is None or not told.alone or ctx.foods.exact(name_key(ctx.text)):
        return None
    if not told.sure:
        return low_or_not(ctx, told)
    return answered(answer("feels-low"), *treat_low(ctx), events=(LowFelt(ctx.text),))


def low_or_not(ctx: Context, told: LowTold) -> Outcome:
    """ "not low", "bg dropping": no low is logged from that, and nothing goes on without a word."""
    low = choice("choice-low-now", "I feel low", word="low")
    if told.rest:
        no = choice("choice-not-low-rest", told.rest, word="not low", text=Said(told.rest))
    else:
        no = choice("choice-not-low", "cancel", word="not low")
    stands = (fact("low-stands"),) if ctx.low_felt_at() else ()
    return ask(Ask("low-doubt", "ask-low-or-not", {"said": Said(told.said)}, stands, (low, no),
                   unread=(told.said,)), ctx.text)  # fmt: skip


def _reading_is_high_enough(ctx: Context) -> bool:
    """Does the sentence have one glucose figure, clear and no low?"""
    phrase = read_phrase(ctx.text)
    clauses = () if isinstance(phrase, Complaint) else phrase.clauses
    said = [c for c in clauses if c.kind == "glucose" and c.value is not None]
    if len(said) != 1 or said[0].value is None:
        return False
    settled = settle(said[0].value, said[0].unit, ctx.settings, str)  # type: ignore[arg-type]
    return isinstance(settled, Glucose) and not is_low(settled)


def _bound_told(ctx: Context) -> LowTold | None:
    """ "under 2.2": a low where every figure below the bound is one, else a doubt."""
    found = _UNDER.search(ctx.text)
    if found is None:
        return None
    figure = found["of"] or found["alone"]
    said_unit = found["of_unit"] or found["alone_unit"]
    value, unit = Fraction(figure.replace(",", ".")), _unit(said_unit) or user_unit(ctx.settings)
    fits = [u for u in UNITS if plausible(value, u)] or list(UNITS)
    units = (unit,) if unit is not None else tuple(fits)
    sure = all(is_low(Glucose(value - _LESS, u)) for u in units)
    rest = ", ".join(p for p in (ctx.text[: found.start()].strip(" ,;"),
                                 ctx.text[found.end() :].strip(" ,;.!?")) if p)  # fmt: skip
    return LowTold(found[0].strip(" ,;"), sure, alone=not rest, past=False, rest=rest)


_LESS = Fraction(1, 1000)
"""Below the bound, by less than any meter shows."""


def _unit(said: str | None) -> GlucoseUnit | None:
    if said is None:
        return None
    return "mg/dL" if said.casefold().startswith("mg") else "mmol/L"


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

"""Sentences about numbers and events: text to Statement, or where it went wrong.

A form is picked by its opening words and then has to parse to the last word.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache

from msgspec import Struct, field
from msgspec.structs import replace

from grammar import patterns
from grammar.nodes import Number, Quantity, Unclear
from grammar.numbers import read_number
from grammar.parsing import END, Parser, StopError, Token, Tree, tables_of


class Timed(Struct, frozen=True):
    """A value that holds from a minute of the day; None: no time was said."""

    value: Quantity
    per: Quantity
    unit: str | None
    start: int | None


class When(Struct, frozen=True):
    """When something happened: a time of day, a day word, or minutes ago.

    twelve is the time as said where it may be of the morning or the afternoon ("7:30"). offset:
    minutes from UTC of the clock that was said with it. said: the words, where they are known.
    """

    minute: int | None = None
    day: str | None = None
    ago: Fraction | None = None
    twelve: str = ""
    offset: int | None = None
    said: str = ""


class Statement(Struct, frozen=True):
    """A sentence that parsed. form names it; the fields that it fills depend on the form."""

    form: str
    entries: tuple[Timed, ...] = ()
    number: Quantity | None = None
    minutes: Fraction | None = None
    word: str | None = None
    second: str | None = None
    unit: str | None = None
    when: When | None = None
    extra: Mapping[str, str] = field(default_factory=dict)


class Misread(Struct, frozen=True):
    """The sentence opens like this form, but not every word fits: where reading stopped."""

    form: str
    said: str
    start: int
    end: int


_OPENINGS: tuple[tuple[str, str], ...] = (
    ("ratio", r"(my\s+)?((insulin[\s-]+to[\s-]+)?carb(ohydrate)?s?\s+)?ratio\b"),
    ("factor", r"(my\s+)?(correction\s+factor|(insulin\s+)?sensitivity)\b"),
    ("factor", r"(1|one|a)\s+unit\s+(lowers|drops|brings)\b"),
    ("target", r"(my\s+)?((blood\s+)?(glucose|sugar)\s+)?target\b"),
    ("duration", r"(my\s+)?insulin\s+(lasts|works|acts|stays|is\s+active)\b"),
    ("duration", r"(my\s+)?(duration\s+of|active\s+insulin\s+time|insulin\s+duration)\b"),
    ("active_rule", r"(my\s+)?active\s+insulin\s+(comes|is\s+(taken|subtracted|deducted)|goes)\b"),
    ("active_rule", r"(take|subtract)\s+active\s+insulin\b"),
    ("active_shape", r"(my\s+)?active\s+insulin\s+(falls|drops|goes\s+down|declines|runs|follows|"
                     r"is\s+counted)\b"),
    ("max_reduction", r"(my\s+)?(dose\s+)?reductions?\s+(of\s+|go\s+)?(up|at|to|no)\b"),
    ("reading_age", r"(a|my|the)\s+(glucose\s+)?reading\s+(counts|holds|stands)\b"),
    ("ask_range", r"ask(\s+me)?\s+(when|if|where)\s+(the|a)\s+range\b"),
    ("clock", r"my\s+times\s+of\s+day\b"),
    ("pen", r"(my\s+)?(pen|syringe)\s+(goes|works|clicks|moves|doses|measures|is|in|by)\b"),
    ("rounding", r"(and\s+)?(i\s+)?(round\s|round(ed|ing)\s+(it\s+)?(down|up|to|near))"),
    ("cap", r"((i\s+)?(never|no|not)\s+(take\s+|inject\s+|dose\s+)?more\s+than)\b"),
    ("cap", r"(at\s+most|maximum|max)\b"),
    ("policy", r"((i|we|please)\s+)?(count|use)\s+(net|total|all(\s+of)?(\s+the)?\s+carb|all\s*$|"
        r"fib(re|er)|half\s+(of\s+)?(the\s+)?fib|with\s+fib)"),
    ("policy", r"(i\s+|we\s+)?halve\b|fib(re|er)\s+over\b"),
    ("polyol", r"((i\s+)?count\s+)?(erythritol|xylitol|maltitol|sorbitol|mannitol|isomalt|"
        r"lactitol)\s+(counts?|is\s+counted|as|at)\b"),
    ("avoid", r"i\s*(['’]?\s*m|\s+am)\s+allergic\b|i\s+(must\s+)?avoid\b|i\s+no\s+longer\s+avoid\b|"
        r"i\s+(cannot|can['’]?t)\s+eat\b"),
    ("kitchen", r"my\s+(cup|tablespoon|tbsp|teaspoon|tsp|fl|fluid|pint|quart|gallon)\b(?!\s+of\b)"),
    ("kitchen", r"my\s+(bowl|mug|glass|plate|beaker|jug|ladle|scoop)\s+(is|holds|has|takes)\b"),
    ("kitchen", r"my\s+[a-z]+(\s+[a-z]+)?\s+(holds|takes)\s+[\d.,/½¼¾]+\s*(ml|millil|cl|dl|l)"),
    ("couple", r"(a\s+)?couple\s+(means|is)\b"),
    ("glucose_unit", r"(my\s+)?((blood\s+)?(glucose|sugar)|meter)\s+(is\s+|reads\s+|shows\s+)?"
                     r"(measured\s+)?in\b"),
    ("glucose_unit", r"i\s+(use|measure\s+in)\s+m[gm]"),
    ("glucose_unit", r"(my\s+)?units?\s+(is|are)\s+m[gm]"),
    ("took", r"(i\s*['’]?\s*ve\s+|i\s+have\s+|i\s+)?(just\s+)?(took|taken|injected|gave|dosed)\b"),
    ("took", r"[\d.,/½]+\s*(units?|u)\s+(was\s+|were\s+)?(taken|injected|in)\b"),
)  # fmt: skip

_GLUCOSE_ONLY = patterns.compile(
    r"\s*(my\s+|i\s+was\s+at\s+)?((blood\s+)?glucose|blood\s+sugar|bgl?|reading)\b[^;+&]*"
    r"(by\s+the\s+clock(\s+at)?(\s+utc)?\s*\+\d{1,2}:\d{2}[^;+&]*)?|"
    r"\s*[\d.]+\s*(mg\s*/?\s*dl|mmols?(\s*/\s*l)?)\b.*",
    re.I | re.S,
)

_STARTS = (
    *("ratio", "factor", "target", "duration", "active_rule", "pen", "rounding", "cap", "policy"),
    *("kitchen", "glucose_unit", "glucose", "took", "polyol", "avoid", "couple"),
    *("active_shape", "max_reduction", "reading_age", "ask_range", "clock"),
)


@cache
def _parser() -> Parser:
    return Parser(tables_of("statements.lark", re.I, _STARTS, by_state=True))


@cache
def _openings() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((form, patterns.compile(r"\s*" + opening, re.I)) for form, opening in _OPENINGS)


def form_of(text: str) -> str | None:
    """The form whose opening words the text has, or None."""
    return next((form for form, opening in _openings() if opening.match(text)), None)


def _minute(text: str) -> int | None:
    low = text.casefold().replace(" ", "").replace(".m.", "m").replace(".m", "m")
    if low in {"noon", "midday"}:
        return 12 * 60
    if low == "midnight":
        return 0
    m = patterns.fullmatch(r"(\d{1,2})(?:[:.h](\d{2}))?([ap]m)?", low)
    if not m:
        return None
    hour, minute = int(m[1]), int(m[2] or 0)
    if m[3]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if m[3] == "pm" else 0)
    return hour * 60 + minute if hour < 24 and minute < 60 else None


def _unit(token: str) -> str:
    return "mg/dL" if token.casefold().startswith(("mg", "milligram")) else "mmol/L"


class _BadTimeError(Exception):
    """A time of day that is none, such as 25:00."""

    def __init__(self, token: Token) -> None:
        super().__init__(str(token))
        self.token = token


_ONE = Number(Fraction(1), "1")


def _number(node: Tree) -> Quantity:
    return read_number(patterns.sub(r"(?<=half)\s+an?$", "", str(node.children[0]), flags=re.I))


def _trees(node: Tree, name: str) -> list[Tree]:
    return [c for c in node.children if isinstance(c, Tree) and c.data == name]


def _word(node: Tree, kind: str) -> str | None:
    return next((str(c) for c in node.children if isinstance(c, Token) and c.type == kind), None)


def _time(node: Tree) -> int | None:
    times = _trees(node, "time")
    if not times:
        return None
    token = times[0].children[0]
    assert isinstance(token, Token)
    minute = _minute(str(token))
    if minute is None:
        raise _BadTimeError(token)
    return minute


def _entry(node: Tree) -> Timed:
    """One value of a schedule. value per `per`: units and grams, or level and units."""
    start = _time(node)
    inner = next(c for c in node.children if isinstance(c, Tree) and c.data != "time")
    numbers = [_number(n) for n in _trees(inner, "number")]
    said_unit = _word(inner, "GLUCOSE_UNIT")
    unit = _unit(said_unit) if said_unit else None
    if inner.data == "units_per_grams":  # stored as grams per unit: value / per
        return Timed(numbers[1], numbers[0], unit, start)
    if inner.data == "units_per_level":
        return Timed(numbers[1], numbers[0], unit, start)
    return Timed(numbers[0], numbers[1] if len(numbers) > 1 else _ONE, unit, start)


def _span(node: Tree) -> Quantity:
    """Minutes of a span, exact."""
    numbers = [_number(n) for n in _trees(node, "number")]
    total = Fraction(0)
    for number, factor in zip(numbers, (60, 1) if node.data == "span" else (1,), strict=False):
        if not isinstance(number, Number):
            return number
        total += number.value * factor
    return Number(total, " ")


def _when(node: Tree) -> When:
    if node.data in _AGO_IN_WORDS:
        return When(ago=Fraction(_AGO_IN_WORDS[node.data]))
    if node.data in _AGO_IN_FIGURES:
        ago = Fraction(0)
        for tree, minutes in zip(_trees(node, "number"), _AGO_IN_FIGURES[node.data], strict=True):
            number = _number(tree)
            if not isinstance(number, Number):
                token = tree.children[0]
                assert isinstance(token, Token)
                raise _BadTimeError(token)
            ago += number.value * minutes
        return When(ago=ago)
    day = _word(node, "DAY")
    said = str(_trees(node, "time")[0].children[0])
    clock = next((c for c in node.children if isinstance(c, Token) and c.type == "OFFSET"), None)
    return When(minute=_time(node), day=day.casefold() if day else None,
                twelve=_twelve(said, on_clock=clock is not None),
                offset=_offset(clock) if clock else None)  # fmt: skip


_AGO_IN_WORDS = {"now": 0, "hour_ago": 60, "hour_and_half_ago": 90}
_AGO_IN_FIGURES = {"minutes_ago": (1,), "hours_ago": (60,), "both_ago": (60, 1)}
"""Minutes of each figure of the form."""


def _twelve(clock: str, *, on_clock: bool = False) -> str:
    """The time of day as said, where it may be of the morning or the afternoon; else ''.

    on_clock: beside the offset of a clock, two digits are of the 24 hours ("at 10:45 by the clock
    at +01:00" is how a choice puts it, and it was asked already).
    """
    hours = "[1-9]" if on_clock else "([1-9]|1[0-2])"
    return clock if patterns.fullmatch(hours + r"[:.h]\d{2}", clock) else ""


_WHENS = frozenset({"when", *_AGO_IN_WORDS, *_AGO_IN_FIGURES})


def _when_of(tree: Tree, text: str) -> When | None:
    for child in tree.children:
        if isinstance(child, Tree) and child.data in _WHENS:
            said = "" if child.start is None else text[child.start : child.end]
            return replace(_when(child), said=said)
    return None


def _pen(tree: Tree) -> Statement:
    rounding = next(iter(_trees(tree, "rounding_words")), None)
    second = _rounding(rounding) if rounding else None
    if _word(tree, "HALF_UNITS"):
        return Statement("pen", number=Number(Fraction(1, 2), "half"), second=second)
    if _word(tree, "WHOLE_UNITS"):
        return Statement("pen", number=Number(Fraction(1), "whole"), second=second)
    step = _trees(tree, "unit_step")[0]
    return Statement("pen", number=_number(_trees(step, "number")[0]), second=second)


def _rounding(node: Tree) -> str:
    token = node.children[0]
    assert isinstance(token, Token)
    return {"ROUND_DOWN": "down", "ROUND_NEAREST": "nearest", "ROUND_UP": "up"}[token.type]


def _cap(tree: Tree) -> Statement:
    number = _number(_trees(tree, "number")[0])
    if tree.data == "cap_window":
        spans = [
            c for c in tree.children if isinstance(c, Tree) and c.data in {"span", "span_minutes"}
        ]
        span = _span(spans[0])
        minutes = span.value if isinstance(span, Number) else None
        return Statement("cap_window", number=number, minutes=minutes)
    if tree.data == "cap_hour":
        return Statement("cap_window", number=number, minutes=Fraction(60))
    return Statement(str(tree.data), number=number)


def _polyol(tree: Tree) -> Statement:
    """The share of a sugar alcohol that counts: number is 0 to 1, exact."""
    name = (_word(tree, "POLYOL") or "").casefold()
    percents = _trees(tree, "polyol_percent")
    if percents:
        number = _number(_trees(percents[0], "number")[0])
        if isinstance(number, Number):
            number = Number(number.value / 100, number.said)
        return Statement("polyol", word=name, number=number)
    share = _trees(tree, "polyol_share")[0].children[0]
    assert isinstance(share, Token)
    shares = {"NONE_OF_IT": Fraction(0), "HALF_OF_IT": Fraction(1, 2), "ALL_OF_IT": Fraction(1)}
    return Statement("polyol", word=name, number=Number(shares[share.type], str(share)))


def _offset(token: Token) -> int:
    """Minutes of "+02:00". No clock in use is further than 14 hours from the standard one."""
    offset = _offset_minutes(token)
    if offset is None:
        raise _BadTimeError(token)
    return offset


def _offset_minutes(said: str) -> int | None:
    sign = 1 if said[0] == "+" else -1
    hours, minutes = said[1:].split(":")
    offset = int(hours) * 60 + int(minutes)
    return None if offset > 14 * 60 or int(minutes) > 59 else sign * offset


def _limit(form: str, tree: Tree) -> Statement:
    """A share (number, 0.5 of "50%"), a span (number, in minutes), or a clock (minutes)."""
    if form == "clock":
        token = tree.children[0]
        assert isinstance(token, Token)
        return Statement(form, minutes=Fraction(_offset(token)), word=str(token))
    if form == "reading_age":
        return Statement(form, number=_span(next(c for c in tree.children if isinstance(c, Tree))))
    number = _number(_trees(tree, "number")[0])
    if isinstance(number, Number):
        number = Number(number.value / 100, number.said)
    return Statement(form, number=number)


def _simple(form: str, tree: Tree) -> Statement:
    if form in {"max_reduction", "reading_age", "ask_range", "clock"}:
        return _limit(form, tree)
    if form == "active_shape":
        return Statement(form, word="line" if _word(tree, "LINE") else "curve")
    if form == "active_rule":
        return Statement(form, word="correction" if _word(tree, "CORRECTION") else "whole")
    if form == "policy":
        token = tree.children[0]
        assert isinstance(token, Token)
        names = {"NET": "net", "TOTAL": "total", "HALVED": "fibre-over-5"}
        return Statement(form, word=names[token.type])
    if form == "polyol":
        return _polyol(tree)
    if form == "avoid":
        what = (_word(tree, "WORDS") or "").strip()
        return Statement(form, word=what, second="less" if tree.data == "avoid_less" else "more")
    if form == "rounding":
        return Statement(form, word=_rounding(_trees(tree, "rounding_words")[0]))
    if form == "glucose_unit":
        return Statement(form, word=_unit(_word(tree, "GLUCOSE_UNIT") or ""))
    if form == "couple":
        return Statement(form, number=_number(_trees(tree, "number")[0]))
    assert form == "kitchen"
    number = _number(_trees(tree, "number")[0])
    return Statement(form, number=number, word=_word(tree, "KITCHEN_UNIT") or _word(tree, "VESSEL"),
                     unit=_word(tree, "VOLUME"))  # fmt: skip


def _build(form: str, tree: Tree, text: str) -> Statement:
    if form in {"ratio", "factor", "target"}:
        return Statement(form, entries=tuple(_entry(e) for e in _trees(tree, f"{form}_entry")))
    if form == "duration":
        span = next(c for c in tree.children if isinstance(c, Tree))
        return Statement(form, number=_span(span))
    if form == "pen":
        return _pen(tree)
    if form == "cap":
        return _cap(tree)
    if form == "glucose":
        level = _trees(tree, "level")[0]
        unit = _word(level, "GLUCOSE_UNIT")
        return Statement(form, number=_number(_trees(level, "number")[0]),
                         unit=_unit(unit) if unit else None, when=_when_of(tree, text))  # fmt: skip
    if form == "took":
        number = None if tree.data == "took_it" else _number(_trees(tree, "number")[0])
        return Statement(form, number=number, when=_when_of(tree, text))
    return _simple(form, tree)


def read_statement(text: str) -> Statement | Misread | None:
    """A statement; where it went wrong if it opens like one; None if it opens like none.

    >>> read_statement("never more than 8 units at once").form
    'cap_dose'
    """
    form = form_of(text)
    if form is None:
        return _glucose_only(text)
    try:
        return _build(form, _parser().parse(text, start=form), text)
    except StopError as stop:
        start = len(text) if stop.kind == END else stop.place
        return Misread(form, text[start:].strip(), start, len(text))
    except _BadTimeError as bad:
        begin = bad.token.start or 0
        end = begin + len(bad.token)
        return Misread(form, str(bad.token), begin, end)


_BY_CLOCK = patterns.compile(
    r"\s+by\s+the\s+clock(?:\s+at)?(?:\s+utc)?\s*(?P<offset>[+\-−]\d{1,2}:\d{2})$", re.I
)
_WHEN_NOW = patterns.compile(r"((just|right)\s+)?now", re.I)
_WHEN_COUNT = patterns.compile(
    r"(?P<ahead>in\s+)?(?P<count>[\w ]+?)\s*(?P<unit>minutes?|mins?|hours?|hrs?)(?P<ago>\s+ago)?",
    re.I,
)


def read_when(text: str) -> When | None:
    """A time beside a meal or a reading: "at 12:30", "ten minutes ago", "in 10 minutes", "now".

    A time to come has a negative ago. None where the words are no time.
    """
    text = text.strip()
    if _WHEN_NOW.fullmatch(text):
        return When(ago=Fraction(0))
    if patterns.fullmatch(r"half\s+an\s+hour\s+ago", text, re.I):
        return When(ago=Fraction(30))
    match = _WHEN_COUNT.fullmatch(text)
    if match and bool(match["ahead"]) != bool(match["ago"]):
        count = read_number(match["count"])
        if not isinstance(count, Number):
            return None
        minutes = count.value * (60 if match["unit"].casefold().startswith("h") else 1)
        return When(ago=-minutes if match["ahead"] else minutes)
    clock = patterns.sub(r"^(at|@)\s*", "", text, flags=re.I)
    offset = None
    by_clock = _BY_CLOCK.search(clock)
    if by_clock:
        offset = _offset_minutes(by_clock["offset"])
        clock = clock[: by_clock.start()]
        if offset is None:
            return None
    minute = _minute(clock)
    if minute is None:
        return None
    return When(minute=minute, twelve=_twelve(clock, on_clock=offset is not None),
                offset=offset)  # fmt: skip


def _glucose_only(text: str) -> Statement | None:
    """ "glucose 143 at 12:40": a sentence that is nothing but a reading."""
    if not _GLUCOSE_ONLY.fullmatch(text):
        return None
    try:
        return _build("glucose", _parser().parse(text, start="glucose"), text)
    except (StopError, _BadTimeError):
        return None  # "glucose tablets": a phrase about food


def unclear(quantity: Quantity | None) -> Unclear | None:
    """The quantity if it is not clear."""
    return quantity if isinstance(quantity, Unclear) else None

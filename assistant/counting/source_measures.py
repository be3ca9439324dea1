"""Measures that came with an imported food: which of them the words of a portion mean.

"1 cup chopped" is the source's "cup, chopped". "1 cup", where the source knows a chopped and a
sliced one, may be either: it is asked. What stands in brackets in the source ("3 in dia") only
describes a measure and need not be said.
"""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import FoodFacts, Measure
from assistant.values import decimal_text
from grammar import patterns
from grammar.measures import SIZES, find_measure
from grammar.nodes import MeasureWord, Number
from grammar.numbers import read_number
from grammar.words import name_key

SAME = Fraction(2, 100)
"""Two measures of one wording may differ by this share and still be one: they are rounded apart."""
DENSITY = Fraction(5, 100)
"""What measured volumes of one food may differ by and still tell its weight by volume."""
WHOLE = ("item", "each", "whole", "unit", "fruit")
"""How sources call one piece of the food itself."""


class Which(Struct, frozen=True):
    """Several measures of the source could be meant, or one that says more than was said."""

    measures: tuple[Measure, ...]


Meant = Measure | Which | None


def of_source(facts: FoodFacts) -> tuple[Measure, ...]:
    """The measures of the source. One of a unit that the user told in their figures is left out,
    unless it says more ("cup, chopped" beside the user's "cup")."""
    told = {m.unit for m in facts.extra if not m.of_source}
    return tuple(m for m in facts.extra if m.of_source and (m.how or m.unit not in told))


def _words(measure: Measure) -> set[str]:
    return set(name_key(f"{measure.how} {measure.note}").split())


def _either(how: str) -> list[set[str]]:
    """The words of a measure, in parts where it says "or"."""
    return [set(part.split()) for part in name_key(how).split(" or ")]


def _units(measure: MeasureWord | None, name: str) -> list[str]:
    """Under which units of the source a measure may stand, the likeliest first."""
    words = name_key(name).split() or [""]
    last, head = words[-1], words[0]  # tables put the food itself first: "Bananas, raw"
    if measure is None:
        return [last, name_key(name), head, *WHOLE]
    unit = name_key(measure.said) if measure.kind in {"word", "pack", "vessel"} else measure.unit
    if measure.size:
        unit = f"{measure.size} {measure.unit}"
    if measure.kind == "size":
        return [unit, *(f"{unit} {word}" for word in (last, head, *WHOLE))]
    return [unit]


def has_how(facts: FoodFacts, measure: MeasureWord | None, name: str, how: str) -> bool:
    """Does the source know these words behind this measure ("chopped" behind "cup")?"""
    wanted = set(name_key(how).split())
    units = _units(measure, name)
    return bool(wanted) and any(
        m.unit in units and wanted <= set(name_key(m.how).split()) for m in of_source(facts)
    )


def told_apart(measure: Measure, known: Iterable[Measure]) -> str:
    """The words that mean this measure and no other: with its weight behind them, in square
    brackets, where the source has other weights under the same words.

    "piece [28 g]", "serving [45 g for 2]"
    """
    same = [m for m in known if name_key(m.told) == name_key(measure.told)]
    if all(_amount(m) == _amount(measure) for m in same):
        return measure.told
    amount, unit, count = _amount(measure)
    short = "g" if unit == "gram" else "ml"
    behind = f"{decimal_text(amount)} {short}" + (
        "" if count == 1 else f" for {decimal_text(count)}"
    )
    return f"{measure.told} [{behind}]"


_BEHIND = patterns.compile(
    r"(?P<words>.*?)\s*\[\s*(?P<n>[\d./]+)\s*(?P<unit>[^\W\d_]+)(?:\s+for\s+(?P<count>[\d./]+))?\s*\]"
)


def _in_its_words(known: Sequence[Measure], said: str) -> list[Measure]:
    """The measures of exactly these words; a weight in brackets behind them picks one."""
    found = [m for m in known if name_key(m.told) == name_key(said)]
    behind = _BEHIND.fullmatch(said.strip())
    if found or behind is None:
        return found
    unit = find_measure(behind["unit"])
    amount, count = read_number(behind["n"]), read_number(behind["count"] or "1")
    if unit is None or not isinstance(amount, Number) or not isinstance(count, Number):
        return found
    wanted = (amount.value, unit[0], count.value)
    named = [m for m in known if name_key(m.told) == name_key(behind["words"])]
    return [m for m in named if _amount(m) == wanted]


def _amount(measure: Measure) -> tuple[Fraction, str, Fraction]:
    """What so many of a measure are, as its source has it: the amount, its unit, the count."""
    if measure.grams is not None:
        return measure.grams, "gram", measure.count
    assert measure.millilitres is not None
    return measure.millilitres, "millilitre", measure.count


def _one_of(found: Sequence[Measure]) -> Meant:
    """The measure, where all of them weigh the same. A weight is not compared with a volume."""
    if not found:
        return None
    if len({type(m.grams) for m in found}) > 1:
        return Which(tuple(found))
    each = [_weight(m) for m in found]
    if max(each) <= min(each) * (1 + SAME):
        return found[0]
    return Which(tuple(found))


def _weight(measure: Measure) -> Fraction:
    amount = measure.grams if measure.grams is not None else measure.millilitres
    assert amount is not None
    return amount / measure.count


def _best(found: Sequence[Measure], how: str) -> Meant:
    """Of measures of one unit (one at least), the one that was said; None where none fits.

    One that says more than was said is asked about, also where no other fits: "packed" is not
    "loosely packed", nor "dry" a "dry mix, prepared". "Quartered or chopped" is either.
    """
    wanted = set(name_key(how).split())
    fitting = [m for m in found if wanted <= _words(m)]
    exact = [m for m in fitting if any(part <= wanted for part in _either(m.how))]
    if exact:
        return _one_of(exact)
    return Which(tuple(fitting)) if fitting else None


def meant(facts: FoodFacts, measure: MeasureWord | None, name: str) -> Meant:
    """The measure of the source that the words mean; None where it has none of that kind."""
    known = of_source(facts)
    if measure is not None and measure.kind == "source":
        return _one_of(_in_its_words(known, measure.unit))
    how = measure.how if measure is not None else ""
    if measure is not None and (
        measure.kind in {"mass", "oz", "letter"} or (measure.kind == "volume" and not how)
    ):
        return None
    units = _units(measure, name)
    if not how and any(m.unit in units for m in facts.extra if not m.of_source):
        return None
    for unit in units:
        found = [m for m in known if m.unit == unit]
        if found:
            best = _best(found, how)
            if best is None:
                return Which(tuple(found))
            if isinstance(best, Which):
                also = {*best.measures, *_sized(known, measure)}
                return Which(tuple(m for m in known if m in also))
            return best
    sized = _sized(known, measure)
    return Which(sized) if sized else None


def _sized(known: Iterable[Measure], measure: MeasureWord | None) -> tuple[Measure, ...]:
    """ "2 slices" or "2 apples": the sizes of them that the source knows."""
    if measure is not None and (measure.size or measure.kind == "size" or measure.how):
        return ()
    sizes = {f"{size} {measure.unit}" for size in SIZES} if measure else {*SIZES, "extra small"}
    return tuple(m for m in known if m.unit in sizes)


def density(facts: FoodFacts) -> tuple[Measure, ...]:
    """The measured volume that tells best what the food weighs: the largest. Empty where the
    source has none that is without further words, or where they do not agree."""
    plain = [
        m
        for m in of_source(facts)
        if m.grams is not None and m.millilitres is not None and not m.how
    ]
    if not plain:
        return ()
    each = [_by_volume(m) for m in plain]
    if max(each) > min(each) * (1 + DENSITY):
        return ()
    return (max(plain, key=lambda m: m.millilitres or 0),)


def _by_volume(measure: Measure) -> Fraction:
    assert measure.grams is not None
    assert measure.millilitres is not None
    return measure.grams / measure.millilitres


Why = Literal["kitchen", "source"]
Hop = tuple[str, str, Fraction, Why]


def hops(measure: Measure, kitchen: Mapping[str, Fraction]) -> tuple[Hop, ...] | None:
    """From one of the measure to grams or millilitres. A cup that the user set is theirs: it is
    counted by its volume against that of the source's. None where the source's is not known."""
    told = measure.told
    if measure.unit in kitchen:
        if measure.grams is None:
            return ((measure.unit, "millilitre", kitchen[measure.unit], "kitchen"),)
        if measure.millilitres is None:
            return None
        held = kitchen[measure.unit]
        return (
            (measure.unit, "millilitre", held, "kitchen"),
            ("millilitre", "gram", _by_volume(measure), "source"),
        )
    into = "gram" if measure.grams is not None else "millilitre"
    return ((told, into, _weight(measure), "source"),)

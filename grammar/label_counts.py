"""How many of a household measure a label says, in words: "one and a half cups", "1/2 of a cup".

The words behind a count may still belong to it. Only whole readings are taken: where the words
that are left name no measure, or a weight ("1 quarter pounder"), nothing is changed.
"""

from collections.abc import Sequence
from fractions import Fraction

from grammar.nodes import Number
from grammar.numbers import ONES, PARTS, TENS, read_number

_WEIGHTS = ("pound", "lb", "ounce", "oz", "gram", "kilo")
"""Words that a part makes into a name ("quarter pounder") or a mass, not a count of a measure."""
_CUPS = frozenset(
    {"cup", "cups", "tablespoon", "tablespoons", "tbsp", "teaspoon", "teaspoons", "tsp"}
    | {"pint", "pints", "quart", "quarts"}
)
_MOST_WORDS = 6
_ONE = frozenset({"a", "an", "one", "the"})
_BEGIN = frozenset({"a", "an", "half", *ONES, *TENS})


def first_count(word: str) -> Fraction | None:
    """The count that a word says or begins: "two", "a", "half", "one-half", "half-cup"."""
    first = _split((word,))[0]
    value = read_number(first) if first in _BEGIN else None
    return value.value if isinstance(value, Number) else None


def worded_count(words: Sequence[str]) -> tuple[Fraction, tuple[str, ...]] | None:
    """The count that the words begin with, and the measure behind it; None where they do not.

    ("one", "half", "cup") -> 1/2 and ("cup",); ("two", "thirds", "of", "a", "cup") -> 2/3.
    """
    parts = _split(words)
    for size in range(min(len(parts), _MOST_WORDS), 0, -1):
        value = read_number(" ".join(parts[:size]))
        if isinstance(value, Number):
            return _with_measure(value.value, parts[size:], parted=parts[size - 1] in PARTS)
    return None


def further_count(count: Fraction, words: Sequence[str]) -> tuple[Fraction, tuple[str, ...]] | None:
    """The same for words behind a figure: 1 and ("and", "a", "half", "cups"); 1/2 and ("of", "a",
    "cup"); 1 and ("half", "cup"). None where the words add nothing to the figure.
    """
    parts = _split(words)
    if parts[:1] == ("and",):
        more = worded_count(parts[1:])
        if more is None or more[0] >= 1:
            return None
        return count + more[0], more[1]
    if parts[:1] and parts[0] in PARTS:
        return _with_measure(count / PARTS[parts[0]], parts[1:], parted=True)
    if count.denominator != 1 and parts[:1] and parts[0] in {"of", *_ONE}:
        return _with_measure(count, parts, parted=True)
    return None


def _split(words: Sequence[str]) -> tuple[str, ...]:
    """ "one-half", "twenty-five" and "half-cup" as two words each; "half-baked" stays a name."""
    split: list[str] = []
    for word in words:
        *before, last = word.split("-")
        counts = all(part in _BEGIN or part in PARTS for part in before)
        known = last in ONES or last in PARTS or last in _CUPS
        split += [*before, last] if counts and known else [word]
    return tuple(split)


def _with_measure(
    count: Fraction, rest: tuple[str, ...], *, parted: bool
) -> tuple[Fraction, tuple[str, ...]] | None:
    """The count with what it counts; behind a part, "of a" is no part of the measure's name."""
    if parted:
        rest = rest[1:] if rest[:1] == ("of",) else rest
        rest = rest[1:] if rest and rest[0] in _ONE else rest
    if not rest or (parted and rest[0].startswith(_WEIGHTS)):
        return None
    return count, rest

"""Which foods a phrase means: every way to join or split its pieces, settled by the library.

A reading counts only when each of its names is in the library, exactly. One such reading: it is
taken. Several: all are handed on, and differ or not by what they count. None: the words that
no food is called by are asked about.
"""

from collections.abc import Iterator
from itertools import product

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.counting.source_measures import has_how
from assistant.dialogue.record import Foods
from grammar import patterns
from grammar.nodes import Item, Phrase, Unclear
from grammar.phrases import joined, most_joined
from grammar.words import name_key

MAX_READINGS = 24
"""More readings than this are not laid before a person."""


class Found(Struct, frozen=True):
    """One item of a phrase, in one reading, with its food."""

    item: Item
    food: Food


Meaning = tuple[Found, ...]


class Resolved(Struct, frozen=True):
    """Every whole reading of the phrase; cut is true where there were too many to list."""

    meanings: tuple[Meaning, ...]
    cut: bool = False


class Unresolved(Struct, frozen=True):
    """No reading is whole. item is the first that names no known food; foods are several of one
    name where the name itself is not single."""

    item: Item
    others: tuple[Item, ...]
    foods: tuple[Food, ...] = ()


MOST_HOW = 4
"""Words of a name that may belong to its measure."""


def how_and_name(text: str, item: Item) -> Iterator[tuple[str, str, int, int]]:
    """Ways to take the first or last words of a name as part of the measure: those words, the name,
    and its place in the text."""
    words = list(patterns.finditer(r"[^\s,]+", text[item.name_start : item.name_end]))
    for count in range(1, min(MOST_HOW, len(words) - 1) + 1):
        begin, end = words[count].start(), words[-count - 1].end()
        spans = ((begin, words[-1].end()), (words[0].start(), end))
        hows = (words[:count], words[-count:])
        for (first, last), how in zip(spans, hows, strict=True):
            start, stop = item.name_start + first, item.name_start + last
            yield " ".join(w[0] for w in how), text[start:stop], start, stop


def knows_how(item: Item, food: Food) -> bool:
    """Has the food a measure of its source with the words that stand behind the measure?"""
    assert item.measure is not None
    return has_how(food.facts, item.measure, item.name, item.measure.how)


class _Finder:
    """Looks names up once each."""

    def __init__(self, phrase: Phrase, foods: Foods) -> None:
        self.phrase = phrase
        self.foods = foods
        self.seen: dict[str, tuple[Food, ...]] = {}

    def foods_called(self, name: str) -> tuple[Food, ...]:
        key = name_key(name)
        if not key:
            return ()
        if key not in self.seen:
            self.seen[key] = self.foods.exact(key)
        return self.seen[key]

    def span(self, first: int, last: int) -> tuple[Found, ...]:
        """Readings of pieces first to last as one food whose name is known."""
        found: list[Found] = []
        for item in joined(self.phrase, first, last):
            foods = self.foods_called(item.name)
            if item.measure is not None and item.measure.how:
                foods = tuple(f for f in foods if knows_how(item, f))
            found.extend(Found(item, food) for food in foods)
            if not foods:
                found.extend(self._with_how(item))
        return tuple(found)

    def _with_how(self, item: Item) -> Iterator[Found]:
        """ "1 cup chopped onion": words at either end of the name that a measure of the source of
        the food has. No food is called by all of it, and none of it is left unexplained."""
        if item.measure is None or item.measure.how or item.name_start == item.name_end:
            return
        for how, name, start, end in how_and_name(self.phrase.text, item):
            measure = replace(item.measure, how=how)
            split = replace(item, measure=measure, name=name, name_start=start, name_end=end)
            yield from (Found(split, f) for f in self.foods_called(name) if knows_how(split, f))


def _no_worse(options: tuple[Found, ...]) -> tuple[Found, ...]:
    """Of readings of the same food in one span, one with an amount makes one without needless."""
    kept = []
    for option in options:
        others = [o for o in options if o.food.food_id == option.food.food_id and o is not option]
        stated = type(option.item.quantity).__name__ != "Unstated"
        if not stated and any(type(o.item.quantity).__name__ != "Unstated" for o in others):
            continue
        kept.append(option)
    return tuple(kept)


def resolve(phrase: Phrase, foods: Foods) -> Resolved | Unresolved:
    """Every whole reading, or the first item that stands in the way. phrase has pieces."""
    finder = _Finder(phrase, foods)
    count = len(phrase.pieces)
    # ways[i]: the readings of pieces i to the end
    ways: list[list[Meaning]] = [[] for _ in range(count)] + [[()]]
    cut = False
    for first in range(count - 1, -1, -1):
        for last in range(first, min(count, first + most_joined(count) + 1)):
            here = _no_worse(finder.span(first, last))
            for found, rest in product(here, ways[last + 1]):
                ways[first].append((found, *rest))
        cut = cut or len(ways[first]) > MAX_READINGS
        del ways[first][MAX_READINGS:]
    if ways[0]:
        return Resolved(tuple(ways[0]), cut)
    return _unresolved(finder, count)


def _unresolved(finder: _Finder, count: int) -> Unresolved:
    """The pieces that no known name covers, the first of them as the plainest reading has it."""
    covered = [False] * count
    for first in range(count):
        for last in range(first, min(count, first + most_joined(count) + 1)):
            if finder.span(first, last):
                covered[first : last + 1] = [True] * (last - first + 1)
    missing = [finder.phrase.pieces[i][0] for i in range(count) if not covered[i]]
    if not missing:  # each piece is known by itself or joined, but no whole reading fits
        missing = [finder.phrase.pieces[0][0]]
    blocking = missing[0]
    if isinstance(blocking.quantity, Unclear) and not blocking.name and len(missing) > 1:
        blocking = missing[1]
    return Unresolved(blocking, tuple(m for m in missing if m is not blocking))

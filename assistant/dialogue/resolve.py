"""Which foods a phrase means: every way to join or split its pieces, settled by the library.

A reading counts only when each of its names is in the library, exactly. One such reading: it is
taken. Several: all are handed on, and differ or not by what they count. None: the words that
no food is called by are asked about.
"""

from dataclasses import dataclass
from itertools import product

from assistant.counting.facts import Food
from assistant.dialogue.record import Foods
from grammar.nodes import Item, Phrase, Unclear
from grammar.phrases import MAX_JOINED, joined
from grammar.words import name_key

MAX_READINGS = 24
"""More readings than this are not laid before a person."""


@dataclass(frozen=True, slots=True)
class Found:
    """One item of a phrase, in one reading, with its food."""

    item: Item
    food: Food


Meaning = tuple[Found, ...]


@dataclass(frozen=True, slots=True)
class Resolved:
    """Every whole reading of the phrase; cut is true where there were too many to list."""

    meanings: tuple[Meaning, ...]
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Unresolved:
    """No reading is whole. item is the first that names no known food; foods are several of one
    name where the name itself is not single."""

    item: Item
    others: tuple[Item, ...]
    foods: tuple[Food, ...] = ()


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
            found.extend(Found(item, food) for food in self.foods_called(item.name))
        return tuple(found)


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
        for last in range(first, min(count, first + MAX_JOINED + 1)):
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
        for last in range(first, min(count, first + MAX_JOINED + 1)):
            if finder.span(first, last):
                covered[first : last + 1] = [True] * (last - first + 1)
    missing = [finder.phrase.pieces[i][0] for i in range(count) if not covered[i]]
    if not missing:  # each piece is known by itself or joined, but no whole reading fits
        missing = [finder.phrase.pieces[0][0]]
    blocking = missing[0]
    if isinstance(blocking.quantity, Unclear) and not blocking.name and len(missing) > 1:
        blocking = missing[1]
    return Unresolved(blocking, tuple(m for m in missing if m is not blocking))

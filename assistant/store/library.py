"""The food library as the dialogue reads it: by name, by likeness, by identity."""

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from assistant.counting.facts import Food
from assistant.store import codec
from assistant.store.problems import damaged, told
from assistant.store.projection import shown
from assistant.store.shelf import Candidate, Shelf, barcode_of
from grammar import patterns
from grammar.words import name_key

CUTOFF = 60
"""How alike a name must be, of 100, to be offered. Common practice, no source: it only asks."""

OWN_FIRST = 5
"""So much liker an imported name must be to stand before one of the user's own."""

ALL_EXPLAINED = 85
"""How like a name is at least whose words explain every typed letter, whatever their order."""

_COMPARED_WHOLE = 4000
"""Up to so many names each is compared; beyond, only those that share three letters in a row."""

_FEW_LETTERS = 3
"""Text this short is compared by whole words: as a part of a word it is like nearly anything."""

_CANDIDATES = 500
_LONGEST = 120

EATEN_FIRST = 4
"""So much liker a name must be to stand before one that was eaten lately."""
OTHER_HEAD = 5
"""So much less like is an imported name whose first word was not typed: tables put the food itself
first ("Apples, raw, with skin"), and "Croissants, apple" is another thing."""
MEALS = 60
"""Meals, the newest, that tell what is eaten."""

_BARCODE = patterns.compile(r"\d{8}|\d{12,14}")
_IDENTIFIED = patterns.compile(r"(?P<name>.+) \[(?P<id>[^\[\]]+)\]")

_EATEN = """
SELECT data FROM events WHERE kind = 'meal-counted' ORDER BY id DESC LIMIT ?
"""

_EXACT = """
SELECT DISTINCT food_id FROM names WHERE key IN ({marks}) ORDER BY food_id
"""

_CURRENT = """
SELECT rowid, food_id, version, facts, retired FROM foods
WHERE food_id = ? ORDER BY version DESC LIMIT 1
"""

_ALIASES = """
SELECT name FROM names WHERE food_id = ? AND is_alias = 1 GROUP BY name ORDER BY min(id)
"""

_NAMES = """
SELECT name FROM names WHERE is_alias = 0 GROUP BY name ORDER BY min(key), name LIMIT ?
"""

_ALIKE = """
SELECT n.key, n.name, n.food_id FROM names_search AS s JOIN names AS n ON n.id = s.rowid
WHERE names_search MATCH ? ORDER BY bm25(names_search) LIMIT ?
"""

_BEGINS = """
SELECT key, name, food_id FROM names WHERE key >= ? AND key < ? ORDER BY key LIMIT ?
"""


class Library:
    """The foods, read from one connection. Implements dialogue.record.Foods."""

    def __init__(self, connection: sqlite3.Connection, home: Path, shelf: Shelf) -> None:
        self._connection = connection
        self._home = home
        self._shelf = shelf

    def exact(self, key: str) -> tuple[Food, ...]:
        """Foods whose name or alias has this key, each once; none that is forgotten.

        The user's own name for a food settles what it means: imported foods of that name are
        given only where no food of the user's own has it.
        """
        if not key:
            return ()
        own = self._own_called((key,))
        if own:
            return own
        barcode = barcode_of(key) if _BARCODE.fullmatch(key) else None
        if barcode is not None:
            own = self._own_called(tuple(sorted(_spellings(barcode))))
            imported: tuple[Food, ...] = () if own else self._shelf.by_barcode(barcode)
        else:
            imported = self._shelf.exact(key) or self._identified(key)
        return own or tuple(f for f in imported if self.own(f.food_id) is None)

    def _own_called(self, keys: Sequence[str]) -> tuple[Food, ...]:
        """The user's own foods of one of these names, none that is forgotten."""
        marks = ", ".join("?" * len(keys))
        with told(self._home):
            found = self._connection.execute(_EXACT.format(marks=marks), keys).fetchall()
        foods = (self.own(row[0]) for row in found)
        return tuple(food for food in foods if food is not None and not food.retired)

    def _identified(self, key: str) -> tuple[Food, ...]:
        """The food that a name with its identity behind it means ("milk whole [sr:01077]")."""
        match = _IDENTIFIED.fullmatch(key)
        food = self.by_id(match["id"]) if match else None
        if match is None or food is None or food.retired:
            return ()
        names = (food.facts.name, *food.aliases)
        return (food,) if match["name"] in {name_key(shown(n)) for n in names} else ()

    def near(self, text: str, limit: int = 5) -> tuple[str, ...]:
        """Names that are like the text, best first; one for each food."""
        key = name_key(shown(text[:_LONGEST]))
        if not key or limit <= 0:
            return ()
        with told(self._home):
            candidates = self._candidates(key)
        imported = self._not_own(self._shelf.candidates(key))
        return _ranked(key, (candidates, imported), self._eaten(), limit)

    def holding(self, text: str, limit: int = 200) -> tuple[str, ...]:
        """Names that have every word of the text: the user's own first, then the shortest."""
        key = name_key(shown(text[:_LONGEST]))
        if not key:
            return ()
        words = set(key.split())
        with told(self._home):
            every = self._connection.execute("SELECT key, name, food_id FROM names ORDER BY key")
            own = [row for row in every if words <= set(row[0].split())]
        imported = self._not_own(self._shelf.holding(key, limit))
        names = (shown(row[1]) for row in (*own, *imported))
        return tuple(dict.fromkeys(name for name in names if name))[:limit]

    def _eaten(self) -> frozenset[str]:
        """Keys of the foods of the last meals. It only orders what is offered, so a row that
        cannot be read is passed over: who reads the journal tells of it."""
        with told(self._home):
            found = self._connection.execute(_EATEN, (MEALS,)).fetchall()
        keys: set[str] = set()
        for (data,) in found:
            with suppress(ValueError, KeyError, AttributeError, TypeError):
                keys.update(name_key(p["food"]) for p in json.loads(data)["portions"])
        return frozenset(keys)

    def names(self, limit: int = 1000) -> tuple[str, ...]:
        """Names of the user's own foods, in order of name, without control characters."""
        with told(self._home):
            rows = self._connection.execute(_NAMES, (max(limit, 0),)).fetchall()
        return tuple(dict.fromkeys(name for row in rows if (name := shown(row[0]))))

    def by_id(self, food_id: str) -> Food | None:
        """The food as it is now, forgotten or not, own or imported; None where there is none."""
        return self.own(food_id) or self._shelf.by_id(food_id)

    def every_own(self) -> Iterator[Food]:
        """Each food of the user's own that is not forgotten, in order of identity."""
        with told(self._home):
            found = self._connection.execute("SELECT DISTINCT food_id FROM foods ORDER BY food_id")
            ids = [row[0] for row in found]
        for food_id in ids:
            food = self.own(food_id)
            if food is not None and not food.retired:
                yield food

    def _not_own(self, candidates: Sequence[Candidate]) -> list[Candidate]:
        """Imported names without those of foods that became the user's own."""
        if not candidates:
            return []
        marks = ", ".join("?" * len(candidates))
        with told(self._home):
            found = self._connection.execute(
                f"SELECT DISTINCT food_id FROM foods WHERE food_id IN ({marks})",  # noqa: S608
                [candidate[2] for candidate in candidates],
            ).fetchall()
        own = {row[0] for row in found}
        return [candidate for candidate in candidates if candidate[2] not in own]

    def own(self, food_id: str) -> Food | None:
        """The food of the user's own, forgotten or not; None where there is none."""
        with told(self._home):
            row = self._connection.execute(_CURRENT, (food_id,)).fetchone()
            aliases = self._connection.execute(_ALIASES, (food_id,)).fetchall()
        if row is None:
            return None
        try:
            facts = codec.facts_of(row[3])
        except ValueError as fault:
            raise damaged(self._home, "foods", row[0], type(fault).__name__) from fault
        return Food(row[1], row[2], facts, tuple(alias[0] for alias in aliases), bool(row[4]))

    def _candidates(self, key: str) -> list[Candidate]:
        count = self._connection.execute("SELECT count(*) FROM names").fetchone()[0]
        if count <= _COMPARED_WHOLE:
            found = self._connection.execute("SELECT key, name, food_id FROM names").fetchall()
        else:
            beginning = (key[:2], key[:2] + "\U0010ffff", _CANDIDATES)
            found = self._connection.execute(_BEGINS, beginning).fetchall()
            if grams := _grams(key):
                alike = (" OR ".join(grams), _CANDIDATES)
                found += self._connection.execute(_ALIKE, alike).fetchall()
        return [Candidate(*row) for row in dict.fromkeys(found)]


def _heads(typed: frozenset[str], key: str) -> bool:
    """Was the first word of the name with this key typed?"""
    return key.split(" ", 1)[0] in typed


def _spellings(barcode: str) -> set[str]:
    """A barcode of 14 digits, and how it is written with 8, 12 or 13."""
    return {barcode, *(barcode[-n:] for n in (8, 12, 13) if not barcode[:-n].strip("0"))}


def _grams(key: str) -> list[str]:
    """Each three letters in a row, quoted for the search."""
    each = dict.fromkeys(key[at : at + 3] for at in range(len(key) - 2))
    return ['"' + gram.replace('"', '""') + '"' for gram in each]


def _scored(key: str, candidates: Sequence[Candidate]) -> list[tuple[float, float, str, str, str]]:
    """Of each that is like the key: how like, its name, its id and its own key."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - slow to import

    scorer = fuzz.WRatio if len(key) > _FEW_LETTERS else fuzz.token_set_ratio
    keys = [candidate[0] for candidate in candidates]
    scored = process.extract(key, keys, scorer=scorer, score_cutoff=CUTOFF, limit=None)
    return [
        (-_weighed(score, candidates[at].explained), -fuzz.ratio(key, found),
         candidates[at].name, candidates[at].food_id, found)
        for found, score, at in scored
    ]  # fmt: skip


def _weighed(score: float, explained: float | None) -> float:
    """The likeness of 100; a name that leaves typed words unexplained is less like them."""
    if explained is None:
        return score
    return max(score, ALL_EXPLAINED) if explained == 1 else score * (1 + explained) / 2


def _ranked(
    key: str, groups: Sequence[Sequence[Candidate]], eaten: frozenset[str], limit: int
) -> tuple[str, ...]:
    """The likest first; a food of the user's own stands before imported ones that are no liker,
    and between the two what was eaten lately."""
    typed = frozenset(key.split())
    ordered = sorted(
        (min(score + OWN_FIRST * place - EATEN_FIRST * (found in eaten)
             + OTHER_HEAD * (place and not _heads(typed, found)), 0),
         place, ratio, name, food_id)
        for place, candidates in enumerate(groups)
        for score, ratio, name, food_id, found in _scored(key, candidates)
    )  # fmt: skip
    names: dict[str, None] = {}
    foods: set[str] = set()
    for *_, name, food_id in ordered:
        if len(names) == limit:
            break
        if food_id not in foods and shown(name):
            foods.add(food_id)
            names[shown(name)] = None
    return tuple(names)

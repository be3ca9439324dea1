"""The shelf: imported foods, in a file of their own beside the record.

They can be imported again, so they are in no backup, and a file of a million foods makes neither
the daily check nor the copies of the record any longer. The file is never changed in place: a new
one is built beside it and takes its name (shelf_writer.py).
"""

import os
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts
from assistant.store import alike, codec
from assistant.store.problems import StoreProblem
from grammar.words import name_key

FILE = "imported-foods.db"
APPLICATION_ID = 0x436E7466
"""Marks the file as a shelf of this program: the letters Cntf."""
VERSION = 2
NUMBERED = 1
"""An older version is read as well: in its index stand the numbers of words."""
READ = frozenset({NUMBERED, VERSION})
"""Versions that are read."""

_LATELY = 500
"""Questions of which the answer is kept at most: a turn asks for the same names again and again."""

SAME_NAME = 25
"""Foods of one name that are handed on; nobody can choose among more."""

SCHEMA = (
    """
    CREATE TABLE foods (
        id INTEGER PRIMARY KEY,
        food_id TEXT NOT NULL,
        key TEXT NOT NULL,
        name TEXT NOT NULL,
        source INTEGER NOT NULL,
        barcode TEXT
    )
    """,
    "CREATE TABLE facts (id INTEGER PRIMARY KEY, facts TEXT NOT NULL)",
    "CREATE TABLE sources"
    " (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, detail TEXT NOT NULL)",
    *alike.SCHEMA,
)
BY_ID = "CREATE UNIQUE INDEX IF NOT EXISTS foods_by_id ON foods (food_id)"
INDEXES = (
    BY_ID,
    "CREATE INDEX IF NOT EXISTS foods_by_key ON foods (key)",
    "CREATE INDEX IF NOT EXISTS foods_by_barcode ON foods (barcode) WHERE barcode IS NOT NULL",
)

_FOODS = """
SELECT f.food_id, t.facts, s.name, s.detail FROM foods AS f JOIN facts AS t ON t.id = f.id
LEFT JOIN sources AS s ON s.id = f.source
"""
_BY_KEY = f"{_FOODS} WHERE f.key = ? ORDER BY f.id LIMIT ?"
_BY_BARCODE = f"{_FOODS} WHERE f.barcode = ? ORDER BY f.id LIMIT ?"
_BY_ID = f"{_FOODS} WHERE f.food_id = ?"
_SOURCES = """
SELECT s.name, s.detail, count(f.id) FROM sources AS s LEFT JOIN foods AS f ON f.source = s.id
GROUP BY s.id ORDER BY s.name
"""


class Candidate(NamedTuple):
    """A name that may be meant. explained: the share of the typed letters that its words explain;
    None where that was not looked at."""

    key: str
    name: str
    food_id: str
    explained: float | None = None


class Shelf:
    """The imported foods of a folder, read only. Without a file it holds none."""

    def __init__(self, home: Path) -> None:
        self._home = home
        self._path = home / FILE
        self._connection: sqlite3.Connection | None = None
        self._seen: tuple[int, int, int] | None = None
        self._version = VERSION
        self._lately: dict[tuple[str, tuple[object, ...]], tuple[Food, ...]] = {}
        """What was found in this very file: it is never changed in place."""

    def exact(self, key: str) -> tuple[Food, ...]:
        """Foods with this key, the first few."""
        return self._foods(_BY_KEY, (key, SAME_NAME))

    def by_id(self, food_id: str) -> Food | None:
        """The food, or None."""
        return next(iter(self._foods(_BY_ID, (food_id,))), None)

    def by_barcode(self, barcode: str) -> tuple[Food, ...]:
        """Foods with this barcode, the first few."""
        return self._foods(_BY_BARCODE, (barcode, SAME_NAME))

    def candidates(self, key: str) -> list[Candidate]:
        """Names that may be like a key; a few hundred at most."""
        connection = self._open()
        if connection is None:
            return []
        try:
            found = self._alike(connection).found(key)
            rows = _rows(connection, list(found))
            return [Candidate(*row, found[at]) for at, row in rows.items()]
        except sqlite3.Error as fault:
            raise self._damaged(fault) from fault

    def holding(self, key: str, limit: int) -> list[Candidate]:
        """Foods whose names have every word of a key, the shortest names first."""
        connection = self._open()
        if connection is None:
            return []
        try:
            places = self._alike(connection).holding(key, limit)
            return [Candidate(*row) for row in _rows(connection, places).values()]
        except sqlite3.Error as fault:
            raise self._damaged(fault) from fault

    def sources(self) -> tuple[tuple[str, str, int], ...]:
        """Each source: its name, its terms, how many foods are of it."""
        connection = self._open()
        if connection is None:
            return ()
        try:
            return tuple(connection.execute(_SOURCES).fetchall())
        except sqlite3.Error as fault:
            raise self._damaged(fault) from fault

    def count(self) -> int:
        """How many foods there are."""
        connection = self._open()
        if connection is None:
            return 0
        try:
            return int(connection.execute("SELECT count(*) FROM foods").fetchone()[0])
        except sqlite3.Error as fault:
            raise self._damaged(fault) from fault

    def close(self) -> None:
        """Lets go of the file."""
        if self._connection is not None:
            self._connection.close()
        self._connection, self._seen = None, None
        self._lately.clear()

    def _alike(self, connection: sqlite3.Connection) -> alike.Alike:
        return alike.Alike(connection, numbered=self._version == NUMBERED)

    def _foods(self, query: str, values: tuple[object, ...]) -> tuple[Food, ...]:
        connection = self._open()
        if connection is None:
            return ()
        if (query, values) in self._lately:
            return self._lately[query, values]
        try:
            rows = connection.execute(query, values).fetchall()
            found = tuple(Food(row[0], 1, _facts(*row[1:])) for row in rows)
        except (sqlite3.Error, ValueError) as fault:
            raise self._damaged(fault) from fault
        if len(self._lately) >= _LATELY:
            self._lately.clear()
        self._lately[query, values] = found
        return found

    def _open(self) -> sqlite3.Connection | None:
        """The connection to the file that has the name now; None where there is no file."""
        try:
            found = os.stat(self._path)
        except FileNotFoundError:
            self.close()
            return None
        except OSError as fault:
            raise self._damaged(fault) from fault
        seen = (found.st_ino, found.st_size, found.st_mtime_ns)
        if self._connection is None or seen != self._seen:
            self.close()
            self._connection, self._seen = self._connect(), seen
        return self._connection

    def _connect(self) -> sqlite3.Connection:
        address = f"{self._path.absolute().as_uri()}?mode=ro&immutable=1"
        try:
            connection = sqlite3.connect(
                address, uri=True, isolation_level=None, check_same_thread=False
            )
            try:
                mark = connection.execute("PRAGMA application_id").fetchone()[0]
                version = connection.execute("PRAGMA user_version").fetchone()[0]
            except BaseException:
                connection.close()
                raise
        except sqlite3.Error as fault:
            raise self._damaged(fault) from fault
        if mark != APPLICATION_ID or version not in READ:
            connection.close()
            raise damaged(self._home, "it is of another version or program")
        self._version = version
        return connection

    def _damaged(self, fault: Exception) -> StoreProblem:
        return damaged(self._home, fault)


def damaged(home: Path, why: object) -> StoreProblem:
    """The problem of a shelf that cannot be read. Its file is named, to be moved away."""
    return StoreProblem(
        "library-damaged", home, f"The imported foods in {FILE} cannot be read ({why})."
    )


def is_sound(path: Path, home: Path) -> bool:
    """Can every page of this shelf be read? Raises StoreProblem for one of a later version."""
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    try:
        with closing(sqlite3.connect(address, uri=True)) as connection:
            mark = connection.execute("PRAGMA application_id").fetchone()[0]
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            if mark == APPLICATION_ID and version > VERSION:
                detail = f"{FILE} was written by a later version."
                raise StoreProblem("newer-version", home, detail)
            if mark != APPLICATION_ID or version not in READ:
                return False
            return bool(connection.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok")
    except sqlite3.Error:
        return False


def _facts(data: str, source: str | None, licence: str | None) -> FoodFacts:
    """The facts with their source, which is kept once for all its foods. ValueError."""
    facts = codec.facts_of(data)
    return replace(facts, source=source, licence=licence or "") if source else facts


NUMBER = (1 << 40) - 1
"""The bits of a place that are the number of the food's row."""


def place(key: str, number: int) -> int:
    """Where a food's words stand in the index: those of shorter names come first."""
    return (min(len(key), 255) << 40) | number


def _rows(connection: sqlite3.Connection, places: Sequence[int]) -> dict[int, tuple[str, str, str]]:
    """Of each place in the index the food's key, name and id, in the same order.

    On an older shelf the number of a row is its whole place.
    """
    asked = [*places, *(place & NUMBER for place in places)]
    marks = ", ".join("?" * len(asked))
    query = f"SELECT id, key, name, food_id FROM foods WHERE id IN ({marks})"  # noqa: S608
    found = {row[0]: row[1:] for row in connection.execute(query, asked)}
    each = ((place, found.get(place) or found.get(place & NUMBER)) for place in places)
    return {place: row for place, row in each if row is not None}


def barcode_of(text: str | None) -> str | None:
    """Digits alone, filled to 14 with zeros, so that 8, 12, 13 and 14 digits compare (GTIN)."""
    digits = "".join(c for c in text or "" if c.isdecimal())
    return digits.zfill(14) if digits and len(digits) <= 14 else None


def key_of(name: str) -> str:
    """The key of an imported name."""
    return name_key(name)

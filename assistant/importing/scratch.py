"""A database of its own for what a reader has to put together, which SQLite removes at the end."""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager

from assistant.counting.facts import Nutrient
from assistant.importing import figures

SCHEMA = """
CREATE TABLE figures (food TEXT NOT NULL, nutrient TEXT NOT NULL, amount TEXT NOT NULL);
CREATE TABLE portions (food TEXT NOT NULL, place INTEGER NOT NULL, count TEXT, words TEXT,
                       grams TEXT);
CREATE TABLE products (food TEXT NOT NULL, barcode TEXT, size TEXT, unit TEXT, household TEXT,
                       market TEXT, brand TEXT, line INTEGER NOT NULL, gtin TEXT);
CREATE TABLE foods (food TEXT PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL,
                    dated TEXT NOT NULL, line INTEGER NOT NULL, again INTEGER) WITHOUT ROWID;
CREATE TABLE codes (food TEXT PRIMARY KEY, code TEXT NOT NULL) WITHOUT ROWID;
"""
INDEXES = """
CREATE INDEX figures_by_food ON figures (food);
CREATE INDEX portions_by_food ON portions (food);
CREATE INDEX products_by_food ON products (food);
"""
_FOOD = """
INSERT INTO foods (food, kind, name, dated, line) VALUES (?, ?, ?, ?, ?)
ON CONFLICT (food) DO UPDATE SET again = excluded.line
WHERE (kind, name, dated) != (excluded.kind, excluded.name, excluded.dated)
"""
_TOLD_TWICE = """
SELECT food FROM products GROUP BY food
HAVING count(DISTINCT json_array(barcode, size, unit, household, market, brand)) > 1
"""


def differ(one: str, other: str) -> bool:
    """Are two texts other figures? "10" and "10.0" are one."""
    if one.strip() == other.strip():
        return False
    first, second = figures.read(one, ""), figures.read(other, "")
    if not isinstance(first, Nutrient) or not isinstance(second, Nutrient):
        return True
    return (first.value, first.below) != (second.value, second.below)


class Scratch:
    """Rows by food. Amounts stay the text that the source has."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        for pragma in ("journal_mode = OFF", "synchronous = OFF", "cache_size = -65536"):
            connection.execute(f"PRAGMA {pragma}")
        connection.executescript(SCHEMA)

    def put(self, name: str, rows: Iterable[tuple[object, ...]]) -> None:
        """Adds rows to a table; of a key that is there, the first stands. Of a food that is told
        otherwise later on, the line of that is kept beside the first (again)."""
        rows = iter(rows)
        first = next(rows, None)
        if first is None:
            return
        marks = ", ".join("?" * len(first))
        query = _FOOD if name == "foods" else f"INSERT OR IGNORE INTO {name} VALUES ({marks})"  # noqa: S608 - our own names
        self._connection.execute("BEGIN")
        self._connection.execute(query, first)
        self._connection.executemany(query, rows)
        self._connection.execute("COMMIT")

    def index(self) -> None:
        """Makes reading by food quick, once everything is put."""
        self._connection.executescript(INDEXES)

    def rows(self, query: str, *values: object) -> Iterator[tuple[str, ...]]:
        """What a query finds."""
        yield from self._connection.execute(query, values)

    def figures(self, food: str) -> dict[str, str] | None:
        """Nutrient -> amount; None where one is stated twice, and not the same."""
        found: dict[str, str] = {}
        for nutrient, amount in self.rows(
            "SELECT nutrient, amount FROM figures WHERE food = ?", food
        ):
            if differ(found.setdefault(nutrient, amount), amount):
                return None
        return found

    def products_told_twice(self) -> set[str]:
        """Products of which two rows do not say the same."""
        return {food for (food,) in self.rows(_TOLD_TWICE)}

    def portions(self, food: str) -> Iterator[tuple[str, ...]]:
        """(count, words, grams), in the order of the source."""
        return self.rows(
            "SELECT count, words, grams FROM portions WHERE food = ? ORDER BY place, rowid", food
        )


@contextmanager
def scratch() -> Iterator[Scratch]:
    """Raises sqlite3.Error where there is no room for it."""
    with closing(sqlite3.connect("", isolation_level=None)) as connection:
        yield Scratch(connection)

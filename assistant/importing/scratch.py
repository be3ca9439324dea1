"""A database of its own for what a reader has to put together, which SQLite removes at the end."""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager

SCHEMA = """
CREATE TABLE figures (food TEXT NOT NULL, nutrient TEXT NOT NULL, amount TEXT NOT NULL);
CREATE TABLE portions (food TEXT NOT NULL, place INTEGER NOT NULL, count TEXT, words TEXT,
                       grams TEXT);
CREATE TABLE products (food TEXT NOT NULL, barcode TEXT, size TEXT, unit TEXT, household TEXT,
                       market TEXT, brand TEXT, line INTEGER NOT NULL, gtin TEXT);
CREATE TABLE foods (food TEXT PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL,
                    dated TEXT NOT NULL, line INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE codes (food TEXT PRIMARY KEY, code TEXT NOT NULL) WITHOUT ROWID;
"""
INDEXES = """
CREATE INDEX figures_by_food ON figures (food);
CREATE INDEX portions_by_food ON portions (food);
CREATE INDEX products_by_food ON products (food);
"""
_BATCH = 20_000


class Scratch:
    """Rows by food. Amounts stay the text that the source has."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        for pragma in ("journal_mode = OFF", "synchronous = OFF", "cache_size = -65536"):
            connection.execute(f"PRAGMA {pragma}")
        connection.executescript(SCHEMA)

    def put(self, name: str, rows: Iterable[tuple[object, ...]]) -> None:
        """Adds rows to a table; of a key that is there, the first stands."""
        rows = iter(rows)
        first = next(rows, None)
        if first is None:
            return
        marks = ", ".join("?" * len(first))
        query = f"INSERT OR IGNORE INTO {name} VALUES ({marks})"  # noqa: S608 - our own names
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

    def figures(self, food: str) -> dict[str, str]:
        """Nutrient -> amount."""
        return dict(self.rows("SELECT nutrient, amount FROM figures WHERE food = ?", food))  # type: ignore[arg-type]

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

"""Fills the shelf: a new file is built beside the old one and takes its name at the end.

Killed half-way, without room or with a fault, the shelf is as it was; else it is whole.
"""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Literal

from msgspec.structs import replace

from assistant.counting.facts import TYPED, FoodFacts
from assistant.store import alike, backups, codec, shelf
from assistant.store.problems import StoreProblem, of_sqlite, of_system, told
from grammar import patterns
from grammar.words import printable

Done = Literal["added", "changed", "same", "older", "twice"]
"""older: the food is there already, of a later date, and stays. twice: this import has told the
food already, otherwise and of no earlier date. Neither is taken, since nothing says which one is
right: the food is as it was before the import."""

_FoodRow = tuple[int, str, str, str, int, str | None]
"""Number, identity, key, name, number of the source, barcode."""

_TOGETHER = 500
"""Rows that are written together."""

_THERE = """
SELECT f.id, f.key, f.name, t.facts FROM foods AS f JOIN facts AS t ON t.id = f.id
WHERE f.food_id = ?
"""

_INDEX = """
INSERT INTO search (rowid, words)
SELECT (min(length(key), 255) << 40) | (id & ?) AS place, key FROM foods
WHERE id BETWEEN ? AND ? ORDER BY place
"""
"""Keys with their places (shelf.place)."""
_ALL = (1 << 63) - 1
_OLDER = ("DROP TABLE search", "DROP TABLE slips", "DROP TABLE words")
"""What an older shelf has in the place of alike.SCHEMA; it is made anew from the keys."""

_DATE = patterns.compile(r"\d{4}(?:-\d\d(?:-\d\d)?)?")
_LOCK = "imported-foods.lock"
_BUILT = f"{shelf.FILE}.new"


@contextmanager
def filling(home: Path) -> Iterator["Writer"]:
    """A writer on the shelf; what it was given is there after the block, all of it or nothing.

    Raises StoreProblem, also where another import is running on the folder.
    """
    home = home.absolute()
    backups.make_private_folder(home)
    with _alone(home):
        built = home / _BUILT
        try:
            sound = _begin(home, built)
            with (
                shelf_told(home),
                closing(sqlite3.connect(built, isolation_level=None)) as connection,
            ):
                writer = Writer(connection)
                writer.before = home / shelf.FILE if sound else None
                yield writer
                if writer.changed:
                    writer.finish()
            if writer.changed:
                writer.replaced = None if sound else _put_aside(home)
                _put(built, home)
        except OSError as fault:
            raise of_system(fault, home, "cannot-write") from fault
        finally:
            for name in (_BUILT, f"{_BUILT}-journal"):
                (home / name).unlink(missing_ok=True)


@contextmanager
def _alone(home: Path) -> Iterator[None]:
    """One import at a time: a lock that goes with its process."""
    path = home / _LOCK
    backups.make_private_file(path)
    with closing(sqlite3.connect(path, timeout=0.2, isolation_level=None)) as lock:
        with told(home):
            try:
                lock.execute("BEGIN EXCLUSIVE")
            except sqlite3.OperationalError as fault:
                if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY:
                    raise
                detail = f"Another import is running ({fault})."
                raise StoreProblem("locked", home, detail) from fault
        yield


@contextmanager
def shelf_told(home: Path) -> Iterator[None]:
    """Inside this block faults of SQLite are told of the shelf: it is not the record."""
    try:
        yield
    except sqlite3.Error as fault:
        problem = of_sqlite(fault, home)
        if problem.code in {"disk-full", "locked", "cannot-write"}:
            raise problem from fault
        raise shelf.damaged(home, fault) from fault


def _begin(home: Path, built: Path) -> bool:
    """Copies the shelf that is there. False where it cannot be read: then it is begun anew, since
    an import is how it comes back. Raises StoreProblem for one of a later version."""
    built.unlink(missing_ok=True)
    backups.make_private_file(built)
    old = home / shelf.FILE
    if not old.exists():
        return True
    if shelf.is_sound(old, home):
        from shutil import copyfile  # noqa: PLC0415 - a turn imports nothing

        copyfile(old, built)
        return True
    return False


def _put_aside(home: Path) -> Path:
    """Keeps the shelf that cannot be read, under another name: it may hold what is nowhere else."""
    number = 1
    while (aside := home / f"{shelf.FILE}.damaged-{number}").exists():
        number += 1
    (home / shelf.FILE).rename(aside)
    return aside


def _put(built: Path, home: Path) -> None:
    backups.sync_file(built)
    built.replace(home / shelf.FILE)
    backups.sync_folder(home)


class Writer:
    """Adds foods. Nothing of it is seen by anyone before the end."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        for pragma in ("journal_mode = OFF", "synchronous = OFF", "cache_size = -65536"):
            connection.execute(f"PRAGMA {pragma}")
        self._set_up()
        connection.execute("BEGIN")
        self._number = connection.execute("SELECT coalesce(max(id & ?), 0) FROM foods",
                                          (shelf.NUMBER,)).fetchone()[0]  # fmt: skip
        self._waiting: dict[str, tuple[_FoodRow, tuple[int, str]]] = {}
        self._changes = 0
        self._empty = self._number == 0
        self._first = self._number + 1
        """The number of the first row that is new."""
        self._ids: set[int] = set()
        self._twice: set[str] = set()
        self.replaced: Path | None = None
        """Where a shelf that could not be read is kept, once this one has its place."""
        self.before: Path | None = None
        """The shelf as it is before this import."""
        self.withdrawn: Done = "same"
        """What was told of the first of two foods, when the second one is told to be "twice"."""

    def _set_up(self) -> None:
        mark = self._connection.execute("PRAGMA application_id").fetchone()[0]
        tables = self._connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        version = self._connection.execute("PRAGMA user_version").fetchone()[0]
        if tables and (mark != shelf.APPLICATION_ID or version not in shelf.READ):
            raise sqlite3.DatabaseError("the imported foods are of another version or program")
        self._numbered = bool(tables) and version == shelf.NUMBERED
        if not tables:
            for step in shelf.SCHEMA:
                self._connection.execute(step)
            self._connection.execute(f"PRAGMA application_id = {shelf.APPLICATION_ID}")
            self._connection.execute(f"PRAGMA user_version = {shelf.VERSION}")

    def source(self, name: str, detail: str) -> int:
        """The number of a source (its name, and its licence and date), to be given with foods."""
        self._connection.execute(
            "INSERT INTO sources (name, detail) VALUES (?, ?)"
            " ON CONFLICT (name) DO UPDATE SET detail = excluded.detail",
            (name, detail),
        )
        row = self._connection.execute("SELECT id FROM sources WHERE name = ?", (name,)).fetchone()
        return int(row[0])

    def add(self, food_id: str, facts: FoodFacts, source: int) -> Done:
        """One food; its source and terms are those of source.

        Raises ValueError for a name without letters or digits.
        """
        plain = replace(facts, source=TYPED, licence="")
        return self.add_row(food_id, facts.name, codec.facts_short(plain), source, facts.barcode)

    def add_row(
        self, food_id: str, name: str, facts: str, source: int, barcode: str | None = None
    ) -> Done:
        """As add, with the facts as the text that codec.facts_short gives."""
        key = shelf.key_of(printable(name))
        if not key:
            raise ValueError("a name needs a letter or a digit")
        mark = hash(food_id)
        again = mark in self._ids
        self._ids.add(mark)
        row = self._there(food_id, again) if again or not self._empty else None
        if food_id in self._twice:
            return "twice"
        if row is not None:
            if row[1:] == (key, name, facts):
                return "same"
            there, here = _dated(row[3]), _dated(facts)
            if _later(there, here):
                return "older"
            if again and not _later(here, there):
                self._withdraw(food_id, row)
                return "twice"
            self._remove(row[0], row[1])
        code = shelf.barcode_of(barcode) if barcode else None
        self._insert((food_id, key, name, source, code), facts)
        return "added" if row is None else "changed"

    def _withdraw(self, food_id: str, row: tuple[int, str, str, str]) -> None:
        """Puts back what the shelf had of the food before this import."""
        self._twice.add(food_id)
        if not self._is_new(row[0]):
            self.withdrawn = "same"
            return
        self._remove(row[0], row[1])
        before = None if self.before is None else _row_of(self.before, food_id)
        self.withdrawn = "added" if before is None else "changed"
        if before is not None:
            key, name, source, barcode, facts = before
            self._insert((food_id, key, name, source, barcode), facts)
            self._changes -= 1

    def _there(self, food_id: str, again: bool) -> tuple[int, str, str, str] | None:
        """The food's row, key, name and facts, where it is there already."""
        if self._empty and again:  # only what came before in this very import can be there
            self._connection.execute(shelf.BY_ID)
        if food_id in self._waiting:
            self._flush()
        found: tuple[int, str, str, str] | None = self._connection.execute(
            _THERE, (food_id,)
        ).fetchone()
        return found

    @property
    def changed(self) -> bool:
        """Is anything other than before?"""
        return self._changes > 0

    def _insert(self, food: tuple[str, str, str, int, str | None], facts: str) -> None:
        self._number += 1
        number = self._number
        self._waiting[food[0]] = ((number, *food), (number, facts))
        self._changes += 1
        if len(self._waiting) >= _TOGETHER:
            self._flush()

    def _flush(self) -> None:
        """Writes the rows that wait."""
        foods, facts = zip(*self._waiting.values(), strict=True) if self._waiting else ((), ())
        self._waiting.clear()
        self._connection.executemany(
            "INSERT INTO foods (id, food_id, key, name, source, barcode) VALUES (?, ?, ?, ?, ?, ?)",
            foods,
        )
        self._connection.executemany("INSERT INTO facts (id, facts) VALUES (?, ?)", facts)

    def _is_new(self, number: int) -> bool:
        return bool(self._first <= number <= shelf.NUMBER)

    def _remove(self, number: int, key: str) -> None:
        if self._is_new(number):
            self._changes -= 1  # counted again where it is put back
        elif not self._numbered:
            self._connection.execute(
                "INSERT INTO search (search, rowid, words) VALUES ('delete', ?, ?)",
                (shelf.place(key, number & shelf.NUMBER), key),
            )
        self._connection.execute("DELETE FROM foods WHERE id = ?", (number,))
        self._connection.execute("DELETE FROM facts WHERE id = ?", (number,))

    def finish(self) -> None:
        """Indexes what was added, and ends."""
        self._flush()
        if self._numbered:
            for step in (*_OLDER, *alike.SCHEMA, f"PRAGMA user_version = {shelf.VERSION}"):
                self._connection.execute(step)
        self._index(*((0, _ALL) if self._numbered else (self._first, shelf.NUMBER)))
        for index in shelf.INDEXES:
            self._connection.execute(index)
        self._connection.execute("COMMIT")

    def _index(self, first: int, last: int) -> None:
        """Indexes the keys of these rows, in order of their places: the index takes those that
        grow. Then its words, and the forms of those that are new."""
        self._connection.execute(_INDEX, (shelf.NUMBER, first, last))
        self._connection.execute("INSERT INTO search (search) VALUES ('optimize')")
        known = self._connection.execute("SELECT coalesce(max(id), 0) FROM words").fetchone()[0]
        for step in alike.WORDS:
            self._connection.execute(step)
        slips: dict[str, list[int]] = {}
        query = "SELECT id, word FROM words WHERE id > ? ORDER BY id"
        for at, word in self._connection.execute(query, (known,)):
            for form in alike.forms(word):
                slips.setdefault(form, []).append(at)
        self._connection.executemany(
            "INSERT INTO slips (form, word) VALUES (?, ?)",
            ((form, at) for form in sorted(slips) for at in slips[form]),
        )


def _row_of(path: Path, food_id: str) -> tuple[str, str, int, str | None, str] | None:
    """A food as a shelf has it: key, name, source, barcode, facts; None where it has none."""
    if not path.exists():
        return None
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    with closing(sqlite3.connect(address, uri=True)) as old:
        found: tuple[str, str, int, str | None, str] | None = old.execute(
            "SELECT f.key, f.name, f.source, f.barcode, t.facts FROM foods AS f"
            " JOIN facts AS t ON t.id = f.id WHERE f.food_id = ?",
            (food_id,),
        ).fetchone()
    return found


def _later(one: str, other: str) -> bool:
    """Is one date surely later? Any is later than none; 2026-03 is not surely later than 2026."""
    return one > other and not (other and one.startswith(other))


def _dated(facts: str) -> str:
    """The date in the text of facts, as ISO 8601 has it: a year, a month or a day. Empty where
    there is none; a text that is no date is none."""
    found = json.loads(facts).get("dated", "")
    return found if isinstance(found, str) and _DATE.fullmatch(found) else ""


def fault(home: Path, why: Exception) -> StoreProblem:
    """The problem of an import that cannot be put on the shelf."""
    return StoreProblem("cannot-write", home, f"The foods could not be imported ({why}).")

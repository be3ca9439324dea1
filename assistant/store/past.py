"""The record and the library as they were before a turn, so that its reply can be made again.

Journal rows are never changed, so the past is their beginning: the turns before a number and their
events, without what was undone later, copied into a database in memory. Nothing is written.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from assistant.store import journal, migrations, projection
from assistant.store.journal import Journal, TurnRow
from assistant.store.library import Library
from assistant.store.shelf import Shelf

_TURNS = (
    "SELECT id, said_at, said_us, text, status, reply FROM turns"
    " WHERE id >= ? AND id < ? ORDER BY id"
)
_EVENTS = (
    "SELECT id, turn, kind, data, said_at, said_us, food, undoes FROM events"
    " WHERE turn >= ? AND turn < ? ORDER BY id"
)
_SETTINGS = (
    "SELECT s.topic, s.event FROM settings_said AS s JOIN events AS e ON e.id = s.event"
    " WHERE e.turn >= ? AND e.turn < ?"
)
_FOODS = (
    "SELECT DISTINCT food FROM events WHERE food IS NOT NULL AND (turn >= ? AND turn < ? OR turn IN"
    " (SELECT undoes FROM events WHERE undoes IS NOT NULL AND turn >= ? AND turn < ?))"
    " ORDER BY food"
)


class Past(NamedTuple):
    """A turn as it was kept, and what it could read."""

    row: TurnRow
    record: Journal
    foods: Library


@contextmanager
def before(connection: sqlite3.Connection, home: Path, turn: int) -> Iterator[Past]:
    """What the turn of this number could read. Raises LookupError where there is no such turn."""
    row = journal.turn_of(connection, home, turn)
    if row is None:
        raise LookupError(f"there is no turn {turn}")
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        migrations.ensure_migrated(memory, home, lambda _: None)
        _copied(connection, memory, home, 0, turn)
        yield _past(memory, home, row)


def walk(connection: sqlite3.Connection, home: Path, first: int, last: int) -> Iterator[Past]:
    """Each turn from one number to another, with what it could read. Nothing is written.

    The record of a Past holds only until the next one is asked for.
    """
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        migrations.ensure_migrated(memory, home, lambda _: None)
        start = 0
        for number in range(first, last + 1):
            row = journal.turn_of(connection, home, number)
            if row is None:
                continue
            _copied(connection, memory, home, start, number)
            start = number
            yield _past(memory, home, row)


def _past(memory: sqlite3.Connection, home: Path, row: TurnRow) -> Past:
    return Past(row, Journal(memory, home), Library(memory, home, Shelf(home)))


def _copied(
    connection: sqlite3.Connection, memory: sqlite3.Connection, home: Path, start: int, end: int
) -> None:
    """Copies the turns from a number up to but not at another, with what they left."""
    between = (start, end)
    memory.executemany(
        "INSERT INTO turns (id, said_at, said_us, text, status, reply) VALUES (?, ?, ?, ?, ?, ?)",
        connection.execute(_TURNS, between),
    )
    memory.executemany(
        "INSERT INTO events (id, turn, kind, data, said_at, said_us, food, undoes)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        connection.execute(_EVENTS, between),
    )
    memory.executemany(
        "INSERT INTO settings_said (topic, event) VALUES (?, ?)",
        connection.execute(_SETTINGS, between),
    )
    for (food,) in memory.execute(_FOODS, between * 2).fetchall():
        projection.rebuild(memory, home, food, 0)

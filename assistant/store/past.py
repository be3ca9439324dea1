"""The record and the library as they were before a turn, so that its reply can be made again.

Journal rows are never changed, so the past is their beginning: the turns before a number and their
events, without what was undone later, copied into a database in memory. Nothing is written.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from assistant.dialogue.record import Foods, Record
from assistant.store import journal, migrations, projection
from assistant.store.journal import Journal, TurnRow
from assistant.store.library import Library
from assistant.store.shelf import Shelf

_TURNS = "SELECT id, said_at, said_us, text, status, reply FROM turns WHERE id < ? ORDER BY id"
_EVENTS = (
    "SELECT id, turn, kind, data, said_at, said_us, food, undoes FROM events WHERE turn < ?"
    " ORDER BY id"
)
_FOODS = "SELECT DISTINCT food FROM events WHERE food IS NOT NULL ORDER BY food"


class Past(NamedTuple):
    """A turn as it was kept, and what it could read."""

    row: TurnRow
    record: Record
    foods: Foods


@contextmanager
def before(connection: sqlite3.Connection, home: Path, turn: int) -> Iterator[Past]:
    """What the turn of this number could read. Raises LookupError where there is no such turn."""
    row = journal.turn_of(connection, home, turn)
    if row is None:
        raise LookupError(f"there is no turn {turn}")
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        migrations.ensure_migrated(memory, home, lambda _: None)
        memory.executemany(
            "INSERT INTO turns (id, said_at, said_us, text, status, reply)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            connection.execute(_TURNS, (turn,)),
        )
        memory.executemany(
            "INSERT INTO events (id, turn, kind, data, said_at, said_us, food, undoes)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            connection.execute(_EVENTS, (turn,)),
        )
        for (food,) in memory.execute(_FOODS).fetchall():
            projection.rebuild(memory, home, food, 0)
        yield Past(row, Journal(memory, home), Library(memory, home, Shelf(home)))

"""The shape of the database, as numbered steps. A step that was released is never changed."""

import json
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path

from assistant.dosing.settings import topic
from assistant.store.problems import StoreProblem, told

APPLICATION_ID = 0x436E7441
"""Marks the file as this program's: the letters CntA."""

Step = Callable[[sqlite3.Connection], None]

_TURNS = """
CREATE TABLE turns (
    id INTEGER PRIMARY KEY CHECK (id > 0),
    said_at TEXT NOT NULL CHECK (typeof(said_at) = 'text'),
    said_us INTEGER NOT NULL CHECK (typeof(said_us) = 'integer'),
    text TEXT NOT NULL CHECK (typeof(text) = 'text'),
    status TEXT NOT NULL CHECK (typeof(status) = 'text'),
    reply TEXT NOT NULL CHECK (typeof(reply) = 'text')
)
"""

_EVENTS = """
CREATE TABLE events (
    id INTEGER PRIMARY KEY CHECK (id > 0),
    turn INTEGER NOT NULL REFERENCES turns (id),
    kind TEXT NOT NULL CHECK (typeof(kind) = 'text'),
    data TEXT NOT NULL CHECK (typeof(data) = 'text'),
    said_at TEXT NOT NULL CHECK (typeof(said_at) = 'text'),
    said_us INTEGER NOT NULL CHECK (typeof(said_us) = 'integer'),
    food TEXT,
    undoes INTEGER REFERENCES turns (id)
        CHECK ((undoes IS NOT NULL) = (kind = 'undone') AND (undoes IS NULL OR undoes < turn))
)
"""

_LIBRARY = (
    """
    CREATE TABLE foods (
        food_id TEXT NOT NULL,
        version INTEGER NOT NULL CHECK (version > 0),
        facts TEXT NOT NULL,
        turn INTEGER NOT NULL REFERENCES turns (id),
        retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
        PRIMARY KEY (food_id, version)
    )
    """,
    """
    CREATE TABLE names (
        id INTEGER PRIMARY KEY,
        key TEXT NOT NULL,
        food_id TEXT NOT NULL,
        name TEXT NOT NULL,
        is_alias INTEGER NOT NULL CHECK (is_alias IN (0, 1))
    )
    """,
    "CREATE INDEX names_by_key ON names (key)",
    "CREATE INDEX names_by_food ON names (food_id)",
    "CREATE VIRTUAL TABLE names_search USING fts5 (key, tokenize = 'trigram')",
)

_INDEXES = (
    "CREATE INDEX turns_by_time ON turns (said_us)",
    "CREATE INDEX events_by_turn ON events (turn)",
    "CREATE INDEX events_by_kind ON events (kind)",
    "CREATE INDEX events_by_time ON events (kind, said_us)",
    "CREATE INDEX events_by_food ON events (food) WHERE food IS NOT NULL",
    "CREATE INDEX events_undone ON events (undoes) WHERE undoes IS NOT NULL",
)


def _append_only(table: str) -> tuple[str, ...]:
    """Triggers that let rows in, and never change them; REPLACE deletes without a trigger."""
    refuse = "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END"
    there = f"EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id)"  # noqa: S608 - a name of ours
    return (
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} {refuse}",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} {refuse}",
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} WHEN {there} {refuse}",
    )


def m001_journal_and_library(connection: sqlite3.Connection) -> None:
    """Turns and events, append-only; foods and their names, with a search by trigrams."""
    steps = (_TURNS, _EVENTS, *_INDEXES, *_append_only("turns"), *_append_only("events"), *_LIBRARY)
    for step in steps:
        connection.execute(step)
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def m002_settings_by_topic(connection: sqlite3.Connection) -> None:
    """Which events said a setting, by what each replaces: the settings are found without a scan."""
    connection.execute(
        "CREATE TABLE settings_said (topic TEXT NOT NULL, event INTEGER NOT NULL"
        " REFERENCES events (id), PRIMARY KEY (topic, event)) WITHOUT ROWID"
    )
    said = connection.execute("SELECT id, data FROM events WHERE kind = 'setting-said'").fetchall()
    rows = [(_topic_of(data), number) for number, data in said]
    connection.executemany("INSERT INTO settings_said (topic, event) VALUES (?, ?)", rows)


def _topic_of(data: str) -> str:
    """A row that cannot be read has a topic of its own: it is found, and told, when it is read."""
    try:
        said = json.loads(data)
        return topic(said["name"], said["value"])
    except (ValueError, TypeError, KeyError, AttributeError):
        return "?"


MIGRATIONS: Sequence[Step] = (m001_journal_and_library, m002_settings_by_topic)


def version_of(connection: sqlite3.Connection) -> int:
    """How many steps this database has been through."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _state(connection: sqlite3.Connection) -> tuple[int, int, int]:
    """Version, mark and tables at one moment: another chat's first opening is seen whole or not."""
    alone = not connection.in_transaction
    if alone:
        connection.execute("BEGIN")
    try:
        tables = int(connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])
        mark = int(connection.execute("PRAGMA application_id").fetchone()[0])
        return version_of(connection), mark, tables
    finally:
        if alone:
            connection.execute("ROLLBACK")


def check(connection: sqlite3.Connection, home: Path) -> int:
    """The version, without a write. Raises StoreProblem for a later one or a stranger's file."""
    version, mark, tables = _state(connection)
    if (version == 0 and tables) or (version > 0 and mark != APPLICATION_ID):
        raise StoreProblem("corrupt", home, "The file is a database of another program.")
    if version > len(MIGRATIONS):
        detail = f"The record has version {version}; this program knows {len(MIGRATIONS)}."
        raise StoreProblem("newer-version", home, detail)
    return version


def migrate(
    connection: sqlite3.Connection, home: Path, back_up: Callable[[int], None]
) -> tuple[int, int]:
    """Brings the database up to date in one transaction: the versions before and after.

    back_up is called first where the database has been in use; if it fails, nothing changes.
    """
    if check(connection, home) == len(MIGRATIONS):
        return len(MIGRATIONS), len(MIGRATIONS)
    connection.execute("BEGIN IMMEDIATE")
    try:
        before = check(connection, home)  # another chat may have been first
        if 0 < before < len(MIGRATIONS):
            back_up(before)
        _apply(connection, home, before)
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
    return before, len(MIGRATIONS)


def _apply(connection: sqlite3.Connection, home: Path, before: int) -> None:
    for number, step in enumerate(MIGRATIONS[before:], before + 1):
        try:
            step(connection)
        except sqlite3.OperationalError as fault:
            if "no such module" in str(fault) or "no such tokenizer" in str(fault):
                detail = f"The SQLite of this Python cannot search names ({fault})."
                raise StoreProblem("cannot-write", home, detail) from fault
            raise
        connection.execute(f"PRAGMA user_version = {number}")


def ensure_migrated(
    connection: sqlite3.Connection, home: Path, back_up: Callable[[int], None]
) -> int:
    """migrate, with the faults of SQLite as StoreProblem; the version that was found."""
    with told(home):
        return migrate(connection, home, back_up)[0]

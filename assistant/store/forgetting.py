"""Forgetting everything: what is in the record, and each file of ours beside it.

The file of the record is emptied and not replaced: a chat that has it open as well sees the empty
record, and cannot go on writing doses into a file that has no name any more.
"""

import re
import sqlite3
from pathlib import Path

from assistant.store import backups, database, migrations, shelf
from assistant.store.problems import StoreProblem, of_sqlite, of_system
from grammar import patterns

SUMMARIES = "learned.jsonl"
"""The file of a learner's summaries."""
IMPORT_FAULTS = "import-faults.txt"
"""The rows that the last import left out, as they stand in its file."""
_BESIDE = patterns.compile(
    rf"history|{re.escape(SUMMARIES)}|{re.escape(IMPORT_FAULTS)}|"
    rf"{re.escape(shelf.FILE)}(?:[.-].*)?|imported-foods\.lock(?:-.*)?|"
    rf"{re.escape(database.FILE)}\.(?:damaged-|\d+\.restoring).*|"
    r"countaloud-export-[\d-]+\.jsonl\.\d+\.partial"
)
"""Files of ours in the data folder, beside the record and its exports. Nothing else is touched."""
SESSIONS = "sessions"
"""The folder of saved talks: they hold glucose and doses, and go as well."""
_SESSION = patterns.compile(r".+\.jsonl")
REPORTS = "reports"
"""The folder of reports for visits, which go as well."""
_REPORT = patterns.compile(r".+\.(?:md|html|csv|json|partial)")
_BACKUP = patterns.compile(r"countaloud-[\w-]+\.db(?:[.-].*)?")


def forget(connection: sqlite3.Connection, home: Path) -> None:
    """Removes the files beside the record, then empties it. Raises StoreProblem.

    What is left after a fault is whole, and the deed can be done again.
    """
    try:
        _remove(home, _BESIDE)
        _remove(backups.folder_of(home), _BACKUP)
        _remove(home / SESSIONS, _SESSION)
        _remove(home / REPORTS, _REPORT)
    except OSError as fault:
        raise of_system(fault, home, "cannot-write") from fault
    try:
        _empty(connection, home)
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault


def _remove(folder: Path, ours: re.Pattern[str]) -> None:
    if not folder.is_dir():
        return
    for path in folder.iterdir():
        if ours.fullmatch(path.name) and not path.is_dir():
            path.unlink(missing_ok=True)
    backups.sync_folder(folder)


def _empty(connection: sqlite3.Connection, home: Path) -> None:
    """Drops every table and makes them anew, then overwrites what was deleted."""
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("BEGIN IMMEDIATE")
    try:
        connection.execute("PRAGMA defer_foreign_keys = ON")
        for kind in ("trigger", "view"):
            for name in _names(connection, kind):
                connection.execute(f'DROP {kind} "{name}"')
        connection.execute("DROP TABLE IF EXISTS names_search")  # takes its shadow tables along
        for name in ("settings_said", "names", "foods", "events", "turns"):
            connection.execute(f'DROP TABLE IF EXISTS "{name}"')
        left = _names(connection, "table")
        if left:
            raise StoreProblem("cannot-write", home, f"The table {left[0]} could not be emptied.")
        connection.execute("PRAGMA user_version = 0")
        for number, step in enumerate(migrations.MIGRATIONS, 1):
            step(connection)
            connection.execute(f"PRAGMA user_version = {number}")
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
    connection.execute("VACUUM")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _names(connection: sqlite3.Connection, kind: str) -> list[str]:
    found = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = ? AND name NOT LIKE 'sqlite_%'", (kind,)
    )
    return [row[0] for row in found]

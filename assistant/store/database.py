"""Opens the database: the folder, the file and its mode, and how SQLite is to write."""

import os
import sqlite3
import time
from contextlib import closing
from pathlib import Path

from assistant.store import backups, migrations
from assistant.store.problems import StoreProblem, of_sqlite, of_system, told

FILE = "countaloud.db"
BUSY_SECONDS = 5.0
"""How long a turn waits for another chat on the same folder."""


def open_database(home: Path, busy_seconds: float = BUSY_SECONDS) -> tuple[sqlite3.Connection, int]:
    """A connection that is ready and up to date, and the version that was found (0 for new).

    Raises StoreProblem. The connection begins no transactions by itself.
    """
    home = home.absolute()
    _make_home(home)
    path = home / FILE
    _make_file(home, path)
    connection = connect(home, busy_seconds)
    try:
        with told(home):
            migrations.check(connection, home)  # a later version is left as it is
            _set_up(connection, busy_seconds)
        found = migrations.ensure_migrated(
            connection, home, lambda version: _copy_first(home, busy_seconds, version)
        )
    except BaseException:
        connection.close()
        raise
    return connection, found


def connect(home: Path, busy_seconds: float) -> sqlite3.Connection:
    """A bare connection to the file that is there; SQLite never makes it (its mode would vary)."""
    address = f"{(home / FILE).absolute().as_uri()}?mode=rw"
    with told(home):
        return sqlite3.connect(
            address,
            uri=True,
            timeout=busy_seconds,
            isolation_level=None,
            check_same_thread=False,  # the store holds its own lock
        )


def _make_home(home: Path) -> None:
    try:
        if not home.is_dir():
            if os.path.lexists(home):
                raise StoreProblem("not-a-folder", home, "This is not a folder.")
            backups.make_private_folder(home)
    except OSError as fault:
        raise of_system(fault, home, "cannot-make-folder") from fault
    if not os.access(home, os.R_OK | os.X_OK):
        raise StoreProblem("cannot-read", home, "The folder may not be read.")


def _make_file(home: Path, path: Path) -> None:
    if not os.access(home, os.W_OK):
        raise StoreProblem("cannot-write", home, "Nothing may be written in the folder.")
    try:
        if backups.make_private_file(path):
            backups.sync_folder(home)
    except OSError as fault:
        raise of_system(fault, home, "cannot-write") from fault
    if not path.is_file():
        raise StoreProblem("cannot-read", home, f"{FILE} in the folder is not a file.")
    if not os.access(path, os.R_OK):
        raise StoreProblem("cannot-read", home, f"The file {FILE} may not be read.")
    if not os.access(path, os.W_OK):
        raise StoreProblem("cannot-write", home, f"The file {FILE} may not be written.")


def _set_up(connection: sqlite3.Connection, busy_seconds: float) -> None:
    """Durable and strict. A change to WAL does not wait for locks by itself, so it is repeated."""
    deadline = time.monotonic() + busy_seconds
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            break
        except sqlite3.OperationalError as fault:
            busy = (fault.sqlite_errorcode & 0xFF) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
            if not busy or time.monotonic() > deadline:
                raise
            time.sleep(0.02)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA fullfsync = ON")
    connection.execute("PRAGMA checkpoint_fullfsync = ON")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")


def _copy_first(home: Path, busy_seconds: float, version: int) -> None:
    """The copy before a migration, through a connection that is not inside the migration."""
    with closing(connect(home, busy_seconds)) as reader:
        backups.back_up_before_migration(reader, home, version)


def sound(connection: sqlite3.Connection, home: Path) -> None:
    """Raises StoreProblem where SQLite finds its file damaged."""
    try:
        found = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault
    if found != "ok":
        raise StoreProblem("corrupt", home, f"The record is damaged ({found}).")

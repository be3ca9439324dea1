"""Putting a record back: which backup there is, and the damaged files kept aside under a name.

Nothing here happens by itself: the user names the copy to be used.
"""

import os
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from assistant.store import backups, database, journal, migrations
from assistant.store.problems import StoreProblem, of_sqlite, of_system, told

NOTHING = "nothing"
"""What is typed in place of a day to begin a new record."""

MENDABLE = frozenset({"corrupt", "journal-damaged", "record-missing"})
"""Codes of problems that a backup mends."""

_PARTS = ("", "-wal", "-shm", "-journal")


class Copy(Struct, frozen=True):
    """A backup that was found sound: its day as it is typed, its turns, and when the last was."""

    name: str
    path: Path
    turns: int
    last_said: datetime


class Restored(Struct, frozen=True):
    """What was done: the copy that is the record now (None: begun anew), and the files kept."""

    copy: Copy | None
    kept: tuple[Path, ...]


def newest(home: Path) -> Copy | None:
    """The newest daily copy that is sound."""
    return next((copy for path in reversed(backups.daily(home)) if (copy := _copy(path))), None)


def copies(home: Path) -> tuple[Copy, ...]:
    """Every daily copy that is sound, newest first."""
    return tuple(copy for path in reversed(backups.daily(home)) if (copy := _copy(path)))


def _copy(path: Path) -> Copy | None:
    try:
        address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
        with closing(sqlite3.connect(address, uri=True)) as connection:
            database.sound(connection, path.parent)
            if migrations.check(connection, path.parent) == 0:
                return None
            turns = connection.execute("SELECT count(*) FROM turns").fetchone()[0]
            last = connection.execute(
                "SELECT said_at FROM turns ORDER BY id DESC LIMIT 1"
            ).fetchone()
            journal.read_whole(connection, path.parent)
            said = datetime.fromisoformat(last[0]) if last else None
    except (sqlite3.Error, StoreProblem, ValueError, TypeError):
        return None
    if said is None or said.utcoffset() is None:
        return None
    return Copy(_named(path), path, turns, said)


def _named(path: Path) -> str:
    return path.stem.removeprefix("countaloud-")


def missing(home: Path) -> bool:
    """The record is gone or empty although there are backups of one."""
    path = home / database.FILE
    try:
        empty = not path.exists() or path.stat().st_size == 0
    except OSError:
        return False
    return empty and bool(backups.daily(home))


def is_sound(home: Path) -> bool:
    """The record as it is can be read whole. It is not written."""
    try:
        address = f"{(home / database.FILE).absolute().as_uri()}?mode=ro"
        with closing(sqlite3.connect(address, uri=True)) as connection, told(home):
            database.sound(connection, home)
            if migrations.check(connection, home) == 0:
                return False
            journal.read_whole(connection, home)
    except (sqlite3.Error, StoreProblem):
        return False
    return True


def restore(home: Path, name: str, now: datetime) -> Restored | None:
    """Makes a copy the record, or (NOTHING) leaves the place free for a new one.

    The files that were there are kept under names that are given back. None where no sound copy
    has this name. Raises StoreProblem; a restore that is cut short leaves the record missing,
    which is told at the next opening, and can be done again.
    """
    home = home.absolute()
    copy = None
    if name != NOTHING:
        paths = (path for path in backups.daily(home) if _named(path) == name)
        copy = next((found for path in paths if (found := _copy(path))), None)
        if copy is None:
            return None
    try:
        fresh = _prepared(home, copy) if copy else None
        kept = _kept_aside(home, now)
        if fresh is not None:
            fresh.replace(home / database.FILE)
        backups.sync_folder(home)
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault
    except OSError as fault:
        raise of_system(fault, home, "cannot-write") from fault
    return Restored(copy, kept)


def _prepared(home: Path, copy: Copy) -> Path:
    """The copy, whole and on disk, beside the place of the record."""
    fresh = home / f"{database.FILE}.{os.getpid()}.restoring"
    fresh.unlink(missing_ok=True)
    backups.make_private_file(fresh)
    with open(copy.path, "rb") as source, open(fresh, "r+b") as target:
        while block := source.read(1 << 20):
            target.write(block)
        target.flush()
        os.fsync(target.fileno())
    return fresh


def _kept_aside(home: Path, now: datetime) -> tuple[Path, ...]:
    """Renames the files of the record; the first name says when."""
    stamp = now.strftime("%Y-%m-%dT%H%M%S")
    number = 1
    while True:
        aside = f"{database.FILE}.damaged-{stamp}" + (f"-{number}" if number > 1 else "")
        if not any((home / (aside + part)).exists() for part in _PARTS):
            break
        number += 1
    kept = []
    for part in _PARTS:
        old = home / (database.FILE + part)
        if old.exists():
            old.replace(home / (aside + part))
            kept.append(home / (aside + part))
    return tuple(kept)

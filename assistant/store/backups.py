"""Copies of the database, by SQLite's own backup: one a day, seven kept, and one a migration."""

import os
import sqlite3
import time
from contextlib import closing
from datetime import date
from pathlib import Path

from assistant.store.problems import StoreProblem, of_sqlite, of_system
from grammar import patterns

KEPT = 7

_DAILY = patterns.compile(r"countaloud-\d{4}-\d{2}-\d{2}\.db")
_WAIT = 5.0


def folder_of(home: Path) -> Path:
    """Where the copies are."""
    return home / "backups"


def daily(home: Path) -> list[Path]:
    """The daily copies, oldest first; none where the folder cannot be read."""
    try:
        found = [p for p in folder_of(home).iterdir() if _DAILY.fullmatch(p.name)]
    except OSError:
        return []
    return sorted(found)


def path_for_day(home: Path, day: date) -> Path:
    """The copy of one day."""
    return folder_of(home) / f"countaloud-{day.isoformat()}.db"


def path_for_migration(home: Path, version: int) -> Path:
    """The copy made before a migration from this version. It is not among the seven."""
    return folder_of(home) / f"countaloud-before-migration-from-{version}.db"


def back_up_daily(source: sqlite3.Connection, home: Path, day: date) -> None:
    """Makes the copy of the day and removes the oldest beyond seven. Raises StoreProblem."""
    _copy(source, home, path_for_day(home, day))
    for old in daily(home)[:-KEPT]:
        try:
            old.unlink()
        except OSError as fault:
            raise of_system(fault, home, "cannot-write") from fault


def back_up_before_migration(source: sqlite3.Connection, home: Path, version: int) -> None:
    """Makes the copy before a migration. source must not be inside a write of its own."""
    _copy(source, home, path_for_migration(home, version))


def _copy(source: sqlite3.Connection, home: Path, target: Path) -> None:
    """Copies to a file beside the target and renames it: a copy under its name is whole."""
    partial = target.with_name(f"{target.name}.{os.getpid()}.partial")
    try:
        make_private_folder(target.parent)
        partial.unlink(missing_ok=True)
        make_private_file(partial)
        _write(source, partial)
        sync_file(partial)
        partial.replace(target)
        sync_folder(target.parent)
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault
    except OSError as fault:
        raise of_system(fault, home, "cannot-write") from fault
    finally:
        _remove(partial)


def _remove(partial: Path) -> None:
    for name in (partial.name, f"{partial.name}-journal", f"{partial.name}-wal"):
        try:
            partial.with_name(name).unlink(missing_ok=True)
        except OSError:
            return


def _write(source: sqlite3.Connection, partial: Path) -> None:
    deadline = time.monotonic() + _WAIT

    def give_up(status: int, _remaining: int, _total: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > deadline:
            raise TimeoutError(None, "another program holds the record")

    address = f"{partial.absolute().as_uri()}?mode=rw"
    with closing(sqlite3.connect(address, uri=True, isolation_level=None)) as copy:
        source.backup(copy, progress=give_up)
        copy.execute("PRAGMA journal_mode = DELETE")


def make_private_folder(folder: Path) -> None:
    """Makes the folder, and those above it that are missing, with mode 0700 whatever the umask."""
    missing = []
    here = folder
    while not here.exists() and here != here.parent:
        missing.append(here)
        here = here.parent
    for each in reversed(missing):
        try:
            each.mkdir(0o700)
        except FileExistsError:
            continue
        each.chmod(0o700)
        sync_folder(each.parent)


def make_private_file(path: Path) -> bool:
    """Makes an empty file with mode 0600 whatever the umask; False where there is one already.

    A file that is there is not opened: closing it would drop the locks of this process on it.
    """
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return False
    os.close(handle)
    path.chmod(0o600)
    return True


def write_new(path: Path, text: str) -> None:
    """Writes a file that is not there yet, with mode 0600, whole or not at all.

    Raises FileExistsError, which leaves the file that is there as it was, and OSError.
    """
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        path.unlink(missing_ok=True)
        raise


def sync_folder(folder: Path) -> None:
    """Puts the names in the folder on disk, where the system can do that."""
    if os.name != "posix":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return  # a folder above ours that may be passed but not read
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_file(path: Path) -> None:
    """Puts what is in the file on disk."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def failed(problem: StoreProblem) -> str:
    """What a warning says of a copy that could not be made."""
    return f"Today's backup could not be made. {problem.detail} The record itself is in use."

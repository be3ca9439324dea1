"""What can go wrong with the data folder, as one exception with a code."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from msgspec import Struct

Code = Literal[
    "cannot-make-folder",
    "cannot-read",
    "cannot-write",
    "locked",
    "disk-full",
    "corrupt",
    "newer-version",
    "not-a-folder",
    "journal-damaged",
    "record-missing",
    "library-damaged",
]

WarningCode = Literal["backup-failed"]


class StoreProblem(Exception):  # noqa: N818 - a state of the folder, not a fault of the code
    """The store cannot be used. path is the data folder; detail is one plain sentence."""

    def __init__(self, code: Code, path: Path, detail: str) -> None:
        super().__init__(code, path, detail)
        self.code = code
        self.path = path
        self.detail = detail

    def __str__(self) -> str:
        return f"{self.code}: {self.path}: {self.detail}"


class StoreWarning(Struct, frozen=True):
    """Something that the user should know but that does not stop the chat."""

    code: WarningCode
    path: Path
    detail: str

    def __str__(self) -> str:
        return f"Caution: {self.detail}"


_BY_PRIMARY: dict[int, Code] = {
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_PROTOCOL: "locked",
    sqlite3.SQLITE_FULL: "disk-full",
    sqlite3.SQLITE_CORRUPT: "corrupt",
    sqlite3.SQLITE_NOTADB: "corrupt",
    sqlite3.SQLITE_FORMAT: "corrupt",
    sqlite3.SQLITE_READONLY: "cannot-write",
    sqlite3.SQLITE_CONSTRAINT: "cannot-write",
    sqlite3.SQLITE_TOOBIG: "cannot-write",
}

_READING_FAILED = {
    sqlite3.SQLITE_IOERR_READ,
    sqlite3.SQLITE_IOERR_SHORT_READ,
    sqlite3.SQLITE_IOERR_ACCESS,
    sqlite3.SQLITE_IOERR_FSTAT,
}

_SENTENCES: dict[Code, str] = {
    "cannot-make-folder": "The folder cannot be made",
    "cannot-read": "The record cannot be read",
    "cannot-write": "The record cannot be written",
    "locked": "Another program holds the record",
    "disk-full": "There is no room left to write",
    "corrupt": "The record is damaged, or is no record of this program",
    "newer-version": "The record was written by a later version",
    "not-a-folder": "This is not a folder",
    "journal-damaged": "A line of the journal cannot be read",
    "record-missing": "The record is missing or empty, but there are backups of it",
    "library-damaged": "The imported foods cannot be read",
}


def _code_of_sqlite(fault: sqlite3.Error) -> Code:
    extended = getattr(fault, "sqlite_errorcode", None)
    if extended is None:
        return "cannot-read"
    primary = extended & 0xFF
    if extended == sqlite3.SQLITE_IOERR_SHMSIZE:  # no room for the index of the log
        return "disk-full"
    if primary == sqlite3.SQLITE_IOERR:
        return "cannot-read" if extended in _READING_FAILED else "cannot-write"
    if primary == sqlite3.SQLITE_ERROR and "no such" in str(fault):
        return "corrupt"
    return _BY_PRIMARY.get(primary, "cannot-read")


def of_sqlite(fault: sqlite3.Error, home: Path) -> StoreProblem:
    """The problem that a fault of SQLite stands for."""
    code = _code_of_sqlite(fault)
    return StoreProblem(code, home, f"{_SENTENCES[code]} ({fault}).")


def of_system(fault: OSError, home: Path, code: Code) -> StoreProblem:
    """The problem that a fault of the file system stands for; code unless the disk is full."""
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        code = "disk-full"
    reason = fault.strerror or type(fault).__name__
    return StoreProblem(code, home, f"{_SENTENCES[code]} ({reason}).")


def missing(home: Path) -> StoreProblem:
    """The problem of a record that is gone: a new one would know none of the doses taken."""
    return StoreProblem("record-missing", home, f"{_SENTENCES['record-missing']}.")


def damaged(home: Path, table: str, row: int, why: str) -> StoreProblem:
    """The problem of a row that cannot be read back. It is never skipped: it may be a dose."""
    detail = f"Row {row} of the table {table} cannot be read back: {why}."
    return StoreProblem("journal-damaged", home, detail)


@contextmanager
def told(home: Path) -> Iterator[None]:
    """Inside this block every fault of SQLite comes out as a StoreProblem."""
    try:
        yield
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault

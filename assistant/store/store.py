"""The store: opened on a folder, it lets turns in one at a time and gives back what was kept."""

import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from assistant.dialogue.events import Event, Undone
from assistant.dialogue.record import Foods, Record
from assistant.store import backups, database, journal, past, projection
from assistant.store.journal import Journal, TurnRow
from assistant.store.library import Library
from assistant.store.problems import StoreProblem, StoreWarning, told

_PAGE = 500


class Reading(NamedTuple):
    """The record and the library, as they are at one moment."""

    record: Record
    foods: Foods


class Tx:
    """A turn in progress. Nobody else writes in the folder until it ends."""

    def __init__(self, connection: sqlite3.Connection, home: Path) -> None:
        self._connection = connection
        self._home = home
        self.record: Record = Journal(connection, home)
        self.foods: Foods = Library(connection, home)

    def keep(
        self,
        said_at: datetime,
        text: str,
        status: str,
        reply_json: str,
        events: Sequence[Event],
    ) -> int:
        """Writes the turn, its events and what they do to the library; gives its number.

        It is on disk when the with block has ended, not before. Raises ValueError, with nothing
        written, for a time without offset, an event that could not be read back, an Undone of no
        earlier turn, and a measure or alias of a food that is not there.
        """
        if not self._connection.in_transaction:
            raise RuntimeError("the turn has ended")
        turn = TurnRow(0, said_at, text, status, reply_json)
        with told(self._home), _all_or_nothing(self._connection):
            number = journal.append(self._connection, said_at, turn, events)
            for food_id in self._touched(events):
                projection.rebuild(self._connection, self._home, food_id, number)
        return number

    def _touched(self, events: Sequence[Event]) -> list[str]:
        foods: set[str] = set()
        for event in events:
            if isinstance(event, Undone):
                foods |= journal.foods_of_turn(self._connection, event.turn)
            elif (food_id := getattr(event, "food_id", None)) is not None:
                foods.add(food_id)
        return sorted(foods)


class Store:
    """The journal and the library of one data folder. Every fault is a StoreProblem."""

    def __init__(
        self, connection: sqlite3.Connection, home: Path, warnings: tuple[StoreWarning, ...]
    ) -> None:
        self._connection = connection
        self._lock = threading.RLock()
        self.home = home
        self.warnings = warnings

    @staticmethod
    def open(home: Path, now: datetime, busy_seconds: float = database.BUSY_SECONDS) -> "Store":
        """Opens the folder, making it where it is missing. now is the day of the backup.

        What does not stop the chat is in warnings: each has a code, and is a sentence as str().
        """
        home = home.absolute()
        earlier = backups.daily(home)
        connection, found = database.open_database(home, busy_seconds)
        try:
            with told(home):
                warnings = _looked_after(connection, home, now, bool(earlier) and found == 0)
        except BaseException:
            connection.close()
            raise
        return Store(connection, home, warnings)

    @contextmanager
    def turn(self) -> Iterator[Tx]:
        """One turn: alone in the folder; on disk after the block; nothing of it if the block fails.

        Raises StoreProblem('locked') where another chat does not end its turn in time.
        """
        with self._lock, told(self.home):
            if self._connection.in_transaction:
                raise RuntimeError("a turn or a reading is in progress")
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield Tx(self._connection, self.home)
                self._commit()
            finally:
                self._roll_back()

    def _commit(self) -> None:
        if not self._connection.in_transaction:  # SQLite gave the turn up after a fault
            raise StoreProblem("cannot-write", self.home, "The turn could not be written.")
        self._connection.execute("COMMIT")

    def _roll_back(self) -> None:
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """The record and the library at one moment; others may write meanwhile."""
        with self._lock, told(self.home):
            view = Reading(
                Journal(self._connection, self.home), Library(self._connection, self.home)
            )
            if self._connection.in_transaction:
                yield view
                return
            self._connection.execute("BEGIN")
            try:
                yield view
            finally:
                self._roll_back()

    @contextmanager
    def before(self, turn: int) -> Iterator[past.Past]:
        """What a past turn could read, and the turn itself. LookupError where there is none."""
        with self._lock, told(self.home), past.before(self._connection, self.home, turn) as found:
            yield found

    def history(self, limit: int) -> tuple[TurnRow, ...]:
        """The last so many turns, oldest first; their text is what was typed."""
        with self._lock, told(self.home):
            return journal.last_turns(self._connection, self.home, limit)

    def turns(
        self, since: datetime | None = None, until: datetime | None = None
    ) -> Iterator[TurnRow]:
        """Turns said from since up to but not at until, in order. No lock is held between pages."""
        after = 0
        while True:
            with self._lock, told(self.home):
                page = journal.page_of_turns(
                    self._connection, self.home, after, (since, until), _PAGE
                )
            yield from page
            if len(page) < _PAGE:
                return
            after = page[-1].id

    def close(self) -> None:
        """Closes the database. A second call does nothing."""
        with self._lock, told(self.home):
            self._connection.close()


@contextmanager
def _all_or_nothing(connection: sqlite3.Connection) -> Iterator[None]:
    """A caller that goes on after a failed keep must not commit half of it."""
    connection.execute("SAVEPOINT keep")
    try:
        yield
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK TO keep")
            connection.execute("RELEASE keep")
        raise
    connection.execute("RELEASE keep")


def _looked_after(
    connection: sqlite3.Connection, home: Path, now: datetime, emptied: bool
) -> tuple[StoreWarning, ...]:
    """On the first opening of a day the file is checked and copied, once it holds anything."""
    warnings: list[StoreWarning] = []
    if emptied:
        detail = (
            f"The record in {home} was missing or empty, so a new one was begun; earlier doses are "
            f"not in it. Backups of the earlier record are in {backups.folder_of(home)}."
        )
        warnings.append(StoreWarning("started-empty", home, detail))
    day = now.date()
    if journal.has_turns(connection) and not backups.path_for_day(home, day).exists():
        database.sound(connection, home)
        try:
            backups.back_up_daily(connection, home, day)
        except StoreProblem as problem:
            warnings.append(StoreWarning("backup-failed", home, backups.failed(problem)))
    return tuple(warnings)

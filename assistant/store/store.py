"""The store: opened on a folder, it lets turns in one at a time and gives back what was kept."""

import sqlite3
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from assistant.counting.facts import Food
from assistant.dialogue.events import (
    AliasSaved,
    Event,
    FoodForgotten,
    FoodSaved,
    MeasureSaved,
    RecipeSaved,
    Undone,
)
from assistant.dialogue.record import Foods, Record
from assistant.store import (
    backups,
    database,
    export,
    forgetting,
    journal,
    past,
    projection,
    recovery,
)
from assistant.store.journal import Journal, TurnRow
from assistant.store.library import Library
from assistant.store.problems import StoreProblem, StoreWarning, missing, told
from assistant.store.shelf import Shelf

_PAGE = 500

LARGE = 32 * 1024 * 1024
"""Bytes of a record beyond which its daily check and copy wait until a reply was shown."""


class Reading(NamedTuple):
    """The record and the library, as they are at one moment."""

    record: Record
    foods: Foods


class Tx:
    """A turn in progress. Nobody else writes in the folder until it ends."""

    def __init__(self, connection: sqlite3.Connection, home: Path, shelf: Shelf) -> None:
        self._connection = connection
        self._home = home
        self._library = Library(connection, home, shelf)
        self._shelf = shelf
        self.record: Record = Journal(connection, home)
        self.foods: Foods = self._library

    def keep(  # noqa: PLR0913, PLR0917 - the columns of a turn
        self,
        said_at: datetime,
        text: str,
        status: str,
        reply_json: str,
        events: Sequence[Event],
        number: int = 0,
    ) -> int:
        """Writes the turn, its events and what they do to the library; gives its number.

        number: 0 for the next; a replay gives each turn the number that it had.

        It is on disk when the with block has ended, not before. Raises ValueError, with nothing
        written, for a time without offset, an event that could not be read back, an Undone of no
        earlier turn, and a measure or alias of a food that is not there.
        """
        if not self._connection.in_transaction:
            raise RuntimeError("the turn has ended")
        turn = TurnRow(number, said_at, text, status, reply_json)
        events = self._with_imported(events)
        with told(self._home), _all_or_nothing(self._connection):
            number = journal.append(self._connection, said_at, turn, events)
            for food_id in self._touched(events):
                projection.rebuild(self._connection, self._home, food_id, number)
        return number

    def export(self, name: str, now: datetime) -> None:
        """Writes all that was kept before this turn to a file of the data folder."""
        export.write(self._connection, self._home, name, now)

    def _with_imported(self, events: Sequence[Event]) -> tuple[Event, ...]:
        """An imported food that is given a measure or a name, or is forgotten, becomes own first.

        So the journal alone tells the user's own foods, whatever is imported later.
        """
        kept: list[Event] = []
        own: set[str] = set()
        for event in events:
            if isinstance(event, FoodSaved | RecipeSaved):
                own.add(event.food_id)
            elif isinstance(event, MeasureSaved | AliasSaved | FoodForgotten):
                if event.food_id not in own and self._library.own(event.food_id) is None:
                    imported = self._shelf.by_id(event.food_id)
                    if imported is not None:
                        kept.append(FoodSaved(imported.food_id, imported.facts))
                own.add(event.food_id)
            kept.append(event)
        return tuple(kept)

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
        self._shelf = Shelf(home)
        self._due: datetime | None = None
        self._lock = threading.RLock()
        self.home = home
        self.warnings = warnings

    @staticmethod
    def open(
        home: Path,
        now: datetime,
        busy_seconds: float = database.BUSY_SECONDS,
        anew: bool = False,
    ) -> "Store":
        """Opens the folder, making it where it is missing. now is the day of the backup.

        What does not stop the chat is in warnings: each has a code, and is a sentence as str().
        A record that is gone although there are backups of it is begun anew only where anew says
        so: it would know none of the doses taken.
        """
        home = home.absolute()
        if not anew and recovery.missing(home):
            raise missing(home)
        connection, _ = database.open_database(home, busy_seconds)
        try:
            with told(home):
                due = _is_due(connection, home, now)
                large = due and (home / database.FILE).stat().st_size > LARGE
                warnings = _looked_after(connection, home, now) if due and not large else ()
        except BaseException:
            connection.close()
            raise
        store = Store(connection, home, warnings)
        store._due = now if large else None
        return store

    @staticmethod
    def scratch(folder: Path) -> "Store":
        """A store on an empty folder that may be lost: quick, and on no disk when it says so."""
        connection, _ = database.open_database(folder.absolute())
        connection.execute("PRAGMA synchronous = OFF")
        return Store(connection, folder.absolute(), ())

    def look_after(self) -> tuple[StoreWarning, ...]:
        """The daily check and copy of a large record, put off until a reply was shown.

        Does nothing where they are not due. Raises StoreProblem for a damaged file.
        """
        with self._lock, told(self.home):
            due, self._due = self._due, None
            return _looked_after(self._connection, self.home, due) if due else ()

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
                yield Tx(self._connection, self.home, self._shelf)
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
                Journal(self._connection, self.home),
                Library(self._connection, self.home, self._shelf),
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

    def walk(self, first: int, last: int) -> Iterator[past.Past]:
        """Each turn from one number to another, with what it could read; see past.walk."""
        with self._lock, told(self.home):
            yield from past.walk(self._connection, self.home, first, last)

    def turn_with_events(self, number: int) -> tuple[TurnRow, tuple[Event, ...]]:
        """A turn and all that it left, undone or not. LookupError where there is none."""
        with self._lock, told(self.home):
            row = journal.turn_of(self._connection, self.home, number)
            if row is None:
                raise LookupError(f"there is no turn {number}")
            return row, journal.events_of_turn(self._connection, self.home, number)

    def turns_of_food(self, food_id: str, before: int) -> tuple[int, ...]:
        """The turns before a number that made a food what it was then."""
        with self._lock, told(self.home):
            return journal.turns_of_food(self._connection, food_id, before)

    def history(self, limit: int) -> tuple[TurnRow, ...]:
        """The last so many turns, oldest first; their text is what was typed."""
        with self._lock, told(self.home):
            return journal.last_turns(self._connection, self.home, limit)

    def turns(
        self, since: datetime | None = None, until: datetime | None = None, after: int = 0
    ) -> Iterator[TurnRow]:
        """Turns said from since up to but not at until, in order, that come after a turn's number.

        No lock is held between pages.
        """
        while True:
            with self._lock, told(self.home):
                page = journal.page_of_turns(
                    self._connection, self.home, after, (since, until), _PAGE
                )
            yield from page
            if len(page) < _PAGE:
                return
            after = page[-1].id

    def forget(self) -> None:
        """Forgets everything: the record, the backups, the imported foods, the history.

        Raises StoreProblem; then the deed can be done again.
        """
        with self._lock, told(self.home):
            if self._connection.in_transaction:
                raise RuntimeError("a turn or a reading is in progress")
            self._shelf.close()
            self._due = None
            forgetting.forget(self._connection, self.home)

    def own_foods(self, write: Callable[[Iterable[Food]], Iterator[str]]) -> tuple[str, ...]:
        """The foods of the user's own, none that is forgotten, each as write puts it."""
        with self.reading() as view:
            assert isinstance(view.foods, Library)
            return tuple(write(view.foods.every_own()))

    def close(self) -> None:
        """Closes the database. A second call does nothing."""
        with self._lock, told(self.home):
            self._shelf.close()
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


def _is_due(connection: sqlite3.Connection, home: Path, now: datetime) -> bool:
    """On the first opening of a day, once the record holds anything."""
    return journal.has_turns(connection) and not backups.path_for_day(home, now.date()).exists()


def _looked_after(
    connection: sqlite3.Connection, home: Path, now: datetime
) -> tuple[StoreWarning, ...]:
    """The file is checked and copied."""
    database.sound(connection, home)
    try:
        backups.back_up_daily(connection, home, now.date())
    except StoreProblem as problem:
        return (StoreWarning("backup-failed", home, backups.failed(problem)),)
    return ()

"""The journal: what was said and what it left. Rows are added; no row is ever changed.

An Undone hides every event of the turn that it names, but its settings, and is itself hidden.
Settings hold until another is said: a cap must not come or go, nor change its place among the
others, because the meal of its turn is taken back. An Undone is final: to undo
a turn that holds an Undone hides that turn's other events, but brings nothing back. What was
taken back is said again, and so it is in the journal twice, with both times.
"""

import sqlite3
from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import lru_cache
from pathlib import Path

from msgspec import Struct

from assistant.dialogue.clocks import offset_of
from assistant.dialogue.events import Event, SettingSaid, Undone
from assistant.dialogue.record import Kept
from assistant.dosing.settings import topic
from assistant.store import codec
from assistant.store.problems import damaged, told
from grammar import patterns

_NOT_UNDONE = (
    "(e.kind = 'setting-said' OR NOT EXISTS (SELECT 1 FROM events AS u WHERE u.undoes = e.turn))"
)

_COLUMNS = """
SELECT e.id, e.turn, e.kind, e.data, e.said_at, e.said_us, t.text
FROM events AS e JOIN turns AS t ON t.id = e.turn
"""

_ALL = f"{_COLUMNS} WHERE e.kind = ? AND {_NOT_UNDONE} ORDER BY e.id DESC LIMIT ?"

_SINCE = (
    f"{_COLUMNS} WHERE e.kind = ? AND e.said_us >= ? AND {_NOT_UNDONE} ORDER BY e.id DESC LIMIT ?"
)

_TOPICS = """
WITH RECURSIVE each_topic (topic) AS (
    SELECT min(topic) FROM settings_said
    UNION ALL
    SELECT (SELECT min(topic) FROM settings_said AS s WHERE s.topic > e.topic)
    FROM each_topic AS e WHERE e.topic IS NOT NULL
)
SELECT topic FROM each_topic WHERE topic IS NOT NULL
"""

_SETTING = (
    f"{_COLUMNS} JOIN settings_said AS s ON s.event = e.id"
    " WHERE s.topic = ? AND s.event < ? ORDER BY s.event DESC LIMIT 1"
)
_SETTINGS_FROM = (
    f"{_COLUMNS} JOIN settings_said AS s ON s.event = e.id WHERE s.topic = ? AND s.event >= ?"
)
# By the index of turns: min(id) would walk the events from the first one on.
_FIRST_EVENT = "SELECT id FROM events WHERE turn >= ? ORDER BY turn, id LIMIT 1"

_FOOD = f"{_COLUMNS} WHERE e.food = ? ORDER BY e.id"

_FOOD_TURNS_UNDONE = """
SELECT DISTINCT e.turn FROM events AS e
WHERE e.food = ? AND EXISTS (SELECT 1 FROM events AS u WHERE u.undoes = e.turn)
"""

_TURN = """
SELECT t.id, t.said_at, t.said_us, t.text, t.status, t.reply,
    EXISTS (SELECT 1 FROM events AS u WHERE u.undoes = t.id)
FROM turns AS t
"""

_SINCE_TURNS = f"{_TURN} WHERE t.said_us >= ? ORDER BY t.said_us"
_BEFORE = f"{_TURN} WHERE t.said_us < ? ORDER BY t.said_us DESC LIMIT 1"

# The plus keeps SQLite from walking every turn by number: the newest is found by its time.
_NEWEST = f"{_TURN} WHERE +t.id > ? ORDER BY t.said_us DESC LIMIT 1"

DAY = timedelta(hours=24)
_NO_LIMIT = -1
_FIRST, _LAST = -(2**63), 2**63 - 1

Row = tuple[int, int, str, str, str, int, str]


class TurnRow(Struct, frozen=True):
    """A turn as it was kept. reply is JSON text. undone: a later turn took it back."""

    id: int
    said_at: datetime
    text: str
    status: str
    reply: str
    undone: bool = False


class Journal:
    """The record, read from one connection. Implements dialogue.record.Record.

    Order is the order of saying (the turn's number), also where the clock went back between.
    """

    def __init__(self, connection: sqlite3.Connection, home: Path) -> None:
        self._connection = connection
        self._home = home

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """Events of these kinds, oldest first; said at or after since; the last so many.

        Raises StoreProblem('journal-damaged') for a row that cannot be read back, and ValueError
        for a kind that does not exist: neither may look like "no such event".
        """
        unknown = set(kinds) - codec.KINDS
        if unknown:
            raise ValueError(f"no such kind of event: {sorted(unknown)}")
        limit = _NO_LIMIT if last is None else max(last, 0)
        found: list[Row] = []
        with told(self._home):
            for kind in set(kinds) - {"undone"}:
                found += self._rows(kind, since, limit)
        found.sort(key=lambda row: row[0])
        wanted = found if last is None else found[len(found) - min(limit, len(found)) :]
        return tuple(kept_of(row, self._home) for row in wanted)

    def newest(self, after: int = 0) -> datetime | None:
        """The latest time at which any turn past this number was said, undone or not; or None."""
        row = self.newest_turn(after)
        return row.said_at if row else None

    def newest_turn(self, after: int = 0) -> TurnRow | None:
        """The turn of that latest time."""
        with told(self._home):
            row = self._connection.execute(_NEWEST, (after,)).fetchone()
        return _turn_of(row, self._home) if row else None

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """As Record.offsets."""
        return tuple(dict.fromkeys(offset_of(row.said_at) for row in self.clock_turns(around)))

    def clock_turns(self, around: datetime) -> tuple[TurnRow, ...]:
        """Turns that show each of these offsets: the last before that time, and the newest."""
        at, start = codec.microseconds(around), codec.microseconds(around - DAY)
        with told(self._home):
            rows = self._connection.execute(_BEFORE, (at,)).fetchall()
            rows += self._connection.execute(_SINCE_TURNS, (start,)).fetchall()
        turns = [_turn_of(row, self._home) for row in rows]
        newest = {offset_of(turn.said_at): turn for turn in turns}
        return tuple({turn.id: turn for turn in (*turns[:1], *newest.values())}.values())

    def place(self) -> str:
        """The data folder."""
        return str(self._home)

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:
        """As Record.settings, whatever came before."""
        found: list[Row] = []
        with told(self._home):
            first = _LAST
            if since is not None:
                row = self._connection.execute(_FIRST_EVENT, (since,)).fetchone()
                first = row[0] if row is not None else _LAST
            for (each,) in self._connection.execute(_TOPICS).fetchall():
                found += self._connection.execute(_SETTING, (each, first)).fetchall()
                if since is not None:
                    found += self._connection.execute(_SETTINGS_FROM, (each, first)).fetchall()
        return tuple(kept_of(row, self._home) for row in sorted(found, key=lambda row: row[0]))

    def _rows(self, kind: str, since: datetime | None, limit: int) -> list[Row]:
        if since is None:
            return self._connection.execute(_ALL, (kind, limit)).fetchall()
        start = codec.microseconds(since)
        return self._connection.execute(_SINCE, (kind, start, limit)).fetchall()


@lru_cache(maxsize=4096)
def kept_of(row: Row, home: Path) -> Kept:
    """The event of a row, with all that is told twice compared. Rows never change, so each is read
    once: the same row always gives the same value."""
    number, turn, kind, data, said_at, said_us, text = row
    try:
        event = codec.event_of(kind, data)
        said = datetime.fromisoformat(said_at)
        agrees = codec.microseconds(said) == said_us
    except (ValueError, TypeError) as fault:
        raise damaged(home, "events", number, type(fault).__name__) from fault
    if not agrees:
        raise damaged(home, "events", number, "its columns contradict each other")
    return Kept(event, turn, said, text)


def read_whole(connection: sqlite3.Connection, home: Path) -> None:
    """Raises StoreProblem('journal-damaged') where any event cannot be read back."""
    for row in connection.execute(f"{_COLUMNS} ORDER BY e.id"):
        kept_of(row, home)


def food_history(
    connection: sqlite3.Connection, home: Path, food_id: str
) -> tuple[tuple[Kept, ...], frozenset[int]]:
    """Every event of a food, undone or not, and the turns among them that are undone."""
    rows = connection.execute(_FOOD, (food_id,)).fetchall()
    undone = connection.execute(_FOOD_TURNS_UNDONE, (food_id,)).fetchall()
    return tuple(kept_of(row, home) for row in rows), frozenset(row[0] for row in undone)


def events_of_turn(connection: sqlite3.Connection, home: Path, turn: int) -> tuple[Event, ...]:
    """All that a turn left, undone or not, in order."""
    rows = connection.execute(f"{_COLUMNS} WHERE e.turn = ? ORDER BY e.id", (turn,))
    return tuple(kept_of(row, home).event for row in rows)


def turns_of_food(connection: sqlite3.Connection, food_id: str, before: int) -> tuple[int, ...]:
    """The turns before a number whose events about a food were not undone before it."""
    rows = connection.execute(
        "SELECT DISTINCT e.turn FROM events AS e WHERE e.food = ? AND e.turn < ? AND NOT EXISTS"
        " (SELECT 1 FROM events AS u WHERE u.undoes = e.turn AND u.turn < ?) ORDER BY e.turn",
        (food_id, before, before),
    )
    return tuple(row[0] for row in rows)


def foods_of_turn(connection: sqlite3.Connection, turn: int) -> set[str]:
    """The foods that the events of a turn are about."""
    query = "SELECT DISTINCT food FROM events WHERE turn = ? AND food IS NOT NULL"
    return {row[0] for row in connection.execute(query, (turn,))}


def append(
    connection: sqlite3.Connection, said_at: datetime, turn: TurnRow, events: Sequence[Event]
) -> int:
    """Adds a turn and its events; gives the turn's number: turn.id, or where that is 0 the next.

    Raises ValueError for a number that is not above every other: order is the order of numbers.
    """
    rows = [(event, codec.event_json(event)) for event in events]
    moment, exact = said_at.isoformat(), codec.microseconds(said_at)
    if turn.id and connection.execute("SELECT 1 FROM turns WHERE id >= ?", (turn.id,)).fetchone():
        raise ValueError(f"turn {turn.id} is not above those that are there")
    inserted = connection.execute(
        "INSERT INTO turns (id, said_at, said_us, text, status, reply) VALUES (?, ?, ?, ?, ?, ?)",
        (turn.id or None, moment, exact, storable(turn.text), turn.status, storable(turn.reply)),
    )
    number = inserted.lastrowid
    assert number is not None
    for event, data in rows:
        undoes = event.turn if isinstance(event, Undone) else None
        if undoes is not None and not _is_earlier(connection, undoes, number):
            raise ValueError(f"there is no earlier turn {undoes} to undo")
        food = getattr(event, "food_id", None)
        added = connection.execute(
            "INSERT INTO events (turn, kind, data, said_at, said_us, food, undoes)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            (number, event.kind, data, moment, exact, food, undoes),
        )
        if isinstance(event, SettingSaid):
            connection.execute(
                "INSERT INTO settings_said (topic, event) VALUES (?, ?)",
                (storable(topic(event.name, event.value)), added.lastrowid),
            )
    return number


def _is_earlier(connection: sqlite3.Connection, turn: int, number: int) -> bool:
    there = connection.execute("SELECT 1 FROM turns WHERE id = ?", (turn,)).fetchone()
    return turn < number and there is not None


def storable(text: str) -> str:
    """The text with lone surrogates, which no file can hold, as U+FFFD."""
    return patterns.sub("[\ud800-\udfff]", "\ufffd", text)


def last_turns(connection: sqlite3.Connection, home: Path, limit: int) -> tuple[TurnRow, ...]:
    """The last so many turns, oldest first."""
    rows = connection.execute(f"{_TURN} ORDER BY t.id DESC LIMIT ?", (max(limit, 0),)).fetchall()
    return tuple(_turn_of(row, home) for row in reversed(rows))


def turn_of(connection: sqlite3.Connection, home: Path, number: int) -> TurnRow | None:
    """The turn of this number, or None."""
    row = connection.execute(f"{_TURN} WHERE t.id = ?", (number,)).fetchone()
    return None if row is None else _turn_of(row, home)


def page_of_turns(
    connection: sqlite3.Connection,
    home: Path,
    after: int,
    between: tuple[datetime | None, datetime | None],
    size: int,
) -> tuple[TurnRow, ...]:
    """The next turns after a number, in order, said within two times (the second is left out)."""
    since, until = between
    start = _FIRST if since is None else codec.microseconds(since)
    end = _LAST if until is None else codec.microseconds(until)
    rows = connection.execute(
        f"{_TURN} WHERE t.id > ? AND t.said_us >= ? AND t.said_us < ? ORDER BY t.id LIMIT ?",
        (after, start, end, size),
    ).fetchall()
    return tuple(_turn_of(row, home) for row in rows)


def has_turns(connection: sqlite3.Connection) -> bool:
    """Whether anything was ever said."""
    return connection.execute("SELECT 1 FROM turns LIMIT 1").fetchone() is not None


def _turn_of(row: tuple[int, str, int, str, str, str, int], home: Path) -> TurnRow:
    number, said_at, said_us, text, status, reply, undone = row
    try:
        said = datetime.fromisoformat(said_at)
        agrees = codec.microseconds(said) == said_us
    except (ValueError, TypeError) as fault:
        raise damaged(home, "turns", number, type(fault).__name__) from fault
    if not agrees:
        raise damaged(home, "turns", number, "its columns contradict each other")
    return TurnRow(number, said, text, status, reply, bool(undone))

"""The benchmark of a growing journal: years of five meals a day against one month of them."""

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from msgspec import Struct

from assistant.shell import timing
from assistant.shell.demo import DEMO_LINES, seed
from assistant.shell.session import Session
from assistant.store.store import Store

TODAY = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
MONTH, YEARS = 30, (1, 10, 100)
MEALS = (7, 10, 13, 16, 19)
MEAL = "1.5 servings of the oat cereal plus 200 ml milk, glucose 162"

WORKS = (
    ("today", ("today",)),
    ("what is active now", ("what is active now",)),
    ("a meal with its dose", (MEAL, "not taken")),
)


def lines() -> Iterator[str]:
    """Ratios of turns and of opening the folder, for each length of the journal."""
    with TemporaryDirectory() as folder:
        homes = {days: Path(folder, str(days)) for days in (MONTH, *(365 * y for y in YEARS))}
        for days, home in homes.items():
            fill(home, days)
        yield f"Journal of five meals a day, against {MONTH} days of it, goal 1.2 or less:"
        for years in YEARS:
            short = Path(folder, f"beside {years}")  # a copy: the trials add meals of their own
            shutil.copytree(homes[MONTH], short)
            yield from _against(short, homes[365 * years], f"{years} years")


def _against(short: Path, long: Path, name: str) -> Iterator[str]:
    opened = [Store.open(home, TODAY) for home in (short, long)]
    sessions = [Session(store, lambda: TODAY) for store in opened]
    for store in opened:
        store.look_after()
    for what, texts in WORKS:
        times = timing.interleaved([_saying(session, texts) for session in sessions])
        yield f"  {name}, {what}: {timing.ratio(times[1], times[0])}"
    times = timing.interleaved([partial(_open, home, TODAY) for home in (short, long)])
    yield f"  {name}, opening the folder and what is said then: {timing.ratio(times[1], times[0])}"
    for store in opened:
        store.close()


def _saying(session: Session, texts: tuple[str, ...]) -> Callable[[], object]:
    return lambda: [session.say(text) for text in texts]


def _open(home: Path, now: datetime) -> None:
    with closing(Store.open(home, now)) as store:
        Session(store, lambda: now).opening()


def fill(home: Path, days: int) -> None:
    """A journal of so many days up to today. One day is said; the others are that day's rows.

    Of the earlier days the lines of the workings are left out, so that a hundred years fit a small
    disk: what is tried is how many rows there are, and not how long they are.
    """
    start = TODAY - timedelta(days=days)
    with closing(Store.open(home, start)) as store:
        fault = seed(Session(store, lambda: start))
        assert fault is None, fault
    clock = [start]
    with closing(Store.open(home, start)) as store:
        session = Session(store, lambda: clock[0])
        for hour in MEALS:
            clock[0] = start.replace(hour=hour) + timedelta(days=1)
            for text in (MEAL, f"took 1 unit at {hour}:00", "never more than 8 units at once"):
                reply = session.say(text)
                assert reply.status != "failed", text
    _repeat(home, days)


class _Shift(Struct, frozen=True):
    """A day's rows, so many days later; turns: how many turns a day has."""

    days: int
    turns: int
    start: datetime

    def turn(self, number: int) -> int:
        """The turn's number on that day."""
        return number + self.days * self.turns

    def text(self, text: str) -> str:
        """A text with that day's date."""
        later = self.start + timedelta(days=self.days)
        return text.replace(f"{self.start:%Y-%m-%d}", f"{later:%Y-%m-%d}")

    def exact(self, microseconds: int) -> int:
        """A time of that day."""
        return microseconds + self.days * 86_400_000_000


def _repeat(home: Path, days: int) -> None:
    """Adds the rows of the last day again, a day later each time, up to today."""
    with closing(sqlite3.connect(home / "countaloud.db")) as connection, connection:
        connection.execute("PRAGMA synchronous = OFF")
        first = len(DEMO_LINES)
        turns = connection.execute(
            "SELECT id, said_at, said_us, text, status FROM turns WHERE id > ?", (first,)
        ).fetchall()
        events = [
            (turn, kind, _short(data), *rest)
            for turn, kind, data, *rest in connection.execute(
                "SELECT turn, kind, data, said_at, said_us, food FROM events WHERE turn > ?",
                (first,),
            )
        ]
        start = datetime.fromisoformat(turns[0][1])
        for number in range(1, days):
            _add(connection, turns, events, _Shift(number, len(turns), start))


def _add(
    connection: sqlite3.Connection,
    turns: list[tuple[int, str, int, str, str]],
    events: list[tuple[int, str, str, str, int, str | None]],
    to: _Shift,
) -> None:
    """One day. A setting is said again once a month."""
    for number, at, exact, text, status in turns:
        connection.execute(
            "INSERT INTO turns VALUES (?, ?, ?, ?, ?, '{}')",
            (to.turn(number), to.text(at), to.exact(exact), text, status),
        )
    for turn, kind, data, at, exact, food in events:
        if kind == "setting-said" and to.days % 30:
            continue
        added = connection.execute(
            "INSERT INTO events (turn, kind, data, said_at, said_us, food)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (to.turn(turn), kind, to.text(data), to.text(at), to.exact(exact), food),
        )
        if kind == "setting-said":
            connection.execute(
                "INSERT INTO settings_said VALUES ('cap_dose', ?)", (added.lastrowid,)
            )


def _short(data: str) -> str:
    """The event without the lines of its working."""
    event = json.loads(data)
    if "lines" in event:
        event["lines"] = []
    return json.dumps(event)

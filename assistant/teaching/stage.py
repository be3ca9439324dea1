"""A stage for a replay: a store of its own in a scratch folder, which no real journal ever sees."""

import os
import shutil
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import groupby
from pathlib import Path
from tempfile import TemporaryDirectory, gettempdir

from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.dialogue.events import SettingSaid
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.record import Foods, Record
from assistant.render.as_json import as_json, one_line_json
from assistant.render.turns import turn
from assistant.store import shelf_writer
from assistant.store.problems import StoreProblem
from assistant.store.store import Store
from assistant.teaching.session_file import EarlierRow, FoodRow, Header


class Stage:
    """Says turns as they were said, from what the header of the file holds."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def say(self, text: str, at: datetime, number: int = 0) -> tuple[int, Outcome, str]:
        """The number of the turn, its outcome, and its reply as JSON text; kept on the stage.

        number: as the turn was numbered; 0 for the next. Raises ValueError for one that is taken.
        """
        with self._store.turn() as tx:
            outcome = turn(tx.record, tx.foods, text, at)
            reply = one_line_json(as_json(outcome.reply))
            kept = tx.keep(at, text, outcome.reply.status, reply, outcome.events, number)
        return kept, outcome, reply

    def ask(self, text: str, at: datetime) -> Outcome:
        """What would be answered now; nothing is kept."""
        with self._store.reading() as (record, foods):
            return turn(record, foods, text, at)

    @contextmanager
    def looking(self, number: int | None = None) -> Iterator[tuple[Record, Foods]]:
        """The record and the library as they are now, or as they were before a turn."""
        if number is None:
            with self._store.reading() as view:
                yield view
            return
        with self._store.before(number) as past:
            yield past.record, past.foods


FAULTS = (ValueError, LookupError, OverflowError, StoreProblem)
"""What a header that does not fit together, or a turn that cannot be, may raise."""
_PREFIX = "countaloud-replay-"


@contextmanager
def _ended_in_order() -> Iterator[None]:
    """A closed terminal or a request to end lets the scratch folder be removed first."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    signals = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    old = {number: signal.signal(number, _leave) for number in signals}
    try:
        yield
    finally:
        for number, handler in old.items():
            signal.signal(number, handler)


def _leave(number: int, _: object) -> None:
    raise SystemExit(128 + number)


def _clear_leftovers() -> None:
    """Removes scratch folders of replays that were killed: they hold a person's doses."""
    for path in Path(gettempdir()).glob(f"{_PREFIX}*-*"):
        owner = path.name.removeprefix(_PREFIX).split("-")[0]
        if owner.isdigit() and not _runs(int(owner)):
            shutil.rmtree(path, ignore_errors=True)


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


@contextmanager
def staged(header: Header) -> Iterator[Stage]:
    """A stage with all that the header holds.

    Raises ValueError where the header's rows do not fit together.
    """
    _clear_leftovers()
    with _ended_in_order(), TemporaryDirectory(prefix=f"{_PREFIX}{os.getpid()}-") as name:
        folder = Path(name)
        imported = [row for row in header.foods if not row.own]
        if imported:
            with shelf_writer.filling(folder) as writer:
                source = writer.source("session", "")
                for row in imported:
                    writer.add(row.food_id, row.facts, source)
        store = Store.scratch(folder)
        try:
            seed(store, header)
            yield Stage(store)
        finally:
            store.close()


def seed(store: Store, header: Header) -> None:
    """Puts what was said before the session into an empty store, without working it out.

    Raises ValueError where the header's rows do not fit together.
    """
    settings = [
        EarlierRow(turn=s.turn, at=s.at, say=s.say, events=(SettingSaid(s.name, s.value, s.say),))
        for s in header.settings
    ]
    rows = sorted((*settings, *header.earlier), key=lambda row: row.turn)
    for row in _joined(rows):
        with store.turn() as tx:
            tx.keep(row.at, row.say, "answered", "{}", row.events, row.turn)
    with store.reading() as (_, foods):
        for food in header.foods:
            found = foods.by_id(food.food_id)
            if found is None or found.facts != food.facts:
                raise ValueError(f"the food {food.facts.name} is not what its earlier turns say")


def _joined(rows: list[EarlierRow]) -> Iterator[EarlierRow]:
    """Rows of one turn are one turn: a sentence may say several settings."""
    for _, group in groupby(rows, key=lambda row: row.turn):
        first, *others = group
        events = (*first.events, *(event for row in others for event in row.events))
        yield replace(first, events=events)


def food_row(food: Food, *, own: bool) -> FoodRow:
    """The header's row of a food."""
    return FoodRow(
        food_id=food.food_id,
        own=own,
        version=food.version,
        retired=food.retired,
        aliases=food.aliases,
        facts=food.facts,
    )

"""A stage for a replay: a store of its own in a scratch folder, which no real journal ever sees."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.counting.facts import Food
from assistant.dialogue.events import AliasSaved, Event, FoodForgotten, FoodSaved, SettingSaid
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.record import Foods, Record
from assistant.dialogue.turn import turn
from assistant.render.as_json import as_json, one_line_json
from assistant.store import shelf_writer
from assistant.store.store import Store
from assistant.teaching.session_file import EarlierRow, FoodRow, Header


class Stage:
    """Says turns as they were said, from what the header of the file holds."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def say(self, text: str, at: datetime) -> tuple[int, Outcome, str]:
        """The number of the turn, its outcome, and its reply as JSON text; kept on the stage."""
        with self._store.turn() as tx:
            outcome = turn(tx.record, tx.foods, text, at)
            reply = one_line_json(as_json(outcome.reply))
            number = tx.keep(at, text, outcome.reply.status, reply, outcome.events)
        return number, outcome, reply

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

    def keep(self, at: datetime, say: str, events: Iterable[Event]) -> int:
        """Puts a turn on the stage as it was, without working it out."""
        with self._store.turn() as tx:
            return tx.keep(at, say, "answered", "{}", tuple(events))


@contextmanager
def staged(header: Header, first: datetime) -> Iterator[Stage]:
    """A stage with all that the header holds. first is the time of the first turn.

    Raises ValueError where the header's rows do not fit together.
    """
    with TemporaryDirectory(prefix="countaloud-replay-") as name:
        folder = Path(name)
        imported = [row for row in header.foods if not row.own]
        if imported:
            with shelf_writer.filling(folder) as writer:
                source = writer.source("session", "")
                for row in imported:
                    writer.add(row.food_id, row.facts, source)
        store = Store.scratch(folder)
        try:
            stage = Stage(store)
            _seed(stage, header, first)
            yield stage
        finally:
            store.close()


def _seed(stage: Stage, header: Header, first: datetime) -> None:
    settings = [
        EarlierRow(turn=s.turn, at=s.at, say=s.say, events=(SettingSaid(s.name, s.value, s.say),))
        for s in header.settings
    ]
    rows = sorted((*settings, *header.earlier), key=lambda row: row.turn)
    begun = min((row.at for row in rows), default=first)
    own = [event for row in header.foods if row.own for event in _food_events(row)]
    stage.keep(begun, "", own)
    for row in _joined(rows):
        number = stage.keep(row.at, row.say, row.events)
        if number != row.turn:
            raise ValueError(f"turn {row.turn} of the header stands where {number} belongs")


def _joined(rows: list[EarlierRow]) -> Iterator[EarlierRow]:
    """Rows of one turn are one turn: a sentence may say several settings."""
    waiting: EarlierRow | None = None
    for row in rows:
        if waiting is not None and waiting.turn == row.turn:
            waiting = waiting.model_copy(update={"events": (*waiting.events, *row.events)})
            continue
        if waiting is not None:
            yield waiting
        waiting = row
    if waiting is not None:
        yield waiting


def _food_events(row: FoodRow) -> Iterator[Event]:
    """A food of the person's own comes to its version, its other names and its state."""
    for _ in range(row.version):
        yield FoodSaved(row.food_id, row.facts)
    for alias in row.aliases:
        yield AliasSaved(row.food_id, alias)
    if row.retired:
        yield FoodForgotten(row.food_id)


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

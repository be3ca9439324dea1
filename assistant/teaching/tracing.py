"""Notes what turns read, so that a session file can hold it: events, times, and foods."""

from collections.abc import Sequence
from datetime import datetime

from assistant.counting.facts import Food
from assistant.dialogue.clocks import offset_of
from assistant.dialogue.record import Foods, Kept, Record
from assistant.store import codec
from assistant.store.journal import Journal
from assistant.store.library import MEALS
from grammar.words import name_key


class Notes:
    """What was read of before the session.

    A question to a record is answered from what was noted as it was from the whole: each asks for
    the last so many, or for all since a time, and what is left out was in no answer.
    """

    def __init__(self, first: int) -> None:
        self.first = first
        self.events: dict[int, dict[str, None]] = {}
        self.times: set[int] = set()
        self.foods: dict[str, None] = {}

    def event(self, kept: Kept, data: str) -> None:
        """An event of an earlier turn."""
        if kept.turn < self.first:
            self.events.setdefault(kept.turn, {})[data] = None

    def time(self, turn: int) -> None:
        """The time of an earlier turn."""
        if turn < self.first:
            self.times.add(turn)

    def food(self, food: Food | None) -> None:
        """A food, by its identity."""
        if food is not None:
            self.foods[food.food_id] = None


class TracedRecord:
    """A journal that notes what is read of it. Implements dialogue.record.Record."""

    def __init__(self, journal: Journal, notes: Notes) -> None:
        self._journal = journal
        self._notes = notes

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """As Record.events."""
        return self._noted(self._journal.events(kinds, since, last))

    def newest(self, after: int = 0) -> datetime | None:
        """As Record.newest."""
        row = self._journal.newest_turn(after)
        if row is None:
            return None
        self._notes.time(row.id)
        return row.said_at

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """As Record.offsets; the turns that show them are noted."""
        rows = self._journal.clock_turns(around)
        for row in rows:
            self._notes.time(row.id)
        return tuple(dict.fromkeys(offset_of(row.said_at) for row in rows))

    def place(self) -> str:
        """As Record.place; no answer that tells it is part of a talk."""
        return self._journal.place()

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:
        """As Record.settings."""
        return self._noted(self._journal.settings(since))

    def _noted(self, found: tuple[Kept, ...]) -> tuple[Kept, ...]:
        for kept in found:
            if kept.turn < self._notes.first:
                self._notes.event(kept, codec.event_json(kept.event))
        return found


class TracedFoods:
    """A library that notes the foods that are read. Implements dialogue.record.Foods."""

    def __init__(self, foods: Foods, notes: Notes, record: Record) -> None:
        self._foods = foods
        self._notes = notes
        self._record = record

    def exact(self, key: str) -> tuple[Food, ...]:
        """As Foods.exact."""
        found = self._foods.exact(key)
        for food in found:
            self._notes.food(food)
        return found

    def near(self, text: str, limit: int = 5) -> tuple[str, ...]:
        """As Foods.near; the foods of the names are noted, and what was eaten lately, which stands
        first among them."""
        self._record.events(("meal-counted",), last=MEALS)
        return self._named(self._foods.near(text, limit))

    def holding(self, text: str, limit: int = 200) -> tuple[str, ...]:
        """As Foods.holding; the foods of the names are noted."""
        return self._named(self._foods.holding(text, limit))

    def names(self, limit: int = 1000) -> tuple[str, ...]:
        """As Foods.names; their foods are noted."""
        return self._named(self._foods.names(limit))

    def by_id(self, food_id: str) -> Food | None:
        """As Foods.by_id."""
        food = self._foods.by_id(food_id)
        self._notes.food(food)
        return food

    def _named(self, names: tuple[str, ...]) -> tuple[str, ...]:
        for name in names:
            self.exact(name_key(name))
        return names

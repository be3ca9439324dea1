"""The record and the library as they will be once this turn's events are kept.

An answer may stand for several sentences ("my cup is 250 ml", then the meal); each has to see
what the ones before it said, before anything is on disk.
"""

from collections.abc import Sequence
from datetime import datetime

from msgspec.structs import replace

from assistant.counting.facts import Food
from assistant.dialogue.events import (
    AliasSaved,
    Event,
    FoodSaved,
    MeasureSaved,
    RecipeSaved,
)
from assistant.dialogue.naming import identified
from assistant.dialogue.record import Foods, Kept, Record
from grammar.words import name_key


class PendingRecord:
    """A record with events that are not kept yet."""

    def __init__(self, record: Record, events: Sequence[Event], text: str, now: datetime) -> None:
        self._record = record
        self._new = tuple(Kept(e, 0, now, text) for e in events)

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """As Record.events, the pending ones last."""
        new = tuple(k for k in self._new if k.event.kind in kinds)
        found = (*self._record.events(kinds, since, last), *new)
        return found[-last:] if last else found

    def newest(self, after: int = 0) -> datetime | None:
        """As Record.newest; what is pending is of now."""
        return self._record.newest(after)

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """As Record.offsets; what is pending is on the clock of now."""
        return self._record.offsets(around)

    def place(self) -> str:
        """As Record.place."""
        return self._record.place()

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:
        """As Record.settings, the pending ones last: of each topic the last still holds."""
        new = tuple(k for k in self._new if k.event.kind == "setting-said")
        return (*self._record.settings(since), *new)


class PendingFoods:
    """A library with foods and names that are not kept yet."""

    def __init__(self, foods: Foods, events: Sequence[Event]) -> None:
        self._foods = foods
        self._changed: dict[str, Food] = {}
        for event in events:
            self._apply(event)

    def _apply(self, event: Event) -> None:
        if isinstance(event, FoodSaved | RecipeSaved):
            old = self.by_id(event.food_id)
            version = old.version + 1 if old else 1
            aliases = old.aliases if old else ()
            self._changed[event.food_id] = Food(event.food_id, version, event.facts, aliases)
        elif isinstance(event, MeasureSaved):
            food = self.by_id(event.food_id)
            assert food is not None
            others = tuple(m for m in food.facts.extra if m.unit != event.measure.unit or m.how)
            facts = replace(food.facts, extra=(*others, event.measure))
            self._changed[event.food_id] = replace(food, facts=facts, version=food.version + 1)
        elif isinstance(event, AliasSaved):
            food = self.by_id(event.food_id)
            assert food is not None
            self._changed[event.food_id] = replace(food, aliases=(*food.aliases, event.alias))

    def exact(self, key: str) -> tuple[Food, ...]:
        """As Foods.exact."""
        kept = tuple(f for f in self._foods.exact(key) if f.food_id not in self._changed)
        new = tuple(
            f
            for f in self._changed.values()
            if key in {name_key(n) for n in (f.facts.name, *f.aliases, identified(f))}
        )
        return (*kept, *new)

    def near(self, text: str, limit: int = 5) -> tuple[str, ...]:
        """As Foods.near; pending names are exact or not found."""
        return self._foods.near(text, limit)

    def holding(self, text: str, limit: int = 200) -> tuple[str, ...]:
        """As Foods.holding."""
        return self._foods.holding(text, limit)

    def names(self, limit: int = 1000) -> tuple[str, ...]:
        """As Foods.names."""
        return self._foods.names(limit)

    def by_id(self, food_id: str) -> Food | None:
        """As Foods.by_id."""
        return self._changed.get(food_id) or self._foods.by_id(food_id)

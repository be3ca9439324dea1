"""The library's rows, worked out from the journal: a food is what its surviving events make it.

A version's number counts every FoodSaved and MeasureSaved of the food, undone ones too, so that
one number never stands for two sets of facts. FoodForgotten retires a food; a FoodSaved after it
begins anew, without the old aliases.
"""

import sqlite3
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Measure
from assistant.dialogue.events import (
    AliasSaved,
    Event,
    FoodForgotten,
    FoodSaved,
    MeasureSaved,
    RecipeSaved,
)
from assistant.dialogue.record import Kept
from assistant.store import codec, journal
from grammar.words import name_key, printable


class _State(Struct):
    """A food while its events are read."""

    versions: list[tuple[int, FoodFacts, int]] = field(default_factory=list)
    aliases: dict[str, str] = field(default_factory=dict)
    retired: bool = False
    lost: list[int] = field(default_factory=list)  # turns whose event found no food

    @property
    def living(self) -> bool:
        return bool(self.versions) and not self.retired


def shown(name: str) -> str:
    """A name in one line, without control characters."""
    return " ".join(printable(name).split())


def rebuild(connection: sqlite3.Connection, home: Path, food_id: str, turn: int) -> None:
    """Writes the food's rows anew. ValueError where this turn's event is about no food."""
    history, undone = journal.food_history(connection, home, food_id)
    state = _replayed(history, undone)
    if turn in state.lost:
        raise ValueError(f"there is no food {food_id!r} in the library")
    _clear(connection, food_id)
    for version, facts, said_in in state.versions:
        connection.execute(
            "INSERT INTO foods (food_id, version, facts, turn, retired) VALUES (?, ?, ?, ?, ?)",
            (food_id, version, codec.facts_json(facts), said_in, int(state.retired)),
        )
    if state.living:
        _write_names(connection, food_id, state)


def _replayed(history: tuple[Kept, ...], undone: frozenset[int]) -> _State:
    state = _State()
    version = 0
    for kept in history:
        if isinstance(kept.event, FoodSaved | RecipeSaved | MeasureSaved):
            version += 1
        if kept.turn not in undone:
            _take(state, kept.event, version, kept.turn)
    return state


def _take(state: _State, event: Event, version: int, turn: int) -> None:
    match event:
        case FoodSaved() | RecipeSaved():
            if not state.living:
                state.aliases.clear()
            state.retired = False
            state.versions.append((version, event.facts, turn))
        case MeasureSaved() if state.living:
            facts = _with_measure(state.versions[-1][1], event.measure)
            state.versions.append((version, facts, turn))
        case AliasSaved() if state.living:
            state.aliases[name_key(event.alias)] = event.alias
        case FoodForgotten() if state.versions:
            state.retired = True
        case _:
            state.lost.append(turn)


def _with_measure(facts: FoodFacts, measure: Measure) -> FoodFacts:
    """The facts with the measure; it replaces one of its unit that tells nothing more."""
    kept = tuple(old for old in facts.extra if not _replaces(measure, old))
    return replace(facts, extra=(*kept, measure))


def _replaces(new: Measure, old: Measure) -> bool:
    return (
        name_key(new.unit) == name_key(old.unit)
        and not old.how
        and (old.grams is None or new.grams is not None)
        and (old.millilitres is None or new.millilitres is not None)
    )


def _clear(connection: sqlite3.Connection, food_id: str) -> None:
    connection.execute(
        "DELETE FROM names_search WHERE rowid IN (SELECT id FROM names WHERE food_id = ?)",
        (food_id,),
    )
    connection.execute("DELETE FROM names WHERE food_id = ?", (food_id,))
    connection.execute("DELETE FROM foods WHERE food_id = ?", (food_id,))


def _write_names(connection: sqlite3.Connection, food_id: str, state: _State) -> None:
    """A row for each key. A name with control characters is found as typed and as shown."""
    names = [(state.versions[-1][1].name, 0), *((alias, 1) for alias in state.aliases.values())]
    for name, is_alias in names:
        for key in sorted({name_key(name), name_key(shown(name))}):
            inserted = connection.execute(
                "INSERT INTO names (key, food_id, name, is_alias) VALUES (?, ?, ?, ?)",
                (key, food_id, name, is_alias),
            )
            connection.execute(
                "INSERT INTO names_search (rowid, key) VALUES (?, ?)",
                (inserted.lastrowid, shown(key)),
            )

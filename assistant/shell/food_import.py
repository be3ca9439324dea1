"""Bringing foods in: rows from a reader to the shelf, or to the record where they are one's own.

All of it is there at the end, or nothing: an import that was stopped is simply begun again.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from msgspec import Struct, field

from assistant.counting.facts import Food, FoodFacts
from assistant.dialogue.events import AliasSaved, Event, FoodSaved
from assistant.importing.places import UNREADABLE
from assistant.importing.rows import Fault, Row
from assistant.store import database, forgetting, shelf_writer
from assistant.store.backups import make_private_file
from assistant.store.library import Library
from assistant.store.problems import StoreProblem, of_system
from assistant.store.store import Store
from grammar.words import name_key

SHOWN = 20
"""Faults that are told one by one; all of them are in a file."""
FAULTS = forgetting.IMPORT_FAULTS
OWN_ROWS = 20_000
"""Foods of one's own that one import may hold: they go into one turn."""

Step = Callable[[int], None]


class Tally(Struct):
    """What an import did."""

    done: Counter[str] = field(default_factory=Counter)
    faults: list[Fault] = field(default_factory=list)
    left_out: int = 0
    marked: int = 0
    sources: dict[str, str] = field(default_factory=dict)
    own: int = 0
    replaced: str = ""
    """Where the shelf that was there and could not be read is kept."""

    @property
    def read(self) -> int:
        """Foods that were read."""
        return sum(self.done.values())

    @property
    def changed(self) -> int:
        """Foods that are there now and were not, or not so."""
        return self.done["added"] + self.done["changed"]


class FaultFile:
    """Every fault, a line each, in a file of the data folder; made when there is one."""

    def __init__(self, home: Path, told: Callable[[Fault], str]) -> None:
        self._path = home / FAULTS
        self._told = told
        self._begun = False

    def none(self) -> None:
        """There is no fault: a list of an earlier import goes."""
        if not self._begun:
            self._path.unlink(missing_ok=True)

    def add(self, faults: list[Fault]) -> None:
        """Appends these. Raises StoreProblem."""
        try:
            if not self._begun:
                self._path.unlink(missing_ok=True)
                make_private_file(self._path)
                self._begun = True
            with self._path.open("a", encoding="utf-8", errors="backslashreplace") as out:
                out.writelines(f"{self._told(fault)}\n" for fault in faults)
        except OSError as fault:
            raise of_system(fault, self._path.parent, "cannot-write") from fault


def bring_in(
    home: Path, rows: Iterable[Row | Fault], now: datetime, step: Step, kept: FaultFile
) -> Tally:
    """Puts the foods where they belong. Raises StoreProblem; then nothing is changed."""
    tally = Tally()
    own: list[Row] = []
    waiting: list[Fault] = []
    with shelf_writer.filling(home) as writer:
        shelved = _Shelved(writer, tally, _own_foods(home, now))
        for count, row in enumerate(_readable(rows), 1):
            step(count)
            if isinstance(row, Row) and row.own:
                own.append(row)
                continue
            for fault in shelved.put(row) if isinstance(row, Row) else (row,):
                _take(fault, tally, waiting)
            if len(waiting) >= 1000:
                kept.add(waiting)
                waiting.clear()
        if waiting:
            kept.add(waiting)
            waiting.clear()
    if writer.replaced is not None:
        tally.replaced = str(writer.replaced)
    if own:
        for fault in _bring_own(home, own, now, tally):
            _take(fault, tally, waiting)
    if waiting:
        kept.add(waiting)
    return tally


class _Shelved:
    """Puts rows on the shelf and tells what became of each in the tally."""

    def __init__(
        self, writer: shelf_writer.Writer, tally: Tally, own: Mapping[str, FoodFacts]
    ) -> None:
        self._writer = writer
        self._own = own
        self._tally = tally
        self._numbers: dict[str, int] = {}
        self._files: dict[str, int] = {}
        self._first: dict[int, int] = {}
        """Where each food was first told: its line and file in one number, to be small."""

    def put(self, row: Row) -> tuple[Fault, ...]:
        """The faults of it."""
        name, terms = row.source.name, row.source.licence
        self._tally.sources[name] = terms
        if name not in self._numbers:
            self._numbers[name] = self._writer.source(name, terms)
        try:
            done = self._writer.add(row.food_id, row.facts, self._numbers[name])
        except ValueError:
            return (Fault(row.file, row.line, "no-name", row.facts.name),)
        file = self._files.setdefault(row.file, len(self._files))
        first = self._first.setdefault(hash(row.food_id), row.line << 16 | file)
        second = Fault(row.file, row.line, "twice", row.facts.name)
        if done != "twice":
            self._tally.done[done] += 1
            return tuple(self._notes(row))
        if first < 0:  # told of already
            return (second,)
        self._first[hash(row.food_id)] = -1
        self._tally.done[self._writer.withdrawn] -= 1
        where = list(self._files)[first & 0xFFFF]
        return (Fault(where, first >> 16, "twice", row.facts.name), second)

    def _notes(self, row: Row) -> Iterator[Fault]:
        """What there is to know of a food that was taken."""
        if row.facts.failed_checks:
            yield Fault(row.file, row.line, "energy", row.facts.name, kept=True)
        own = self._own.get(row.food_id)
        if own is not None and _figures(own) != _figures(row.facts):
            yield Fault(row.file, row.line, "own-copy", own.name, kept=True)


def _figures(facts: FoodFacts) -> tuple[object, ...]:
    """What a count rests on, without what the user added."""
    portions = tuple(m for m in facts.extra if m.of_source)
    return (facts.region, facts.per, facts.nutrients, portions)


def _own_foods(home: Path, now: datetime) -> dict[str, FoodFacts]:
    """The foods of the record. A record that cannot be read is told where it is used: an import
    into the shelf does not need it."""
    if not (home / database.FILE).exists():
        return {}
    found: dict[str, FoodFacts] = {}

    def keep(foods: Iterable[Food]) -> Iterator[str]:
        found.update((food.food_id, food.facts) for food in foods)
        yield from ()

    with suppress(StoreProblem):
        store = Store.open(home, now)
        try:
            store.own_foods(keep)
        finally:
            store.close()
    return found


class UnreadableError(Exception):
    """The file could not be read to its end; why, in a few words."""


def _readable(rows: Iterable[Row | Fault]) -> Iterator[Row | Fault]:
    """The rows; a fault of the file or its archive is told apart from one of the data folder."""
    try:
        yield from rows
    except UNREADABLE as fault:
        raise UnreadableError(str(fault)) from fault


def _take(fault: Fault, tally: Tally, waiting: list[Fault]) -> None:
    waiting.append(fault)
    if fault.kept:
        tally.marked += 1
    else:
        tally.left_out += 1
    if len(tally.faults) < SHOWN:
        tally.faults.append(fault)
        return
    notes = [at for at, told in enumerate(tally.faults) if told.kept]
    if notes and not fault.kept:  # a row that is not there counts for more than a note
        del tally.faults[notes[-1]]
        tally.faults.append(fault)


def _bring_own(home: Path, rows: list[Row], now: datetime, tally: Tally) -> list[Fault]:
    """One's own foods into the record, in one turn. A food of the same name that is there with
    other facts stays as it is, and is told."""
    store = Store.open(home, now)
    faults: list[Fault] = []
    told: dict[str, Row] = {}
    twice = {row.food_id for row in rows if not _agree(told.setdefault(row.food_id, row), row)}
    called: dict[str, str] = {}
    try:
        with store.turn() as tx:
            assert isinstance(tx.foods, Library)
            events: list[Event] = []
            for row in rows:
                if row.food_id in twice:
                    faults.append(Fault(row.file, row.line, "twice", row.facts.name))
                    continue
                if row is not told[row.food_id]:
                    tally.done["same"] += 1
                    continue
                made = _own_events(tx.foods, row)
                if made is None:
                    faults.append(Fault(row.file, row.line, "own-differs", row.facts.name))
                    continue
                if called.setdefault(name_key(row.facts.name), row.food_id) != row.food_id:
                    faults.append(Fault(row.file, row.line, "same-name", row.facts.name, kept=True))
                tally.done["added" if made else "same"] += 1
                events.extend(made)
            if events:
                tally.own = len(events)
                tx.keep(now, f"foods import {len(rows)}", "answered", "{}", tuple(events))
    finally:
        store.close()
    return faults


def _agree(one: Row, other: Row) -> bool:
    return (one.facts, one.aliases) == (other.facts, other.aliases)


def _own_events(foods: Library, row: Row) -> list[Event] | None:
    """What makes the food: nothing where it is there; None where another one is."""
    there = foods.own(row.food_id)
    if there is None or there.retired:
        if any(f.food_id != row.food_id for f in foods.exact(name_key(row.facts.name))
               if foods.own(f.food_id) is not None):  # fmt: skip
            return None
        saved: list[Event] = [FoodSaved(row.food_id, row.facts)]
        return saved + [AliasSaved(row.food_id, alias) for alias in row.aliases]
    if there.facts != row.facts:
        return None
    known = {name_key(alias) for alias in there.aliases}
    missing = [alias for alias in row.aliases if name_key(alias) not in known]
    return [AliasSaved(row.food_id, alias) for alias in missing]

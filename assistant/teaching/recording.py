"""Makes a session file from turns of the journal, with all that their replies depend on."""

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import TextIO

from msgspec import Struct

from assistant.dialogue.events import Event, SettingSaid
from assistant.dosing.settings import Settings, fold
from assistant.render.turns import turn
from assistant.store import codec
from assistant.store.journal import TurnRow
from assistant.store.store import Store
from assistant.teaching.session_file import (
    EarlierRow,
    FoodRow,
    Header,
    SettingRow,
    end_line,
    header_line,
    turn_line,
)
from assistant.teaching.stage import food_row, staged
from assistant.teaching.tracing import Notes, TracedFoods, TracedRecord


class Saved(Struct, frozen=True):
    """What was written: turns, and the numbers of those that differ.

    A reply differs where it can no longer be made again: another version of the program, imported
    foods that are gone, or a question that another chat had open.
    """

    header: Header
    turns: int
    differ: tuple[int, ...]


def recorded(row: TurnRow) -> bool:
    """A turn that broke, or that the shell answered by itself, is no part of the talk."""
    return row.status != "failed" and "aside" not in json.loads(row.reply).get("facts", {})


def noted(store: Store, rows: Sequence[TurnRow]) -> Notes:
    """What these turns read of before the first of them. rows: in order, at least one."""
    notes = Notes(rows[0].id)
    wanted = {row.id for row in rows}
    for past in store.walk(rows[0].id, rows[-1].id):
        if past.row.id in wanted:
            record = TracedRecord(past.record, notes)
            foods = TracedFoods(past.foods, notes, record)
            turn(record, foods, past.row.text, past.row.said_at)
    return notes


def header_of(store: Store, rows: Sequence[TurnRow], title: str, teaches: str, note: str) -> Header:
    """The header for these turns of a journal."""
    notes = noted(store, rows)
    with store.before(rows[0].id) as start:
        foods = tuple(
            food_row(food, own=start.foods.own(food_id) is not None)
            for food_id in sorted(notes.foods)
            if (food := start.foods.by_id(food_id)) is not None
        )
    own = [food.food_id for food in foods if food.own]
    settings, earlier = _earlier(store, notes, own)
    return header_with(title, teaches, note, rows[0].said_at, settings, foods, earlier)


def header_with(  # noqa: PLR0913, PLR0917 - the rows of a header
    title: str,
    teaches: str,
    note: str,
    first: datetime,
    settings: tuple[SettingRow, ...],
    foods: tuple[FoodRow, ...],
    earlier: tuple[EarlierRow, ...],
    changed: tuple[str, ...] = (),
) -> Header:
    """A header whose summary (clock, unit, region, policy) is worked out from its rows."""
    folded = fold((row.name, row.value, row.at) for row in settings)
    return Header(
        title=title,
        teaches=teaches,
        note=note,
        clock=first.isoformat()[-6:],
        glucose_unit=_unit(folded),
        region=folded.label_region,
        policy=folded.policy,
        settings=settings,
        foods=foods,
        earlier=earlier,
        changed_for_sharing=changed,
    )


def _unit(settings: Settings) -> str | None:
    """The unit that was said, or that the numbers were said in."""
    said = (settings.factor, settings.target)
    return settings.glucose_unit or next((figure.unit for figure in said if figure), None)


def _earlier(
    store: Store, notes: Notes, own: Sequence[str]
) -> tuple[tuple[SettingRow, ...], tuple[EarlierRow, ...]]:
    """Earlier turns with what was read of them, and with all that made the person's own foods."""
    foods: dict[int, set[str]] = {}
    for food_id in own:
        for number in store.turns_of_food(food_id, notes.first):
            foods.setdefault(number, set()).add(food_id)
    settings: list[SettingRow] = []
    earlier: list[EarlierRow] = []
    for number in sorted({*notes.events, *notes.times, *foods}):
        row, events = store.turn_with_events(number)
        read, made = notes.events.get(number, {}), foods.get(number, set())
        kept = [e for e in events if _is_read(e, read) or getattr(e, "food_id", None) in made]
        said = [event for event in kept if isinstance(event, SettingSaid)]
        settings += [
            SettingRow(turn=number, at=row.said_at, say=e.said, name=e.name, value=dict(e.value))
            for e in said
        ]
        others = tuple(event for event in kept if not isinstance(event, SettingSaid))
        if others or not said:
            words = row.text if others else ""  # of some turns only the time was read
            earlier.append(EarlierRow(turn=number, at=row.said_at, say=words, events=others))
    return tuple(settings), tuple(earlier)


def _is_read(event: Event, read: Mapping[str, None]) -> bool:
    """Foods come from their own turns, so that none is there half."""
    return getattr(event, "food_id", None) is None and codec.event_json(event) in read


def save(rows: Sequence[TurnRow], header: Header, out: TextIO, *, again: bool = False) -> Saved:
    """Writes the file. again: the replies of now are written, not those that were kept.

    Each turn is said again on a stage made from the header alone, so what is written has been
    replayed once.
    """
    out.write(header_line(header) + "\n")
    differ: list[int] = []
    with staged(header) as stage:
        for row in rows:
            number, outcome, reply = stage.say(row.text, row.said_at, row.id)
            if not again and json.loads(row.reply) != json.loads(reply):
                differ.append(number)
            kept = reply if again else row.reply
            out.write(turn_line(number, row.said_at, row.text, outcome.events, kept) + "\n")
    out.write(end_line(len(rows)) + "\n")
    return Saved(header, len(rows), tuple(differ))


def spoken_turns(rows: Iterator[TurnRow]) -> list[TurnRow]:
    """The turns of a talk, without what is no part of it."""
    return [row for row in rows if recorded(row)]

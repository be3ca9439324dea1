"""The session file: JSON Lines. A header, one object a turn, and an end line with their number.

Everything that a reply depends on is inside: the settings, foods and earlier events that the turns
read. Version 2 holds each reply whole; version 1 held a few of its figures, and is still read.
The models here are the published schema (``countaloud schema session``).
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from assistant.counting.facts import FoodFacts
from assistant.dialogue.events import Event
from assistant.render.as_json import one_line_json
from assistant.store import codec

FORMAT = "countaloud session"
VERSION = 2

_Events = tuple[Annotated[Event, Field(discriminator="kind")], ...]


class _Closed(BaseModel):
    """An object with these keys and no other."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _within(at: datetime) -> datetime:
    if not 1900 <= at.year <= 9000:
        raise ValueError("no time of a session")
    return at


_Time = Annotated[AwareDatetime, AfterValidator(_within)]
_Number = Annotated[int, Field(ge=1, le=10**15)]


class SettingRow(_Closed):
    """One of the person's numbers, as it was said before the session."""

    turn: _Number
    at: _Time
    say: str
    name: str
    value: dict[str, Any]


class FoodRow(_Closed):
    """A food that the turns read, as it was when the session began.

    own: typed by the person, in turns that stand among the earlier ones; else it was imported.
    """

    food_id: str
    own: bool = True
    version: Annotated[int, Field(ge=1, le=1000)] = 1
    retired: bool = False
    aliases: tuple[str, ...] = ()
    facts: FoodFacts


class EarlierRow(_Closed):
    """A turn before the session whose events, or whose time, the turns read."""

    turn: _Number
    at: _Time
    say: str
    events: _Events = ()


class Header(_Closed):
    """The first line. clock: the offset of the first turn. A figure that was never said is null."""

    format: Literal["countaloud session"] = "countaloud session"
    version: Literal[2] = 2
    title: str
    teaches: str = ""
    note: str = ""
    clock: str
    glucose_unit: str | None = None
    region: str | None = None
    policy: str | None = None
    settings: tuple[SettingRow, ...] = ()
    foods: tuple[FoodRow, ...] = ()
    earlier: tuple[EarlierRow, ...] = ()
    changed_for_sharing: tuple[str, ...] = ()


class SessionTurn(_Closed):
    """One turn. reply is the object of ``countaloud schema reply``; null where it is not known."""

    turn: _Number
    at: _Time
    say: str
    events: _Events = ()
    reply: dict[str, Any] | None = None


class EndRow(_Closed):
    """The last line: how many turns there are. A file without it was cut off."""

    end: Literal[True] = True
    turns: int


class OldHeader(BaseModel):
    """The first line of version 1."""

    format: Literal["countaloud session"]
    version: Literal[1]
    title: str
    note: str = ""


class OldTurn(_Closed):
    """A turn of version 1: what had to come of it, as far as it was written down."""

    at: _Time
    say: str
    status: str | None = None
    counted_carbs_g: int | float | None = None
    suggested_units: int | float | None = None
    rules: list[str] | None = None


SessionRow = Header | SessionTurn | EndRow
"""Any line of a session file."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A turn as it is replayed. expects: the reply, or of an old file some of its figures.

    line: its place in the file; row: that line as it stands there.
    """

    turn: int | None
    at: datetime
    say: str
    events: tuple[Event, ...] | None
    reply: Mapping[str, Any] | None
    expects: Mapping[str, Any]
    line: int = 0
    row: str = ""


@dataclass(frozen=True, slots=True)
class Damage:
    """Why the file cannot be read from this line on.

    code: empty, not-session, later-version, bad-line, no-end, wrong-count, after-end. detail: where
    in the line, in the words of the JSON reader or of the model.
    """

    code: str
    line: int
    detail: str = ""


def read(lines: Iterable[str]) -> tuple[Header | Damage, Iterator[Turn | Damage]]:
    """The header, and the turns one by one; a Damage is the last thing given."""
    numbered = enumerate(lines, 1)
    first = next(numbered, None)
    if first is None or not first[1].strip():
        return Damage("empty", 1), iter(())
    header = _header(first[1])
    if isinstance(header, Damage):
        return header, iter(())
    if isinstance(header, OldHeader):
        new = Header(title=header.title, note=header.note, clock="")
        return new, _old_turns(numbered)
    return header, _turns(numbered)


def _header(line: str) -> Header | OldHeader | Damage:
    try:
        value = json.loads(line)
    except (ValueError, RecursionError) as fault:
        return Damage("not-session", 1, str(fault))
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        return Damage("not-session", 1)
    version = value.get("version")
    if isinstance(version, int) and version > VERSION:
        return Damage("later-version", 1, str(version))
    try:
        if version == 1:
            return OldHeader.model_validate_json(line)
        return Header.model_validate_json(line)
    except ValidationError as fault:
        return Damage("bad-line", 1, _place(fault))


def _place(fault: ValidationError) -> str:
    """The first place in the line that does not fit, and why."""
    first = fault.errors(include_url=False, include_input=False)[0]
    place = ".".join(str(part) for part in first["loc"])
    told = re.sub(r" at line \d+ column \d+$", "", first["msg"])  # the line has its own number
    return f"{place}: {told}" if place else told


def _turns(numbered: Iterator[tuple[int, str]]) -> Iterator[Turn | Damage]:
    count, number = 0, 1
    for number, line in numbered:
        if not line.strip():
            continue
        try:
            if '"end"' in line[:12]:
                end = EndRow.model_validate_json(line)
                yield from _ended(end, count, number, numbered)
                return
            row = SessionTurn.model_validate_json(line)
        except ValidationError as fault:
            yield Damage("bad-line", number, _place(fault))
            return
        count += 1
        yield Turn(row.turn, row.at, row.say, row.events, row.reply, row.reply or {}, number, line)
    yield Damage("no-end", number)


def _ended(
    end: EndRow, count: int, number: int, rest: Iterator[tuple[int, str]]
) -> Iterator[Damage]:
    if end.turns != count:
        yield Damage("wrong-count", number, str(end.turns))
    for after, line in rest:
        if line.strip():
            yield Damage("after-end", after)
            return


def _old_turns(numbered: Iterator[tuple[int, str]]) -> Iterator[Turn | Damage]:
    for number, line in numbered:
        if not line.strip():
            continue
        try:
            row = OldTurn.model_validate_json(line)
        except ValidationError as fault:
            yield Damage("bad-line", number, _place(fault))
            return
        expects = row.model_dump(exclude={"at", "say"}, include=set(row.model_fields_set))
        yield Turn(None, row.at, row.say, None, None, expects, number)


def header_line(header: Header) -> str:
    """The header as the file's first line."""
    text = header.model_dump_json(exclude_defaults=False)
    given = {"format": FORMAT, "version": VERSION, **json.loads(text)}
    given["foods"] = [
        {**row, "facts": json.loads(codec.facts_short(food.facts))}
        for row, food in zip(given["foods"], header.foods, strict=True)
    ]
    return one_line_json(given)


def turn_line(number: int, at: datetime, say: str, events: Iterable[Event], reply: str) -> str:
    """One turn as a line. reply is JSON text, as the journal keeps it."""
    told = ", ".join(codec.event_json(event) for event in events)
    head = one_line_json({"turn": number, "at": at.isoformat(), "say": say})
    return f'{head[:-1]}, "events": [{told}], "reply": {reply}}}'


def end_line(turns: int) -> str:
    """The file's last line."""
    return one_line_json({"end": True, "turns": turns})

"""The session file: JSON Lines. A header, one object a turn, and an end line with their number.

Everything that a reply depends on is inside: the settings, foods and earlier events that the turns
read. Version 2 holds each reply whole; version 1 held a few of its figures, and is still read.
The models here are the published schema (``countaloud schema session``).
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Annotated, Any, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from assistant.counting.facts import FoodFacts
from assistant.dialogue.events import Event
from assistant.render.as_json import one_line_json
from assistant.store import codec

FORMAT = "countaloud session"
VERSION = 2

_Time = Annotated[datetime, Meta(tz=True)]
_Number = Annotated[int, Meta(ge=1, le=10**15)]


class _Row(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """An object with these keys and no other."""


def _within(at: datetime) -> None:
    if not 1900 <= at.year <= 9000:
        raise ValueError("no time of a session")


class SettingRow(_Row, frozen=True, kw_only=True):
    """One of the person's numbers, as it was said before the session."""

    turn: _Number
    at: _Time
    say: str
    name: str
    value: dict[str, Any]

    def __post_init__(self) -> None:
        _within(self.at)


class FoodRow(_Row, frozen=True, kw_only=True):
    """A food that the turns read, as it was when the session began.

    own: typed by the person, in turns that stand among the earlier ones; else it was imported.
    """

    food_id: str
    own: bool = True
    version: Annotated[int, Meta(ge=1, le=1000)] = 1
    retired: bool = False
    aliases: tuple[str, ...] = ()
    facts: FoodFacts


class EarlierRow(_Row, frozen=True, kw_only=True):
    """A turn before the session whose events, or whose time, the turns read."""

    turn: _Number
    at: _Time
    say: str
    events: tuple[Event, ...] = ()

    def __post_init__(self) -> None:
        _within(self.at)


class Header(_Row, frozen=True, kw_only=True):
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


class SessionTurn(_Row, frozen=True, kw_only=True):
    """One turn. reply is the object of ``countaloud schema reply``; null where it is not known."""

    turn: _Number
    at: _Time
    say: str
    events: tuple[Event, ...] = ()
    reply: dict[str, Any] | None = None

    def __post_init__(self) -> None:
        _within(self.at)


class EndRow(_Row, frozen=True, kw_only=True):
    """The last line: how many turns there are. A file without it was cut off."""

    end: bool = True
    turns: int

    def __post_init__(self) -> None:
        if not self.end:
            raise ValueError("an end line says that it is one")


class OldHeader(Struct, frozen=True):
    """The first line of version 1."""

    format: Literal["countaloud session"]
    version: Literal[1]
    title: str
    note: str = ""


class OldTurn(_Row, frozen=True, kw_only=True):
    """A turn of version 1: what had to come of it, as far as it was written down."""

    at: _Time
    say: str
    status: str | UnsetType | None = UNSET
    counted_carbs_g: int | float | UnsetType | None = UNSET
    suggested_units: int | float | UnsetType | None = UNSET
    rules: list[str] | UnsetType | None = UNSET

    def __post_init__(self) -> None:
        _within(self.at)

    @property
    def expects(self) -> dict[str, Any]:
        """What was written down."""
        figures = {name: getattr(self, name) for name in self.__struct_fields__[2:]}
        return {name: figure for name, figure in figures.items() if figure is not UNSET}


SessionRow = Header | SessionTurn | EndRow
"""Any line of a session file."""


class Turn(Struct, frozen=True):
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


class Damage(Struct, frozen=True):
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
            return codec.record_of(OldHeader, line)
        return codec.record_of(Header, line)
    except ValueError as fault:
        return Damage("bad-line", 1, _place(fault))


def _place(fault: ValueError) -> str:
    """The first place in the line that does not fit, and why."""
    told, _, place = str(fault).partition(" - at `$")
    return f"{place.removesuffix('`').lstrip('.')}: {told}" if place else told


def _turns(numbered: Iterator[tuple[int, str]]) -> Iterator[Turn | Damage]:
    count, number = 0, 1
    for number, line in numbered:
        if not line.strip():
            continue
        try:
            if '"end"' in line[:12]:
                end = codec.record_of(EndRow, line)
                yield from _ended(end, count, number, numbered)
                return
            row = codec.record_of(SessionTurn, line)
        except ValueError as fault:
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
            row = codec.record_of(OldTurn, line)
        except ValueError as fault:
            yield Damage("bad-line", number, _place(fault))
            return
        yield Turn(None, row.at, row.say, None, None, row.expects, number)


def header_line(header: Header) -> str:
    """The header as the file's first line."""
    return one_line_json(json.loads(codec.written(header)))


def turn_line(number: int, at: datetime, say: str, events: Iterable[Event], reply: str) -> str:
    """One turn as a line. reply is JSON text, as the journal keeps it."""
    told = ", ".join(codec.event_json(event) for event in events)
    head = one_line_json({"turn": number, "at": at.isoformat(), "say": say})
    return f'{head[:-1]}, "events": [{told}], "reply": {reply}}}'


def end_line(turns: int) -> str:
    """The file's last line."""
    return one_line_json({"end": True, "turns": turns})

"""Events and food facts as JSON text, and back. What cannot come back is refused at once."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import TYPE_CHECKING, Any, get_args

from assistant.counting.facts import FoodFacts
from assistant.dialogue.events import Event, SettingSaid

if TYPE_CHECKING:
    from pydantic import TypeAdapter

KINDS = frozenset(kind.__dataclass_fields__["kind"].default for kind in get_args(Event))
"""Every kind of event."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


@cache
def _event_adapter(kind: str) -> "TypeAdapter[Event]":
    """The reader of one kind of event: a turn needs few, and those of all take long to build.

    Raises ValueError for a kind that is none.
    """
    from pydantic import TypeAdapter  # noqa: PLC0415 - slow to import

    for known in get_args(Event):
        if known.__dataclass_fields__["kind"].default == kind:
            return TypeAdapter(known)
    raise ValueError(f"no event is of the kind {kind!r}")


@cache
def _facts_adapter() -> "TypeAdapter[FoodFacts]":
    from pydantic import TypeAdapter  # noqa: PLC0415 - slow to import

    return TypeAdapter(FoodFacts)


def _written(adapter: "TypeAdapter[Any]", value: object, what: str) -> str:
    """JSON that was read back once before it is trusted; ValueError where it does not return."""
    try:
        data = adapter.dump_json(value, warnings=False, fallback=_mapping)
        again = adapter.validate_json(data)
    except (ValueError, TypeError) as fault:
        raise ValueError(f"the journal cannot hold this {what}: {fault}") from fault
    if again != value:
        raise ValueError(f"the journal cannot hold this {what}: it does not read back the same")
    return data.decode()


def _mapping(value: object) -> dict[object, object]:
    if isinstance(value, Mapping):
        return dict(value)
    raise TypeError(f"not JSON: {type(value).__name__}")


def _plain(value: object) -> object:
    """Mappings and tuples as JSON knows them."""
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value


def event_json(event: Event) -> str:
    """The event as JSON text. Raises ValueError for one that could not be read back."""
    taken_at = getattr(event, "taken_at", None)
    if taken_at is not None:
        microseconds(taken_at)  # a time without offset could not be compared ever after
    if isinstance(event, SettingSaid):
        event = replace(event, value={key: _plain(inner) for key, inner in event.value.items()})
    return _written(_event_adapter(event.kind), event, event.kind)


def event_of(data: str) -> Event:
    """The event of its JSON text. Raises ValueError."""
    found = json.loads(data)
    kind = found.get("kind") if isinstance(found, dict) else None
    return _event_adapter(str(kind)).validate_json(data)


def facts_json(facts: FoodFacts) -> str:
    """The facts as JSON text. Raises ValueError for facts that could not be read back."""
    return _written(_facts_adapter(), facts, "food")


def facts_short(facts: FoodFacts) -> str:
    """The facts as JSON text without what is as it would be by itself; facts_of reads it."""
    return _facts_adapter().dump_json(facts, exclude_defaults=True, fallback=_mapping).decode()


def facts_of(data: str) -> FoodFacts:
    """The facts of their JSON text. Raises ValueError."""
    return _facts_adapter().validate_json(data)


def microseconds(at: datetime) -> int:
    """Whole microseconds since 1970 UTC, exact. Raises ValueError for a time without offset."""
    if at.utcoffset() is None:
        raise ValueError("a time needs its offset")
    return (at - _EPOCH) // _MICROSECOND

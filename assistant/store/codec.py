"""Events and food facts as JSON text, and back. What cannot come back is refused at once."""

from collections.abc import Hashable, Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from functools import cache
from typing import Any, Final, TypeVar, cast, get_args

from msgspec import MsgspecError
from msgspec.json import Decoder, Encoder
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts
from assistant.dialogue.events import Event, SettingSaid
from assistant.kinded import Kinded, kind_of

KINDS = frozenset(kind_of(kind) for kind in get_args(Event))
"""Every kind of event."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)

T = TypeVar("T")


def _plain(value: object) -> object:
    """What JSON has no form for: a fraction as text ("3/2"), a mapping as an object."""
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, Mapping):
        return dict(value)
    raise NotImplementedError(f"not JSON: {type(value).__name__}")


def _typed(kind: type, value: object) -> object:
    """The way back. A number with a point is not taken for a fraction: it may be off already."""
    if kind is Fraction and isinstance(value, str | int) and not isinstance(value, bool):
        try:
            return Fraction(value)
        except ZeroDivisionError as fault:
            raise ValueError(f"no number: {value}") from fault
    if kind is object:
        return value
    if kind is Fraction:
        raise TypeError(f"a figure stands in quotation marks, and not as {value}")
    raise TypeError(f"not {kind.__name__}: {value}")


_ENCODER: Final = Encoder(enc_hook=_plain)


def written(value: object) -> bytes:
    """A record as JSON text, exact. Raises ValueError or TypeError for what has no form there."""
    try:
        return _ENCODER.encode(value)
    except NotImplementedError as fault:
        raise TypeError(*fault.args) from fault


@cache
def _reader(kind: Hashable) -> Decoder[Any]:
    return Decoder(kind, dec_hook=_typed)


def record_of(kind: type[T], data: str | bytes) -> T:
    """A record of its JSON text. Raises ValueError, with the place, for other text."""
    try:
        return cast("T", _reader(cast("Hashable", kind)).decode(data))
    except (MsgspecError, RecursionError) as fault:
        raise ValueError(*fault.args) from fault


def _type_of(kind: str) -> type[Kinded]:
    """Raises ValueError for a kind that is none."""
    for known in get_args(Event):
        if kind_of(known) == kind:
            return cast("type[Kinded]", known)
    raise ValueError(f"no event is of the kind {kind!r}")


def _trusted(value: object, what: str) -> str:
    """JSON that was read back once before it is trusted; ValueError where it does not return."""
    try:
        data = written(value)
        again = record_of(type(value), data)
    except (ValueError, TypeError) as fault:
        raise ValueError(f"the journal cannot hold this {what}: {fault}") from fault
    if again != value:
        raise ValueError(f"the journal cannot hold this {what}: it does not read back the same")
    return data.decode()


def _lists(value: object) -> object:
    """Mappings and tuples as JSON knows them."""
    if isinstance(value, Mapping):
        return {key: _lists(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_lists(inner) for inner in value]
    return value


def event_json(event: Event) -> str:
    """The event as JSON text. Raises ValueError for one that could not be read back."""
    taken_at = getattr(event, "taken_at", None)
    if taken_at is not None:
        microseconds(taken_at)  # a time without offset could not be compared ever after
    if isinstance(event, SettingSaid):
        event = replace(event, value={key: _lists(inner) for key, inner in event.value.items()})
    return _trusted(event, event.kind)


def event_of(kind: str, data: str) -> Event:
    """The event of its kind and JSON text. Raises ValueError."""
    return cast("Event", record_of(_type_of(kind), data))


def facts_json(facts: FoodFacts) -> str:
    """The facts as JSON text. Raises ValueError for facts that could not be read back.

    What is as it would be by itself is left out.
    """
    return _trusted(facts, "food")


def facts_short(facts: FoodFacts) -> str:
    """The same text, where it need not be tried whether it reads back: of a table's row."""
    return written(facts).decode()


def facts_of(data: str) -> FoodFacts:
    """The facts of their JSON text. Raises ValueError."""
    return record_of(FoodFacts, data)


def microseconds(at: datetime) -> int:
    """Whole microseconds since 1970 UTC, exact. Raises ValueError for a time without offset."""
    if at.utcoffset() is None:
        raise ValueError("a time needs its offset")
    return (at - _EPOCH) // _MICROSECOND

"""Replays a session and compares each reply with the one in the file."""

import json
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any

from msgspec import Struct

from assistant.store import codec
from assistant.teaching.session_file import Damage, Header, Turn
from assistant.teaching.stage import FAULTS, Stage, staged


class Part(Struct, frozen=True):
    """One place in which two replies differ, as JSON text or a line of the spoken form.

    was or now is None where the other has no such line.
    """

    key: str
    was: str | None
    now: str | None


class Checked(Struct, frozen=True):
    """A turn, and where its reply of now differs from the file's; no parts: it is the same."""

    position: int
    turn: Turn
    parts: tuple[Part, ...] = ()


def verified(header: Header, turns: Iterator[Turn | Damage]) -> Iterator[Checked | Damage]:
    """Each turn, checked; ends after the first that differs, or at the damage."""
    first = next(turns, None)
    if first is None or isinstance(first, Damage):
        if first is not None:
            yield first
        return
    try:
        with staged(header) as stage:
            for position, turn in enumerate(_all(first, turns), 1):
                if isinstance(turn, Damage):
                    yield turn
                    return
                try:
                    checked = check(stage, position, turn)
                except (ValueError, OverflowError) as fault:
                    yield Damage("bad-line", turn.line, str(fault))
                    return
                yield checked
                if checked.parts:
                    return
    except FAULTS as fault:
        yield Damage("header", 1, str(fault))


def _all(first: Turn, rest: Iterator[Turn | Damage]) -> Iterator[Turn | Damage]:
    yield first
    yield from rest


def check(stage: Stage, position: int, turn: Turn) -> Checked:
    """Says the turn on the stage and compares."""
    _, outcome, reply = stage.say(turn.say, turn.at, turn.turn or 0)
    parts = list(compared(turn, json.loads(reply)))
    if turn.events is not None and turn.events != outcome.events:
        was = json.loads(turn.row)["events"] if turn.row else []
        now = [json.loads(codec.event_json(event)) for event in outcome.events]
        parts += islice(_apart("events", was, now), MOST)
    return Checked(position, turn, tuple(parts))


def compared(turn: Turn, reply: Mapping[str, Any]) -> Iterator[Part]:
    """The places where a reply is not what the file expects."""
    if turn.reply is None:
        yield from _compared_old(turn.expects, reply)
        return
    was = turn.reply
    for key in dict.fromkeys((*was, *reply)):
        if key in was and key in reply and was[key] == reply[key]:
            continue
        if key == "text" and isinstance(was.get(key), str):
            yield from _lines(str(was[key]), str(reply.get(key, "")))
            continue
        yield from islice(_apart(key, was.get(key, _NONE), reply.get(key, _NONE)), MOST)


MOST = 5
"""Places that are told of one part of a reply."""
_NONE = object()


def _apart(key: str, was: object, now: object) -> Iterator[Part]:
    """The places, all the way down, where a value of the file is not what it is now.

    What the file does not have in one of its events was added to the form later, and is no
    difference; so is a nutrient at the end of those of a meal.
    """
    if isinstance(was, dict) and isinstance(now, dict):
        names = was if key.startswith("events") else dict.fromkeys((*was, *now))
        for name in names:
            yield from _apart(f"{key}, {name}", was.get(name, _NONE), now.get(name, _NONE))
    elif isinstance(was, list) and isinstance(now, list):
        later = key.startswith("events") and key.endswith(", eaten") and len(was) < len(now)
        for at in range(len(was) if later else max(len(was), len(now))):
            pair = [side[at] if at < len(side) else _NONE for side in (was, now)]
            yield from _apart(f"{key} {at + 1}", *pair)
    elif was != now:
        yield Part(key, _told(was), _told(now))


def _told(value: object) -> str | None:
    return None if value is _NONE else json.dumps(value, ensure_ascii=False)


def _lines(was: str, now: str) -> Iterator[Part]:
    """The first line of the texts that differs."""
    old, new = was.splitlines(), now.splitlines()
    for at in range(max(len(old), len(new))):
        pair = (old[at] if at < len(old) else None, new[at] if at < len(new) else None)
        if pair[0] != pair[1]:
            yield Part(f"text, line {at + 1}", *pair)
            return


def _compared_old(expects: Mapping[str, Any], reply: Mapping[str, Any]) -> Iterator[Part]:
    """Version 1 held the status, the count, the dose and the rules."""
    dose = reply["dose"]
    found = {
        "status": reply["status"],
        "counted_carbs_g": reply["counted_carbs_g"],
        "suggested_units": dose["suggested_units"] if dose else None,
        "rules": [hit["rule"] for hit in reply["rules"]],
    }
    for key, was in expects.items():
        if found[key] != was:
            yield Part(key, json.dumps(was), json.dumps(found[key]))

"""Replays a session and compares each reply with the one in the file."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from assistant.teaching.session_file import Damage, Header, Turn
from assistant.teaching.stage import Stage, staged


@dataclass(frozen=True, slots=True)
class Part:
    """One place in which two replies differ, as JSON text or a line of the spoken form.

    was or now is None where the other has no such line.
    """

    key: str
    was: str | None
    now: str | None


@dataclass(frozen=True, slots=True)
class Checked:
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
                checked = check(stage, position, turn)
                yield checked
                if checked.parts:
                    return
    except (ValueError, LookupError) as fault:
        yield Damage("header", 1, str(fault))


def _all(first: Turn, rest: Iterator[Turn | Damage]) -> Iterator[Turn | Damage]:
    yield first
    yield from rest


def check(stage: Stage, position: int, turn: Turn) -> Checked:
    """Says the turn on the stage and compares."""
    _, outcome, reply = stage.say(turn.say, turn.at, turn.turn or 0)
    parts = list(compared(turn, json.loads(reply)))
    if turn.events is not None and turn.events != outcome.events:
        was = ", ".join(event.kind for event in turn.events)
        now = ", ".join(event.kind for event in outcome.events)
        parts.append(Part("events", was, now))
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
        yield Part(key, _told(was, key), _told(reply, key))


def _told(reply: Mapping[str, Any], key: str) -> str | None:
    return json.dumps(reply[key], ensure_ascii=False) if key in reply else None


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

"""Goes through a session turn by turn, forward and back, on a stage of its own."""

import json
from collections.abc import Iterator
from datetime import timedelta

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.replies import Reply
from assistant.render.as_json import as_json, one_line_json
from assistant.render.turns import turn
from assistant.teaching.session_file import Damage, Turn
from assistant.teaching.stage import Stage
from assistant.teaching.verify import compared
from assistant.values import Moment


class Shown(Struct, frozen=True):
    """A turn of the replay: its position from 1, the reply of now, and whether it is as it was.

    moment: when it was said, with its day where that is not the day of the turn before.
    """

    position: int
    turn: Turn
    reply: Reply
    same: bool
    moment: Moment


class Player:
    """Reads the file as far as it was asked for; what was read can be shown again."""

    def __init__(self, stage: Stage, turns: Iterator[Turn | Damage], *, keep: bool = True) -> None:
        """keep: turns can be gone back to; without it the memory stays flat."""
        self._stage = stage
        self._turns = turns
        self._keep = keep
        self._seen: list[tuple[Turn, int]] = []
        self._at = 0
        self._count = 0
        self._last: Turn | None = None
        self.damage: Damage | None = None
        """Why the file could not be read on, once that was met."""

    @property
    def position(self) -> int:
        """The turn that is shown, from 1; 0 before the first."""
        return self._at

    @property
    def read_so_far(self) -> int:
        """How many turns were read."""
        return self._count

    def next(self) -> Shown | None:
        """The next turn; None at the end."""
        if self._at < len(self._seen):
            return self.show(self._at + 1)
        found = next(self._turns, None)
        if found is None or isinstance(found, Damage):
            self.damage = found or self.damage
            return None
        try:
            number, outcome, told = self._stage.say(found.say, found.at, found.turn or 0)
        except (ValueError, OverflowError) as fault:
            self.damage = Damage("bad-line", found.line, str(fault))
            return None
        self._count += 1
        self._at = self._count
        before, self._last = self._last, found
        if self._keep:
            self._seen.append((found, number))
        return _shown(self._count, found, outcome.reply, told, before)

    def show(self, position: int) -> Shown | None:
        """A turn by its position; what lies before it is read first. None where there is none."""
        was = self._at
        while self._keep and len(self._seen) < position and self.damage is None:
            self._at = len(self._seen)
            if self.next() is None:
                self._at = was
                return None
        if not 1 <= position <= len(self._seen):
            return None
        found, number = self._seen[position - 1]
        self._at = position
        with self._stage.looking(number) as (record, foods):
            reply = turn(record, foods, found.say, found.at).reply
        before = self._seen[position - 2][0] if position > 1 else None
        return _shown(position, found, reply, one_line_json(as_json(reply)), before)

    def why(self) -> Reply | None:
        """The answer to "why" after the turn that is shown; None before the first."""
        if not self._at or not self._seen:
            return None
        found, _ = self._seen[self._at - 1]
        if self._at == len(self._seen):
            return self._stage.ask("why", found.at).reply
        with self._stage.looking(self._seen[self._at][1]) as (record, foods):
            return turn(record, foods, "why", found.at).reply


def _shown(position: int, found: Turn, reply: Reply, told: str, before: Turn | None) -> Shown:
    """told: the reply as JSON text."""
    same = not any(compared(found, json.loads(told)))
    return Shown(position, found, reply, same, moment_of(found, before))


def moment_of(found: Turn, before: Turn | None) -> Moment:
    """When a turn was said, with its day where that is not the day of the turn before."""
    new_day = before is None or before.at.date() != found.at.date()
    return Moment(found.at, found.at + _FAR if new_day else found.at)


_FAR = timedelta(days=400)
"""Seen from so far away a time is told with its day."""


def everything(player: Player) -> Iterator[Shown]:
    """Each turn in order, up to the end or the damage."""
    while (shown := player.next()) is not None:
        yield shown


def without_next(reply: Reply) -> Reply:
    """A reply of then, without what to type next: in a replay that would be no such place."""
    return replace(reply, lines=tuple(line for line in reply.lines if line.role != "next"))

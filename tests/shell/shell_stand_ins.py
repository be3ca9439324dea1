"""A store, a turn and streams for the tests of the shell, each as small as can be."""

import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import SimpleNamespace

from assistant.dialogue.outcome import Outcome
from assistant.dialogue.replies import Reply
from assistant.shell.world import World

PROGRAM = [sys.executable, "-m", "assistant.shell.main"]
"""The program as a process of its own."""


@dataclass
class Log:
    """What happened, in order."""

    steps: list[tuple] = field(default_factory=list)


class FakeStore:
    """Counts as a store: keeps rows on leaving the block, drops them on an exception."""

    warnings: tuple = ()

    def __init__(self, log: Log, fails_on: type[BaseException] | None = None) -> None:
        self.log, self.rows, self.fails_on = log, [], fails_on

    @contextmanager
    def turn(self) -> Iterator[SimpleNamespace]:
        new: list = []

        def keep(said_at, text, status, reply_json, events) -> int:
            if self.fails_on:
                raise self.fails_on
            new.append(SimpleNamespace(text=text, status=status, json=reply_json, events=events))
            return len(self.rows) + 1

        yield SimpleNamespace(record=None, foods=None, keep=keep)
        self.rows += new
        self.log.steps.append(("committed", [row.text for row in new]))

    @contextmanager
    def reading(self) -> Iterator[tuple]:
        yield None, SimpleNamespace(names=lambda: ("oat cereal", "orange juice"))

    def history(self, limit: int) -> list:
        return self.rows[-limit:]

    def look_after(self) -> tuple:
        return ()

    def close(self) -> None:
        self.log.steps.append(("closed",))


def fake_turn(record, foods, text, now) -> Outcome:
    """The status is the first word of the text; 'boom' is a bug."""
    word = text.split(" ")[0]
    if word == "boom":
        raise ValueError(text)
    status = word if word in ("asked", "refused", "failed") else "answered"
    return Outcome(Reply(status, (), facts={"said": text, "at": now}))


def world_of(typed: str | bytes = "", **environ: str) -> World:
    """A world of memory streams; standard input is no terminal."""
    raw = typed.encode() if isinstance(typed, str) else typed
    stdin = io.TextIOWrapper(io.BytesIO(raw), encoding="utf-8")
    stdout = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    return World(stdin, stdout, io.StringIO(), environ)


def written(world: World) -> str:
    """Everything on standard output so far."""
    world.stdout.flush()
    return world.stdout.buffer.getvalue().decode()

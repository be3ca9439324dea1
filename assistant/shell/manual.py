"""The help of the command line, one thing a line, so that it reads well aloud."""

from collections.abc import Iterator, Sequence
from typing import Protocol

from assistant.render.texts import TEXTS
from assistant.shell.words import say

TOPICS = ("chat", "spoken", "pipes", "data", "imports", "exits")
"""Help that is on no one command."""
OPTIONS = (
    ("--home DIR", "arg-home"),
    ("--at TIME", "arg-at"),
    ("--spoken", "arg-spoken"),
    ("-h, --help", "arg-help"),
)
"""Options of every command, and the text of each."""


class Named(Protocol):
    """What the manual tells of a command: its name, what it does, and its own words."""

    @property
    def name(self) -> str:
        """As it is typed."""
        ...

    @property
    def summary(self) -> str:
        """What it does, in a line."""
        ...

    @property
    def told(self) -> tuple[tuple[str, str], ...]:
        """Its own words and options -> what each is."""
        ...


def overview(commands: Sequence[Named]) -> str:
    """What the program does, its commands, its options and its exit codes."""
    return "\n".join(
        [
            say("about"),
            "",
            say("usage-plain"),
            "",
            f"{say('commands')}:",
            *(f"  {c.name}: {c.summary}." for c in commands),
            "",
            f"{say('options')}:",
            *_options(),
            "",
            say("exits"),
            say("see"),
            "",
        ]
    )


def of_command(command: Named) -> str:
    """One command: what it does, what it takes, and the options."""
    taken = [f"  {name}: {told}." for name, told in command.told]
    words = [f"{say('words')}:", *taken, ""] if taken else []
    usage = " ".join(
        [command.name, *(name for name, _ in command.told if not name.startswith("--"))]
    )
    return "\n".join(
        [
            f"{command.name}: {command.summary}.",
            say("usage", usage=usage),
            "",
            *words,
            f"{say('options')}:",
            *_options(),
            "",
        ]
    )


def _options() -> Iterator[str]:
    for name, code in OPTIONS:
        yield f"  {name}: {say(code)}."


def topic(name: str) -> str:
    """A topic, a sentence a line."""
    lines: list[str] = []
    while (code := f"shell-topic-{name}-{len(lines) + 1}") in TEXTS:
        lines.append(TEXTS[code])
    return "\n".join([*lines, ""])

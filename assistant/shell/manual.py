"""The help of the command line, one thing a line, so that it reads well aloud.

In spoken mode it is told in words: no indents, no quotation marks, and signs by their names, since
what is named here has to be typed exactly.
"""

import re
from collections.abc import Iterator, Sequence
from typing import Protocol

from assistant.render.texts import TEXTS
from assistant.shell.words import say
from grammar import patterns

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
    def usages(self) -> tuple[str, ...]:
        """Each way in which it is typed, without its options."""
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
    return "\n".join(
        [
            f"{command.name}: {command.summary}.",
            *(say("usage", usage=usage) for usage in command.usages),
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


def for_ear(text: str) -> str:
    """The help as a voice says it right: a sentence a line, and the signs by name."""
    paused = patterns.sub(r'" (or|and) "', r'", \1 "', text).replace('"', "")
    lines = [" ".join(line.split()) for line in paused.splitlines()]
    spoken = "\n".join(_by_name(line) for line in lines if line)
    if _COLUMN_NAME.search(text):
        spoken = say("underscores") + "\n" + _COLUMN_NAME.sub(_with_blanks, spoken)
    return spoken.replace("_", " underscore ") + "\n"


_COLUMN_NAME = patterns.compile(r"\b[a-z]+(?:_[a-z]+)+\b")


def _with_blanks(match: re.Match[str]) -> str:
    return match[0].replace("_", " ")


def _by_name(line: str) -> str:
    """Dashes and the equals sign by name."""
    line = patterns.sub(r"(?<!\S)-h, --help", "dash h, or dash dash help", line)
    line = patterns.sub(r"(?<!\S)--(?=[a-z])", "dash dash ", line)
    line = patterns.sub(r"(?<=\s)-(?=[\s,])", "dash", line)
    line = patterns.sub(r"(?<=[A-Z])=(?=\w)", " equals ", line)
    return patterns.sub(r"(?<=\w) = (?=\d)", " equals ", line)

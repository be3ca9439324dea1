"""What the process is given: its streams and its environment, in one value that tests can make."""

import os
import sys
from collections.abc import Iterator, Mapping
from io import TextIOWrapper
from typing import Literal, TextIO

from msgspec import Struct


class World(Struct, frozen=True):
    """The three standard streams and the environment."""

    stdin: TextIO
    stdout: TextIO
    stderr: TextIO
    environ: Mapping[str, str]

    @staticmethod
    def of_process() -> "World":
        """The process's own streams, which never fail on a character that they cannot hold."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="backslashreplace")
        if isinstance(sys.stdin, TextIOWrapper):
            sys.stdin.reconfigure(errors="surrogateescape")
        return World(sys.stdin, sys.stdout, sys.stderr, os.environ)

    @property
    def typed_by_hand(self) -> bool:
        """True where standard input is a terminal."""
        return self.stdin.isatty()

    @property
    def plain_terminal(self) -> bool:
        """True where lines cannot be edited in place: a dumb terminal, or output to a file."""
        return self.environ.get("TERM", "") in ("", "dumb") or not self.stdout.isatty()

    @property
    def color(self) -> bool:
        """True where colour is wanted and can be shown (NO_COLOR, as no-color.org has it)."""
        return not self.plain_terminal and not self.environ.get("NO_COLOR")

    @property
    def ink(self) -> Literal["plain", "bold", "color"]:
        """What letters may have: NO_COLOR takes the colour only, and weight stays."""
        return "plain" if self.plain_terminal else "color" if self.color else "bold"

    @property
    def width(self) -> int:
        """The columns of the terminal now; 80 where there is none."""
        told = self.environ.get("COLUMNS", "")
        if told.isdecimal() and int(told) > 0:
            return int(told)
        try:
            return os.get_terminal_size(self.stdout.fileno()).columns or 80
        except (OSError, ValueError):
            return 80

    @property
    def height(self) -> int | None:
        """The rows of the terminal now; None where there is none."""
        try:
            return os.get_terminal_size(self.stdout.fileno()).lines or None
        except (OSError, ValueError):
            return None

    def lines(self) -> Iterator[str]:
        """Standard input line by line, as UTF-8; bytes that are not become lone surrogates."""
        raw = getattr(self.stdin, "buffer", None)
        if raw is None:
            for line in self.stdin:
                yield line.rstrip("\r\n")
            return
        first = True
        for line in raw:
            text = line.decode("utf-8", "surrogateescape").rstrip("\r\n")
            yield text.removeprefix("\ufeff") if first else text
            first = False

    def as_utf8(self) -> None:
        """JSON is UTF-8 whatever the terminal's own encoding is."""
        if isinstance(self.stdout, TextIOWrapper):
            self.stdout.reconfigure(encoding="utf-8", errors="backslashreplace")

"""Regular expressions as ``re`` has them, each compiled once on a machine.

A turn looks for some three hundred sentences, and compiling their patterns took longer than all
else that it does. What ``re`` compiled is kept (kept.py) and is what ``re`` would compile: it is
held against that before it is written. For fixed texts alone: a pattern with words of the user in
it belongs to ``re``.
"""

import atexit
import re
import zlib
from array import array
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from typing import Any

I = re.IGNORECASE  # noqa: E741 - as re calls it
S = re.DOTALL
MOST = 5000
"""Patterns that are kept at most."""

_Row = tuple[int, bytes, int, dict[str, int], tuple[str | None, ...]]
"""Flags, code, number of groups, their names, and the name of each."""
_Key = tuple[int, int, int]
"""What the file finds a pattern by: the sum and the length of its text, and its flags. The text
itself stands beside the row and is compared."""


def _key(text: str, flags: int) -> _Key:
    return zlib.crc32(text.encode("utf-8", "surrogatepass")), len(text), flags


class _Shelf:
    """The patterns of this process: those that were kept, and those that are new."""

    def __init__(self) -> None:
        from grammar import kept  # noqa: PLC0415 - the file is opened with the first pattern

        self._kept = kept
        self._pieces = kept.Pieces("patterns")
        self.new: list[tuple[str, int]] = []
        atexit.register(self.keep_quietly)

    def row(self, text: str, flags: int) -> _Row | None:
        """The row of a pattern that was kept."""
        found = self._pieces.get(_key(text, flags))
        return found[1] if found is not None and found[0] == text else None

    def made(self, text: str, flags: int) -> re.Pattern[str]:
        """The pattern: of its row, or compiled."""
        row = self.row(text, flags)
        if row is not None and (found := _of_row(text, row)) is not None:
            return found
        made = re.compile(text, flags)
        self.new.append((text, flags))
        return made

    def keep_quietly(self) -> None:
        """As keep; what goes wrong in it is no matter of the user's: it is compiled next time."""
        with suppress(Exception):
            self.keep()
        self._pieces.close()

    def keep(self) -> None:
        """Writes what is new, with what is there by now."""
        if not self.new:
            return
        there = self._kept.Pieces("patterns")
        rows = {key: there.get(key) for key in there.keys()}  # noqa: SIM118 - no mapping
        there.close()
        for text, flags in self.new:
            row = _row_of(text, flags)
            if row is not None and len(rows) < MOST:
                rows[_key(text, flags)] = (text, row)
        self._kept.write_pieces("patterns", {key: row for key, row in rows.items() if row})


def _of_row(text: str, row: _Row) -> re.Pattern[str] | None:
    try:
        # What re itself ends in; another Python may have none.
        import _sre  # type: ignore[import-not-found] # noqa: PLC0415

        flags, code, groups, named, names = row
        found: re.Pattern[str] = _sre.compile(
            text, flags, array("I", code).tolist(), groups, named, names
        )
    except (ImportError, AttributeError, TypeError, ValueError, RuntimeError, OverflowError):
        return None
    return found


def _row_of(text: str, flags: int) -> _Row | None:
    """What re compiles this pattern to; None where this Python does not tell."""
    try:
        from re import _compiler, _parser  # type: ignore[attr-defined] # noqa: PLC0415

        parsed = _parser.parse(text, flags)
        state = parsed.state
        names: list[str | None] = [None] * state.groups
        for name, at in state.groupdict.items():
            names[at] = name
        code = array("I", _compiler._code(parsed, flags)).tobytes()
        row = (flags | state.flags, code, state.groups - 1, dict(state.groupdict), tuple(names))
    except (ImportError, AttributeError, TypeError, ValueError, OverflowError):
        return None
    return row if _of_row(text, row) == re.compile(text, flags) else None


@cache
def _shelf() -> _Shelf:
    return _Shelf()


@cache
def compile(text: str, flags: int = 0) -> re.Pattern[str]:
    """As re.compile."""
    return _shelf().made(text, int(flags))


def match(text: str, string: str, flags: int = 0) -> re.Match[str] | None:
    """As re.match."""
    return compile(text, flags).match(string)


def fullmatch(text: str, string: str, flags: int = 0) -> re.Match[str] | None:
    """As re.fullmatch."""
    return compile(text, flags).fullmatch(string)


def search(text: str, string: str, flags: int = 0) -> re.Match[str] | None:
    """As re.search."""
    return compile(text, flags).search(string)


def sub(
    text: str, put: str | Callable[[re.Match[str]], str], string: str, flags: int = 0
) -> str:  # fmt: skip
    """As re.sub."""
    return compile(text, flags).sub(put, string)


def split(text: str, string: str, flags: int = 0) -> list[Any]:
    """As re.split."""
    return compile(text, flags).split(string)


def findall(text: str, string: str, flags: int = 0) -> list[Any]:
    """As re.findall."""
    return compile(text, flags).findall(string)


def finditer(text: str, string: str, flags: int = 0) -> Iterator[re.Match[str]]:
    """As re.finditer."""
    return compile(text, flags).finditer(string)

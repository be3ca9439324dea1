"""What was typed, for the arrow keys: one JSON string a line in the data folder, private."""

import json
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

LONGEST = 1000
"""Entries that are read back; older ones stay in the file."""
MOST_BYTES = 1 << 20
"""So much of the file's end is read."""


class TypedLines:
    """The history file. It is made with mode 0600, for it holds what a person ate and took."""

    def __init__(self, path: Path, wanted: Callable[[], bool] = lambda: True) -> None:
        self._path = path
        self._wanted = wanted

    def load(self) -> list[str]:
        """Oldest first. A line that cannot be read is left out; no file is no history."""
        try:
            rows = _end_of(self._path).decode("utf-8", "replace").splitlines()
        except OSError:
            return []
        return [text for row in rows[-LONGEST:] if (text := _text_of(row))]

    def add(self, text: str) -> None:
        """Appends one entry. History is a convenience: a folder that refuses it is no error."""
        if not text.strip() or not self._wanted():
            return
        row = json.dumps(text) + "\n"
        try:
            handle = os.open(self._path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
            with open(handle, "a", encoding="utf-8") as file:
                self._path.chmod(0o600)
                file.write(row)
        except OSError:
            return

    def settle(self) -> None:
        """Removes what was kept, where the person does not want it kept."""
        if not self._wanted():
            with suppress(OSError):
                self._path.unlink(missing_ok=True)


def _end_of(path: Path) -> bytes:
    """The last part of the file, however long it has grown; a line cut in two is left out."""
    with open(path, "rb") as file:
        size = file.seek(0, os.SEEK_END)
        file.seek(max(size - MOST_BYTES, 0))
        content = file.read()
    return content if size <= MOST_BYTES else content.partition(b"\n")[2]


def _text_of(row: str) -> str:
    try:
        text = json.loads(row)
    except ValueError:
        return ""
    return text.encode("utf-8", "replace").decode() if isinstance(text, str) else ""

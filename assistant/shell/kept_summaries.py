"""learned.jsonl in the data folder: a learner's summaries, one a line. No journal, no backup."""

import os
from pathlib import Path

from msgspec import Struct

from assistant.store.forgetting import SUMMARIES
from assistant.teaching.summary import Summary, kept_line, read_kept


class Unread(Struct, frozen=True):
    """The file is there, but its last line is no summary, or it cannot be opened."""


def last_kept(folder: Path) -> Summary | Unread | None:
    """The newest summary; None where none was kept."""
    try:
        text = (folder / SUMMARIES).read_bytes().decode("utf-8")
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        return Unread()
    lines = [line for line in text.splitlines() if line.strip()]
    return (read_kept(lines[-1]) or Unread()) if lines else None


def keep(folder: Path, summary: Summary) -> str | None:
    """Adds a summary; why it could not, or None. The file is made with mode 0600."""
    path = folder / SUMMARIES
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        flags = os.O_RDWR | os.O_APPEND | os.O_CREAT
        handle = os.open(path, flags, 0o600)
        with os.fdopen(handle, "r+b") as file:
            os.fchmod(file.fileno(), 0o600)
            file.write(_begun(path) + kept_line(summary).encode() + b"\n")
    except OSError as fault:
        return (fault.strerror or str(fault)).casefold()
    return None


def _begun(path: Path) -> bytes:
    """A line that was cut off is ended first, so that it does not spoil the new one."""
    old = path.read_bytes()
    return b"\n" if old and not old.endswith(b"\n") else b""

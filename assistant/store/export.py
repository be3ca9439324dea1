"""Everything that the record holds, as one file of JSON Lines that needs no program to read.

Each line is one JSON object with "kind":
    about          the first line: "format", "version", "written_at", "imported_from"
    turn           "turn" (its number), "said_at", "text" (what was typed), "status", "undone",
                   "reply" (the reply as JSON had it then)
    event          "turn", "said_at", "event" (its own "kind" and fields; exact figures are text)
    food           "food_id", "version" (1 is the oldest), "forgotten", "names", "facts"
Times are ISO 8601 with an offset. Imported foods are named by their source alone: they are no data
of the user's, and can be imported again.
"""

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path

from assistant.store import backups, shelf
from assistant.store.problems import of_sqlite, of_system

FORMAT, VERSION = "countaloud export", 1

_TURNS = """
SELECT t.id, t.said_at, t.text, t.status, t.reply,
    EXISTS (SELECT 1 FROM events AS u WHERE u.undoes = t.id)
FROM turns AS t ORDER BY t.id
"""
_EVENTS = "SELECT turn, said_at, data FROM events ORDER BY id"
_FOODS = "SELECT food_id, version, retired, facts FROM foods ORDER BY food_id, version"
_NAMES = "SELECT DISTINCT name FROM names WHERE food_id = ? ORDER BY is_alias, name"


def write(connection: sqlite3.Connection, home: Path, name: str, now: datetime) -> Path:
    """Writes the file into the data folder, with mode 0600, whole or not at all.

    Raises StoreProblem.
    """
    target = home / name
    partial = home / f"{name}.{os.getpid()}.partial"
    try:
        partial.unlink(missing_ok=True)
        backups.make_private_file(partial)
        with open(partial, "w", encoding="utf-8", newline="\n") as file:
            for row in _rows(connection, home, now):
                file.write(json.dumps(row, ensure_ascii=False) + "\n")
            file.flush()
            os.fsync(file.fileno())
        partial.replace(target)
        backups.sync_folder(home)
    except sqlite3.Error as fault:
        raise of_sqlite(fault, home) from fault
    except OSError as fault:
        raise of_system(fault, home, "cannot-write") from fault
    finally:
        partial.unlink(missing_ok=True)
    return target


def _rows(connection: sqlite3.Connection, home: Path, now: datetime) -> Iterator[dict[str, object]]:
    yield {"kind": "about", "format": FORMAT, "version": VERSION, "written_at": now.isoformat(),
           "imported_from": _sources(home)}  # fmt: skip
    for number, said_at, text, status, reply, undone in connection.execute(_TURNS):
        yield {"kind": "turn", "turn": number, "said_at": said_at, "text": text, "status": status,
               "undone": bool(undone), "reply": _json(reply)}  # fmt: skip
    for turn, said_at, data in connection.execute(_EVENTS):
        yield {"kind": "event", "turn": turn, "said_at": said_at, "event": _json(data)}
    for food_id, version, retired, facts in connection.execute(_FOODS).fetchall():
        names = [row[0] for row in connection.execute(_NAMES, (food_id,))]
        yield {"kind": "food", "food_id": food_id, "version": version, "forgotten": bool(retired),
               "names": names, "facts": _json(facts)}  # fmt: skip


def _json(text: str) -> object:
    """The JSON; text that is none is given as it is: an export leaves nothing out."""
    try:
        return json.loads(text)
    except ValueError:
        return text


def _sources(home: Path) -> list[dict[str, str]]:
    """Where imported foods came from; none where there is no file or it cannot be read."""
    path = home / shelf.FILE
    if not path.exists():
        return []
    try:
        address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
        with closing(sqlite3.connect(address, uri=True)) as found:
            rows = found.execute("SELECT name, detail FROM sources ORDER BY id").fetchall()
    except sqlite3.Error:
        return []
    return [{"name": name, "detail": detail} for name, detail in rows]

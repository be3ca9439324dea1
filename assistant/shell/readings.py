"""'readings import FILE': readings out of a plain CSV, all in one turn or none."""

from argparse import ArgumentTypeError
from datetime import timedelta
from pathlib import Path

from assistant.dialogue.readings_import import imported, said
from assistant.dialogue.state import context
from assistant.diary.readings_file import NoSheet, read_sheet
from assistant.render.as_json import as_json, one_line_json
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.voice import voice_for
from assistant.shell.world import World
from grammar import patterns

LARGEST = 20 * 1024 * 1024
"""Bytes of a file; a year of readings is far below."""

MANY = 10_000
"""Lines of a file from which a word is said before the wait."""


def offset(text: str) -> timedelta:
    """+01:00 or -05:30. Raises ArgumentTypeError."""
    match = patterns.fullmatch(r"([+-])(\d{2}):([0-5]\d)", text)
    if match is None or int(match[2]) > 14:
        raise ArgumentTypeError(words.say("not-an-offset"))
    size = timedelta(hours=int(match[2]), minutes=int(match[3]))
    return -size if match[1] == "-" else size


def readings(options: Options, world: World) -> int:
    """Imports the file. 0; 1 where it cannot be read as such a file."""
    from assistant.store.store import Store

    voice = voice_for(options, world)
    path = Path(options.rest[0])
    now = options.clock()
    text = _text(path)
    if isinstance(text, str) and (lines := text.count("\n")) > MANY:
        voice.trouble(words.say("readings-many", lines=lines))
    sheet = read_sheet(text, now, options.get("offset")) if isinstance(text, str) else text
    if isinstance(sheet, NoSheet):
        voice.trouble(words.say(f"readings-{sheet.why}", file=path.name, said=sheet.said))
        return 1
    store = Store.open(home_of(options, world), now)
    try:
        with store.turn() as tx:
            outcome = imported(context(tx.record, tx.foods, "", now), path.name, sheet)
            kept = one_line_json(as_json(outcome.reply))
            tx.keep(now, said(path.name), outcome.reply.status, kept, outcome.events)
    finally:
        store.close()
    voice.reply(outcome.reply)
    return 0


def _text(path: Path) -> str | NoSheet:
    try:
        if path.stat().st_size > LARGEST:
            return NoSheet("too-long")
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        return NoSheet("not-text")
    except (OSError, ValueError) as fault:
        return NoSheet("not-there", getattr(fault, "strerror", None) or type(fault).__name__)

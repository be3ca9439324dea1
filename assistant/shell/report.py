"""'report' and the sentence "report for the visit": the report on standard output or in a file."""

import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from assistant.dialogue.after import REPORT, unit_of
from assistant.dialogue.diary_of import diary_of
from assistant.dialogue.outcome import Outcome, caution, fact
from assistant.dialogue.periods import MOST, USUAL
from assistant.dialogue.state import context
from assistant.dialogue.visit import Visit, visit
from assistant.diary.entries import Days
from assistant.diary.figures import figures
from assistant.report.forms import ENDINGS, written
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.voice import voice_for
from assistant.shell.world import World
from assistant.values import Name
from grammar.lookback import read_day

if TYPE_CHECKING:
    from assistant.dialogue.record import Foods, Record


def visit_of(record: "Record", foods: "Foods", days: Days, now: datetime) -> Visit:
    """The report's content, read from a record."""
    ctx = context(record, foods, "", now)
    whole = diary_of(record, days.first)
    return visit(ctx, figures(whole, days, unit_of(ctx, whole)))


def report(options: Options, world: World) -> int:
    """Writes the report. 0; 1 where the file could not be written; 2 for days that are none."""
    from assistant.store.backups import write_new
    from assistant.store.store import Store

    voice = voice_for(options, world)
    now = options.clock()
    last = options.get("to") or now.date()
    first = options.get("from") or last - timedelta(days=USUAL[REPORT] - 1)
    if last < first or first > now.date() or (last - first).days >= MOST:
        voice.trouble(words.say("report-days", most=MOST))
        return 2
    if last > now.date():  # beside the report, which may go to standard output
        voice.trouble(words.say("report-until-today", last=last, today=now.date()))
    store = Store.open(home_of(options, world), now)
    try:
        with store.reading() as (record, foods):
            found = visit_of(record, foods, Days(first, min(last, now.date())), now)
    finally:
        store.close()
    text = written(found, options.get("as") or "markdown")
    out: Path | None = options.get("out")
    if out is None:
        world.as_utf8()
        world.stdout.write(text)
        return 0
    try:
        write_new(out, text)
    except FileExistsError:
        voice.trouble(words.say("report-there", file=out))
        return 1
    except OSError as fault:
        voice.trouble(words.say("report-failed", file=out, why=fault.strerror or str(fault)))
        return 1
    voice.tell(words.say("report-done", file=out))
    return 0


def kept_beside(
    record: "Record", foods: "Foods", outcome: Outcome, now: datetime, home: Path
) -> Outcome:
    """The report of a turn, in a file of the data folder, and its place in the answer."""
    from assistant.store.backups import make_private_folder, write_new
    from assistant.store.forgetting import REPORTS

    told = outcome.reply.facts[REPORT]
    assert isinstance(told, dict)
    first, last = read_day(told["first"]), read_day(told["last"])
    assert first is not None
    assert last is not None
    text = written(visit_of(record, foods, Days(first, last), now), told["shape"])
    file = home / REPORTS / f"visit-{first}-to-{last}.{ENDINGS[told['shape']]}"
    try:
        make_private_folder(file.parent)
        new = file.with_name(f".{file.name}.new")
        new.unlink(missing_ok=True)
        write_new(new, text)
        os.replace(new, file)
        line = fact("report-written", file=Name(str(file)))
    except OSError as fault:
        line = caution("report-not-written", why=Name(fault.strerror or str(fault)))
    reply = outcome.reply
    facts = {
        **reply.facts,
        REPORT: {**told, "file": str(file)},
        "aside": REPORT,
    }  # a file on a disk is no part of a talk to be shared
    lines = (reply.lines[0], line, *reply.lines[1:])
    return replace(outcome, reply=replace(reply, lines=lines, facts=facts))

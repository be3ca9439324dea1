"""'foods import', 'foods export' and 'foods sources'."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.importing.places import Place
from assistant.importing.rows import Fault, Layout
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.voice import Voice, voice_for
from assistant.shell.world import World
from grammar.words import printable

if TYPE_CHECKING:
    from assistant.importing.layouts import Unknown
    from assistant.shell.food_import import Tally


def foods(options: Options, world: World) -> int:
    """Runs the sub-word. 0 done, 1 not done, 2 wrong usage."""
    subs: dict[str, tuple[Callable[[Options, Voice], int], int, int]] = {
        "import": (_import, 2, 2), "export": (_export, 1, 2), "sources": (_sources, 1, 1),
    }  # fmt: skip
    voice = voice_for(options, world)
    sub = options.rest[0] if options.rest else ""
    run, least, most = subs.get(sub, (None, 0, 0))
    if run is None or not least <= len(options.rest) <= most:
        voice.trouble(words.say("foods-usage"))
        return 2
    return run(options, voice)


def _import(options: Options, voice: Voice) -> int:
    from assistant.importing.layouts import Unknown, recognised
    from assistant.shell.food_import import UnreadableError

    path = Path(options.rest[1]).expanduser()
    try:
        place = Place(path)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        voice.trouble(words.say("foods-unreadable", path=path, why=why))
        return 1
    try:
        layout = recognised(place)
        if isinstance(layout, Unknown):
            voice.trouble(_unknown(layout, path))
            return 1
        return _read(layout, place, options, voice)
    except (OSError, EOFError, UnreadableError) as fault:  # it went away, or its archive is cut off
        why = getattr(fault, "strerror", None) or str(fault)
        voice.trouble(words.say("foods-unreadable", path=path, why=why))
        return 1
    finally:
        place.close()


def _unknown(found: "Unknown", path: Path) -> str:
    from assistant.importing.layouts import LAYOUTS

    if found.why in {"unknown", "several"}:
        names = found.names or tuple(layout.name for layout in LAYOUTS)
        known = "; ".join(words.say(f"layout-{name}") for name in names)
        return words.say(f"foods-{found.why}", path=path, known=known)
    return words.say(f"foods-{found.why}", path=path, files=", ".join(found.names[:6]))


def fault_sentence(fault: Fault) -> str:
    """One line for one row that was not taken, or not wholly."""
    code = "kept" if fault.kept else "out"
    place = words.say("foods-place", file=fault.file, line=fault.line) if fault.file else ""
    why = words.say(f"fault-{fault.why}")
    said = " ".join(printable(fault.said).split())[:120]
    return words.say(f"foods-fault-{code}", place=place, why=why, said=said).strip()


def _read(layout: Layout, place: Place, options: Options, voice: Voice) -> int:
    from assistant.shell.food_import import FAULTS, FaultFile, bring_in
    from assistant.shell.import_progress import progress

    home = home_of(options, voice.world).absolute()
    with progress(voice) as step:
        kept = FaultFile(home, fault_sentence)
        tally = bring_in(home, layout.read(place), options.clock(), step, kept)
    if not tally.faults:
        kept.none()
    lines = _told(layout, tally)
    if voice.mode == "json":
        data = {
            "status": "answered", "text": " ".join(lines), "layout": layout.name,
            "foods": tally.read, "added": tally.done["added"], "changed": tally.done["changed"],
            "same": tally.done["same"], "older": tally.done["older"], "left_out": tally.left_out,
            "sources": [{"name": n, "licence": t} for n, t in sorted(tally.sources.items())],
            "faults": [{"file": f.file, "line": f.line, "why": f.why, "said": f.said,
                        "kept": f.kept, "text": fault_sentence(f)} for f in tally.faults],
            "fault_file": str(home / FAULTS) if tally.faults else None,
        }  # fmt: skip
        voice.line(json.dumps(data, ensure_ascii=False))
        return 0
    for line in lines:
        voice.tell(line)
    for fault in tally.faults:
        voice.tell(fault_sentence(fault))
    if tally.faults:
        voice.tell(words.say("foods-fault-file", path=home / FAULTS))
    return 0


def _told(layout: Layout, tally: "Tally") -> list[str]:
    lines = [words.say("foods-layout", layout=words.say(f"layout-{layout.name}"))]
    lines += [words.say("foods-source", name=n, terms=t or words.say("foods-no-terms"))
              for n, t in sorted(tally.sources.items())]  # fmt: skip
    if not tally.read:
        lines.append(words.say("foods-none"))
    elif not tally.changed:
        lines.append(words.say("foods-same", count=tally.read))
    else:
        lines.append(words.say("foods-done", count=tally.read, added=tally.done["added"],
                               changed=tally.done["changed"], same=tally.done["same"]))  # fmt: skip
    for code, count in (("older", tally.done["older"]), ("left-out", tally.left_out),
                        ("marked", tally.marked)):  # fmt: skip
        if count:
            lines.append(words.say(f"foods-{code}", count=count))
    return lines


def _export(options: Options, voice: Voice) -> int:
    from assistant.importing.plain_lines import written
    from assistant.store.backups import write_new
    from assistant.store.store import Store

    home = home_of(options, voice.world)
    store = Store.open(home, options.clock())
    try:
        lines = store.own_foods(written)
    finally:
        store.close()
    if len(options.rest) < 2:
        voice.world.as_utf8()
        for line in lines:
            voice.line(line)
        return 0
    path = Path(options.rest[1]).expanduser()
    try:
        write_new(path, "".join(f"{line}\n" for line in lines))
    except OSError as fault:
        why = fault.strerror or type(fault).__name__
        voice.trouble(words.say("foods-not-written", path=path, why=why))
        return 1
    count = len(lines) - 1
    told = words.say("foods-written", count=count, path=path)
    if voice.mode == "json":
        data = {"status": "answered", "foods": count, "file": str(path), "text": told}
        voice.line(json.dumps(data, ensure_ascii=False))
    else:
        voice.tell(told)
    return 0


def _sources(options: Options, voice: Voice) -> int:
    from assistant.store.shelf import Shelf

    shelf = Shelf(home_of(options, voice.world).absolute())
    try:
        rows = shelf.sources()
    finally:
        shelf.close()
    if voice.mode == "json":
        found = [{"name": n, "licence": t, "foods": c} for n, t, c in rows]
        voice.line(json.dumps({"status": "answered", "sources": found}, ensure_ascii=False))
        return 0
    for name, terms, count in rows:
        voice.tell(words.say("foods-source-row", name=name, count=count,
                             terms=terms or words.say("foods-no-terms")))  # fmt: skip
    if not rows:
        voice.tell(words.say("foods-no-sources"))
    return 0

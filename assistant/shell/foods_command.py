"""'foods import', 'foods export' and 'foods sources'."""

import json
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.importing.places import UNREADABLE, Place, why_unreadable
from assistant.importing.rows import Fault, Layout
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.voice import Voice, voice_for
from assistant.shell.world import World
from grammar.words import printable

if TYPE_CHECKING:
    from assistant.counting.facts import Food
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
    path = Path(options.rest[1]).expanduser()
    try:
        found = _brought(path, options, voice)
    except KeyboardInterrupt:
        voice.trouble(words.say("foods-stopped"))
        return 130
    if isinstance(found, str):
        voice.trouble(found)
        return 1
    return _tell(*found, options, voice)


def _brought(path: Path, options: Options, voice: Voice) -> "tuple[Layout, Tally] | str":
    """What the import did, or why nothing was read. Nothing is told before it is done, so that a
    fault of telling cannot be taken for one of reading."""
    from assistant.importing.layouts import Unknown, recognised
    from assistant.shell.food_import import FaultFile, UnreadableError, bring_in
    from assistant.shell.import_progress import progress

    home = home_of(options, voice.world).absolute()
    place: Place | None = None
    try:
        place = Place(path)
        layout = recognised(place)
        if isinstance(layout, Unknown):
            return _unknown(layout, path)
        with progress(voice) as step:
            kept = FaultFile(home, fault_sentence)
            tally = bring_in(home, layout.read(place), options.clock(), step, kept)
        if not tally.faults:
            kept.none()
        return layout, tally
    except (*UNREADABLE, UnreadableError) as fault:  # it went away, or its archive is cut off
        why = why_unreadable(fault.__cause__ or fault) or words.say("foods-cut-off")
        return words.say("foods-unreadable", path=shown(path), why=why)
    finally:
        if place is not None:
            place.close()


LISTED = 6
"""Files that are named one by one."""


def _unknown(found: "Unknown", path: Path) -> str:
    from assistant.importing.layouts import LAYOUTS

    fields: dict[str, object] = {"path": shown(path)}
    if found.why in {"unknown", "several"}:
        names = found.names or tuple(layout.name for layout in LAYOUTS)
        fields["known"] = "; ".join(words.say(f"layout-{name}") for name in names)
    elif found.why == "mixed":
        fields["kinds"] = "; ".join(_kind(name, files) for name, files in found.groups)
    else:
        fields["files"] = _listed(found.names)
        if found.groups:
            fields["layout"] = words.say(f"layout-{found.groups[0][0]}")
    return words.say(f"foods-{found.why}", **fields)


def _kind(name: str, files: tuple[str, ...]) -> str:
    layout = words.say(f"layout-{name}")
    if not files:  # files that belong together
        return words.say("foods-kind-whole", layout=layout)
    count = many(len(files), "file")
    return words.say("foods-kind", layout=layout, count=count, files=_listed(files))


def _listed(names: tuple[str, ...]) -> str:
    """The first few names, and how many there are beside them."""
    listed = ", ".join(shown(name) for name in names[:LISTED])
    if len(names) <= LISTED:
        return listed
    return words.say("foods-and-more", files=listed, count=len(names) - LISTED)


def many(count: int, thing: str) -> str:
    """ "1 food", "2 foods"."""
    if count == 1:
        return words.say(f"one-{thing}", count=count)
    return words.say(f"many-{thing}s", count=count)


def shown(text: object) -> str:
    """A name as it can be shown: without control characters, on one line."""
    return " ".join(printable(str(text)).split())


def fault_sentence(fault: Fault) -> str:
    """One line for one row that was not taken, or not wholly."""
    code = "kept" if fault.kept else "out"
    file = shown(fault.file)
    place = words.say("foods-place", file=file, line=fault.line) if fault.file else ""
    why = words.say(f"fault-{fault.why}")
    said = shown(fault.said)[:120]
    return words.say(f"foods-fault-{code}", place=place, why=why, said=said).strip()


def _tell(layout: Layout, tally: "Tally", options: Options, voice: Voice) -> int:
    from assistant.shell.food_import import FAULTS

    home = home_of(options, voice.world).absolute()
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
            "replaced": tally.replaced or None,
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
    none = words.say("foods-no-terms")
    lines += [
        words.say("foods-source", name=shown(name), terms=shown(terms) or none)
        for name, terms in sorted(tally.sources.items())
    ]
    if not tally.read:
        lines.append(words.say("foods-none"))
    elif not tally.changed:
        lines.append(words.say("foods-same" if tally.read > 1 else "foods-same-one",
                               count=tally.read))  # fmt: skip
    else:
        lines.append(words.say("foods-done", count=many(tally.read, "food"),
                               added=tally.done["added"], changed=tally.done["changed"],
                               same=tally.done["same"]))  # fmt: skip
    for code, count, thing in (("older", tally.done["older"], "food"),
                               ("left-out", tally.left_out, "row"),
                               ("marked", tally.marked, "note")):  # fmt: skip
        if count:
            lines.append(words.say(f"foods-{code}", count=many(count, thing)))
    if tally.replaced:
        lines.append(words.say("foods-replaced", file=tally.replaced))
    return lines


def _export(options: Options, voice: Voice) -> int:
    from assistant.importing.plain_lines import written
    from assistant.store.backups import write_new
    from assistant.store.store import Store

    home = home_of(options, voice.world)
    without: list[Food] = []
    store = Store.open(home, options.clock())
    try:
        lines = store.own_foods(lambda foods: written(_with_figures(foods, without)))
    finally:
        store.close()
    told = _not_written(without)
    if len(options.rest) < 2 or options.rest[1] == "-":
        voice.world.as_utf8()
        for line in lines:
            voice.line(line)
        if told:
            voice.world.stderr.write(told + "\n")
        return 0
    path = Path(options.rest[1]).expanduser()
    try:
        write_new(path, "".join(f"{line}\n" for line in lines))
    except OSError as fault:
        why = fault.strerror or type(fault).__name__
        voice.trouble(words.say("foods-not-written", path=shown(path), why=why))
        return 1
    count = len(lines) - 1
    sentences = [words.say("foods-written", count=many(count, "food"), path=shown(path))]
    sentences += [told] if told else []
    if voice.mode == "json":
        data = {
            "status": "answered", "foods": count, "file": str(path), "text": " ".join(sentences),
            "not_written": [food.facts.name for food in without],
        }  # fmt: skip
        voice.line(json.dumps(data, ensure_ascii=False))
    else:
        for sentence in sentences:
            voice.tell(sentence)
    return 0


def _with_figures(foods: "Iterable[Food]", without: "list[Food]") -> "Iterator[Food]":
    """The foods that have figures of their own. A recipe and an estimate are counted from other
    foods, which a line of figures cannot tell: they are put aside, to be named."""
    for food in foods:
        if food.facts.recipe is not None or food.facts.like:
            without.append(food)
        else:
            yield food


def _not_written(foods: "list[Food]") -> str:
    """Every food that was put aside, by its name; empty where there is none."""
    if not foods:
        return ""
    names = "; ".join(
        words.say("foods-a-recipe" if f.facts.recipe else "foods-an-estimate", name=f.facts.name)
        for f in foods
    )
    return words.say("foods-without-figures", names=shown(names))


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
        voice.tell(words.say("foods-source-row", name=shown(name), count=many(count, "food"),
                             terms=shown(terms) or words.say("foods-no-terms")))  # fmt: skip
    if not rows:
        voice.tell(words.say("foods-no-sources"))
    return 0

"""The benchmark: figures as ratios against an anchor in the same run, and the label trials.

Nothing here is a test: a slow machine is no fault. Each line prints the median of several rounds
and their spread.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial

from assistant.shell.bench_samples import PHRASE
from assistant.shell.timing import milliseconds, ratio, rounds, spread

LABEL = """Nutrition Facts
8 servings per container
Serving size 2/3 cup (55g)
Calories 230
Total Fat 8g 10%
Saturated Fat 1g 5%
Trans Fat 0g
Cholesterol 0mg 0%
Sodium 160mg 7%
Total Carbohydrate 37g 13%
Dietary Fiber 4g 14%
Total Sugars 12g
Includes 10g Added Sugars 20%
Protein 3g
Vitamin D 2mcg 10%
Calcium 260mg 20%
Iron 8mg 45%
Potassium 235mg 6%
"""


def lines(parts: Sequence[str] = ()) -> Iterator[str]:
    """The benchmark's lines, as they are printed: of every part, or of those named."""
    from assistant.shell import bench_journal, bench_library, bench_sessions, bench_start

    each: dict[str, Callable[[], Iterable[str]]] = {
        "reading": _reading,
        "phrases": _phrases,
        "start": bench_start.lines,
        "library": bench_library.lines,
        "journal": bench_journal.lines,
        "sessions": bench_sessions.lines,
    }
    long: dict[str, Callable[[], Iterable[str]]] = {"sessions-long": bench_sessions.long_lines}
    named = {**each, **long}
    unknown = [part for part in parts if part not in named]
    if unknown:
        yield f"There is no part {unknown[0]}. The parts are {', '.join(named)}."
        return
    for name in parts or each:
        yield from named[name]()


PHRASES = 2000
"""Made phrases that one run of the benchmark tries."""


def _phrases() -> list[str]:
    from assistant.shell.phrase_trials import trials

    found = trials(PHRASES, seed=20260302)
    return [
        f"made phrases tried {found.tried}: answered right {found.right}, asked {found.asked}, "
        f"answered wrong {found.wrong}",
        f"of these, plain phrases {found.plain_tried}: answered right {found.plain_right}",
    ]


def _hostile() -> str:
    """The piece whose reading grows most as the text of it doubles to the longest allowed, by
    time; 2 is as the length, 4 as its square."""
    from assistant.shell.label_trials import HOSTILE
    from grammar.labels import LONGEST, read_label

    found: list[tuple[float, str]] = []
    for piece in HOSTILE:
        whole = (piece * LONGEST)[:LONGEST]
        half = min(milliseconds(partial(read_label, whole[: LONGEST // 2])) for _ in range(3))
        full = min(milliseconds(partial(read_label, whole)) for _ in range(3))
        found.append((full / half, piece.strip()))
    growth, piece = max(found)
    return f"reading twice as much of a hostile text, the worst ratio: {growth:.2f} ({piece!r})"


def _reading() -> list[str]:
    from assistant.shell.label_trials import TRIALS, detection
    from grammar import kept, parsing, phrases
    from grammar.labels import read_label
    from grammar.phrases import read_phrase

    lark = parsing.lark_of(kept.text_of("food.lark"), re.I, ("start",), by_state=False)
    ours = phrases._parser()
    bare = rounds(lambda: lark.parse(PHRASE), 100)
    driver = rounds(lambda: ours.tree(ours.tokens(PHRASE)), 100)
    phrase = rounds(lambda: read_phrase.__wrapped__(PHRASE), 100)
    label = rounds(lambda: read_label(LABEL), 20)
    found = {region: float(detection(region, seed=20260302)) for region in ("US", "EU")}
    return [
        f"reading a phrase against lark's bare parse of it, goal 3 or less: {ratio(phrase, bare)}",
        f"of that, our own driver of lark's tables: {ratio(driver, bare)}",
        *_against_extractor(phrase),
        f"reading a US label against lark's bare parse of a phrase: {ratio(label, bare)}",
        f"reading a US label, milliseconds: {spread(label)}",
        _hostile(),
        *(
            f"{region} labels with one digit changed, caught of {TRIALS}: {share:.1%}"
            for region, share in found.items()
        ),
    ]


def _against_extractor(phrase: Sequence[float]) -> list[str]:
    """Against a general extractor of quantities, where one is installed; it is no dependency."""
    try:
        from quantulum3 import parser
    except ImportError:
        return ["no general quantity extractor (quantulum3) is installed, so none is compared"]
    general = rounds(lambda: parser.parse(PHRASE), 1)
    told = ratio(phrase, general)
    return [f"reading a phrase against a general quantity extractor, goal 0.2 or less: {told}"]

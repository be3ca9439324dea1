"""The benchmark of finding foods: a library of a million against one of a hundred."""

import csv
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.shell import library_trials, timing
from assistant.shell.session import Session
from assistant.store import shelf_writer
from assistant.store.store import Store

FEW, MANY = 100, 1_000_000
IMPORTED = 1_000_000
TABLE = 100_000
"""Foods of a plain table that is read."""
FILLINGS = 2
"""Rounds of filling: each takes a minute or more."""
NUMBERS = ("count net carbohydrate",)

TURNS = (
    ("two foods by their exact names", "1 cup of milk plus 100 g of oat cereal"),
    ("a slip in a name", "100 g of mlik"),
    ("slips in two words", "100 g of oat ceral"),
    ("words in another order", "100 g of cereal oat"),
    ("a name that nothing is like", "100 g of zzzzzz"),
    ("a long name of common words", "100 g of low fat milk and bread"),
)
CHAT = "\n".join(text for _, text in TURNS) * 3


def lines() -> Iterator[str]:
    """Ratios of a turn, of a start and of memory; and what an import costs."""
    with TemporaryDirectory() as folder:
        few, many = Path(folder, "few"), Path(folder, "many")
        for home, count in ((few, FEW), (many, MANY)):
            library_trials.fill(home, count)
            timing.program("--home", str(home), "ask", "-", typed="\n".join(NUMBERS))
        yield f"Library of {MANY:,} invented foods against one of {FEW:,}:"
        yield from _turns(few, many)
        yield from _offers(many)
        starts = timing.interleaved(
            [_start(few), _start(many)],
        )
        cold = timing.ratio(starts[1], starts[0])
        yield f"  one turn from a cold start, goal 2.0 or less: {cold}"
        peaks = [timing.peak_memory(str(home), CHAT) for home in (few, many)]
        yield f"  most memory of a warm chat, goal 1.3 or less: {peaks[1] / peaks[0]:.3f}"
    yield from _import()


def _start(home: Path) -> Callable[[], object]:
    return lambda: timing.program("--home", str(home), "ask", "--json", TURNS[0][1])


def _turns(few: Path, many: Path) -> Iterator[str]:
    with closing(_opened(few)) as small, closing(_opened(many)) as large:
        sessions = [Session(store, _now) for store in (small, large)]
        for name, text in TURNS:
            times = timing.interleaved([partial(session.say, text) for session in sessions], 50)
            worst = timing.highest(times[1])
            yield (
                f"  {name}, goal 2.0 or less: {timing.ratio(times[1], times[0])}; "
                f"99 of 100 within {worst:.1f} ms"
            )


def _offers(home: Path) -> Iterator[str]:
    with closing(_opened(home)) as store, store.reading() as (_, foods):
        found = [(typed, name in foods.near(typed)) for typed, name in library_trials.SLIPS]
    missed = [typed for typed, offered in found if not offered]
    hits = len(found) - len(missed)
    yield f"  slips and other orders that are offered the name meant: {hits} of {len(found)}"
    for typed in missed:
        yield f"    not offered: {typed}"


def _import() -> Iterator[str]:
    rows = list(library_trials.rows(IMPORTED))
    ratios = []
    for _ in range(FILLINGS):
        with TemporaryDirectory() as folder:
            bare = timing.milliseconds(lambda: _bare(Path(folder, "bare.db"), rows))
            whole = timing.milliseconds(lambda: _shelved(Path(folder, "home"), rows))
        ratios.append(whole / bare)
    yield (
        f"Putting {IMPORTED:,} foods on the shelf against bare inserts and an index, "
        f"goal 3 or less: {timing.spread(ratios)}"
    )
    with TemporaryDirectory() as folder:
        some = rows[:TABLE]
        bare = timing.milliseconds(lambda: _bare(Path(folder, "bare.db"), some))
        file = _plain_table(Path(folder, "plain.csv"), some)
        home = str(Path(folder, "home"))
        whole = timing.milliseconds(
            lambda: timing.program("--home", home, "foods", "import", str(file))
        )
    yield (
        f"  with reading {TABLE:,} of them from a plain table, each figure checked and each sum, "
        f"no goal: {whole / bare:.1f}"
    )


def _plain_table(path: Path, rows: Sequence[tuple[str, str, str]]) -> Path:
    """The names of these foods in the plain table, with figures of their own."""
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(("id", "name", "per", "carbohydrate_is", "carbohydrate_g", "fibre_g", "fat_g"))
        for number, (food_id, name, _) in enumerate(rows):
            figures = (number % 600 / 10, number % 70 / 10, number % 130 / 10)
            out.writerow((food_id, name, "100 g", "total", *figures))
    return path


def _bare(path: Path, rows: list[tuple[str, str, str]]) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE foods (food_id TEXT, name TEXT, facts TEXT)")
        connection.executemany("INSERT INTO foods VALUES (?, ?, ?)", rows)
        connection.execute("CREATE VIRTUAL TABLE search USING fts5 (name)")
        connection.execute("INSERT INTO search (rowid, name) SELECT rowid, name FROM foods")
        connection.execute("CREATE INDEX by_name ON foods (name)")


def _shelved(home: Path, rows: list[tuple[str, str, str]]) -> None:
    with shelf_writer.filling(home) as writer:
        source = writer.source("invented foods", "made up for the benchmark")
        for food_id, name, facts in rows:
            writer.add_row(food_id, name, facts, source)


def _opened(home: Path) -> Store:
    return Store.open(home, _now())


def _now() -> datetime:
    return datetime.now(UTC)

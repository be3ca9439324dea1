"""A chat is killed at any moment: what it acknowledged is there, and nothing is there by half."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing

import pytest

WRITER = """
import sys
import time
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from assistant.counting.facts import FoodFacts, Nutrient
from assistant.dialogue.events import AliasSaved, DoseTaken, FoodSaved, SuggestionClosed
from assistant.store.store import Store

facts = FoodFacts("x", "US", "serving", {"carbohydrate": Nutrient(Fraction(1, 3), "g")})
now = datetime.now(UTC)
store = Store.open(Path(sys.argv[1]), now, busy_seconds=60)
number = 0
while True:
    number += 1
    food = f"{sys.argv[2]}-{number}"
    events = [FoodSaved(food, facts), AliasSaved(food, "alias " * (number % 400))]
    events += [DoseTaken(Fraction(number, 3), now), SuggestionClosed("taken")]
    with store.turn() as tx:
        turn = tx.keep(now, "took", "answered", "{}", events)
    sys.stdout.write(f"{turn}\\n")
    sys.stdout.flush()
    time.sleep(0.002)  # waiting for a lock is not fair: let the other writer in
"""

HALF = """
SELECT t.id FROM turns AS t WHERE 4 <> (SELECT count(*) FROM events WHERE turn = t.id)
"""


def killed_once(home, rounds_seed):
    """Two writers on one folder, killed after a random time: the turns they acknowledged."""
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, home, name], stdout=subprocess.PIPE, env=environment
        )
        for name in ("a", "b")
    ]
    acknowledged = []
    with writers[0], writers[1]:
        first = [writer.stdout.readline() for writer in writers]  # both are writing by now
        time.sleep(random.Random(rounds_seed).uniform(0, 0.15))
        for writer in writers:
            writer.send_signal(signal.SIGKILL)
        for line, writer in zip(first, writers, strict=True):
            rest = writer.stdout.read()
            whole = (line + rest).rpartition(b"\n")[0]
            acknowledged += [int(each) for each in whole.split()]
    return acknowledged


@pytest.mark.more
def test_killed_at_any_moment(home, opened, request, record_property):
    rounds = 200 if request.config.getoption("--long", default=False) else 5
    record_property("kills survived", rounds)
    acknowledged = set()
    for number in range(rounds):
        new = killed_once(home, number)
        assert len(new) >= 2
        assert not acknowledged & set(new)
        acknowledged |= set(new)
        store = opened()
        kept = {row.id for row in store.turns()}
        with store.reading() as (record, foods):
            doses = record.events(("dose-taken",))
            assert {dose.turn for dose in doses} == kept
            assert all(foods.by_id(f"{name}-1") for name in "ab")
        store.close()
        assert acknowledged <= kept
        with closing(sqlite3.connect(home / "countaloud.db")) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
            assert connection.execute(HALF).fetchall() == []
            connection.execute("INSERT INTO names_search (names_search) VALUES ('integrity-check')")


@pytest.mark.skipif(os.name != "posix", reason="needs a signal that cannot be caught")
def test_killed_inside_a_turn_leaves_nothing_of_it(home, opened, keep):
    store = opened()
    keep(store, text="before")
    store.close()
    waits = '"{}", events)\n        print(turn, flush=True)\n        sys.stdin.read()\n'
    inside = WRITER.replace('"{}", events)\n', waits)
    assert inside != WRITER
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    with subprocess.Popen(
        [sys.executable, "-c", inside, home, "a"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=environment,
    ) as writer:
        assert writer.stdout.readline() == b"2\n"
        writer.send_signal(signal.SIGKILL)
    store = opened()
    assert [row.text for row in store.history(9)] == ["before"]
    assert keep(store, text="after") == 2

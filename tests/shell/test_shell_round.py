"""No option, variable or fault of the journal goes round a rule: over the cap there is no dose."""

import json
import os
import sqlite3
import subprocess
import sys

import pytest
from msgspec.structs import replace
from shell_stand_ins import PROGRAM, world_of, written

from assistant.shell.demo import DEMO_LINES
from assistant.shell.main import main

AT = ["--at", "2026-03-02T08:00:00+01:00"]
BIG = "5 servings of oat cereal, glucose 110"
SMALL = "1 serving of oat cereal, glucose 110"


@pytest.fixture
def filled(home):
    """The demo's numbers: never more than 8 units at once."""
    world = world_of("\n".join(DEMO_LINES) + "\n")
    assert main([*AT, "ask", "-"], world_with_home(world, home)) == 0
    return home


def world_with_home(world, home):
    return replace(world, environ={**world.environ, "COUNTALOUD_HOME": str(home)})


def asked(home, text, *options, **environ):
    world = world_with_home(world_of("", **environ), home)
    code = main([*AT, *options, "ask", "--json", text], world)
    return code, written(world)


@pytest.mark.more
@pytest.mark.parametrize(
    "environ",
    [
        {},
        *({f"COUNTALOUD_{name}": value} for name in ("CAP", "CAP_DOSE", "SPOKEN", "UNSAFE", "DEBUG")
          for value in ("1", "100")),
        {"PYTHONOPTIMIZE": "2"},
    ],
)  # fmt: skip
def test_no_variable_goes_round_the_cap(filled, environ):
    code, out = asked(filled, BIG, **environ)
    assert code == 4
    reply = json.loads(out)
    assert reply["dose"] is None
    assert "over-dose-cap" in {rule["rule"] for rule in reply["rules"]}


def test_no_option_goes_round_the_cap(filled, program):
    for option in ("--force", "--yes", "--no-rules", "--cap=100", "--unsafe"):
        done = program("--home", str(filled), *AT, option, "ask", BIG)
        assert done.returncode == 2
        assert b"Suggested dose" not in done.stdout


@pytest.mark.more
def test_an_optimised_python_still_refuses(filled):
    done = subprocess.run(
        [sys.executable, "-OO", *PROGRAM[1:], "--home", str(filled), *AT, "ask", BIG],
        capture_output=True, timeout=60, check=False, env=dict(os.environ),
    )  # fmt: skip
    assert done.returncode == 4
    assert b"Suggested dose" not in done.stdout


def test_a_journal_that_cannot_be_written_shows_no_dose(filled):
    """The dose would not be known later, so it is not shown: the fault is told instead."""
    connection = sqlite3.connect(filled / "countaloud.db")
    try:
        connection.execute(
            "CREATE TRIGGER full BEFORE INSERT ON turns BEGIN SELECT RAISE(ABORT, 'full'); END"
        )
        connection.commit()
    finally:
        connection.close()
    code, out = asked(filled, SMALL)
    assert code == 1
    assert "suggested_units" not in out
    assert "Suggested dose" not in out


def test_a_journal_that_cannot_be_read_shows_no_dose(filled):
    connection = sqlite3.connect(filled / "countaloud.db")
    try:
        connection.execute(
            "CREATE TRIGGER IF NOT EXISTS ignored AFTER INSERT ON turns BEGIN SELECT 1; END"
        )
        connection.execute("DROP TRIGGER events_no_update")
        connection.execute("UPDATE events SET data = '{}' WHERE kind = 'setting-said'")
        connection.commit()
    finally:
        connection.close()
    code, out = asked(filled, SMALL)
    assert code == 1
    assert "Suggested dose" not in out

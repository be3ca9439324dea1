"""One recipe of several lines, given in every way that the shell takes: it is the same recipe."""

import os
import subprocess
import time
from contextlib import suppress
from datetime import datetime

import pexpect
import pytest
from filled_home import NOON, filled
from shell_stand_ins import PROGRAM

from assistant.store.store import Store

FOODS = (
    "new food cooked rice: EU label, per 100 g: carbohydrate 28 g, fibre 0 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "count total carbohydrate",
)
LINES = ("recipe rice pudding serves 4", "100 g cooked rice", "500 ml milk")
SAVED = "counts 13 g"
"""100 g at 28 g a 100 g and 500 ml at 4.8 g a 100 ml: 52 g, a quarter of which is 13 g."""
PROMPT = "Food or question:"


def recipes(home):
    """(name, ingredients, what it makes) of each recipe saved in a data folder."""
    store = Store.open(home, datetime.fromisoformat(NOON))
    try:
        with store.reading() as (record, _):
            found = [kept.event.facts for kept in record.events(("recipe-saved",))]
    finally:
        store.close()
    return [
        (f.name, [(i.food_id, i.factor) for i in f.recipe.ingredients], f.recipe.makes)
        for f in found
    ]


def chat(*argv: str, **environ: str) -> pexpect.spawn:
    env = {**os.environ, "TERM": "xterm-256color", **environ}
    child = pexpect.spawn(
        PROGRAM[0], [*PROGRAM[1:], "--at", NOON, *argv], env=env, dimensions=(60, 100),
        encoding="utf-8",
    )  # fmt: skip
    answers(child, PROMPT)
    return child


def answers(child: pexpect.spawn, wanted: str) -> None:
    """Waits for the words; tells the line editor where the cursor is, when it asks."""
    end = time.monotonic() + 30
    while time.monotonic() < end:
        with suppress(pexpect.TIMEOUT):
            if child.expect_exact([wanted, "\x1b[6n"], timeout=1) == 0:
                return
            child.send("\x1b[1;1R")
    raise AssertionError(f"{wanted!r} did not come; last: {child.before!r}")


def by_hand(child: pexpect.spawn) -> None:
    for line in LINES:
        child.send(f"{line}\r")
        answers(child, PROMPT)
    child.send("that is all\r")


WAYS = {
    "typed, sighted": ((), {}, by_hand),
    "typed, spoken": (("--spoken",), {}, by_hand),
    "pasted, sighted": ((), {}, lambda c: c.send(f"\x1b[200~{chr(10).join(LINES)}\x1b[201~\r")),
    "pasted line by line, sighted": ((), {}, lambda c: c.send("\r".join((*LINES, "end", "")))),
    "pasted, spoken": (("--spoken",), {}, lambda c: c.send("\r".join((*LINES, "end", "")))),
    "pasted, dumb": ((), {"TERM": "dumb"}, lambda c: c.send("\r".join((*LINES, "end", "")))),
}


@pytest.mark.more
@pytest.mark.parametrize("way", WAYS)
def test_recipe__is_the_same_in_every_way(home, monkeypatch, way) -> None:
    argv, environ, give = WAYS[way]
    filled(home, *FOODS)
    child = chat(*argv, **environ)
    try:
        give(child)
        answers(child, SAVED)
    finally:
        child.close(force=True)
    assert recipes(home) == recipes(as_lines(home.parent / "lines"))


def as_lines(home):
    """A folder in which the recipe came as lines of "ask -"."""
    filled(home, *FOODS)
    said = "\n".join((*LINES, "end", "")).encode()
    done = subprocess.run(
        [*PROGRAM, "--home", str(home), "--at", NOON, "ask", "-"], input=said, capture_output=True,
        check=True,
    )  # fmt: skip
    assert SAVED.encode() in done.stdout
    assert len(recipes(home)) == 1
    return home

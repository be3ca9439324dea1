"""Two rows of one name or number in one import: neither is taken, both lines are told, and the same
import again changes nothing. Every food is invented."""

import json
import sqlite3
from contextlib import closing

import pytest
from shell_stand_ins import world_of, written

from assistant.shell.main import main
from assistant.store import shelf

AT = "2026-03-02T08:00:00+00:00"
HEAD = "name,id,per,carbohydrate_is,carbohydrate_g,date\n"
OTHER = "Good rye,,100 g,total,48,\n"


@pytest.fixture
def bring(home, tmp_path):
    """Imports rows of a plain table: the JSON answer."""

    def run(*rows, head=HEAD, name="t.csv"):
        path = tmp_path / name
        path.write_text(head + "".join(rows), encoding="utf-8")
        world = world_of("", COUNTALOUD_HOME=str(home))
        assert main(("--at", AT, "foods", "import", "--json", str(path)), world) == 0
        return json.loads(written(world))

    return run


def figures(home):
    """Identity -> grams of carbohydrate, and how often each word is used in the index of names."""
    with closing(sqlite3.connect(home / shelf.FILE)) as raw:
        rows = raw.execute("SELECT f.food_id, t.facts FROM foods f JOIN facts t USING (id)")
        found = {i.rpartition(":")[2]: json.loads(t)["nutrients"]["carbohydrate"] for i, t in rows}
        words = raw.execute("SELECT word, uses FROM words WHERE uses > 0").fetchall()
    return {i: f["value"] for i, f in found.items()}, dict(words)


def told(answer):
    return [(f["line"], f["why"], f["kept"]) for f in answer["faults"]]


@pytest.mark.parametrize(
    "rows",
    [
        ("Oat bar,,100 g,total,60,\n", "Oat bars,,100 g,total,30,\n"),
        ("Twice milk,,100 g,total,5,\n", "Twice milk,,100 g,total,50,\n"),
        ("Milk,7,100 g,total,5,\n", "Cream,7,100 g,total,4,\n"),
        ("Milk,7,100 g,total,5,2025-01-01\n", "Milk,7,100 g,total,4,2025-01-01\n"),
    ],
)
def test_neither_is_taken_and_both_lines_are_told(bring, home, rows):
    answer = bring(OTHER, *rows)
    assert (answer["foods"], answer["added"], answer["left_out"]) == (1, 1, 2)
    assert told(answer) == [(3, "twice", False), (4, "twice", False)]
    assert figures(home) == ({"good rye": "48"}, {"good": 1, "rye": 1})
    before = (home / shelf.FILE).stat()
    answer = bring(OTHER, *rows)
    assert (answer["foods"], answer["same"], answer["left_out"]) == (1, 1, 2)
    after = (home / shelf.FILE).stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_third_row_is_told_too(bring, home):
    rows = [f"Milk,,100 g,total,{n},\n" for n in (5, 50, 5)]
    assert told(bring(OTHER, *rows)) == [(n, "twice", False) for n in (3, 4, 5)]
    assert set(figures(home)[0]) == {"good rye"}


def test_the_same_row_twice_is_one_food(bring, home):
    answer = bring("Milk,,100 g,total,5,\n", "Milk,,100 g,total,5,\n")
    assert (answer["added"], answer["same"], told(answer)) == (1, 1, [])


@pytest.mark.parametrize("first", ["5", "6"])
def test_the_food_stays_as_it_was_before(bring, home, first):
    """Whether the first of the two rows says what the library has, or not."""
    bring(OTHER, "Milk,,100 g,total,5,\n")
    before = figures(home)
    stat = (home / shelf.FILE).stat()
    answer = bring(OTHER, f"Milk,,100 g,total,{first},\n", "Milk,,100 g,total,50,\n")
    assert told(answer) == [(3, "twice", False), (4, "twice", False)]
    assert (answer["added"], answer["changed"], answer["same"]) == (0, 0, 1)
    assert figures(home) == before == ({"good rye": "48", "milk": "5"}, before[1])
    assert (home / shelf.FILE).stat().st_mtime_ns == stat.st_mtime_ns


def test_the_food_stays_as_it_was_beside_foods_that_are_added(bring, home):
    bring(OTHER, "Milk,,100 g,total,5,\n")
    answer = bring("Milk,,100 g,total,6,\n", "Milk,,100 g,total,50,\n", "Plum,,100 g,total,11,\n")
    assert (answer["foods"], answer["added"], answer["left_out"]) == (1, 1, 2)
    grams, words = figures(home)
    assert grams == {"good rye": "48", "milk": "5", "plum": "11"}
    assert words == {"good": 1, "rye": 1, "milk": 1, "plum": 1}


def test_of_two_dates_the_later_stands(bring, home):
    bring("Milk,,100 g,total,5,2024-01-01\n", "Milk,,100 g,total,4,2025-01-01\n")
    assert figures(home)[0] == {"milk": "4"}


def own(name, food, grams):
    return (
        f'{{"name": "{name}", "id": "{food}", "own": true, "region": "EU", "per": "100 g", '
        f'"nutrients": {{"carbohydrate": {{"value": "{grams}", "unit": "g"}}}}}}\n'
    )


def test_ones_own_food_twice_in_a_file(bring):
    lines = (own("rye bread", "f8", 10), own("oat bread", "f9", 20), own("rye loaf", "f8", 66))
    for added, same in ((1, 0), (0, 1)):
        answer = bring(*lines, head='{"countaloud_foods": 1}\n', name="own.jsonl")
        assert (answer["added"], answer["same"], answer["left_out"]) == (added, same, 2)
        assert told(answer) == [(2, "twice", False), (4, "twice", False)]


def test_two_of_ones_own_foods_of_one_name_are_told_and_asked_about(bring, home):
    lines = (own("rye bread", "f8", 10), own("rye breads", "f9", 20))
    answer = bring(*lines, head='{"countaloud_foods": 1}\n', name="own.jsonl")
    assert (answer["added"], told(answer)) == (2, [(3, "same-name", True)])
    for sentence, status in (("count total carbohydrate", "answered"),
                             ("100 g rye bread", "asked")):  # fmt: skip
        world = world_of("", COUNTALOUD_HOME=str(home))
        main(("--at", AT, "ask", "--json", sentence), world)
        assert json.loads(written(world))["status"] == status

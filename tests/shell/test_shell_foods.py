"""'foods import', 'foods export', 'foods sources': whole or not at all, told in sentences and JSON.

Every food is invented.
"""

import gzip
import json
import os
import signal
import sqlite3
import subprocess
import time
from contextlib import closing
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import pytest
from shell_stand_ins import PROGRAM, world_of, written

from assistant.importing import plain_table
from assistant.shell import food_import, import_progress
from assistant.shell.main import main
from assistant.shell.voice import Voice
from assistant.store import database, shelf, shelf_writer
from assistant.store.store import Store

AT = "2026-03-02T08:00:00+00:00"
TABLE = (
    "name,per,carbohydrate_g,carbohydrate_is,fibre_g,measures,source,licence\n"
    "Hillmoor oat bread,100 g,48.5,total,6,1 slice = 35 g,my list,mine\n"
    "Hillmoor oat drink,100 ml,6.7,available,,,my list,mine\n"
    "Nothing stated,100 g,,total,,,my list,mine\n"
)


@pytest.fixture
def say(home):
    """Runs main in this process; gives the exit code, standard output and standard error."""

    def run(*argv: str, **environ: str) -> tuple[int, str, str]:
        world = world_of("", **{"COUNTALOUD_HOME": str(home), **environ})
        code = main(("--at", AT, *argv), world)
        return code, written(world), world.stderr.getvalue()

    return run


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "foods.csv"
    path.write_text(TABLE, encoding="utf-8")
    return str(path)


def foods_on(home: Path) -> int:
    with closing(shelf.Shelf(home)) as one:
        return one.count()


def test_import_tells_what_it_did(say, table, home):
    code, out, err = say("foods", "import", table)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "Layout: the plain table, CSV."
    assert "Source: my list. Terms: mine." in lines
    assert "2 foods read: 2 added, 0 changed, 0 as they were." in lines
    assert any("foods.csv, line 4." in line and "no carbohydrate" in line for line in lines)
    assert foods_on(home) == 2
    listed = (home / food_import.FAULTS).read_text().splitlines()
    assert len(listed) == 1
    assert (home / food_import.FAULTS).stat().st_mode & 0o777 == 0o600


def test_import_again_changes_nothing_and_says_so(say, table, home):
    say("foods", "import", table)
    before = (home / shelf.FILE).stat()
    code, out, _ = say("foods", "import", table)
    after = (home / shelf.FILE).stat()
    assert code == 0
    assert "Nothing was changed: all of the 2 foods read are there already." in out
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


@pytest.mark.parametrize("order", [("--json", "import"), ("import", "--json")])
def test_import_as_json_is_one_object(say, table, order):
    code, out, err = say("foods", *order, table)
    assert (code, err) == (0, "")
    (line,) = out.splitlines()
    data = json.loads(line)
    assert (data["status"], data["layout"], data["foods"], data["added"]) == (
        "answered", "plain-table", 2, 2,
    )  # fmt: skip
    assert [(f["line"], f["why"]) for f in data["faults"]] == [(4, "no-carbohydrate")]


@pytest.mark.parametrize(
    "argv", [("foods",), ("foods", "import"), ("foods", "sources", "x"), ("foods", "frobnicate")]
)
def test_wrong_usage_is_2(say, argv, capsys):
    code, _, err = say(*argv)
    assert code == 2
    assert "Traceback" not in err + capsys.readouterr().err


def test_an_unknown_layout_names_the_known_ones(say, tmp_path, home):
    path = tmp_path / "notes.csv"
    path.write_text("a,b\n1,2\n")
    code, out, err = say("foods", "import", str(path))
    assert (code, out) == (1, "")
    for name in ("USDA FoodData Central", "Swiss", "Ciqual", "Canadian", "Indian", "plain table"):
        assert name in err
    assert not (home / shelf.FILE).exists()
    code, out, _ = say("foods", "import", "--json", str(path))
    assert (code, json.loads(out)["status"]) == (1, "failed")


@pytest.mark.parametrize("name", ["gone.csv", "cut.zip", "cut.csv.gz"])
def test_a_file_that_cannot_be_read_is_told(say, tmp_path, name, home):
    if name == "cut.zip":
        (tmp_path / name).write_bytes(b"PK\x03\x04 and nothing more")
    if name == "cut.csv.gz":
        whole = gzip.compress((TABLE + "x" * 200_000).encode())
        (tmp_path / name).write_bytes(whole[:-20])
    code, _, err = say("foods", "import", str(tmp_path / name))
    assert code == 1
    assert "Traceback" not in err
    assert err.count("\n") == 1
    assert not (home / shelf.FILE).exists()


def test_sources(say, table):
    assert say("foods", "sources")[1].startswith("No foods are imported.")
    say("foods", "import", table)
    assert say("foods", "sources")[1] == "my list: 2 foods. Terms: mine.\n"
    data = json.loads(say("foods", "sources", "--json")[1])
    assert data["sources"] == [{"name": "my list", "licence": "mine", "foods": 2}]


def test_an_imported_food_is_counted_and_its_source_shown(say, table):
    say("foods", "import", table)
    say("ask", "count total carbohydrate")
    _, out, _ = say("ask", "--json", "2 slices of Hillmoor oat bread")
    assert json.loads(out)["counted_carbs_g"] == 33.95  # 70 g of 48.5 in 100
    _, out, _ = say("ask", "show Hillmoor oat bread")
    assert "It is from my list." in out
    assert "Terms: mine." in out


OWN = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "1 scoop of oat cereal weighs 30 g",
    "oat cereal is also called morning oats",
    "milk is fast acting",
    "new food plum: EU label, per 100 g: carbohydrate 11.4 g",
    "forget plum",
)


def own_of(home: Path):
    store = Store.open(home, datetime.fromisoformat(AT))
    try:
        return [(food.food_id, food.facts, food.aliases) for food in _every(store)]
    finally:
        store.close()


def _every(store):
    with store.reading() as view:
        return list(view.foods.every_own())


def test_export_and_import_give_the_same_foods_exactly(say, tmp_path, home):
    for sentence in OWN:
        assert say("ask", sentence)[0] == 0, sentence
    path = tmp_path / "mine.jsonl"
    code, out, _ = say("foods", "export", str(path))
    assert (code, out) == (0, f"Written to {path}: 2 foods.\n")
    other = tmp_path / "other"
    assert main(("--at", AT, "--home", str(other), "foods", "import", str(path)), world_of()) == 0
    first, second = own_of(home), own_of(other)
    assert [food[0] for food in first] == ["milk", "oat cereal"]
    assert second == first
    assert first[0][1].fast
    assert isinstance(first[0][1].nutrients["carbohydrate"].value, Fraction)
    # and what is counted from them is the same
    for where in (home, other):
        for sentence in ("count net carbohydrate", "1.5 servings of morning oats plus 200 ml milk"):
            world = world_of()
            main(("--at", AT, "--home", str(where), "ask", "--json", sentence), world)
            said = json.loads(written(world))
        assert said["counted_carbs_g"] == 41.1  # 1.5 x (27 - 6) + 2 x 4.8


def test_export_writes_to_standard_output_without_a_file(say):
    for sentence in OWN[:2]:
        say("ask", sentence)
    _, out, _ = say("foods", "export")
    head, *rows = (json.loads(line) for line in out.splitlines())
    assert head == {"countaloud_foods": 1}
    assert [row["name"] for row in rows] == ["milk", "oat cereal"]


def test_export_never_replaces_a_file(say, tmp_path):
    path = tmp_path / "mine.jsonl"
    path.write_text("precious")
    code, _, err = say("foods", "export", str(path))
    assert code == 1
    assert "never replaced" in err
    assert path.read_text() == "precious"


def test_ones_own_foods_are_not_overwritten_by_an_import(say, tmp_path, home):
    for sentence in OWN[:2]:
        say("ask", sentence)
    path = tmp_path / "mine.jsonl"
    say("foods", "export", str(path))
    path.write_text(path.read_text().replace('"27"', '"28"'))
    before = own_of(home)
    code, out, _ = say("foods", "import", str(path))
    assert code == 0
    assert "you have another food of this name" in out
    assert own_of(home) == before


def test_importing_ones_own_foods_again_changes_nothing(say, tmp_path, home):
    for sentence in OWN:
        say("ask", sentence)
    path = tmp_path / "mine.jsonl"
    say("foods", "export", str(path))
    turns = len(_turns(home))
    _, out, _ = say("foods", "import", str(path))
    assert "Nothing was changed" in out
    assert len(_turns(home)) == turns


def _turns(home):
    with closing(sqlite3.connect(home / database.FILE)) as raw:
        return raw.execute("SELECT id FROM turns").fetchall()


# Killed, no room, twice at once


def big(path: Path, count: int) -> Path:
    with path.open("w", encoding="utf-8") as out:
        out.write("name,id,per,carbohydrate_g,carbohydrate_is\n")
        out.writelines(f"Oat bread {n},{n},100 g,{n % 90}.5,total\n" for n in range(count))
    return path


def start(home: Path, path: Path) -> subprocess.Popen:
    return subprocess.Popen(
        [*PROGRAM, "--home", str(home), "foods", "import", str(path)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=os.environ,
    )  # fmt: skip


def wait_for(path: Path, process: subprocess.Popen) -> None:
    end = time.monotonic() + 60
    while not path.exists() and process.poll() is None and time.monotonic() < end:
        time.sleep(0.01)


@pytest.mark.more
@pytest.mark.parametrize("later", [0.0, 0.05, 0.2, 0.6])
def test_killed_half_way_the_library_is_as_it_was_and_then_whole(say, table, home, tmp_path, later):
    say("foods", "import", table)
    before = (home / shelf.FILE).read_bytes()
    path = big(tmp_path / "big.csv", 20_000)
    process = start(home, path)
    wait_for(home / f"{shelf.FILE}.new", process)
    time.sleep(later)
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert (home / shelf.FILE).read_bytes() == before or foods_on(home) == 20_002
    with closing(sqlite3.connect(home / shelf.FILE)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    small = big(tmp_path / "small.csv", 50)
    assert say("foods", "import", str(small))[0] == 0
    assert foods_on(home) in {52, 20_052, 20_102}
    assert not (home / f"{shelf.FILE}.new").exists()


def test_two_imports_at_once_one_is_told_to_wait(say, table, home, tmp_path):
    with shelf_writer.filling(home):
        code, _, err = say("foods", "import", table)
    assert code == 1
    assert "Close the other countaloud" in err
    assert say("foods", "import", table)[0] == 0
    assert foods_on(home) == 2


@pytest.mark.more
@pytest.mark.parametrize("room", [1, 4, 16, 64])
def test_a_disk_that_fills_leaves_the_library_as_it_was(
    say, table, home, tmp_path, room, monkeypatch
):
    say("foods", "import", table)
    before = (home / shelf.FILE).read_bytes()
    plain = shelf_writer.Writer.__init__

    def cramped(self, connection):
        plain(self, connection)
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages + room}")

    monkeypatch.setattr(shelf_writer.Writer, "__init__", cramped)
    code, _, err = say("foods", "import", str(big(tmp_path / "big.csv", 5000)))
    assert code == 1
    assert "Make room on the disk" in err
    assert (home / shelf.FILE).read_bytes() == before
    assert not (home / f"{shelf.FILE}.new").exists()


def test_no_room_for_the_list_of_rows_left_out_stops_it_whole(say, table, home, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(food_import, "make_private_file", full)
    code, _, err = say("foods", "import", table)
    assert code == 1
    assert "Make room on the disk" in err
    assert not (home / shelf.FILE).exists()


def test_a_reader_that_breaks_half_way_leaves_the_library_as_it_was(say, table, home, monkeypatch):
    say("foods", "import", table)
    before = (home / shelf.FILE).read_bytes()
    plain = plain_table._row

    def breaks(line, file):
        if line.number > 2:
            raise OSError(5, "Input/output error")
        return plain(line, file)

    monkeypatch.setattr(plain_table, "_row", breaks)
    code, _, err = say("foods", "import", table)
    assert code == 1
    assert "could not be read" in err
    assert (home / shelf.FILE).read_bytes() == before


def test_progress_is_told_in_sentences_for_the_ear(monkeypatch):
    world = world_of()
    monkeypatch.setattr(world.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(import_progress, "EVERY", 0.0)
    with import_progress.progress(Voice(world, "spoken", chosen=True)) as step:
        for count in range(1, 1001):
            step(count)
    assert written(world) == "500 rows read.\n1000 rows read.\n"


@pytest.mark.parametrize("mode", ["json", "spoken", "sighted"])
def test_progress_is_silent_in_a_pipe(mode, monkeypatch):
    world = world_of()
    monkeypatch.setattr(import_progress, "EVERY", 0.0)
    with import_progress.progress(Voice(world, mode, chosen=True)) as step:
        for count in range(1, 1001):
            step(count)
    assert written(world) == ""


def test_help_tells_of_imports(say):
    assert "carbohydrate_is" in say("help", "imports")[1]
    assert "import" in say("help", "foods")[1]

"""What an import and an export tell when something is in the way. Every food is invented."""

import io
import json
import os
import subprocess

import pytest
from msgspec.structs import replace
from shell_stand_ins import PROGRAM, world_of, written

from assistant.importing import plain_table
from assistant.importing.rows import Fault
from assistant.shell.command_line import options_of, parser_of
from assistant.shell.foods_command import fault_sentence, foods
from assistant.shell.main import COMMANDS, main
from assistant.store import shelf, shelf_writer
from assistant.store.forgetting import _BESIDE

AT = "2026-03-02T08:00:00+00:00"
HEAD = "name,per,carbohydrate_is,carbohydrate_g,fibre_g,measures\n"
RYE = "Hillmoor rye,100 g,total,48.5,6,1 slice = 35 g\n"


@pytest.fixture
def say(home):
    """Runs main in this process; gives the exit code, standard output and standard error."""

    def run(*argv):
        world = world_of("", COUNTALOUD_HOME=str(home))
        code = main(("--at", AT, *argv), world)
        return code, written(world), world.stderr.getvalue()

    return run


@pytest.fixture
def table(tmp_path):
    """Writes a plain table of these rows."""

    def one(*rows, name="foods.csv"):
        path = tmp_path / name
        path.write_text(HEAD + "".join(rows), encoding="utf-8")
        return str(path)

    return one


def test_a_pipe_that_closes_after_the_import_tells_nothing_false(home, table):
    done = subprocess.run(
        ["/bin/sh", "-c", '"$0" "$@" | true; exit 0', *PROGRAM, "--home", str(home), "foods",
         "import", table(RYE)],
        capture_output=True, text=True, env=os.environ, check=False,
    )  # fmt: skip
    assert "Nothing was changed" not in done.stderr + done.stdout
    with_it = shelf.Shelf(home)
    assert with_it.count() == 1
    with_it.close()


def test_a_stream_that_is_closed_is_no_fault_of_the_file(home, table):
    class Closed(io.StringIO):
        def write(self, text):
            raise BrokenPipeError(32, "Broken pipe")

    world = replace(world_of("", COUNTALOUD_HOME=str(home)), stdout=Closed())
    options = options_of(parser_of(COMMANDS).parse_args(["foods", "import", table(RYE)]), world)
    with pytest.raises(BrokenPipeError):
        foods(options, world)
    assert world.stderr.getvalue() == ""


def ruined(path, how):
    whole = path.read_bytes()
    path.write_bytes({
        "notes": b"my notes " * 900,
        "cut": whole[: len(whole) // 2],
        "empty": b"",
        "page": whole[:4096] + b"\xff" * 4096 + whole[8192:],
    }[how])  # fmt: skip
    return path.read_bytes()


@pytest.mark.parametrize("how", ["notes", "cut", "empty", "page"])
def test_a_shelf_that_cannot_be_read_comes_back_by_an_import(say, table, home, how):
    """As the sentence on it says: import them again. What was there is kept under another name."""
    say("foods", "import", table(RYE))
    old = ruined(home / shelf.FILE, how)
    if how != "page":  # a page may be one that a question does not read
        code, _, err = say("ask", "show Hillmoor rye")
        assert (code, shelf.FILE in err) == (1, True)
    code, out, err = say("foods", "import", table("Plum,100 g,total,11.4,1.4,\n"))
    assert (code, err) == (0, "")
    assert "1 food read: 1 added, 0 changed, 0 as they were." in out
    kept = home / f"{shelf.FILE}.damaged-1"
    assert f"is kept as {kept}." in out
    assert kept.read_bytes() == old
    assert say("ask", "show Plum")[0] == 0
    _, out, _ = say("foods", "import", table(RYE))
    assert "is kept as" not in out
    assert say("ask", "show Hillmoor rye")[0] == 0


def test_a_damaged_shelf_stays_where_an_import_brings_nothing(say, table, home):
    say("foods", "import", table(RYE))
    old = ruined(home / shelf.FILE, "notes")
    code, out, _ = say("foods", "import", table("Nothing,100 g,total,,,\n"))
    assert (code, "No food was read." in out) == (0, True)
    assert (home / shelf.FILE).read_bytes() == old


def test_a_shelf_of_a_later_version_is_not_replaced(say, table, home, monkeypatch):
    monkeypatch.setattr(shelf, "VERSION", shelf.VERSION + 1)
    say("foods", "import", table(RYE))
    monkeypatch.undo()
    before = (home / shelf.FILE).read_bytes()
    code, _, err = say("foods", "import", table(RYE))
    assert (code, "later version" in err) == (1, True)
    assert (home / shelf.FILE).read_bytes() == before


def test_forgetting_everything_removes_what_was_kept_of_a_shelf():
    assert _BESIDE.fullmatch(f"{shelf.FILE}.damaged-1")


def test_two_imports_at_once_are_no_matter_of_the_record(say, table, home):
    with shelf_writer.filling(home):
        code, _, err = say("foods", "import", table(RYE))
    assert code == 1
    assert "Another import is running" in err
    assert "record" not in err


def test_an_import_that_is_stopped_says_so(say, table, home, monkeypatch):
    say("foods", "import", table(RYE))
    before = (home / shelf.FILE).read_bytes()

    def stopped(line, file):
        raise KeyboardInterrupt

    monkeypatch.setattr(plain_table, "_row", stopped)
    code, out, err = say("foods", "import", table("Plum,100 g,total,11.4,1.4,\n"))
    assert (code, out) == (130, "")
    assert err.startswith("The import was stopped. The imported foods are as they were.")
    assert (home / shelf.FILE).read_bytes() == before


@pytest.mark.parametrize("row", ["Hillmoor rye,100 g,total,50.5,6,1 slice = 35 g\n",
                                 "Hillmoor rye,100 g,total,48.5,6,1 slice = 40 g\n"])  # fmt: skip
def test_a_corrected_food_of_which_you_have_your_own_is_told(say, table, row):
    """A food that was given a name is the user's own from then on, and theirs is counted."""
    say("foods", "import", table(RYE))
    assert say("ask", "Hillmoor rye is also called breakfast bread")[0] == 0
    assert "of your own" not in say("foods", "import", table(RYE))[1]
    _, out, _ = say("foods", "import", table(row))
    assert "foods.csv, line 2. Taken, but you have a food of your own made from it" in out
    _, out, _ = say("foods", "import", "--json", table(row))
    (fault,) = json.loads(out)["faults"]
    assert (fault["why"], fault["kept"], fault["said"]) == ("own-copy", True, "Hillmoor rye")


def test_energy_that_is_far_off_is_told_and_kept(say, table, home, tmp_path):
    path = tmp_path / "slip.csv"
    path.write_text("name,per,carbohydrate_is,carbohydrate_g,fat_g,protein_g,energy_kcal\n"
                    "Slipped bread,100 g,total,3.5,0.5,8,265\n")  # fmt: skip
    _, out, _ = say("foods", "import", str(path))
    assert "line 2. Taken, but its energy is far from" in out
    with_it = shelf.Shelf(home)
    (food,) = with_it.exact("slipped bread")
    with_it.close()
    assert food.facts.failed_checks == ("energy",)


def test_rows_that_were_left_out_are_told_before_notes(say, table, tmp_path):
    path = tmp_path / "slips.csv"
    rows = "".join(f"Slip {n},100 g,total,3.5,0.5,8,265\n" for n in range(30))
    path.write_text("name,per,carbohydrate_is,carbohydrate_g,fat_g,protein_g,energy_kcal\n"
                    f"{rows}Nothing,100 g,total,,,,\n")  # fmt: skip
    _, out, _ = say("foods", "import", str(path))
    assert "line 32. Left out, it states no carbohydrate: Nothing" in out


def test_recipes_and_estimates_are_named_at_export(say, tmp_path):
    for sentence in (
        "new food rye bread: EU label, per 100 g: carbohydrate 48 g, fibre 6 g",
        "1 slice of rye bread weighs 35 g",
        "count total carbohydrate",
        "recipe toast serves 2: 4 slices of rye bread",
    ):
        assert say("ask", sentence)[0] == 0, sentence
    path = tmp_path / "mine.jsonl"
    _, out, _ = say("foods", "export", str(path))
    assert f"Written to {path}: 1 food." in out
    assert "Not written, since they have no figures of their own: the recipe toast." in out
    data = json.loads(say("foods", "export", "--json", str(tmp_path / "again.jsonl"))[1])
    assert (data["foods"], data["not_written"]) == (1, ["toast"])
    code, out, err = say("foods", "export", "-")
    assert (code, len(out.splitlines())) == (0, 2)
    assert "the recipe toast" in err


def test_an_escape_in_the_name_of_a_file_is_not_shown(say, table, home):
    path = table(RYE, "Nothing,100 g,total,,,\n", name="esc\x1b[31mname.csv")
    for argv in (("foods", "import", path), ("foods", "sources"), ("foods", "import", path + "x")):
        _, out, err = say(*argv)
        assert "\x1b" not in out + err
    assert "\x1b" not in fault_sentence(Fault("a\x1b[31m.csv", 1, "no-name", "x\x1b[31m"))
    with_it = shelf.Shelf(home)
    ((name, _, count),) = with_it.sources()
    with_it.close()
    assert ("\x1b" in name, count) == (False, 1)


def test_one_is_one(say, table):
    _, out, _ = say("foods", "import", table(RYE, "Nothing,100 g,total,,,\n"))
    assert "1 food read: 1 added" in out
    assert "Left out: 1 row." in out
    assert say("foods", "sources")[1].startswith("foods.csv: 1 food.")


def test_tables_of_several_kinds_are_told_with_how_many(say, tmp_path):
    booklet = (
        "Bread\nFood name,Measure,Weight,Energy,Carbohydrate\n,,g,kcal,g\nRye,1 slice,35,90,17\n"
    )
    for n in range(8):
        (tmp_path / f"part{n}.csv").write_text(booklet)
    (tmp_path / "mine.csv").write_text(HEAD + RYE)
    code, _, err = say("foods", "import", str(tmp_path))
    assert code == 1
    assert (
        "8 files of Nutrient Value of Some Common Foods, CSV files (part0.csv, part1.csv, " in err
    )
    assert "part5.csv and 2 more)" in err
    assert "1 file of the plain table, CSV (mine.csv)" in err
    assert "Put the files of each kind in a folder of their own" in err

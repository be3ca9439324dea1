"""What is kept gives what is made anew; what is spoilt, or of another Python, is not used."""

import os
import subprocess
import sys

import pytest

from grammar import kept

READ = """
from grammar.phrases import read_phrase
from grammar.statements import read_statement
print(read_phrase("1.5 servings of the oat cereal plus 200 ml milk, glucose 162"))
print(read_phrase("a pound and a half of rice"))
print(read_phrase("2 x 30 g rye bread"))
print(read_phrase("1 cup (240 ml) milk and two slices of mac and cheese"))
print(read_statement("my ratio is 1 unit per 10 g"))
"""


def read(folder, *, beside=True):
    """What a process of its own reads that keeps things in this folder, or in the user's in it."""
    environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environ["PYTHONPATH"] = os.pathsep.join(p for p in sys.path if p)
    environ["XDG_CACHE_HOME"] = str(folder / "user")
    if beside:
        environ["PYTHONPYCACHEPREFIX"] = str(folder)
    else:
        environ["PYTHONDONTWRITEBYTECODE"] = "1"
        environ["PYTHONPYCACHEPREFIX"] = str(folder / "none")
    done = subprocess.run(
        [sys.executable, "-c", READ], capture_output=True, env=environ, check=True
    )
    assert done.stderr == b""
    return done.stdout


@pytest.mark.more
def test_a_kept_table_reads_as_one_built_anew(tmp_path):
    anew = read(tmp_path)
    assert not (tmp_path / "user").exists()
    tables = sorted(tmp_path.rglob("kept.*.*"))
    tables = [table for table in tables if table.suffix != ".pyc"]
    kinds = ["patterns", "food.tables", "statements.tables"]
    assert len(tables) == len(kinds)
    assert all(any(t.name.endswith(kind) for t in tables) for kind in kinds)
    before = [table.read_bytes() for table in tables]
    assert read(tmp_path) == anew
    assert [table.read_bytes() for table in tables] == before
    for table, spoilt in zip(tables, (b"", before[1][:900], before[2][:-9]), strict=True):
        table.write_bytes(spoilt)
    assert read(tmp_path) == anew
    assert all(len(t.read_bytes()) > 1000 for t in tables)  # each was made anew
    for table in tables:
        table.write_bytes(b"\x00" * 100)
    assert read(tmp_path) == anew


@pytest.fixture
def beside(tmp_path, monkeypatch):
    """The files of this test lie in a folder of its own."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(kept, "cache_from_source", lambda _: str(tmp_path / "kept.pyc"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "user"))
    return tmp_path


def test_what_is_kept_comes_back_as_it_was(beside):
    value = {("a", 1): (1, b"x", None, {"n": 2}), "é": [1, 2, frozenset({"x"})]}
    assert kept.read("thing") is None
    kept.write("thing", value)
    assert kept.read("thing") == value
    assert [file.name for file in beside.iterdir()] == ["kept.thing"]


def test_every_torn_or_changed_file_is_as_none(beside):
    kept.write("thing", ["abc", 1, 2, 3])
    whole = (beside / "kept.thing").read_bytes()
    for place in range(len(whole)):
        (beside / "kept.thing").write_bytes(whole[:place])
        assert kept.read("thing") is None
        changed = whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :]
        (beside / "kept.thing").write_bytes(changed)
        assert kept.read("thing") is None


def test_pieces_come_back_each_by_its_key(beside):
    kept.write_pieces("things", {1: "a", (2, "b"): [3, None], "c": b"x" * 1000})
    things = kept.Pieces("things")
    assert things.keys() == {1, (2, "b"), "c"}
    assert (things.get(1), things.get((2, "b")), things.get("c")) == ("a", [3, None], b"x" * 1000)
    assert things.get("d") is None
    assert kept.Pieces("none").get(1) is None


def test_a_torn_piece_is_as_none_and_the_others_stand(beside):
    kept.write_pieces("things", {1: "first", 2: "second"})
    whole = (beside / "kept.things").read_bytes()
    for place in range(len(whole)):
        changed = whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :]
        (beside / "kept.things").write_bytes(changed)
        things = kept.Pieces("things")
        told = (things.get(1), things.get(2))
        assert told in {(None, None), ("first", None), (None, "second")}
    (beside / "kept.things").write_bytes(whole[:-1])
    assert (kept.Pieces("things").get(1), kept.Pieces("things").get(2)) == ("first", None)


def test_of_another_python_nothing_is_read(beside, monkeypatch):
    kept.write("thing", 1)
    monkeypatch.setattr(kept, "_HEAD", b"1 another\n")
    assert kept.read("thing") is None


def test_the_users_folder_serves_where_the_other_may_not_be_written(beside, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    kept.write("thing", 1)
    assert kept.read("thing") == 1
    assert [path.name for path in beside.iterdir()] == ["user"]
    (file,) = (beside / "user" / "countaloud").iterdir()
    assert file.name == f"{sys.implementation.cache_tag}.thing"
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    kept.write("thing", 2)
    assert kept.read("thing") == 2  # the one beside the modules stands first


@pytest.mark.parametrize("folder", ["", "relative/folder"])
def test_a_folder_of_no_place_is_not_taken(beside, monkeypatch, folder):
    monkeypatch.setenv("XDG_CACHE_HOME", folder)
    monkeypatch.setenv("HOME", str(beside / "me"))
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    kept.write("thing", 1)
    assert (beside / "me" / ".cache" / "countaloud").is_dir()


def test_a_full_disk_leaves_the_file_of_before(beside, monkeypatch):
    kept.write("thing", 1)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    kept.write("thing", 2)
    assert kept.read("thing") == 1
    assert [file.name for file in beside.rglob("*thing*")] == ["kept.thing"]


@pytest.mark.more
def test_where_nothing_compiled_is_written_it_is_kept_for_the_user(tmp_path):
    anew = read(tmp_path, beside=False)
    names = sorted(file.name.partition(".")[2] for file in (tmp_path / "user").rglob("*.*"))
    assert names == ["food.tables", "patterns", "statements.tables"]
    before = {file: file.stat().st_mtime_ns for file in (tmp_path / "user").rglob("*.*")}
    assert read(tmp_path, beside=False) == anew
    assert {file: file.stat().st_mtime_ns for file in before} == before


@pytest.mark.more
def test_where_nothing_can_be_written_it_is_made_each_time(tmp_path):
    (tmp_path / "user").write_text("")
    (tmp_path / "none").write_text("")
    assert read(tmp_path, beside=False) == read(tmp_path, beside=False) != b""

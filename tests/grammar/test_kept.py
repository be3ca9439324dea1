"""A parser's table that is kept gives what one built anew gives; one that is spoilt is not used."""

import os
import subprocess
import sys

import pytest

READ = """
from grammar.phrases import read_phrase
from grammar.statements import read_statement
print(read_phrase("1.5 servings of the oat cereal plus 200 ml milk, glucose 162"))
print(read_phrase("a pound and a half of rice"))
print(read_phrase("2 x 30 g rye bread"))
print(read_phrase("1 cup (240 ml) milk and two slices of mac and cheese"))
print(read_statement("my ratio is 1 unit per 10 g"))
"""


def read(folder=None):
    environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environ["PYTHONPATH"] = os.pathsep.join(p for p in sys.path if p)
    if folder is None:
        environ["PYTHONDONTWRITEBYTECODE"] = "1"
    else:
        environ["PYTHONPYCACHEPREFIX"] = str(folder)
    done = subprocess.run(
        [sys.executable, "-c", READ], capture_output=True, env=environ, check=True
    )
    assert done.stderr == b""
    return done.stdout


@pytest.mark.more
def test_a_kept_table_reads_as_one_built_anew(tmp_path):
    anew = read()
    assert read(tmp_path) == anew
    tables = sorted(tmp_path.rglob("*.table"))
    assert len(tables) == 2
    before = [table.read_bytes() for table in tables]
    assert read(tmp_path) == anew
    assert [table.read_bytes() for table in tables] == before
    for table, spoilt in zip(tables, (b"", before[1][:900]), strict=True):
        table.write_bytes(spoilt)
    assert read(tmp_path) == anew
    for table in tables:
        table.write_bytes(b"\x00" * 100)
    assert read(tmp_path) == anew


@pytest.mark.more
def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path):
    (tmp_path / "file").write_text("")
    assert read(tmp_path / "file") == read()

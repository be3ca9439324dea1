"""The program as a process: pipes, streams, encodings, and what a cold start imports."""

import json
import os
import subprocess
import sys

import pytest
from shell_stand_ins import PROGRAM

SLOW_TO_IMPORT = ("rich", "prompt_toolkit", "platformdirs", "rapidfuzz", "readline", "asyncio")


def test_ask__is_answered_by_the_real_turn(program) -> None:
    done = program("ask", "--json", "target 110 mg/dL")
    assert json.loads(done.stdout)["status"] == "answered"
    assert (done.returncode, done.stderr) == (0, b"")


def test_ask__blank_is_asked(program) -> None:
    assert program("ask", "").returncode == 3


def test_ask__undecodable_words(program) -> None:
    done = program("ask", "--json", b"\xff milk")
    assert done.returncode in (3, 4)
    assert json.loads(done.stdout)["status"] == "asked"
    assert b"Traceback" not in done.stderr


def test_ask__terminal_that_holds_no_accents(program) -> None:
    done = program("ask", "crème brûlée \u2603", PYTHONIOENCODING="ascii")
    assert b"Traceback" not in done.stderr
    assert done.returncode == 3
    done = program("ask", "--json", "crème", PYTHONIOENCODING="latin-1")
    assert "crème" in json.loads(done.stdout)["text"]


def test_ask__plain_text_has_no_escapes(program) -> None:
    done = program("ask", "target 110 mg/dL", TERM="xterm-256color")
    assert b"\x1b" not in done.stdout


def test_read__json_is_the_contract(program) -> None:
    done = program("read", "--json", "1.5 servings of the oat cereal")
    made = json.loads(done.stdout)
    assert list(made)[:4] == ["status", "items", "unread", "readings"]
    assert done.returncode == {"read": 0, "asked": 3}[made["status"]]


def test_ask__reader_that_goes_away_is_no_error() -> None:
    script = f"yes glucose | '{sys.executable}' -m assistant.shell.main ask - | head -n 1"
    done = subprocess.run(["sh", "-c", script], capture_output=True, timeout=60, check=False)
    assert done.stderr == b""


def test_ask_lines__each_reply_is_flushed() -> None:
    with subprocess.Popen(
        [*PROGRAM, "ask", "--json", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        for text in (b"target 110 mg/dL\n", b"\n"):
            process.stdin.write(text)
            process.stdin.flush()
            assert json.loads(process.stdout.readline())
        process.stdin.close()
        assert process.wait(20) == 0


def test_cold_start__imports_nothing_slow(tmp_path) -> None:
    script = (
        "import sys; from assistant.shell.main import main;"
        "from assistant.shell.world import World;"
        "code = main(['ask', 'target 110 mg/dL'], World.of_process());"
        f"print([m for m in {SLOW_TO_IMPORT!r} if m in sys.modules], code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        env={**os.environ, "COUNTALOUD_HOME": str(tmp_path / "h")},
        timeout=60,
        check=False,
    )
    assert done.stdout.splitlines()[-1] == "[] 0"


def test_a_meal_imports_neither_lark_nor_pydantic_once_the_tables_are_kept(tmp_path) -> None:
    slow = ("lark", "pydantic", "pint", "rich", "prompt_toolkit", "dataclasses")
    script = (
        "import sys; from assistant.shell.main import main;"
        "from assistant.shell.world import World;"
        "code = main(['ask', '2 slices of rye bread and 200 ml milk'], World.of_process());"
        f"print([m for m in {slow!r} if m in sys.modules], code)"
    )
    environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environ |= {"COUNTALOUD_HOME": str(tmp_path / "h"), "PYTHONPYCACHEPREFIX": str(tmp_path / "c"),
                "XDG_CACHE_HOME": str(tmp_path / "u")}  # fmt: skip
    told = [
        subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, env=environ,
            timeout=60, check=False,
        ).stdout.splitlines()[-1]
        for _ in range(2)
    ]  # fmt: skip
    assert "lark" in told[0]  # it makes the tables, the first time
    assert told[1] == "[] 3"


@pytest.mark.more
def test_what_is_kept_for_the_next_start_holds_no_word_of_the_user(tmp_path) -> None:
    said = (
        "new food qwertzu: EU label, serving 1 yxcvbn (40 g), per 100 g: carbohydrate 27 g",
        "2 yxcvbns of qwertzu plus a bit of asdfghj, no qwertzus after all",
        "the same without asdfghj", "foods like qwert", "qwertzu is also called uiopqa",
        "I avoid asdfghj", "how much qwertzu is 45 g of carbohydrate", "forget uiopqa",
        "recipe asdfghj: 200 g qwertzu, 1 yxcvbn of qwertzu. makes 3 bowls", "half of it",
        "my asdfghj is for my qwertzu", "compare qwertzu and asdfghj", "show all qwertzus",
    )  # fmt: skip
    kept = {"PYTHONDONTWRITEBYTECODE": "1", "XDG_CACHE_HOME": str(tmp_path / "u"),
            "PYTHONPYCACHEPREFIX": str(tmp_path / "none")}  # fmt: skip
    done = subprocess.run(
        [*PROGRAM, "--home", str(tmp_path / "h"), "ask", "-"], input="\n".join(said),
        capture_output=True, text=True, env={**os.environ, **kept}, timeout=120, check=False,
    )  # fmt: skip
    assert "qwertzu" in done.stdout
    files = [file for file in (tmp_path / "u").rglob("*") if file.is_file()]
    assert len(files) >= 2
    words = (b"qwert", b"yxcvbn", b"asdfghj", b"uiopqa")
    assert not [(file, word) for file in files for word in words if word in file.read_bytes()]


def test_demo__shows_a_count_and_seeds_once(program, tmp_path) -> None:
    folder = str(tmp_path / "demo")
    done = program("--home", folder, "demo")
    out = done.stdout.decode()
    assert (done.returncode, done.stderr) == (0, b"")
    assert "invented" in out
    assert f"countaloud --home {folder}" in out
    assert "41.1 g" in out
    assert "5 units" in out
    again = program("--home", folder, "demo").stdout.decode()
    assert "filled before" in again
    assert "41.1 g" not in again


@pytest.mark.more
def test_demo__leaves_a_real_journal_alone(program, home) -> None:
    program("ask", "target 6 mmol/L")
    done = program("--home", str(home), "demo")
    assert done.returncode == 1
    assert str(home).encode() in done.stderr
    program("demo")
    assert program("ask", "--json", "show oat cereal").returncode != 0

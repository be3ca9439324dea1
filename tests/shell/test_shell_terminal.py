"""The chat in a real pseudo-terminal, with pyte as the screen that answers it."""

import os
import time

import pexpect
import pyte
import pytest
from shell_stand_ins import PROGRAM

PROMPT = "Food or question:"


class Terminal:
    """A program in a terminal. Everything that it writes goes to the screen and to raw."""

    def __init__(self, *argv: str, columns: int = 100, **environ: str) -> None:
        env = {**os.environ, "TERM": "xterm-256color", **environ}
        env.pop("COLUMNS", None)
        self.child = pexpect.spawn(
            PROGRAM[0], [*PROGRAM[1:], *argv], env=env, dimensions=(60, columns), encoding="utf-8"
        )
        self.screen = pyte.Screen(columns, 60)
        self.screen.write_process_input = self.child.send
        self.stream = pyte.Stream(self.screen)
        self.raw = ""

    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display).rstrip()

    def until(self, wanted: str, count: int = 1, seconds: float = 20) -> str:
        """Reads until the screen shows the words so often; fails with the screen."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._read()
            if self.text().count(wanted) >= count:
                self._read()
                return self.text()
        raise AssertionError(f"no {wanted!r} on:\n{self.text()}")

    def _read(self) -> None:
        try:
            data = self.child.read_nonblocking(65536, 0.15)
        except (pexpect.TIMEOUT, pexpect.EOF):
            return
        self.raw += data
        self.stream.feed(data)

    def ended(self) -> int | None:
        """The exit code, once the program is gone."""
        self.child.expect(pexpect.EOF, timeout=20)
        self.child.close()
        return self.child.exitstatus


@pytest.fixture
def terminal(home):
    """Makes terminals and ends them after the test."""
    made: list[Terminal] = []

    def make(*argv: str, **more) -> Terminal:
        made.append(Terminal(*argv, **more))
        made[-1].until(PROMPT)
        return made[-1]

    yield make
    for one in made:
        one.child.close(force=True)


MODES = [("sighted", ()), ("spoken", ("--spoken",))]


@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__ctrl_c_clears_and_ctrl_d_leaves(terminal, mode, argv, home) -> None:
    chat = terminal(*argv)
    chat.child.send("half a line")
    chat.until("half a line")
    chat.child.send("\x03")
    chat.until(PROMPT, 2)
    chat.child.send("target 110 mg/dL\r")
    assert "110" in chat.until(PROMPT, 3)
    chat.child.send("\x04")
    assert chat.ended() == 0
    history = home / "history"
    assert history.stat().st_mode & 0o777 == 0o600
    assert "half a line" not in history.read_text()


def test_chat__completion_never_takes_enter(terminal, home) -> None:
    chat = terminal()
    chat.child.send("ta")
    chat.until("target")
    chat.child.send("\r")
    chat.until(PROMPT, 2)
    assert (home / "history").read_text() == '"ta"\n'


def test_chat__up_is_history_while_completions_are_offered(terminal, home) -> None:
    chat = terminal()
    chat.child.send("why\r")
    chat.until(PROMPT, 2)
    chat.child.send("ta")
    chat.until("target")
    chat.child.send("\x1b[A")
    chat.until(f"{PROMPT} why", 2)


@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__pasted_label_is_one_turn(terminal, mode, argv, home) -> None:
    chat = terminal(*argv)
    label = "new food oat flakes:\nNutrition Facts\n\nServing size 40 g\nTotal Carbohydrate 27 g"
    chat.child.send(f"\x1b[200~{label}\x1b[201~")
    chat.until("Total Carbohydrate 27 g")
    chat.child.send("\r")
    chat.until(PROMPT, 2)
    rows = (home / "history").read_text().splitlines()
    assert len(rows) == 1
    assert "Nutrition Facts\\n\\nServing size" in rows[0]


def test_chat__spoken_writes_no_escapes_but_the_line_editor_s(terminal) -> None:
    chat = terminal("--spoken")
    chat.child.send("target 110 mg/dL\r")
    text = chat.until(PROMPT, 2)
    assert text.splitlines()[0] == "Spoken mode is on, by --spoken."
    assert "milligrams per decilitre" in text
    left = chat.raw.replace("\x1b[?2004h", "").replace("\x1b[?2004l", "")
    assert "\x1b" not in left


def test_chat__dumb_terminal_has_plain_lines(terminal) -> None:
    chat = terminal(TERM="dumb")
    chat.child.send("target 110 mg/dL\r")
    chat.until(PROMPT, 2)
    assert "\x1b" not in chat.raw


def test_chat__no_colour_where_it_is_not_wanted(terminal) -> None:
    chat = terminal(NO_COLOR="1")
    chat.child.send("target 110 mg/dL\r")
    chat.until(PROMPT, 2)
    assert "\x1b[1m" not in chat.raw
    coloured = terminal()
    coloured.child.send("target 110 mg/dL\r")
    coloured.until(PROMPT, 2)
    assert "\x1b[1m" in coloured.raw


def test_demo__opens_the_chat(terminal, tmp_path) -> None:
    chat = terminal("--home", str(tmp_path / "demo"), "demo")
    text = chat.until(PROMPT, 2)
    assert "5 units" in text
    chat.child.send("bye\r")
    assert chat.ended() == 0


def test_chat__label_pasted_as_bare_lines_is_one_turn(terminal, home) -> None:
    chat = terminal(TERM="dumb")
    chat.child.send("Nutrition Facts\rServing size 40 g\r\rTotal Carbohydrate 27 g\r\r")
    chat.until(PROMPT, 2)
    (row,) = (home / "history").read_text().splitlines()
    assert "Serving size 40 g\\n\\nTotal Carbohydrate 27 g" in row

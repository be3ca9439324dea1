"""The chat in a real pseudo-terminal, with pyte as the screen that answers it."""

import os
import re
import shutil
import signal
import time

import pexpect
import pyte
import pytest
from filled_home import NOON, NUMBERS, filled
from shell_stand_ins import PROGRAM

PROMPT = "Food or question:"
COLOUR = re.compile(r"\x1b\[(?:[\d;]*;)?(?:3[0-7]|9[0-7]|4[0-7]|38|48)[;m]")
"""Codes of colour (ECMA-48, 8.3.117)."""


def _as_from_a_shell() -> None:
    """Tests that run in the background ignore Ctrl-C, and so would what they start."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Terminal:
    """A program in a terminal. Everything that it writes goes to the screen and to raw."""

    def __init__(self, *argv: str, columns: int = 100, rows: int = 60, **environ: str) -> None:
        env = {**os.environ, "TERM": "xterm-256color", **environ}
        env.pop("COLUMNS", None)
        self.child = pexpect.spawn(
            PROGRAM[0],
            [*PROGRAM[1:], *argv],
            env=env,
            dimensions=(rows, columns),
            encoding="utf-8",
            preexec_fn=_as_from_a_shell,
        )
        self.screen = pyte.Screen(columns, rows)
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


@pytest.mark.more
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


@pytest.mark.more
def test_chat__no_colour_where_it_is_not_wanted(terminal) -> None:
    chat = terminal(NO_COLOR="1")
    chat.child.send("target 110 mg/dL\r")
    chat.until(PROMPT, 2)
    assert not COLOUR.search(chat.raw)
    assert "\x1b[1m" in chat.raw  # no-color.org asks for no colour; weight is none
    coloured = terminal()
    coloured.child.send("1.5 frobs\r")
    coloured.until(PROMPT, 2)
    assert "\x1b[1m" in coloured.raw


@pytest.mark.more
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


@pytest.mark.more
def test_chat__speak_plainly_changes_it_at_once_and_for_good(terminal) -> None:
    chat = terminal()
    chat.child.send("speak plainly\r")
    chat.until(PROMPT, 2)
    chat.raw = ""
    chat.child.send("target 110 mg/dL\r")
    assert "milligrams per decilitre" in chat.until(PROMPT, 3)
    left = chat.raw.replace("\x1b[?2004h", "").replace("\x1b[?2004l", "")
    assert "\x1b" not in left
    chat.child.send("show it for the eye\r")
    chat.until(PROMPT, 4)
    chat.child.send("speak plainly\r")
    chat.until(PROMPT, 5)
    chat.child.send("bye\r")
    assert chat.ended() == 0
    later = terminal()
    assert "by your sentence speak plainly" in later.text()


@pytest.mark.more
@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__no_history_is_kept_where_it_is_not_wanted(terminal, mode, argv, home) -> None:
    chat = terminal(*argv)
    chat.child.send("why\r")
    chat.until(PROMPT, 2)
    assert (home / "history").exists()
    chat.child.send("keep no history\r")
    chat.until(PROMPT, 3)
    assert not (home / "history").exists()
    chat.child.send("today\r")
    chat.until(PROMPT, 4)
    assert not (home / "history").exists()
    chat.child.send("keep history\r")
    chat.until(PROMPT, 5)
    chat.child.send("why\r")
    chat.until(PROMPT, 6)
    assert (home / "history").stat().st_mode & 0o777 == 0o600
    assert "today" not in (home / "history").read_text()


@pytest.mark.more
@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__the_last_line_can_be_edited_and_sent_again(terminal, mode, argv, home) -> None:
    chat = terminal(*argv)
    chat.child.send("target 110 mg/d\r")
    chat.until(PROMPT, 2)
    chat.child.send("\x1b[A")
    chat.until("target 110 mg/d", 2)
    chat.child.send("L\r")
    chat.until(PROMPT, 3)
    assert '"target 110 mg/dL"' in (home / "history").read_text()


@pytest.mark.more
@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__lives_through_a_resize(terminal, mode, argv) -> None:
    chat = terminal(*argv)
    chat.child.send("target 110")
    chat.until("target 110")
    chat.child.setwinsize(60, 50)
    chat.screen.resize(60, 50)
    chat.child.send(" mg/dL\r")
    chat.until(PROMPT, 2)
    chat.child.send("what is net carbohydrate\r")
    text = chat.until("No law")
    assert all(len(line) <= 50 for line in text.splitlines())


@pytest.mark.more
@pytest.mark.parametrize(("mode", "argv"), MODES, ids=[m for m, _ in MODES])
def test_chat__can_be_suspended_and_goes_on(mode, argv, home) -> None:
    """Under a shell with job control, Control Z gives the shell back, and fg the line as it was."""
    bash = shutil.which("bash")
    if bash is None:
        pytest.skip("bash is not installed")
    env = {**os.environ, "TERM": "xterm-256color", "PS1": "SHELL> ", "HISTFILE": ""}
    env.pop("COLUMNS", None)
    child = pexpect.spawn(
        bash, ["--norc", "--noprofile", "-i"], env=env, dimensions=(40, 100), encoding="utf-8"
    )
    screen = pyte.Screen(100, 40)
    screen.write_process_input = child.send
    shell = Terminal.__new__(Terminal)
    shell.child, shell.screen, shell.stream, shell.raw = child, screen, pyte.Stream(screen), ""
    try:
        shell.until("SHELL>")
        child.send(" ".join([*PROGRAM, *argv]) + "\r")
        shell.until(PROMPT)
        child.send("target 110")
        shell.until("target 110")
        child.send("\x1a")
        shell.until("SHELL>", 2)
        child.send("fg\r")
        time.sleep(1)
        child.send(" mg/dL\r")
        shell.until("Target: 110 m")
        child.send("bye\r")
        shell.until("Goodbye.")
    finally:
        child.close(force=True)


@pytest.mark.more
def test_chat__a_later_start_shows_what_is_open_and_nothing_else(terminal) -> None:
    first = terminal()
    assert "set up" in first.text()
    first.child.send("target 110 mg/dL\r")
    first.until(PROMPT, 2)
    first.child.send("new food apricots\r")
    first.until(PROMPT, 3)
    first.child.send("bye\r")
    assert first.ended() == 0
    text = terminal().text()
    assert "countaloud counts" not in text
    assert "Type or paste the label of apricots." in text


LONG = [
    ("2 servings of oat cereal, no reading", "Suggested dose: 4 units.", "not an order"),
    ("6 servings of oat cereal, glucose 150", "No dose is suggested.", "cap of 8 units at once"),
]


@pytest.mark.more
@pytest.mark.parametrize(("said", "answer", "also"), LONG, ids=["dose", "refusal"])
@pytest.mark.parametrize("term", ["xterm-256color", "dumb"])
def test_chat__the_answer_of_a_long_reply_is_still_on_a_low_screen(
    terminal, home, said, answer, also, term
) -> None:
    """40 columns and 20 rows hold no whole dose: its answer stands below it again."""
    filled(home, *NUMBERS)
    low = terminal("--at", NOON, columns=40, rows=20, TERM=term)
    low.child.send(f"{said}\r")
    low.until("The answer again:")
    text = " ".join(low.until(PROMPT).split())
    tail = text[text.rindex("The answer again:") :]
    assert answer in tail
    assert PROMPT in tail
    assert also in text
    low.child.send("\x04")
    assert low.ended() == 0


def test_chat__the_answer_of_a_reply_that_fits_is_told_once(terminal, home) -> None:
    filled(home, *NUMBERS)
    tall = terminal("--at", NOON, columns=80, rows=60)
    tall.child.send("2 servings of oat cereal, no reading\r")
    text = tall.until(PROMPT, 2)
    assert text.count("Suggested dose: 4 units.") == 1
    assert "The answer again" not in text

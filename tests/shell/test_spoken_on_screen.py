"""Spoken lines on a terminal are broken at blanks; a pipe gets a sentence a line."""

import io
import re

import pexpect
import pytest
from filled_home import NOON, NUMBERS, filled
from shell_stand_ins import PROGRAM, world_of, written

from assistant.dialogue.replies import Line, Reply
from assistant.render.spoken import spoken
from assistant.shell.main import COMMANDS, main
from assistant.shell.manual import TOPICS
from assistant.shell.voice import Voice
from assistant.shell.world import World

REPLY = Reply("answered", (Line("caution", "rule-no-reading"), Line("answer", "term-polyols")))


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("columns", [20, 40, 80])
def test_spoken__is_wrapped_on_a_terminal_and_says_the_same(columns) -> None:
    screen = Screen()
    Voice(World(io.StringIO(), screen, io.StringIO(), {"COLUMNS": str(columns)}), "spoken").reply(
        REPLY
    )
    rows = screen.getvalue().splitlines()
    assert max(map(len, rows)) <= columns
    assert " ".join(rows) == spoken(REPLY).replace("\n", " ")


def test_spoken__is_whole_in_a_pipe() -> None:
    world = world_of()
    Voice(world, "spoken").reply(REPLY)
    assert written(world) == spoken(REPLY) + "\n"


def test_spoken__no_word_is_cut_by_a_narrow_terminal(home, monkeypatch) -> None:
    monkeypatch.delenv("COLUMNS")
    filled(home, *NUMBERS)
    chat = pexpect.spawn(
        PROGRAM[0], [*PROGRAM[1:], "--at", NOON, "--spoken"], dimensions=(60, 50), encoding="utf-8"
    )
    try:
        chat.expect_exact("Food or question:")
        chat.sendline("2 servings of oat cereal, no reading")
        chat.expect_exact("Suggested dose")
        chat.expect_exact("Food or question:")
        rows = chat.before.replace("\r", "").split("\n")
        assert max(map(len, rows)) <= 50
        assert len(rows) > 10
    finally:
        chat.close(force=True)


def spoken_help(*argv: str) -> str:
    world = world_of()
    assert main(("--spoken", *argv), world) == 0
    return written(world)


@pytest.mark.parametrize(
    "argv", [(), *((c.name,) for c in COMMANDS), *((t,) for t in TOPICS)], ids=str
)
def test_help_for_the_ear__sentences_with_signs_by_name(argv) -> None:
    out = spoken_help("help", *argv)
    assert not re.search(r"[_=\"]|--|(?m:^ )|\n\n", out), out


def test_help_for_the_ear__the_flag_says_the_same(capsys) -> None:
    assert main(("--spoken", "foods", "--help"), world_of()) == 0
    assert capsys.readouterr().out == spoken_help("help", "foods")


def test_help__each_way_of_a_command_is_a_line() -> None:
    lines = spoken_help("help", "foods").splitlines()
    assert "Usage: countaloud foods import FILE" in lines
    assert "Usage: countaloud foods export FILE" in lines
    assert "Usage: countaloud foods sources" in lines

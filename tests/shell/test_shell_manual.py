"""Help that reads well aloud, the schema command, the completion script, what pipes get."""

import json
import re
from typing import get_args, get_type_hints

import pytest
from shell_stand_ins import world_of, written

from assistant.diary.readings_file import NoSheet
from assistant.render.texts import TEXTS
from assistant.shell.main import COMMANDS, main
from assistant.shell.manual import TOPICS


def told(*argv: str) -> tuple[int, str, str]:
    world = world_of()
    code = main(argv, world)
    return code, written(world), world.stderr.getvalue()


def test_help__one_thing_a_line_and_no_brackets_or_bars(capsys) -> None:
    for argv in (
        ("help",),
        *((("help", c.name)) for c in COMMANDS),
        *(("help", t) for t in TOPICS),
    ):
        code, out, _ = told(*argv)
        assert code == 0
        assert out.strip()
        assert not re.search(r"[\[\]{}|<>]|\.\.\.|\.\.$|(?m:^\s*-+$)", out), out
        for line in out.splitlines():
            assert not line or line.endswith((".", ":")) or line.startswith("Usage: "), line


def test_help__the_flag_and_the_command_say_the_same(capsys) -> None:
    assert main(("--help",), world_of()) == 0
    assert capsys.readouterr().out == told("help")[1]
    assert main(("ask", "--help"), world_of()) == 0
    assert capsys.readouterr().out == told("help", "ask")[1]


def test_help__names_every_command_and_option() -> None:
    out = told("help")[1]
    for name in (*(c.name for c in COMMANDS), "--home", "--at", "--spoken", "--help", "refused"):
        assert name in out


@pytest.mark.parametrize("argv", [("help", "nothing"), ("schema", "x"), ("completion", "x")])
def test_unknown_topic__is_wrong_usage_and_names_those_there_are(argv) -> None:
    code, out, err = told(*argv)
    assert (code, out) == (2, "")
    assert "Topics are:" in err


def test_wrong_usage__is_one_sentence(capsys) -> None:
    assert main(("frobnicate",), world_of()) == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize("name", ["reply", "read"])
def test_schema__is_printed_as_json(name) -> None:
    code, out, _ = told("schema", name)
    assert code == 0
    assert json.loads(out)["type"] == "object"


def test_schema__reply_is_meant_where_nothing_is_named() -> None:
    assert told("schema")[1] == told("schema", "reply")[1]


@pytest.mark.more
def test_pipes__get_no_colour_and_no_prompt(program) -> None:
    typed = b"target 110 mg/dL\nwhy\n"
    for argv in ((), ("--spoken",), ("ask", "-"), ("demo",)):
        run = program(*argv, typed=typed, TERM="xterm-256color", CLICOLOR_FORCE="1")
        assert run.returncode == 0
        assert b"\x1b" not in run.stdout + run.stderr
        assert TEXTS["shell-prompt"].encode() not in run.stdout.replace(
            TEXTS["shell-prompt"].encode() + b"1.5", b""
        )


@pytest.mark.more
def test_saved_manner__holds_for_later_runs_and_the_option_wins(program) -> None:
    run = program("ask", "speak plainly")
    assert b"Spoken form is on" in run.stdout
    assert b"milligrams per decilitre" in program("ask", "target 110 mg/dL").stdout
    program("ask", "show it for the eye")
    assert b"110 mg/dL" in program("ask", "target 110 mg/dL").stdout
    assert b"milligrams per decilitre" in program("ask", "--spoken", "target 110 mg/dL").stdout


def test_every_text_of_the_shell_is_said_somewhere() -> None:
    from pathlib import Path

    import assistant.shell

    source = "\n".join(p.read_text() for p in Path(assistant.shell.__file__).parent.glob("*.py"))
    used = set(re.findall(r"say\(\s*[\"']([a-z-]+)[\"']", source))
    used |= set(re.findall(r"\"(arg-[a-z]+)\"", source)) | {f"cmd-{c.name}" for c in COMMANDS}
    used |= {
        f"arg-{option.about or option.name}" for command in COMMANDS for option in command.options
    }
    used |= {f"readings-{why}" for why in get_args(get_type_hints(NoSheet)["why"])}
    codes = {code.removeprefix("shell-") for code in TEXTS if code.startswith("shell-")}
    # codes with a part that is only known as it runs: say(f"fault-{fault.why}")
    made = [
        re.sub(r"\\{.+?\\}", ".+", re.escape(c)) for c in re.findall(r"say\(\s*f\"(.+?)\"", source)
    ]
    made = [pattern for pattern in made if not pattern.startswith("cmd")]
    used |= {code for code in codes if any(re.fullmatch(pattern, code) for pattern in made)}
    unused = {c for c in codes - used if not c.startswith(("advice", "topic-"))}
    assert not unused
    assert not used - codes

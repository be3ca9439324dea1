"""The command line: exit codes, options on both sides, one turn a line, and wrong usage."""

import json

import pytest
from shell_stand_ins import fake_turn, world_of, written

from assistant.shell.main import main


@pytest.fixture
def faked(monkeypatch):
    """The real store with a turn whose status is the first word."""
    monkeypatch.setattr("assistant.render.turns.turn", fake_turn)


@pytest.fixture
def say(faked, home):
    """Runs main in this process; gives the exit code, standard output and standard error."""

    def run(*argv: str, typed: str | bytes = "", **environ: str) -> tuple[int, str, str]:
        world = world_of(typed, **{"COUNTALOUD_HOME": str(home), **environ})
        code = main(argv, world)
        return code, written(world), world.stderr.getvalue()

    return run


@pytest.mark.parametrize(
    ("text", "code"), [("answered", 0), ("asked", 3), ("refused", 4), ("failed", 1), ("boom", 1)]
)
def test_ask__exit_code_tells_the_status(say, text, code) -> None:
    assert say("ask", text)[0] == code
    assert say("ask", "--json", text)[0] == code


def test_ask__words_are_one_sentence(say) -> None:
    _, out, _ = say("ask", "--json", "two", "slices", "of rye bread")
    assert json.loads(out)["facts"]["said"] == "two slices of rye bread"


def test_ask__text_of_many_lines_is_one_turn(say) -> None:
    _, out, _ = say("ask", "--json", "a\nb\n\nc")
    assert [json.loads(line)["facts"]["said"] for line in out.splitlines()] == ["a\nb\n\nc"]


def test_ask__options_before_and_after(say, tmp_path) -> None:
    at = "2026-03-02T08:00:00+01:00"
    for argv in (
        ("--home", str(tmp_path / "a"), "--at", at, "ask", "--json", "x"),
        ("ask", "--json", "x", "--at", at, "--home", str(tmp_path / "b")),
        ("--at", at, "ask", "--home", str(tmp_path / "c"), "x", "--json"),
    ):
        code, out, _ = say(*argv)
        assert (code, json.loads(out)["facts"]["at"]) == (0, at)
    assert {p.name for p in tmp_path.iterdir()} >= {"a", "b", "c"}


def test_ask__home_from_the_environment(say, home) -> None:
    say("ask", "x")
    assert home.is_dir()


@pytest.mark.parametrize("at", ["2026-03-02T08:00", "soon", "", "2026-13-02T08:00+01:00"])
def test_ask__time_without_offset_is_wrong_usage(say, at, capsys) -> None:
    assert say("ask", "--at", at, "x")[0] == 2
    assert "--at" in capsys.readouterr().err


@pytest.mark.parametrize(
    "argv", [("ask",), ("frobnicate",), ("ask", "--nonsense", "x"), ("--jso", "ask", "x")]
)
def test_wrong_usage_is_2(say, argv, capsys) -> None:
    assert say(*argv)[0] == 2
    assert "Traceback" not in capsys.readouterr().err


def test_help_names_every_command(say) -> None:
    code, out, _ = say("help")
    assert code == 0
    for name in ("ask", "read", "demo", "help", "--home", "--at", "--spoken"):
        assert name in out


def test_ask_lines__in_order_and_blank_ones_too(say) -> None:
    code, out, _ = say("ask", "--json", "-", typed="asked 1\n\nrefused 2\r\nlast")
    assert code == 0
    assert [json.loads(line)["facts"]["said"] for line in out.splitlines()] == [
        "asked 1",
        "",
        "refused 2",
        "last",
    ]


def test_ask_lines__a_failed_turn_does_not_stop_the_rest(say) -> None:
    code, out, _ = say("ask", "--json", "-", typed="boom\nanswered\n")
    assert code == 1
    assert [json.loads(line)["status"] for line in out.splitlines()] == ["failed", "answered"]


def test_ask_lines__odd_bytes(say) -> None:
    _, out, err = say("ask", "--json", "-", typed=b"\xef\xbb\xbfa \xff\x00 b\n\xe9\n")
    assert [json.loads(line)["facts"]["said"] for line in out.splitlines()] == [
        "a \ufffd\ufffd b",
        "\ufffd",
    ]
    assert err == ""


def test_no_command__is_one_turn_a_line_without_a_terminal(say) -> None:
    assert say(typed="answered\nboom\n")[0] == 1
    assert say(typed="")[0] == 0


def test_store_that_cannot_be_opened(say, tmp_path) -> None:
    (tmp_path / "file").write_text("x")
    code, out, err = say("ask", "--json", "--home", str(tmp_path / "file" / "x"), "hello")
    assert code == 1
    assert json.loads(out)["status"] == "failed"
    assert str(tmp_path / "file") in err
    assert "--home" in err
    assert "Traceback" not in err


def test_edge__a_bug_is_one_sentence(say, monkeypatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("assistant.shell.session.session_for", broken)
    code, out, err = say("ask", "hello")
    assert (code, out) == (1, "")
    assert len(err.splitlines()) == 1
    assert "ZeroDivisionError" in err


def test_read__bug_in_one_line_does_not_stop_the_rest(say, monkeypatch) -> None:
    def broken(text: str) -> None:
        raise KeyError(text)

    monkeypatch.setattr("assistant.dialogue.reading.read_reply", broken)
    code, out, _ = say("read", "--json", "-", typed="a\nb\n")
    assert code == 1
    assert [json.loads(line)["unread"] for line in out.splitlines()] == [["a"], ["b"]]

"""'replay' as a person uses it: shown, stepped, verified, made into a handout."""

import itertools
import json
import os
import re
import signal
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from shell_stand_ins import PROGRAM, world_of, written

from assistant.shell.main import main

DEMO = Path(__file__).parents[2] / "demo_sessions"
BREAKFAST = str(DEMO / "breakfast.jsonl")


def run(*argv: str, typed: str = "", **environ: str):
    world = world_of(typed, **environ)
    code = main(["replay", *argv], world)
    return code, written(world), world.stderr.getvalue()


def turns(text: str) -> list[int]:
    return [int(n) for n in re.findall(r"Replay, not advice\. Turn (\d+),", text)]


def test_it_is_shown_whole_and_each_screen_says_that_it_is_a_replay(home) -> None:
    code, out, err = run(BREAKFAST)
    assert (code, err) == (0, "")
    assert "It is no advice" in " ".join(out.split())
    assert turns(out) == [1, 2, 3, 4, 5, 6]
    assert "Suggested dose: 5 units." in out
    assert "Type what you did" not in out  # nothing to type next: it is no live chat
    assert not home.exists()  # the person's own journal is never touched


def test_spoken_is_the_reply_that_the_file_holds() -> None:
    _, out, _ = run(BREAKFAST, "--spoken")
    row = json.loads(Path(BREAKFAST).read_text(encoding="utf-8").splitlines()[1])
    for sentence in row["reply"]["text"].splitlines()[:-1]:
        assert sentence in out


def test_json_is_one_object_a_turn() -> None:
    _, out, _ = run(BREAKFAST, "--json")
    rows = [json.loads(line) for line in out.splitlines()]
    assert [row["turn"] for row in rows] == [1, 2, 3, 4, 5, 6]
    assert all(row["replay"] is True and row["same"] for row in rows)
    assert rows[0]["reply"]["dose"]["suggested_units"] == 5.0


def test_stepping_forward_back_to_a_turn_and_why() -> None:
    keys = "\n\nback\nagain\ngo to 5\nwhy\n2\nturn 99\n0\nflarb\nhelp\nstop\n"
    code, out, _ = run(BREAKFAST, "--step", "--spoken", typed=keys)
    assert code == 0
    assert turns(out) == [1, 2, 1, 1, 5, 2]
    assert "Replay, not advice. The last working, as asked after turn 5:" in out
    assert "There is no turn 99. The file has 6 turns" in out
    assert "There is no turn 0." in out
    assert "flarb is not known here." in out
    assert "Replay ended at turn 2." in out


def test_why_is_of_the_turn_that_is_shown() -> None:
    _, out, _ = run(BREAKFAST, "--step", "--spoken", typed="4\n1\nwhy\n")
    why = out.split("as asked after turn 1:")[1]
    assert "1.5 servings of the oat cereal plus 200 millilitres milk" in why
    assert "a serving of oat cereal" not in why


def test_the_end_is_told_and_the_last_turn_stays() -> None:
    _, out, _ = run(BREAKFAST, "--step", "--spoken", typed="6\nnext\nagain\n")
    assert "That was the last turn." in out
    assert turns(out) == [6, 6]


def test_playing_from_a_step_goes_on_to_the_end() -> None:
    code, out, _ = run(BREAKFAST, "--step", "--pace", "0.01", typed="next\nplay\n")
    assert code == 0
    assert turns(out) == [1, 2, 3, 4, 5, 6]


def test_a_pace_waits_between_turns(monkeypatch) -> None:
    waited = []
    monkeypatch.setattr("assistant.shell.replay.time.sleep", waited.append)
    _, out, _ = run(BREAKFAST, "--pace", "2.5")
    assert turns(out) == [1, 2, 3, 4, 5, 6]
    assert waited == [2.5] * 6


@pytest.mark.parametrize("pace", ["0", "-1", "soon", "nan", "1e9"])
def test_a_pace_that_is_none_is_wrong_usage(pace) -> None:
    assert run(BREAKFAST, "--pace", pace)[0] == 2


def changed(tmp_path: Path, old: str, new: str) -> str:
    text = Path(BREAKFAST).read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "changed.jsonl"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return str(path)


def test_verify_stops_at_the_first_difference_with_both_sides(tmp_path) -> None:
    path = changed(tmp_path, "The meal counts 21 grams.", "The meal counts 31 grams.")
    code, out, _ = run("--verify", path, "--spoken")
    assert code == 1
    assert "Turn 4" in out
    assert "In the file: The meal counts 31 grams" in out
    assert "Now: The meal counts 21 grams" in out
    assert "The turns before it are the same: 3 turns." in out
    code, out, _ = run("--verify", path, "--json")
    assert code == 1
    assert json.loads(out)["status"] == "differs"
    assert json.loads(out)["turn"] == 4


def test_a_reply_of_then_is_shown_where_the_program_would_answer_otherwise(tmp_path) -> None:
    path = changed(tmp_path, "The meal counts 21 grams.", "The meal counts 31 grams.")
    code, out, _ = run(path, "--spoken")
    assert code == 0
    assert "The program would answer otherwise now." in out
    assert "The meal counts 31 grams." in out
    assert "The meal counts 21 grams." not in out


def test_verify_of_a_cut_file(tmp_path) -> None:
    text = Path(BREAKFAST).read_text(encoding="utf-8")
    path = tmp_path / "cut.jsonl"
    path.write_text(text[: len(text) // 2], encoding="utf-8")
    for how in ([], ["--verify"], ["--json"], ["--verify", "--json"]):
        code, out, err = run(str(path), *how)
        assert code == 1
        assert "cannot be read" in out + err or "cut off" in out + err
    assert run(str(path))[1].count("Replay, not advice.") >= 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"hello\n", "no session of this program"),
        (b"\xff\xfe\x00", "no session of this program"),
        (b'{"format": "countaloud session", "version": 9}\n', "later version"),
    ],
)
def test_files_that_are_none(tmp_path, content, words) -> None:
    path = tmp_path / "x.jsonl"
    path.write_bytes(content)
    code, out, err = run(str(path))
    assert code == 1
    assert words in err
    assert "Traceback" not in out + err


def test_a_file_that_is_not_there_names_the_saved_talks(tmp_path, home) -> None:
    code, _, err = run("nothing-here")
    assert code == 1
    assert "save this session as breakfast" in err
    (home / "sessions").mkdir(parents=True)
    (home / "sessions" / "my-lunch.jsonl").write_bytes(Path(BREAKFAST).read_bytes())
    assert "my-lunch" in run("nothing-here", COUNTALOUD_HOME=str(home))[2]
    assert turns(run("My lunch", COUNTALOUD_HOME=str(home))[1])[-1] == 6


def test_a_folder_is_no_file(tmp_path) -> None:
    assert run(str(tmp_path))[0] == 1


def test_without_a_file_it_is_wrong_usage() -> None:
    assert run()[0] == 2
    assert run(BREAKFAST, "--as", "pdf")[0] == 2


def test_a_handout_as_markdown() -> None:
    code, out, _ = run(BREAKFAST, "--as", "markdown")
    assert code == 0
    assert out.startswith("# Ines counts her breakfast\n")
    assert out.count("\n### Turn ") == 6
    assert "Suggested dose: 5 units." in out
    assert "> 1.5 servings of the oat cereal plus 200 ml milk, glucose 162" in out
    assert "no advice" in out


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.open: list[str] = []
        self.lang = ""
        self.outside: list[str] = []

    def handle_starttag(self, tag, attrs) -> None:
        self.tags.append(tag)
        if tag not in {"meta", "br", "link", "img"}:
            self.open.append(tag)
        if tag == "html":
            self.lang = dict(attrs).get("lang", "")
        self.outside += [v for k, v in attrs if k in {"src", "href"}]

    def handle_endtag(self, tag) -> None:
        assert self.open.pop() == tag


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.jsonl")), ids=lambda p: p.stem)
def test_a_page_is_whole_and_self_contained(path) -> None:
    """WCAG 2.2: a language (3.1.1), a title (2.4.2), headings in order (1.3.1), no script."""
    code, out, _ = run(str(path), "--as", "html")
    assert code == 0
    page = _Page()
    page.feed(out)
    assert not page.open
    assert page.lang == "en"
    assert not page.outside
    assert not {"script", "img", "link", "iframe"} & set(page.tags)
    heads = [int(tag[1]) for tag in page.tags if re.fullmatch(r"h[1-6]", tag)]
    assert heads[0] == 1
    assert heads.count(1) == 1
    assert all(b - a <= 1 for a, b in itertools.pairwise(heads))
    assert "@media print" in out


def test_what_was_typed_is_text_in_a_handout(tmp_path) -> None:
    path = changed(tmp_path, '"title": "Ines', '"title": "<script>alert(1)</script> [x](y) Ines')
    assert "<script>" not in run(path, "--as", "html")[1]
    assert "\\[x\\](y)" in run(path, "--as", "markdown")[1]


@pytest.mark.more
def test_the_chat_tells_how_to_see_a_saved_talk_again(home, program) -> None:
    """Save, then replay by its name, each in a process of its own."""
    at = ("--at", "2026-03-02T08:00:00+01:00")
    say = "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g\n"
    done = program(*at, "ask", "-", typed=(say + "save this session as milk\n").encode())
    assert b'"countaloud replay milk"' in done.stdout
    done = program("replay", "--verify", "milk")
    assert done.returncode == 0
    assert b"all 1 turn give" in done.stdout or b"the same answers" in done.stdout


@pytest.mark.more
def test_a_replay_that_is_ended_leaves_no_scratch_folder(tmp_path) -> None:
    """A closed terminal must not leave a person's doses in a folder that others share."""
    environ = {**os.environ, "TMPDIR": str(tmp_path)}
    for number in (signal.SIGTERM, signal.SIGHUP):
        running = subprocess.Popen([*PROGRAM, "replay", BREAKFAST, "--pace", "60"], env=environ,
                                   stdout=subprocess.PIPE)  # fmt: skip
        assert running.stdout is not None
        for line in running.stdout:
            if b"Turn 1" in line:
                break
        running.send_signal(number)
        assert running.wait(timeout=60) != 0
        running.stdout.close()
        assert not list(tmp_path.glob("countaloud-replay-*"))


def test_what_a_killed_replay_left_is_removed_by_the_next(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("assistant.teaching.stage.gettempdir", lambda: str(tmp_path))
    gone = subprocess.Popen(["true"])
    gone.wait()
    left = tmp_path / f"countaloud-replay-{gone.pid}-abc"
    left.mkdir()
    (left / "countaloud.db").write_bytes(b"x")
    mine = tmp_path / f"countaloud-replay-{os.getpid()}-abc"
    mine.mkdir()
    run(BREAKFAST, "--verify")
    assert not left.exists()
    assert mine.exists()


def test_control_characters_are_in_no_handout(tmp_path) -> None:
    path = changed(tmp_path, '"note": "', '"note": "\\u001b[31m\\u0007')
    for form in ("html", "markdown"):
        out = run(path, "--as", form)[1]
        assert "\x1b" not in out
        assert "\x07" not in out

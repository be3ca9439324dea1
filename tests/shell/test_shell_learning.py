"""learn and practice at the shell: pipes, the spoken form, what is kept, what is never touched."""

import json
import os
import stat
from pathlib import Path

import pytest
from shell_stand_ins import PROGRAM, world_of, written

from assistant.shell.main import main

TALK = (
    ("07:00", "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, "
              "carbohydrate 27 g, fibre 6 g"),
    ("07:00", "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g"),
    ("07:00", "count net carbohydrate"),
    ("07:30", "1.5 servings of the oat cereal plus 200 ml milk"),
    ("12:30", "today"),
    ("13:00", "2 servings of oat cereal"),
)  # fmt: skip
# by hand: 1.5 x (27 - 6) + 2 x 4.8 = 41.1 g; 2 x (27 - 6) = 42 g


@pytest.fixture
def talk(tmp_path) -> Path:
    """A session file of an older form, written by hand."""
    path = tmp_path / "talk.jsonl"
    head = {"format": "countaloud session", "version": 1, "title": "Two meals"}
    rows = [{"at": f"2026-03-02T{clock}:00+00:00", "say": say} for clock, say in TALK]
    path.write_text("\n".join(json.dumps(row) for row in (head, *rows)) + "\n")
    return path


def run(*argv: str, typed: str = "") -> tuple[int, str, str]:
    world = world_of(typed, **os.environ)
    code = main(argv, world)
    return code, written(world), world.stderr.getvalue()


def test_answers_come_one_a_line(talk):
    code, out, err = run("learn", str(talk), typed="31.5\n42\n")
    assert (code, err) == (0, "")
    assert "without milk" in out
    assert "Right: the meal counts 42 g." in out
    assert "Answered: 2. Right: 1." in out
    assert "1 time: a food forgotten." in out


def test_each_screen_says_that_it_is_practice_and_no_advice(talk):
    _, out, _ = run("learn", str(talk), typed="31.5\n42\n")
    # the title; 3 sentences, "today"; 2 questions; twice a judgement and a working; the summary
    assert out.count("It is no advice.") == 1 + 4 + 2 + 4 + 1


def test_the_end_of_the_input_ends_with_the_summary(talk):
    code, out, _ = run("learn", str(talk), typed="41.1\n")
    assert code == 0
    assert "Answered: 1. Right: 1." in out
    assert "Not kept." in out


def test_stop_ends_with_the_summary(talk):
    code, out, _ = run("learn", str(talk), typed="stop\n")
    assert code == 0
    assert "No question was answered." in out
    assert "42 g" not in out


def test_the_spoken_form_has_no_signs(talk):
    _, out, _ = run("--spoken", "learn", str(talk), typed="31.5\nhint\n42\n")
    assert "41.1 grams" in out
    assert "Deeb and others" in out
    for sign in ('"', "%", "=", "→", "*"):
        assert sign not in out


def test_nothing_goes_into_the_journal_of_the_user(talk, home):
    run("learn", str(talk), typed="31.5\n42\nno\n")
    run("practice", "--seed", "1", typed="1\n2\n3\n")
    assert not home.exists() or not list(home.iterdir())


def test_a_journal_that_is_there_stays_as_it_is(talk, home):
    run("ask", "today", "--at", "2026-03-01T12:00:00+00:00")
    before = {path.name: path.read_bytes() for path in home.iterdir() if path.is_file()}
    run("learn", str(talk), typed="31.5\n42\nkeep\n")
    after = {path.name: path.read_bytes() for path in home.iterdir() if path.is_file()}
    assert {name: after[name] for name in before} == before
    assert set(after) - set(before) == {"learned.jsonl"}


def test_a_summary_is_kept_when_the_learner_says_so(talk, home):
    clock = ("--at", "2026-03-09T12:00:00+00:00")
    _, out, _ = run("learn", str(talk), *clock, typed="31.5\n42\nkeep\n")
    path = home / "learned.jsonl"
    assert str(path) in out.replace("\n", "")
    assert stat.S_IMODE(os.stat(path).st_mode) == 0o600
    row = json.loads(path.read_text())
    assert row["title"] == "Two meals"
    assert row["mistakes"] == {"forgot": 1}
    assert (row["answered"], row["right"]) == (2, 1)
    _, out, _ = run("learn", str(talk), "--at", "2026-03-10T12:00:00+00:00", typed="41\n42\nkeep\n")
    flat = " ".join(out.split())
    assert 'Last time, at 12:00 yesterday, with "Two meals": answered 2, right 1.' in flat
    assert "Last time there was: a food forgotten." in flat
    assert len(path.read_text().splitlines()) == 2


def test_a_line_that_was_cut_off_spoils_no_later_one(talk, home):
    home.mkdir()
    path = home / "learned.jsonl"
    path.write_text('{"at": "2026-0')
    _, out, _ = run("learn", str(talk), typed="41\n42\nkeep\n")
    assert "cannot be read" in out
    lines = path.read_text().splitlines()
    assert lines[0] == '{"at": "2026-0'
    assert json.loads(lines[1])["right"] == 2


def test_a_folder_that_cannot_be_written_is_told(talk, home):
    home.parent.mkdir(exist_ok=True)
    home.write_text("a file where the folder should be")
    code, out, _ = run("learn", str(talk), typed="41\n42\nkeep\n")
    assert code == 0
    assert "It cannot be kept" in out


def test_odd_answers_are_asked_again(talk):
    code, out, err = run("learn", str(talk), typed="\n42,5\n\x1b[2J\nabout 4\n50%\n41.1\nskip\n")
    assert (code, err) == (0, "")
    assert "\x1b" not in out
    assert "could be two figures" in out
    assert "Answered: 1. Right: 1." in out


@pytest.mark.parametrize("argv", [
    ("learn",), ("practice", "--level", "6"), ("practice", "--level", "x"),
    ("practice", "--count", "0"), ("practice", "--seed", "-1"), ("practice", "more"),
    ("learn", "a", "b"),
])  # fmt: skip
def test_wrong_usage_is_2_and_a_sentence(argv, capfd):
    code, out, _ = run(*argv)
    assert code == 2
    assert out == ""


@pytest.mark.parametrize(
    "text", ["", "no session\n", "{}\n", '{"format": "countaloud session", "version": 99}\n']
)
def test_a_file_that_cannot_be_read_is_1_and_a_sentence(tmp_path, text):
    path = tmp_path / "odd.jsonl"
    path.write_text(text)
    code, out, err = run("learn", str(path))
    assert code == 1
    assert err.count("\n") == 1
    assert "Traceback" not in err + out


def test_a_missing_file_is_1_and_a_sentence(tmp_path):
    code, _, err = run("learn", str(tmp_path / "gone.jsonl"))
    assert code == 1
    assert "gone.jsonl" in err


def test_a_damaged_file_is_asked_about_up_to_the_damage(talk):
    lines = talk.read_text().splitlines()
    talk.write_text("\n".join([*lines[:5], "broken"]) + "\n")
    code, out, err = run("learn", str(talk), typed="41.1\n")
    assert code == 1
    assert "Line 6" in err
    assert "Answered: 1. Right: 1." in out


def test_a_session_without_a_count_says_so(talk):
    lines = talk.read_text().splitlines()
    talk.write_text("\n".join(lines[:4]) + "\n")
    code, out, _ = run("learn", str(talk))
    assert code == 0
    assert "No turn of this session has a count to ask about." in out


def test_json_gives_one_object_a_screen(talk):
    _, out, _ = run("learn", str(talk), "--json", typed="31.5\n42\n")
    objects = [json.loads(line) for line in out.splitlines()]
    assert {o["status"] for o in objects} <= {"answered", "asked"}


def test_practice_tells_its_seed_and_repeats_it():
    _, first, _ = run("practice", "--level", "2", "--seed", "12", "--count", "2", typed="1\n" * 9)
    _, again, _ = run("practice", "--level", "2", "--seed", "12", "--count", "2", typed="1\n" * 9)
    assert first == again
    assert "Level 2, seed 12, 2 problems." in first
    assert "Problem 2 of 2." in first


def test_practice_without_a_seed_tells_one_that_repeats_it():
    import re

    _, first, _ = run("practice", "--count", "1", typed="skip\n" * 5)
    seed = re.search(r"seed (\d+)", first)[1]
    _, again, _ = run("practice", "--count", "1", "--seed", seed, typed="skip\n" * 5)
    assert again == first


@pytest.mark.more
@pytest.mark.parametrize("level", ["1", "2", "3", "4", "5"])
def test_practice_of_each_level_in_both_forms(level):
    for form in ((), ("--spoken",)):
        code, out, err = run(
            *form, "practice", "--level", level, "--seed", "3", typed="skip\n" * 40
        )
        assert (code, err) == (0, "")
        assert "Problem 5 of 5." in out
        assert "This is practice on invented foods and numbers." in " ".join(out.split())


def test_what_was_before_a_problem_is_told():
    """Level 5 has problems after a felt low, an open suggestion, or doses."""
    _, out, _ = run(
        "practice", "--level", "5", "--seed", "2", "--count", "20", typed="skip\n" * 200
    )
    assert 'this was typed: "I feel low"' in " ".join(out.split())


def test_end_of_input_at_a_terminal_ends_with_the_summary(home):
    """Ctrl-D at a question, and again where the summary could be kept."""
    import pexpect

    argv = ["-m", "assistant.shell.main", "practice", "--seed", "5", "--count", "1"]
    child = pexpect.spawn(PROGRAM[0], argv, env=dict(os.environ), encoding="utf-8", timeout=60)
    child.expect("Your answer: ")
    child.sendline("5")
    child.expect("Your answer: ")
    child.sendeof()
    child.expect("Answered: 1. Right: 0.")
    child.expect("Your answer: ")
    child.sendeof()
    child.expect("Not kept.")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert not home.exists()

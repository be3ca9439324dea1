"""Saving from the chat: which turns, under which name, and never over another file."""

import json
import stat
from datetime import timedelta

import pytest

from assistant.shell.session import Session
from assistant.teaching.saving import folder_of, names, path_of


@pytest.fixture
def session(ready):
    """A chat that begins after the numbers were said; ready.at is its clock."""
    ready.at += timedelta(hours=26)  # the next day at 09:13
    return Session(ready.store, lambda: ready.at)


def says_of(ready, name: str) -> list[str]:
    lines = path_of(ready.store.home, name).read_text(encoding="utf-8").splitlines()
    return [json.loads(line)["say"] for line in lines[1:-1]]


def test_this_session_is_what_this_chat_said(session, ready) -> None:
    session.say("1 serving of oat cereal, glucose 120")
    session.say("cancel")
    reply = session.say("save this session as My Breakfast")
    assert reply.status == "answered"
    assert says_of(ready, "my breakfast") == ["1 serving of oat cereal, glucose 120", "cancel"]
    mode = stat.S_IMODE(path_of(ready.store.home, "my breakfast").stat().st_mode)
    assert mode == 0o600
    assert stat.S_IMODE(folder_of(ready.store.home).stat().st_mode) == 0o700


def test_saving_is_no_part_of_a_talk_and_keeps_its_open_question(session, ready) -> None:
    assert session.say("oat cereal, glucose 120").status == "asked"
    session.say("save this session as one")
    assert session.say("60 g").counted.value == 63 / 2
    session.say("save this session as two")
    assert says_of(ready, "two") == ["oat cereal, glucose 120", "60 g"]
    assert names(ready.store.home) == ("one", "two")


@pytest.mark.parametrize(
    ("how", "turns"),
    [
        ("yesterday", 13), ("today", 2), ("2026-03-02", 13), ("from 2026-03-02 to 2026-03-03", 15),
        ("from 09:00 to 10:00", 1), ("from 10:00 to 12:00 today", 1), ("the last 2 turns", 2),
        ("the last 20 minutes", None), ("from 07:05 to 07:08 yesterday", 3),
        ("2026-03-02 07:05 to 2026-03-03 09:30", 10), ("the last 2 days", 15),
        ("the last 30 hours", 15), ("2026-02-30", None), ("from 12:00 to 10:00", None),
        ("from 25:00 to 26:00", None), ("2026-03-05", None), ("2026-03-03 to 2026-03-02", None),
    ],
)  # fmt: skip
def test_which_turns(session, ready, how, turns) -> None:
    session.say("1 serving of oat cereal, glucose 120")
    ready.at += timedelta(hours=1, minutes=20)
    session.say("cancel")
    reply = session.say(f"save {how} as x")
    if turns is None:
        assert reply.status == "asked"
        assert not names(ready.store.home)
    else:
        assert reply.status == "answered", reply
        assert len(says_of(ready, "x")) == turns


@pytest.mark.parametrize("name", ["../x", "a/b", "~", ".hidden", "x.jsonl", "con:", "a" * 61, "*"])
def test_a_name_never_leaves_the_folder(session, ready, name) -> None:
    session.say("1 serving of oat cereal, glucose 120")
    assert session.say(f"save this session as {name}").status == "asked"
    assert not folder_of(ready.store.home).exists()


def test_a_file_is_never_written_over(session, ready) -> None:
    session.say("1 serving of oat cereal, glucose 120")
    session.say("save this session as x")
    before = path_of(ready.store.home, "x").read_bytes()
    session.say("cancel")
    assert session.say("save this session as x").lines[0].code == "save-taken"
    assert session.say("save this session as X").lines[0].code == "save-taken"
    assert path_of(ready.store.home, "x").read_bytes() == before


def test_nothing_said_nothing_saved(session, ready) -> None:
    assert session.say("save this session as x").lines[0].code == "save-no-session"
    assert session.say("save this session").lines[0].code == "save-no-name"
    assert session.say("save tomorrow as x").lines[0].code == "save-misread"
    assert not names(ready.store.home)


def test_a_folder_that_cannot_be_used_is_told(session, ready) -> None:
    session.say("1 serving of oat cereal, glucose 120")
    (ready.store.home / "sessions").write_text("a file of this name\n")
    reply = session.say("save this session as x")
    assert reply.lines[0].code == "save-cannot"
    assert (ready.store.home / "sessions").read_text() == "a file of this name\n"


def test_a_full_disk_leaves_no_half_file(session, ready, monkeypatch) -> None:
    session.say("1 serving of oat cereal, glucose 120")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("assistant.store.backups.os.fdopen", full)
    reply = session.say("save this session as x")
    assert reply.lines[0].code == "save-cannot"
    assert not names(ready.store.home)

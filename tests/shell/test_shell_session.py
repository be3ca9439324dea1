"""A turn is kept before it is shown, and a bug keeps the words and nothing else."""

import json
from datetime import UTC, datetime

import pytest
from shell_stand_ins import FakeStore, Log, fake_turn

from assistant.dialogue.outcome import Outcome
from assistant.dialogue.replies import Line, Reply
from assistant.shell.session import Session, problem_sentence, readable
from assistant.store.problems import StoreProblem

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def session_on(store: FakeStore, turn=fake_turn) -> Session:
    return Session(store, lambda: NOW, turn, lambda record, foods, now: Reply("answered", ()))


def test_say__commits_and_gives_the_reply() -> None:
    log = Log()
    store = FakeStore(log)
    reply = session_on(store).say("asked what")
    assert reply.status == "asked"
    assert log.steps == [("committed", ["asked what"])]
    assert json.loads(store.rows[0].json)["facts"]["at"] == NOW.isoformat()


def test_say__a_bug_keeps_the_words() -> None:
    store = FakeStore(Log())
    reply = session_on(store).say("boom 5 units")
    assert reply.status == "failed"
    assert reply.dose is None
    assert [(r.text, r.status, r.events) for r in store.rows] == [("boom 5 units", "failed", ())]
    assert json.loads(store.rows[0].json)["status"] == "failed"
    assert "/" not in reply.facts["place"]


def test_say__a_reply_without_text_keeps_nothing_of_itself() -> None:
    def untold(*_) -> Outcome:
        return Outcome(Reply("answered", (Line("answer", "no such code"),)), ("event",))

    store = FakeStore(Log())
    assert session_on(store, untold).say("x").status == "failed"
    assert [(row.status, row.events) for row in store.rows] == [("failed", ())]


def test_say__store_problem_is_passed_on() -> None:
    def broken(*_) -> Outcome:
        raise StoreProblem("locked", "here", "it is in use")

    with pytest.raises(StoreProblem):
        session_on(FakeStore(Log()), broken).say("x")


def test_say__words_that_cannot_be_kept_are_said_to_be_lost() -> None:
    store = FakeStore(Log(), fails_on=RuntimeError)
    reply = session_on(store).say("x")
    assert reply.status == "failed"
    assert [line.code for line in reply.lines] == ["failed-turn", "failed-not-kept"]


def test_readable__marks_what_cannot_be_stored() -> None:
    assert readable("a\udcffb\0c\ud800") == "a\ufffdb\ufffdc\ufffd"
    assert readable("é 🍎\nx") == "é 🍎\nx"


def test_problem_sentence__names_folder_and_way_out() -> None:
    said = problem_sentence(StoreProblem("cannot-write", "/a/folder", "It is read-only."))
    assert "/a/folder" in said
    assert "It is read-only. Check" in said
    assert "--home" in said
    assert "\n" not in said

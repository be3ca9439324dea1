"""Everything can be taken out as one file, and everything can be forgotten; files are private."""

import json
import stat
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from assistant.counting.facts import FoodFacts
from assistant.shell.history import TypedLines
from assistant.shell.session import Session
from assistant.store import shelf_writer
from assistant.store.store import Store
from grammar.kitchen import FORGET_ALL

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
SAID = (
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 48 g",
    "count total carbohydrate",
    "2 slices of rye bread",
    "my ratio is 1 unit per 10 g",
    "recipe toast serves 2: 4 slices of rye bread",
    "took 3 units",
)


@pytest.fixture
def talk(home):
    """A session in which foods, numbers, a recipe, a meal and a dose were said."""
    with _closing(home) as store:
        session = Session(store, lambda: NOW)
        for text in SAID:
            session.say(text)
        yield session, store


def _closing(home):
    return closing(Store.open(home, NOW))


def imported(home):
    (home / "imported-foods.db").write_bytes(b"x")
    (home / "history").write_text('"2 slices of rye bread"\n')
    (home / "backups").mkdir(exist_ok=True)
    (home / "backups" / "countaloud-2026-03-01.db").write_bytes(b"rye bread")
    (home / "countaloud.db.damaged-2026-03-01T080000").write_bytes(b"rye bread")
    (home / "letter to my aunt.txt").write_text("not of this program")


def test_an_export_holds_every_turn_event_and_food(talk, home):
    session, _ = talk
    reply = session.say("export everything")
    assert reply.status == "answered"
    path = home / reply.facts["export"]
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    assert rows[0]["kind"] == "about"
    assert rows[0]["version"] == 1
    assert [r["text"] for r in rows if r["kind"] == "turn"] == list(SAID)
    kinds = [r["event"]["kind"] for r in rows if r["kind"] == "event"]
    assert {"food-saved", "setting-said", "meal-counted", "recipe-saved", "dose-taken"} <= set(
        kinds
    )
    doses = [
        r["event"] for r in rows if r["kind"] == "event" and r["event"]["kind"] == "dose-taken"
    ]
    assert doses[0]["units"] == "3"  # exact figures are text
    foods = {r["food_id"]: r for r in rows if r["kind"] == "food"}
    assert foods["rye bread"]["facts"]["nutrients"]["carbohydrate"]["value"] == "48"
    assert foods["toast"]["facts"]["recipe"]["ingredients"][0]["said"] == "4 slices of rye bread"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_an_export_that_cannot_be_written_is_told(talk, home, monkeypatch):
    session, _ = talk
    from assistant.store import export

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(export.backups, "make_private_file", full)
    reply = session.say("export everything")
    assert reply.status == "failed"
    assert reply.lines[0].code == "data-export-failed"
    assert not list(home.glob("countaloud-export*"))


def test_forgetting_leaves_nothing_of_what_was_said(talk, home):
    session, store = talk
    imported(home)
    session.say("forget everything")
    session.say("yes")
    assert any(row.text == SAID[2] for row in store.history(50))
    reply = session.say(FORGET_ALL)
    assert reply.status == "answered"
    assert reply.lines[0].code == "all-forgotten"
    assert [row.text for row in store.history(50)] == [FORGET_ALL]
    left = {path.name for path in home.iterdir()} - {"backups"}
    assert left <= {
        "countaloud.db",
        "countaloud.db-wal",
        "countaloud.db-shm",
        "letter to my aunt.txt",
    }
    assert not list((home / "backups").iterdir())
    for path in home.iterdir():
        if path.is_file() and path.name != "letter to my aunt.txt":
            assert b"rye" not in path.read_bytes(), path.name
    assert session.say("foods").lines[0].code == "no-foods"
    assert (home / "letter to my aunt.txt").exists()


def test_after_forgetting_no_dose_until_the_record_is_complete(talk, home):
    session, _ = talk
    session.say(FORGET_ALL)
    numbers = (
        SAID[0], "count total carbohydrate", "my ratio is 1 unit per 10 g",
        "correction factor 45 mg/dL per unit", "target 110 mg/dL", "my insulin lasts 4 hours",
        "active insulin falls in a straight line",
        "active insulin comes off the correction only", "my pen goes in half units, round down",
        "never more than 8 units at once", "never more than 15 units in 4 hours",
    )  # fmt: skip
    for text in numbers:
        assert session.say(text).status == "answered", text
    refused = session.say("1 slice of rye bread, glucose 110")
    assert refused.status == "refused"
    assert "record-gap" in [hit.rule for hit in refused.rules]
    session.say("the record is complete")
    assert session.say("1 slice of rye bread, glucose 110").dose is not None


def test_another_chat_sees_the_empty_record_and_goes_on_in_it(talk, home):
    session, _ = talk
    with _closing(home) as other:
        second = Session(other, lambda: NOW)
        assert second.say("foods").facts["foods"]
        session.say(FORGET_ALL)
        assert second.say("foods").lines[0].code == "no-foods"
        assert second.say("took 2 units").status == "answered"
    assert "2" in str(session.say("today").facts["today"]["units"])


def test_an_export_survives_forgetting(talk, home):
    session, _ = talk
    name = session.say("export everything").facts["export"]
    session.say(FORGET_ALL)
    assert (home / name).exists()


def test_every_file_is_private(talk, home):
    session, _ = talk
    session.say("export everything")
    TypedLines(home / "history").add("2 slices of rye bread")
    with shelf_writer.filling(home) as writer:
        facts = FoodFacts("plain cracker", "EU", "100 g", {})
        writer.add("t:1", facts, writer.source("a table", ""))
    with closing(Store.open(home, NOW + timedelta(days=1))):  # makes the copy of the day
        pass
    files = [path for path in home.rglob("*") if path.is_file()]
    names = {path.name for path in files}
    assert {"countaloud.db", "countaloud.db-wal", "history", "imported-foods.db"} <= names
    assert "countaloud-2026-03-03.db" in names
    for path in files:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name
    for folder in (home, *(p for p in home.rglob("*") if p.is_dir())):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700, folder.name


def test_where_the_data_is(talk, home):
    session, _ = talk
    line = session.say("where is my data").lines[0]
    assert (line.code, line.args["folder"].text) == ("data-where", str(home))


def test_saved_talks_and_lessons_are_forgotten_too(talk, home):
    session, _ = talk
    session.say("glucose 120")
    assert session.say("save this session as mine").status == "answered"
    (home / "learned.jsonl").write_text("{}\n")
    (home / "import-faults.txt").write_text("line 2: bread\n")
    session.say(FORGET_ALL)
    assert not list((home / "sessions").glob("*.jsonl"))
    assert not (home / "learned.jsonl").exists()
    assert not (home / "import-faults.txt").exists()

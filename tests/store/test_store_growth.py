"""What a turn reads does not grow with the journal: indexes are used, and the settings are few."""

import sqlite3
from contextlib import closing
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import settings as settings_of
from hypothesis import strategies as st

from assistant.dialogue.events import DoseTaken, SettingSaid, Undone
from assistant.dosing.settings import fold, topic
from assistant.shell import bench_journal
from assistant.shell.history import MOST_BYTES, TypedLines
from assistant.store import journal, migrations
from assistant.store import store as store_module
from assistant.store.store import Store


def said(name, **value):
    return SettingSaid(name, value, name)


def cap(units):
    return said("cap_dose", units=str(units))


def cup(millilitres, unit="cup"):
    return said("kitchen", unit=unit, millilitres=str(millilitres))


def events_of(store):
    with store.reading() as (record, _):
        return [kept.event for kept in record.settings()]


def test_the_last_of_each_topic_in_order(store, keep):
    keep(store, cap(8), cup(240))
    keep(store, said("pen_step", units="1"))
    keep(store, cup(15, "tablespoon"))
    keep(store, cap(6), cup(250))
    assert events_of(store) == [
        said("pen_step", units="1"), cup(15, "tablespoon"), cap(6), cup(250),
    ]  # fmt: skip


def test_a_setting_outlives_the_undoing_of_its_turn(store, keep):
    """Settings are not undone: no cap comes back, goes, or changes its place among the others."""
    first = keep(store, cap(8))
    turn = keep(store, cap(6))
    keep(store, Undone(turn))
    assert events_of(store) == [cap(6)]
    keep(store, Undone(first))
    assert events_of(store) == [cap(6)]
    with store.reading() as (record, _):
        assert [kept.event for kept in record.events(("setting-said",))] == [cap(8), cap(6)]


figures = st.integers(1, 20).map(str)
one_said = st.one_of(
    st.builds(lambda n: ("cap_dose", {"units": n}), figures),
    st.builds(lambda n: ("pen_step", {"units": n}), figures),
    st.builds(lambda u, n: ("kitchen", {"unit": u, "millilitres": n}),
              st.sampled_from(["cup", "tablespoon"]), figures),
    st.builds(lambda u, n: ("polyols", {"name": u, "counts": n}),
              st.sampled_from(["erythritol", "xylitol"]), figures),
    st.builds(lambda n: ("ratio", {"from": [[0, n]]}), figures),
    st.builds(lambda w: ("avoid", {"words": [w]}), st.sampled_from(["milk", "nuts"])),
)  # fmt: skip


@settings_of(max_examples=200, deadline=None)
@given(st.lists(one_said, max_size=12))
def test_the_last_of_each_topic_makes_the_same_settings_as_all(many):
    """The law on which reading only the last rests."""
    all_said = [
        (name, value, bench_journal.TODAY + timedelta(hours=at))
        for at, (name, value) in enumerate(many)
    ]
    last = {topic(name, value): (name, value, when) for name, value, when in all_said}
    few = sorted(last.values(), key=lambda one: one[2])
    assert fold(few) == fold(all_said)


def test_an_older_record_is_brought_up_to_date(home, opened, keep, monkeypatch, now):
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "MIGRATIONS", migrations.MIGRATIONS[:2])
        store = opened()
        keep(store, cap(8), cup(240))
        keep(store, cap(6), DoseTaken(4, now))
        store.close()
    with closing(sqlite3.connect(home / "countaloud.db")) as connection:
        connection.execute("DROP TABLE settings_said")
        connection.execute("PRAGMA user_version = 1")
        connection.commit()
    store = opened()
    assert events_of(store) == [cup(240), cap(6)]
    with store.reading() as (record, _):
        assert [kept.event.units for kept in record.events(("dose-taken",))] == [4]
    assert (home / "backups" / "countaloud-before-migration-from-1.db").exists()


@pytest.mark.parametrize(
    ("query", "values"),
    [
        (journal._ALL, ("dose-taken", 1)),
        (journal._SINCE, ("dose-taken", 0, -1)),
        (journal._TOPICS, ()),
        (journal._SETTING, ("ratio", 9)),
        (journal._SETTINGS_FROM, ("ratio", 9)),
        (journal._FIRST_EVENT, (3,)),
        (journal._FOOD, ("x",)),
    ],
)
def test_what_a_turn_asks_is_answered_from_an_index(store, query, values):
    rows = store._connection.execute(f"EXPLAIN QUERY PLAN {query}", values).fetchall()
    scans = [row[3] for row in rows if row[3].startswith("SCAN")]
    # each topic is one step of a list that is as long as there are topics
    assert all(scan in {"SCAN e", "SCAN each_topic"} for scan in scans), rows
    if scans:
        assert query is journal._TOPICS


def test_the_daily_care_of_a_large_record_waits_for_a_reply(home, opened, keep, monkeypatch):
    keep(opened(), cap(8))
    monkeypatch.setattr(store_module, "LARGE", 1)
    store = opened()
    assert not (home / "backups").exists()
    assert store.look_after() == ()
    assert [p.name for p in (home / "backups").iterdir()] == ["countaloud-2026-03-02.db"]
    (home / "backups" / "countaloud-2026-03-02.db").unlink()
    assert store.look_after() == ()  # once
    assert list((home / "backups").iterdir()) == []


def test_the_made_journal_is_one_that_could_have_been_said(tmp_path):
    """The benchmark's journal: five meals and doses on each day, today included."""
    bench_journal.fill(tmp_path / "home", 40)
    with closing(Store.open(tmp_path / "home", bench_journal.TODAY)) as store:
        with store.reading() as (record, _):
            doses = record.events(("dose-taken",))
            assert len(doses) == 5 * 40
            assert all(kept.said_at == kept.event.taken_at for kept in doses)
            assert doses[-1].said_at.date() == bench_journal.TODAY.date()
            caps = [k for k in record.settings() if k.event.name == "cap_dose"]
            assert len(caps) == 1
        assert store._connection.execute("PRAGMA foreign_key_check").fetchall() == []


def test_of_a_long_history_the_end_is_read(tmp_path):
    typed = TypedLines(tmp_path / "history")
    typed.add("first")
    with open(tmp_path / "history", "a", encoding="utf-8") as file:
        for number in range(20_000):
            file.write(f'"line {number} {"x" * 60}"\n')
    assert (tmp_path / "history").stat().st_size > MOST_BYTES
    texts = typed.load()
    assert len(texts) == 1000
    assert texts[-1].startswith("line 19999 ")

"""A damaged record: the backup is found, offered and put back by its name, and never by itself."""

import os
import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta

import pytest

from assistant.dialogue.events import DoseTaken
from assistant.store import backups, recovery
from assistant.store.problems import StoreProblem
from assistant.store.store import Store


@pytest.fixture
def two_days(home, opened, keep, now):
    """A record of two days with a backup of the first one's end; gives the folder."""
    store = opened()
    for units in (1, 2, 3):
        keep(store, DoseTaken(units, now), text=f"took {units} units " + "and said more " * 300)
    store.close()
    store = opened(at=now + timedelta(days=1))
    keep(store, DoseTaken(4, now), text="took 4 units", at=now + timedelta(days=1))
    store.close()
    return home


def overwrite(path, at, content):
    with open(path, "r+b") as file:
        file.seek(at)
        file.write(content)


def header(path):
    overwrite(path, 0, b"these were my notes")


def middle(path):
    size = path.stat().st_size
    for page in range(1, size // 4096):
        overwrite(path, page * 4096, b"\xa5" * 700)


def truncated(path):
    os.truncate(path, path.stat().st_size // 2 // 4096 * 4096 + 100)


def gone(path):
    path.unlink()


def emptied(path):
    os.truncate(path, 0)


DAMAGES = [header, middle, truncated, gone, emptied]


def units(store):
    with store.reading() as (record, _):
        return [kept.event.units for kept in record.events(("dose-taken",))]


@pytest.mark.parametrize("damage", DAMAGES)
def test_damage_is_told_and_nothing_is_touched(two_days, opened, now, damage):
    damage(two_days / "countaloud.db")
    before = {p: p.read_bytes() for p in two_days.rglob("*") if p.is_file()}
    with pytest.raises(StoreProblem) as caught:
        opened(at=now + timedelta(days=2))  # the first opening of a day looks at every page
    assert caught.value.code in recovery.MENDABLE
    assert caught.value.path == two_days
    after = {p: p.read_bytes() for p in two_days.rglob("*") if p.is_file()}
    assert {p: c for p, c in after.items() if not p.name.endswith(("-shm", "-wal"))} == before


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_backup_is_put_back_by_its_name(two_days, opened, now, damage):
    record = two_days / "countaloud.db"
    damage(record)
    content = record.read_bytes() if record.exists() else None
    copy = recovery.newest(two_days)
    assert (copy.name, copy.turns, copy.last_said) == ("2026-03-03", 3, now)
    done = recovery.restore(two_days, copy.name, now)
    assert done.copy == copy
    names = [path.name for path in done.kept]
    assert names == ([] if content is None else ["countaloud.db.damaged-2026-03-02T073000"])
    assert content is None or done.kept[0].read_bytes() == content
    assert units(opened()) == [1, 2, 3]
    assert (record.stat().st_mode & 0o777) == 0o600
    with closing(sqlite3.connect(record)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_the_log_of_a_damaged_record_is_kept_with_it_and_not_used(two_days, opened, now):
    header(two_days / "countaloud.db")
    for part in ("-wal", "-shm"):
        (two_days / f"countaloud.db{part}").write_bytes(b"left by a chat that was killed")
    done = recovery.restore(two_days, "2026-03-03", now)
    assert [p.name.removeprefix("countaloud.db.damaged-2026-03-02T073000") for p in done.kept] == [
        "", "-wal", "-shm",
    ]  # fmt: skip
    assert units(opened()) == [1, 2, 3]


def test_two_restores_in_one_second_keep_both_files(two_days, now):
    for expected in ("", "-2"):
        header(two_days / "countaloud.db")
        done = recovery.restore(two_days, "2026-03-03", now)
        assert done.kept[0].name == f"countaloud.db.damaged-2026-03-02T073000{expected}"


@pytest.mark.parametrize("name", ["", "2026-03-04", "newest", "../countaloud", "nothing at all"])
def test_another_name_changes_nothing(two_days, now, name):
    header(two_days / "countaloud.db")
    before = sorted(two_days.rglob("*"))
    assert recovery.restore(two_days, name, now) is None
    assert sorted(two_days.rglob("*")) == before


def test_a_damaged_backup_is_passed_over(two_days, opened, keep, now):
    store = opened(at=now + timedelta(days=2))
    store.close()
    names = [path.name for path in backups.daily(two_days)]
    assert names == ["countaloud-2026-03-03.db", "countaloud-2026-03-04.db"]
    middle(two_days / "backups" / names[1])
    assert recovery.newest(two_days).name == "2026-03-03"
    assert recovery.restore(two_days, "2026-03-04", now) is None


def test_a_backup_with_a_row_that_cannot_be_read_is_passed_over(two_days):
    with closing(sqlite3.connect(backups.daily(two_days)[0])) as connection:
        connection.execute("DROP TRIGGER events_no_update")
        connection.execute("UPDATE events SET data = '{}' WHERE id = 2")
        connection.commit()
    assert recovery.newest(two_days) is None


def test_a_restore_that_was_cut_short_is_told_and_done_again(two_days, opened, now, monkeypatch):
    header(two_days / "countaloud.db")
    with monkeypatch.context() as patch:
        patch.setattr(recovery.backups, "sync_folder", lambda _: (_ for _ in ()).throw(OSError(5)))
        patch.setattr(type(two_days), "replace", _no_second_replace(type(two_days).replace))
        with pytest.raises(StoreProblem):
            recovery.restore(two_days, "2026-03-03", now)
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "record-missing"
    recovery.restore(two_days, "2026-03-03", now)
    assert units(opened()) == [1, 2, 3]


def _no_second_replace(real):
    def replace(self, target):
        if self.name.endswith(".restoring"):
            raise OSError(5, "the power went")
        return real(self, target)

    return replace


def test_a_sound_record_is_known_as_sound(two_days, home):
    assert recovery.is_sound(two_days)
    middle(two_days / "countaloud.db")
    assert not recovery.is_sound(two_days)
    assert not recovery.is_sound(home / "no such folder")


def test_beginning_anew_is_a_choice(two_days, now):
    header(two_days / "countaloud.db")
    done = recovery.restore(two_days, recovery.NOTHING, now)
    assert done.copy is None
    assert len(done.kept) == 1
    with pytest.raises(StoreProblem):
        Store.open(two_days, now)
    with closing(Store.open(two_days, now, anew=True)) as store:
        assert store.history(5) == ()


def test_the_backup_itself_is_not_changed_by_its_use(two_days, opened, keep, now):
    copy = recovery.newest(two_days)
    content = copy.path.read_bytes()
    shutil.copy(two_days / "countaloud.db", two_days / "other")
    header(two_days / "countaloud.db")
    recovery.restore(two_days, copy.name, now)
    keep(opened(at=copy.last_said), DoseTaken(9, now))
    assert copy.path.read_bytes() == content

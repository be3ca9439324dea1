"""The folder, the file, its shape and its modes, and every way in which opening can fail."""

import os
import shutil
import sqlite3
import stat
import subprocess
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.dialogue.events import DoseTaken, FoodSaved, QuestionClosed
from assistant.store import backups, database, migrations
from assistant.store.problems import StoreProblem
from assistant.store.store import Store

ROOT = os.geteuid() == 0


def raw(home):
    return closing(sqlite3.connect(home / "countaloud.db", isolation_level=None))


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def columns(home, table):
    with raw(home) as connection:
        return [tuple(row[1:4]) for row in connection.execute(f"PRAGMA table_info({table})")]


def test_columns_of_a_fresh_database(store, home):
    store.close()
    assert columns(home, "turns") == [
        ("id", "INTEGER", 0),
        ("said_at", "TEXT", 1),
        ("said_us", "INTEGER", 1),
        ("text", "TEXT", 1),
        ("status", "TEXT", 1),
        ("reply", "TEXT", 1),
    ]
    assert columns(home, "events") == [
        ("id", "INTEGER", 0),
        ("turn", "INTEGER", 1),
        ("kind", "TEXT", 1),
        ("data", "TEXT", 1),
        ("said_at", "TEXT", 1),
        ("said_us", "INTEGER", 1),
        ("food", "TEXT", 0),
        ("undoes", "INTEGER", 0),
    ]
    assert columns(home, "foods") == [
        ("food_id", "TEXT", 1),
        ("version", "INTEGER", 1),
        ("facts", "TEXT", 1),
        ("turn", "INTEGER", 1),
        ("retired", "INTEGER", 1),
    ]
    assert columns(home, "names") == [
        ("id", "INTEGER", 0),
        ("key", "TEXT", 1),
        ("food_id", "TEXT", 1),
        ("name", "TEXT", 1),
        ("is_alias", "INTEGER", 1),
    ]
    with raw(home) as connection:
        assert migrations.version_of(connection) == len(migrations.MIGRATIONS)
        tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        made = {row[0] for row in tables if not row[0].startswith("names_search")}
    assert made == {"turns", "events", "foods", "names", "settings_said"}


def test_how_sqlite_writes(home):
    connection, found = database.open_database(home, 1.5)
    with closing(connection):
        assert found == 0

        def pragma(name):
            return connection.execute(f"PRAGMA {name}").fetchone()[0]

        assert pragma("journal_mode") == "wal"
        assert pragma("synchronous") == 2
        assert pragma("foreign_keys") == 1
        assert pragma("recursive_triggers") == 1
        assert pragma("busy_timeout") == 1500


@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077, 0o277])
def test_modes_whatever_the_umask(home, opened, keep, umask):
    before = os.umask(umask)
    try:
        store = opened(home / "inner")
        keep(store)
        wal = mode(home / "inner" / "countaloud.db-wal")
        shm = mode(home / "inner" / "countaloud.db-shm")
        store.close()
        again = opened(home / "inner")
    finally:
        os.umask(before)
    assert again.warnings == ()
    assert (wal, shm) == (0o600, 0o600)
    assert mode(home) == 0o700
    assert mode(home / "inner") == 0o700
    assert mode(home / "inner" / "countaloud.db") == 0o600
    assert mode(home / "inner" / "backups") == 0o700
    assert [mode(p) for p in backups.daily(home / "inner")] == [0o600]


def test_the_mode_of_a_folder_that_was_there_is_left(home, opened):
    home.mkdir(0o755)
    home.chmod(0o755)
    opened()
    assert mode(home) == 0o755


def test_a_later_version_is_left_untouched(store, home, opened):
    store.close()
    with raw(home) as connection:
        connection.execute("PRAGMA user_version = 99")
    before = (home / "countaloud.db").read_bytes()
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "newer-version"
    assert "99" in caught.value.detail
    assert caught.value.path == home
    assert (home / "countaloud.db").read_bytes() == before
    assert not (home / "backups").exists()


def test_a_database_of_another_program_is_left_untouched(home, opened):
    home.mkdir()
    with raw(home) as connection:
        connection.execute("CREATE TABLE notes (a)")
    before = (home / "countaloud.db").read_bytes()
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "corrupt"
    assert (home / "countaloud.db").read_bytes() == before


def test_version_0_is_migrated(home, opened, keep):
    home.mkdir()
    (home / "countaloud.db").touch(0o600)
    store = opened()
    assert keep(store) == 1
    assert list(home.glob("backups/*")) == []


def add_column(connection):
    connection.execute("ALTER TABLE foods ADD COLUMN note TEXT")


def broken(connection):
    connection.execute("ALTER TABLE foods ADD COLUMN note TEXT")
    connection.execute("ALTER TABLE nowhere ADD COLUMN note TEXT")


def test_a_migration_makes_a_backup_first(store, home, opened, keep, monkeypatch):
    keep(store, text="before the migration")
    store.close()
    monkeypatch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, add_column))
    again = opened()
    assert [row.text for row in again.history(5)] == ["before the migration"]
    before = len(migrations.MIGRATIONS) - 1
    copy = backups.path_for_migration(home, before)
    assert mode(copy) == 0o600
    with closing(sqlite3.connect(copy)) as connection:
        assert migrations.version_of(connection) == before
        assert connection.execute("SELECT text FROM turns").fetchall() == [
            ("before the migration",)
        ]
    assert "note" in [name for name, *_ in columns(home, "foods")]


def test_a_migration_that_fails_changes_nothing(store, home, opened, keep, monkeypatch):
    keep(store)
    store.close()
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, add_column, broken))
        with pytest.raises(StoreProblem) as caught:
            opened()
    assert caught.value.code in {"corrupt", "cannot-read"}
    assert "note" not in [name for name, *_ in columns(home, "foods")]
    assert len(opened().history(5)) == 1


def test_no_migration_without_its_backup(store, home, opened, keep, monkeypatch):
    keep(store)
    store.close()
    (home / "backups").write_text("a file in the way")
    with monkeypatch.context() as patch:
        patch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, add_column))
        with pytest.raises(StoreProblem):
            opened()
    assert "note" not in [name for name, *_ in columns(home, "foods")]


def test_sqlite_without_a_search_of_names(home, opened, monkeypatch):
    def without(connection):
        connection.execute("CREATE VIRTUAL TABLE a USING fts99 (key)")

    monkeypatch.setattr(migrations, "MIGRATIONS", (without,))
    with pytest.raises(StoreProblem, match="cannot search names"):
        opened()


def test_the_folder_is_a_file(home, opened):
    home.write_text("not a folder")
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "not-a-folder"


def test_a_file_above_the_folder(home, opened):
    home.write_text("not a folder")
    with pytest.raises(StoreProblem) as caught:
        opened(home / "inner")
    assert caught.value.code == "cannot-make-folder"


def test_a_folder_where_the_file_should_be(home, opened):
    (home / "countaloud.db").mkdir(parents=True)
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "cannot-read"


@pytest.mark.skipif(ROOT, reason="root may write in a folder without write permission")
def test_read_only_folder_by_mode(store, home, opened):
    store.close()
    home.chmod(0o500)
    try:
        with pytest.raises(StoreProblem) as caught:
            opened()
    finally:
        home.chmod(0o700)
    assert caught.value.code == "cannot-write"


@pytest.mark.skipif(ROOT, reason="root may write to a file without write permission")
def test_read_only_file_by_mode(store, home, opened):
    store.close()
    (home / "countaloud.db").chmod(0o400)
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "cannot-write"


@pytest.mark.skipif(not ROOT, reason="only root may set the immutable attribute")
@pytest.mark.parametrize("what", ["", "countaloud.db"])
def test_immutable_for_root(store, home, opened, what):
    store.close()
    tool = shutil.which("chattr")
    command = [tool or "", "+i", home / what]
    if tool is None or subprocess.run(command, check=False, capture_output=True).returncode:
        pytest.skip("this file system or container knows no immutable attribute")
    try:
        with pytest.raises(StoreProblem) as caught:
            opened()
    finally:
        subprocess.run([tool, "-i", home / what], check=True)
    assert caught.value.code == "cannot-write"


def test_a_connection_that_may_only_read(store, home, monkeypatch, keep, now):
    store.close()
    connect = sqlite3.connect

    def read_only(address, **options):
        return connect(address.replace("mode=rw", "mode=ro"), **options)

    monkeypatch.setattr(sqlite3, "connect", read_only)
    with closing(Store.open(home, now)) as limited, pytest.raises(StoreProblem) as caught:
        keep(limited)
    assert caught.value.code == "cannot-write"


def test_a_file_that_is_no_database(home, opened):
    home.mkdir()
    (home / "countaloud.db").write_bytes(b"these are my notes, not a database\n" * 500)
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "corrupt"


def test_a_damaged_page_is_found_on_the_first_opening_of_a_day(home, opened, keep, now):
    store = opened()
    for at in range(60):
        keep(store, DoseTaken(1, now), text=f"{at} " + "word " * 500)
    store.close()
    path = home / "countaloud.db"
    content = bytearray(path.read_bytes())
    for page in range(6, len(content) // 4096, 3):
        content[page * 4096 : page * 4096 + 512] = b"\xa5" * 512
    path.write_bytes(bytes(content))
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "corrupt"
    assert backups.daily(home) == []


def test_another_holds_the_record(store, home, keep):
    keep(store, text="first")
    with raw(home) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreProblem) as caught:
            keep(store)
        assert caught.value.code == "locked"
        with store.reading() as (record, foods):
            assert record.events(("dose-taken",)) == ()
            assert foods.names() == ()
        other.execute("ROLLBACK")
    assert keep(store, text="second") == 2


def test_another_holds_the_record_while_it_is_opened(store, home, opened):
    store.close()
    with raw(home) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(StoreProblem) as caught:
            opened()
    assert caught.value.code == "locked"


def test_the_disk_is_full(store, keep, facts, now):
    first = keep(store, DoseTaken(1, now), text="kept")
    connection = store._connection
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreProblem) as caught:
        keep(store, FoodSaved("x", facts("x" * 200_000)), text="lost")
    assert caught.value.code == "disk-full"
    assert [row.id for row in store.history(9)] == [first]
    connection.execute("PRAGMA max_page_count = 1000000")
    assert keep(store, QuestionClosed()) == first + 1


def test_a_fault_inside_a_turn_that_was_swallowed_keeps_nothing(store, keep, facts):
    connection = store._connection
    keep(store)
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages}")
    problems = []
    try:
        with store.turn() as tx:
            try:
                tx.keep(
                    store.history(1)[0].said_at,
                    "lost",
                    "answered",
                    "{}",
                    [FoodSaved("x", facts("x" * 200_000))],
                )
            except StoreProblem as problem:
                problems.append(problem)
    except StoreProblem as problem:
        problems.append(problem)
    assert problems[0].code == "disk-full"
    assert len(store.history(9)) == 1


def test_seven_daily_backups_are_kept(home, opened, keep, now):
    store = opened()
    keep(store, text="day 0")
    store.close()
    for day in range(10):
        store = opened(at=now + timedelta(days=day))
        keep(store, text=f"later on day {day}")
        store.close()
        assert opened(at=now + timedelta(days=day)).warnings == ()
    names = [path.name for path in backups.daily(home)]
    assert names == [f"countaloud-2026-03-{day:02d}.db" for day in range(5, 12)]
    assert sorted(p.name for p in (home / "backups").iterdir()) == names
    with closing(sqlite3.connect(home / "backups" / names[-1])) as copy:
        texts = [row[0] for row in copy.execute("SELECT text FROM turns ORDER BY id")]
    assert texts[0] == "day 0"
    assert texts[-1] == "later on day 8"  # as it was when day 9 began


def test_a_backup_is_a_store_that_opens(home, opened, keep, now, tmp_path):
    keep(opened(), DoseTaken(3, now), text="took 3")
    opened()
    restored = tmp_path / "restored"
    restored.mkdir()
    shutil.copy(backups.daily(home)[0], restored / "countaloud.db")
    with opened(restored).reading() as (record, _):
        assert [kept.text for kept in record.events(("dose-taken",))] == ["took 3"]


def test_a_backup_that_fails_is_told_and_stops_nothing(home, opened, keep):
    store = opened()
    keep(store)
    store.close()
    (home / "backups").write_text("a file in the way")
    store = opened()
    assert [warning.code for warning in store.warnings] == ["backup-failed"]
    assert "backup could not be made" in str(store.warnings[0])
    assert keep(store) == 2


@pytest.mark.parametrize("what", ["gone", "empty"])
def test_a_record_that_went_missing_is_not_begun_anew_by_itself(home, opened, keep, what):
    keep(opened(), text="took 4")
    opened().close()
    assert len(backups.daily(home)) == 1
    for path in home.glob("countaloud.db*"):
        path.unlink()
    if what == "empty":
        (home / "countaloud.db").touch(0o600)
    before = sorted(home.iterdir())
    with pytest.raises(StoreProblem) as caught:
        opened()
    assert caught.value.code == "record-missing"
    assert sorted(home.iterdir()) == before


def test_close_twice(store):
    store.close()
    store.close()
    with pytest.raises(StoreProblem):
        store.history(1)


def test_a_problem_says_where_and_what():
    problem = StoreProblem("locked", Path("folder"), "Another program holds the record.")
    assert str(problem) == "locked: folder: Another program holds the record."

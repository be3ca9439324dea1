"""The whole program, as processes: killed, two at once, without room, on a damaged record."""

import json
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import threading
from contextlib import contextmanager

import pytest

from assistant.shell.sample_numbers import NUMBERS as SAMPLE
from assistant.store.store import Store

PROGRAM = [sys.executable, "-m", "assistant.shell.main"]
AT = "2026-03-02T12:00:00+00:00"

FOOD = "new food oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g"
NUMBERS = (
    "count net carbohydrate",
    *SAMPLE,
)
MEAL = "1 serving of oat cereal, glucose 200"
"""27 g less 6 g is 21 g, 2.1 units; 90 mg/dL over the target is 2 units: 4.1, rounded down 4."""


class Chat:
    """The program, one turn a line, as another program would use it."""

    def __init__(self, home, at=AT):
        self.process = subprocess.Popen(
            [*PROGRAM, "--home", home, "--at", at, "ask", "--json", "-"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)},
        )

    def say(self, text):
        """The reply's object; None where the program is gone."""
        try:
            self.process.stdin.write(text.encode() + b"\n")
            self.process.stdin.flush()
        except BrokenPipeError:
            return None
        line = self.process.stdout.readline()
        return json.loads(line) if line.endswith(b"\n") else None

    def close(self):
        self.process.stdin.close()
        told = self.process.stderr.read().decode()
        self.process.wait(60)
        self.process.stdout.close()
        self.process.stderr.close()
        return told

    def kill(self):
        self.process.send_signal(signal.SIGKILL)


@contextmanager
def chat(home, at=AT):
    one = Chat(home, at)
    try:
        yield one
    finally:
        if one.process.poll() is None:
            one.kill()
        one.process.wait(60)
        for stream in (one.process.stdin, one.process.stdout, one.process.stderr):
            try:
                stream.close()
            except BrokenPipeError:
                continue


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    folder = tmp_path_factory.mktemp("prepared") / "home"
    with chat(folder) as one:
        for text in (FOOD, *NUMBERS):
            assert one.say(text)["status"] == "answered", text
        one.close()
    return folder


@pytest.fixture
def folder(prepared, tmp_path):
    shutil.copytree(prepared, tmp_path / "home")
    return tmp_path / "home"


def ask(home, text, at=AT):
    done = subprocess.run(
        [*PROGRAM, "--home", home, "--at", at, "ask", "--json", text],
        capture_output=True,
        timeout=60,
        check=False,
    )
    return json.loads(done.stdout), done.stderr.decode()


def command(home, *argv):
    done = subprocess.run(
        [*PROGRAM, "--home", home, "--at", AT, *argv], capture_output=True, timeout=60, check=False
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def busy(one, name, told, started):
    """Says sentences without end until the program is killed; told: those it answered."""
    number = 0
    while True:
        number += 1
        texts = (
            MEAL,
            "not taken",
            f"took 0.{number % 9 + 1} units at 11:{number % 60:02d}",
            f"new food {name} {number}: US label, serving 1 cup (40 g), carbohydrate 7 g, "
            "fibre 1 g",
            f"{name} {number} is also called treat {name} {number}",
            "glucose 130",
        )
        for text in texts:
            reply = one.say(text)
            if reply is None:
                return
            started.set()
            if "Another program holds the record" in reply["text"]:
                assert reply["status"] == "failed"  # said to be lost: the other chat never paused
                continue
            told.append((text, reply))


def killed_once(home, seed):
    """Two busy sessions on one folder, killed at a random moment: the texts that were answered."""
    told, threads, chats, begun = [], [], [], []
    for name in ("alpha", "beta"):
        one, mine, started = Chat(home), [], threading.Event()
        thread = threading.Thread(target=busy, args=(one, name, mine, started))
        thread.start()
        chats.append(one)
        threads.append(thread)
        told.append(mine)
        begun.append(started)
    for started in begun:
        assert started.wait(60)
    wait = random.Random(seed).uniform(0, 0.4)
    threading.Event().wait(wait)
    for one in chats:
        one.kill()
    for thread, one in zip(threads, chats, strict=True):
        thread.join(60)
        one.process.wait(60)
        for stream in (one.process.stdin, one.process.stdout, one.process.stderr):
            try:
                stream.close()
            except BrokenPipeError:
                continue
    return [pair for mine in told for pair in mine]


@pytest.mark.more
def test_a_busy_session_killed_at_any_moment(folder, request, now):
    """Every reply that was shown is in the journal, word for word, and no turn is there by half."""
    rounds = 200 if request.config.getoption("--long", default=False) else 3
    shown = []
    for number in range(rounds):
        shown += killed_once(folder, number)
        store = Store.open(folder, now)
        kept = {}
        for row in store.turns():
            kept.setdefault(row.text, []).append(json.loads(row.reply))
        for text, reply in shown:
            assert reply in kept.get(text, []), text
        with store.reading() as (record, foods):
            doses = [k for k in record.events(("dose-taken",)) if k.text.startswith("took")]
            answered = sum(
                "Logged: " in reply["text"]  # one like the last is logged too, and asked about
                for text, replies in kept.items()
                for reply in replies
                if text.startswith("took")
            )
            assert len(doses) == answered
            for text, reply in shown:
                if text.startswith("new food") and reply["status"] == "answered":
                    name = text.removeprefix("new food ").split(":")[0]
                    assert foods.exact(name), name
        store.close()
        if number % 10 == 9:  # keep the reading of the journal short: later rounds add their own
            shown = []
            shutil.rmtree(folder / "backups", ignore_errors=True)


def test_two_chats_see_each_others_doses_before_they_suggest(folder):
    with chat(folder) as first, chat(folder) as second:
        assert first.say(MEAL)["dose"]["suggested_units"] == 4
        # the other chat may not suggest while it is not known whether that dose was taken
        waiting = second.say(MEAL)
        assert (waiting["status"], waiting["dose"]) == ("refused", None)
        assert [rule["rule"] for rule in waiting["rules"]] == ["unconfirmed-suggestion"]
        assert first.say("took 4 units at 12:00")["status"] == "answered"
        # 4 units taken now are all active: the correction of 2 units comes to nothing, 4.2 remain
        after = second.say("2 servings of oat cereal, glucose 200")["dose"]
        assert (after["active_units"], after["suggested_units"]) == (4, 4)
        assert second.say("took 3 units at 12:00")["status"] == "answered"
        assert first.say("what is active now")["facts"]["active_units"] == 7
        # a cap that one chat lowers binds the other at once
        assert second.say("never more than 1 unit at once")["status"] == "answered"
        capped = first.say("3 servings of oat cereal, glucose 200")
        assert [rule["rule"] for rule in capped["rules"]] == ["over-dose-cap"]
        assert capped["dose"] is None


@pytest.mark.more
def test_no_room_to_write(folder):
    """No dose is shown that is not on disk; what was kept stays; it goes on when there is room."""
    with chat(folder) as one:
        assert one.say("took 1 unit at 11:00")["status"] == "answered"
        size = (folder / "countaloud.db-wal").stat().st_size
        limits = resource.prlimit(one.process.pid, resource.RLIMIT_FSIZE)
        resource.prlimit(one.process.pid, resource.RLIMIT_FSIZE, (size + 100, limits[1]))
        for text in (MEAL, "took 3 units at 11:30", MEAL):
            reply = one.say(text)
            assert (reply["status"], reply["dose"]) == ("failed", None)
            assert "no dose is worked out" in reply["text"]
            assert str(folder) in reply["text"]
        resource.prlimit(one.process.pid, resource.RLIMIT_FSIZE, limits)
        active = one.say("what is active now")["facts"]["doses"]
        assert [dose["units"] for dose in active] == [1]
        assert one.say(MEAL)["dose"]["suggested_units"] > 0
        assert "Traceback" not in one.close()


@pytest.fixture
def small(tmp_path):
    """A file system of its own with 400 kB; skipped where this user may not make one."""
    where = tmp_path / "small"
    where.mkdir()
    mount = shutil.which("mount")
    made = mount and subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=400k", "tmpfs", where], capture_output=True, check=False
    )
    if not made or made.returncode:
        pytest.skip("this user may not mount a small file system")
    yield where
    subprocess.run(["umount", where], check=True)


def test_a_full_disk(small, prepared):
    home = small / "home"
    home.mkdir(0o700)
    shutil.copy(prepared / "countaloud.db", home)
    filler = small / "filler"
    with chat(home) as one:
        assert one.say("took 1 unit at 11:00")["status"] == "answered"
        with open(filler, "wb", buffering=0) as file:
            while True:
                try:
                    file.write(b"x" * 1024)
                except OSError:
                    break
        failed = 0
        for number in range(40):  # what is left of the file's last pages is used up first
            reply = one.say(f"took 0.5 units at 10:{number:02d}")
            failed += reply["status"] == "failed"
            if failed:
                break
        assert failed
        reply = one.say(MEAL)
        assert (reply["status"], reply["dose"]) == ("failed", None)
        assert "no room left" in reply["text"]
        filler.unlink()
        with_dose = one.say(MEAL)
        assert with_dose["dose"]["suggested_units"] > 0
        active = one.say("what is active now")["facts"]["doses"]
        assert len(active) == number + 1  # the first dose, and each that was acknowledged


@pytest.mark.more
def test_a_full_disk_as_the_folder_is_opened(small, prepared):
    home = small / "home"
    home.mkdir(0o700)
    shutil.copy(prepared / "countaloud.db", home)
    with open(small / "filler", "wb", buffering=0) as file:
        try:
            while file.write(b"x" * 1024):
                pass
        except OSError:
            pass
    reply, _ = ask(home, MEAL)
    assert (reply["status"], reply["dose"]) == ("failed", None)
    assert "no room left" in reply["text"]
    (small / "filler").unlink()
    assert ask(home, MEAL)[0]["dose"]["suggested_units"] == 4


@pytest.mark.more
def test_a_damaged_record_is_told_offered_and_put_back(folder):
    assert ask(folder, "took 4 units at 11:00")[0]["status"] == "answered"
    ask(folder, "today", at="2026-03-03T08:00:00+00:00")  # the first opening of a day: a backup
    at = "2026-03-03T08:05:00+00:00"
    assert ask(folder, "took 3 units at 07:00", at=at)[0]["status"] == "answered"
    with open(folder / "countaloud.db", "r+b") as file:
        file.write(b"my notes")
    reply, told = ask(folder, MEAL, at=at)
    assert (reply["status"], reply["dose"]) == ("failed", None)
    for words in ("Active insulin is not known", "2026-03-02 12:00", "restore 2026-03-03"):
        assert words in reply["text"]
        assert words in told
    assert command(folder, "restore", "2026-03-01")[0] == 1
    code, out, _ = command(folder, "restore", "2026-03-03")
    assert code == 0
    assert "countaloud.db.damaged-2026-03-02T120000" in out
    assert (folder / "countaloud.db.damaged-2026-03-02T120000").exists()
    reply, _ = ask(folder, MEAL, at=at)
    assert (reply["status"], reply["dose"]) == ("refused", None)
    assert "record-gap" in [rule["rule"] for rule in reply["rules"]]
    assert ask(folder, "took 3 units at 07:00", at=at)[0]["status"] == "answered"
    assert ask(folder, "the record is complete", at=at)[0]["status"] == "answered"
    # 3 units, 1 h 5 min of 4 h old: 35/48 of them are left, more than the correction of 2
    dose = ask(folder, MEAL, at=at)[0]["dose"]
    assert dose["suggested_units"] == 2
    assert dose["active_units"] == pytest.approx(3 * 35 / 48, abs=0.01)
    code, _, told = command(folder, "restore", "2026-03-03")
    assert code == 1
    assert "sound" in told


@pytest.mark.more
def test_beginning_anew_is_spelled_out_and_gives_no_dose(folder):
    ask(folder, "took 4 units at 11:00")
    assert (folder / "backups").exists()
    (folder / "countaloud.db").unlink()
    reply, _ = ask(folder, "today")
    assert reply["status"] == "failed"
    assert "restore nothing" in reply["text"]
    assert not (folder / "countaloud.db").exists()
    assert command(folder, "restore", "nothing")[0] == 0
    with chat(folder) as one:
        for text in (FOOD, *NUMBERS):
            assert one.say(text)["status"] == "answered"
        assert [rule["rule"] for rule in one.say(MEAL)["rules"]] == ["record-gap"]
        assert "not known" in one.say("what is active now")["text"]


def test_a_read_only_folder(folder, tmp_path):
    """By mode for a person; by a read-only mount for root."""
    if os.geteuid() == 0:
        seen = tmp_path / "seen"
        seen.mkdir()
        bound = subprocess.run(["mount", "--bind", folder, seen], capture_output=True, check=False)
        if bound.returncode:
            pytest.skip("this container allows no mount")
        subprocess.run(["mount", "-o", "remount,ro,bind", seen], check=True)
    else:
        seen = folder
        folder.chmod(0o500)
    try:
        reply, told = ask(seen, MEAL)
    finally:
        if seen is folder:
            folder.chmod(0o700)
        else:
            subprocess.run(["umount", seen], check=True)
    assert (reply["status"], reply["dose"]) == ("failed", None)
    assert str(seen) in told
    assert "Traceback" not in told
    assert ask(folder, MEAL)[0]["dose"]["suggested_units"] == 4

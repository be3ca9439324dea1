"""The program opens no network socket: each command runs with every socket watched.

Python raises an audit event (PEP 578) before it makes, binds or connects a socket, or looks up a
name, whichever library asks. A hook ends the process there. The terminal chat runs on asyncio,
which wakes itself through a pair of local sockets (AF_UNIX); these reach no network and are let
pass there alone.
"""

import os
import pty
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.shell.main import COMMANDS

WATCH = """
import os, sys

LOCAL = sys.argv.pop(1) == "local"


def hook(event, args):
    made = event == "socket.__new__" and not (LOCAL and args[1] == 1)
    used = event in {"socket.connect", "socket.bind", "socket.getaddrinfo", "socket.gethostbyname",
                     "socket.gethostbyaddr", "socket.getnameinfo", "socket.sendto",
                     "socket.sendmsg", "urllib.Request", "http.client.connect",
                     "ftplib.connect", "smtplib.connect"}
    if made or used:
        os.write(2, f"SOCKET {event} {args!r}\\n".encode())
        os._exit(99)


sys.addaudithook(hook)
"""
RUN = f"{WATCH}\nfrom assistant.shell.main import run\nrun()\n"

AT = ("--at", "2026-03-08T20:00+01:00")
TALK = b"""new food oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g
count net carbohydrate
1 serving of oat cereal
glucose 120 mg/dL
what happened after oat cereal
how was my glucose this week
report for the visit
save today as one day
today
"""
DEMO = Path(__file__).parents[2] / "demo_sessions" / "breakfast.jsonl"
RUNS = {
    "ask": (("ask", "-"), TALK),
    "read": (("read", "1.5 servings of oat cereal"), b""),
    "demo": (("demo",), b"today\nbye\n"),
    "bench": (("bench", "reading"), b""),
    "restore": (("restore",), b""),
    "replay": (("replay", "one day", "--verify"), b""),
    "learn": (("learn", str(DEMO)), b"41.1\nstop\n"),
    "practice": (("practice", "--seed", "7", "--count", "1"), b"skip\nskip\n"),
    "foods": (("foods", "sources"), b""),
    "readings": (("readings", "import", "meter.csv"), b""),
    "report": (("report", "--as", "fhir"), b""),
    "schema": (("schema",), b""),
    "completion": (("completion",), b""),
    "help": (("help",), b""),
    None: ((), TALK),  # the chat, on a pipe
}


def run(code: str, *argv: str, typed: bytes = b"", local: bool = False, **given):
    command = [sys.executable, "-c", code, "local" if local else "none", *argv]
    path = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.run(command, input=typed, capture_output=True, timeout=300, check=False,
                          env=path, **given)  # fmt: skip


def test_the_list_of_runs_has_every_command() -> None:
    assert {name for name in RUNS if name} == {command.name for command in COMMANDS}


EACH = [
    pytest.param(name, id=name or "chat", marks=pytest.mark.long if name == "bench" else ())
    for name in RUNS
]
"""The bench takes long, so it waits for the long check."""


@pytest.mark.more
@pytest.mark.parametrize("name", EACH)
def test_no_command_opens_a_socket(name, tmp_path) -> None:
    (tmp_path / "meter.csv").write_text("time,value,unit\n2026-03-08T07:00+01:00,112,mg/dL\n")
    if name == "replay":  # it needs a saved talk
        assert run(RUN, *AT, *RUNS["ask"][0], typed=TALK, cwd=tmp_path).returncode == 0
    argv, typed = RUNS[name]
    done = run(RUN, *AT, *argv, typed=typed, cwd=tmp_path)
    assert b"SOCKET" not in done.stderr
    assert done.returncode == 0, done.stderr


def test_the_chat_at_a_terminal_opens_no_network_socket(tmp_path) -> None:
    main, end = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "PYTHONPATH": os.pathsep.join(sys.path)}
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, "local"], stdin=end, stdout=end, stderr=subprocess.PIPE,
        env=environment, cwd=tmp_path,
    )  # fmt: skip
    os.close(end)
    heard = b""
    for typed in (b"today\r", b"how was my glucose\r", b"bye\r"):
        deadline = time.monotonic() + 30
        while b"question" not in heard.rsplit(b"bye", 1)[-1] and time.monotonic() < deadline:
            heard += os.read(main, 4096)
        os.write(main, typed)
        heard += b"bye"
    while process.poll() is None:
        try:
            os.read(main, 4096)
        except OSError:  # the terminal is closed with the program
            break
    code = process.wait(60)
    error = process.stderr.read()
    process.stderr.close()
    os.close(main)
    assert (code, error) == (0, b"")


@pytest.mark.parametrize(
    "opening",
    [
        "import socket; socket.socket()",
        "import socket; socket.socketpair()",
        "import socket; socket.getaddrinfo('localhost', 80)",
        "import urllib.request; urllib.request.urlopen('http://localhost:9')",
    ],
)
def test_the_watch_sees_a_socket(opening) -> None:
    done = run(f"{WATCH}\ntry:\n    {opening}\nexcept Exception:\n    pass\n")
    assert done.returncode == 99
    assert b"SOCKET" in done.stderr


def test_local_ones_are_let_pass_only_where_said_and_no_others() -> None:
    pair = f"{WATCH}\nimport socket\nfor s in socket.socketpair(): s.close()\n"
    assert run(pair, local=True).returncode == 0
    assert run(f"{WATCH}\nimport socket; socket.socket()\n", local=True).returncode == 99

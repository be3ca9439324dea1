"""The program under a terminal screen reader, with what the reader speaks written down.

The reader is yasr (Debian package "yasr"). It is given a speech server that makes no sound: a
small script that notes each text, in order. The terminal around the reader is pyte, which answers
when a program asks where the cursor is; without an answer a program may show less than it does in
life.

A reader sends its server lines of the Emacspeak protocol: "q {text}" puts a text in the queue, "d"
speaks the queue, "s" stops. Both q and s are noted, so that a reply that is cut off is seen.
"""

import json
import os
import re
import shutil
import signal
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import pexpect
import pyte

READER = shutil.which("yasr")
STOCK = Path("/etc/yasr/yasr.conf")
MISSING = "the screen reader yasr is not installed (Debian: apt-get install yasr)"

_SERVER = r"""#!{python}
import json, re, sys
with open({log!r}, "a", buffering=1, encoding="utf-8") as log:
    for raw in sys.stdin.buffer:
        line = raw.decode("utf-8", "backslashreplace").rstrip("\r\n")
        said = re.fullmatch(r"(?:q|l|tts_say) \{{(.*)\}}", line)
        if said:
            log.write(json.dumps(["said", said[1]]) + "\n")
        elif line.strip() == "s":
            log.write(json.dumps(["stopped", ""]) + "\n")
"""


@dataclass(frozen=True)
class Spoken:
    """One event of the speech server: a text that was spoken, or a stop."""

    kind: str
    text: str


def reader_or_reason() -> str | None:
    """None where the reader is here; else why not. In CI a missing reader is a failure."""
    if READER and STOCK.exists():
        return None
    assert not os.environ.get("CI"), MISSING
    return MISSING


class Listening:
    """A program, its reader, the terminal, and the log of what was spoken."""

    def __init__(self, folder: Path, *argv: str, **environ: str) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._log = folder / "spoken.log"
        self._log.touch()
        self._mark = 0
        server = folder / "speech_server"
        server.write_text(_SERVER.format(python=sys.executable, log=str(self._log)))
        server.chmod(0o755)
        conf = re.sub(r"(?m)^synthesizer=.*", "synthesizer=emacspeak server", STOCK.read_text())
        conf = re.sub(r"(?m)^synthesizer port=.*", f"synthesizer port=|{server}", conf)
        (folder / "reader.conf").write_text(conf)
        env = {**os.environ, "TERM": "linux", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8", **environ}
        env.pop("COLUMNS", None)
        env.pop("PYTHONUNBUFFERED", None)  # it makes a prompt come letter by letter
        assert READER is not None
        self.child = pexpect.spawn(
            READER,
            ["-C", str(folder / "reader.conf"), "--", *argv],
            env=env,
            dimensions=(40, 100),
            timeout=30,
        )
        self.screen = pyte.Screen(100, 40)
        self.screen.write_process_input = self.child.send
        self._stream = pyte.ByteStream(self.screen)

    def _all(self) -> list[Spoken]:
        rows = self._log.read_text(encoding="utf-8").splitlines()
        return [Spoken(*json.loads(row)) for row in rows]

    def _pump(self, seconds: float) -> None:
        """Plays the terminal for a while, so that the program is never kept waiting."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            try:
                self._stream.feed(self.child.read_nonblocking(4096, timeout=min(left, 0.1)))
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                return

    def heard(self, until: str, seconds: float = 30) -> list[Spoken]:
        """What was spoken since the last call, once it ends with these words and is then quiet.

        Silence fails: the words that were waited for must be heard. The reader may speak one line
        in several texts, so it is the whole that is looked at.
        """
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._pump(0.05)
            new = self._all()[self._mark :]
            if " ".join(sentences(new)).endswith(until):
                return self.so_far()
        raise AssertionError(f"{until!r} was not spoken; heard: {self._all()[self._mark :]}")

    def so_far(self, quiet: float = 0.4) -> list[Spoken]:
        """What was spoken since the last call, after nothing new has come for so long."""
        count = -1
        while count != (count := len(self._all())):
            self._pump(quiet)
        new = self._all()[self._mark :]
        self._mark = count
        return new

    def type(self, text: str) -> list[Spoken]:
        """Types the text key by key, and gives what was spoken meanwhile."""
        for character in text:
            self.child.send(character)
            self._pump(0.03)
        return self.so_far()

    def say(self, text: str, until: str) -> list[str]:
        """Types a text and Enter, and gives the sentences that come after Enter, up to until.

        Keys that arrive all at once look to the reader like output; that echo is let go first.
        """
        self.child.send(text)
        self.so_far(quiet=0.3)
        self.child.send("\r")
        return sentences(self.heard(until))

    def press(self, keys: str) -> None:
        """Sends keys at once."""
        self.child.send(keys)

    def close(self) -> None:
        """Ends the reader, and then the program, which would outlive it in a session of its own."""
        started = _children(self.child.pid)
        self.child.close(force=True)
        for pid in started:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)


def _children(pid: int) -> list[int]:
    """What this process started (Linux); nothing where that cannot be read."""
    try:
        told = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    except OSError:
        return []
    return [int(child) for child in told.split()]


def sentences(spoken: list[Spoken]) -> list[str]:
    """The texts, without the blanks that the reader puts around them."""
    return [" ".join(s.text.split()) for s in spoken if s.kind == "said" and s.text.strip()]

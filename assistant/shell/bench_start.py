"""The benchmark of starting: a cold turn, and the chat up to its first prompt.

The anchor is a process that imports five of the libraries and builds pint's default registry of
units: what a program on them would pay that put nothing off.
"""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.shell import timing
from assistant.shell.bench_samples import FOODS, NUMBERS, PHRASE
from assistant.shell.words import say

ANCHOR = "import lark, pint, prompt_toolkit, pydantic, rich; pint.UnitRegistry()"
LONGEST = 60.0
"""Seconds that a prompt is waited for."""


def lines() -> Iterator[str]:
    """Both ratios, with their goals and what this machine takes."""
    with TemporaryDirectory() as folder:
        home = str(Path(folder, "home"))
        timing.program("--home", home, "ask", "-", typed="\n".join((*FOODS, *NUMBERS)))
        cold = partial(timing.program, "--home", home, "ask", "--json", PHRASE)
        times = timing.interleaved([_anchor, cold, partial(first_prompt, home)])
    yield "Starting, against a process that imports lark, pint, prompt_toolkit, pydantic and rich"
    yield "and builds pint's default registry:"
    yield f"  a cold turn of the phrase, goal 0.40 or less: {timing.ratio(times[1], times[0])}"
    prompt = timing.ratio(times[2], times[0])
    yield f"  the chat up to its first prompt, goal 0.75 or less: {prompt}"
    yield f"  the process they are held against, milliseconds: {timing.spread(times[0])}"


def _anchor() -> None:
    line = [sys.executable, "-c", ANCHOR]
    subprocess.run(line, check=True, env=timing.environment())  # noqa: S603 - a fixed line


def first_prompt(home: str) -> None:
    """Starts the chat on a terminal of its own and waits for the prompt; then ends it.

    Raises TimeoutError where none comes.
    """
    import pty

    ours, theirs = pty.openpty()
    environ = {**timing.environment(), "TERM": "xterm", "COUNTALOUD_SPOKEN": "0"}
    try:
        process = subprocess.Popen(  # noqa: S603 - this very program
            [sys.executable, "-m", "assistant.shell.main", "--home", home],
            stdin=theirs, stdout=theirs, stderr=theirs, env=environ, start_new_session=True,
        )  # fmt: skip
        os.close(theirs)
        try:
            _wait_for(ours, say("prompt").strip().encode())
        finally:
            process.kill()
            process.wait()
    finally:
        os.close(ours)


def _wait_for(handle: int, wanted: bytes) -> None:
    end, heard = time.monotonic() + LONGEST, b""
    while wanted not in heard:
        if time.monotonic() > end:
            raise TimeoutError
        heard += os.read(handle, 4096)

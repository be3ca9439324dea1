"""The benchmark of session files: turns verified a second, and whether the memory stays flat."""

import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.shell.demo import DEMO_LINES
from assistant.teaching.session_file import (
    Damage,
    Header,
    end_line,
    header_line,
    read,
    turn_line,
)
from assistant.teaching.stage import staged
from assistant.teaching.verify import verified

START = datetime.fromisoformat("2026-03-02T07:00:00+01:00")
DAY = (
    "1.5 servings of the oat cereal plus 200 ml milk, glucose 162",
    "took it",
    "2 slices rye bread, glucose 110",
    "why",
    "not taken",
    "a medium apple, glucose 100",
    "not taken",
    "what is active now",
)
"""What is said again and again, three quarters of an hour apart."""
SHORT, LONG = 1_000, 100_000


def lines() -> Iterator[str]:
    """A file of 1,000 turns, and its memory against a tenth of it."""
    yield from _of(SHORT)


def long_lines() -> Iterator[str]:
    """A file of 100,000 turns; takes tens of minutes."""
    yield from _of(LONG)


def _of(turns: int) -> Iterator[str]:
    with TemporaryDirectory() as folder:
        whole, tenth = Path(folder, "whole.jsonl"), Path(folder, "tenth.jsonl")
        write(whole, turns)
        write(tenth, turns // 10)
        begun = time.perf_counter()
        count = read_only(whole)
        bare = time.perf_counter() - begun
        seconds, peak = _in_a_process(whole)
        _, small = _in_a_process(tenth)
        yield (
            f"a session of {count} turns, verified a second: {count / seconds:.0f} (goal 2000);"
            f" against only reading the file: {seconds / bare:.1f}"
        )
        yield f"memory of that against a tenth of the turns: {peak / small:.2f} (goal 1.1)"


def write(path: Path, turns: int) -> None:
    """A file of so many turns, from the first setting on."""
    header = Header(title="bench", clock="+01:00")
    at = START
    with path.open("w", encoding="utf-8") as file, staged(header) as stage:
        file.write(header_line(header) + "\n")
        for position in range(turns):
            say = DEMO_LINES[position] if position < len(DEMO_LINES) else DAY[position % len(DAY)]
            at += timedelta(minutes=0 if position < len(DEMO_LINES) else 45)
            number, outcome, reply = stage.say(say, at)
            file.write(turn_line(number, at, say, outcome.events, reply) + "\n")
        file.write(end_line(turns) + "\n")


def read_only(path: Path) -> int:
    """How many turns the file holds."""
    with path.open(encoding="utf-8") as file:
        _, turns = read(line.rstrip("\n") for line in file)
        return sum(1 for _ in turns)


def verify_whole(path: Path) -> int:
    """Turns that are the same; raises ValueError where one is not."""
    with path.open(encoding="utf-8") as file:
        header, turns = read(line.rstrip("\n") for line in file)
        if isinstance(header, Damage):
            raise ValueError(header.code)
        count = 0
        for found in verified(header, turns):
            if isinstance(found, Damage) or found.parts:
                raise ValueError(str(found))
            count += 1
        return count


def _in_a_process(path: Path) -> tuple[float, int]:
    """Seconds of verifying, and the peak of the memory, in a process of its own."""
    done = subprocess.run(  # noqa: S603 - this very program
        [sys.executable, "-m", "assistant.shell.bench_sessions", str(path)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    seconds, peak = done.stdout.split()
    return float(seconds), int(peak)


def main(path: Path) -> str:
    """What a process of its own prints: seconds and peak."""
    begun = time.perf_counter()
    verify_whole(path)
    seconds = time.perf_counter() - begun
    return f"{seconds} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss}"


if __name__ == "__main__":
    print(main(Path(sys.argv[1])))

"""How the benchmark takes times and tells them: medians with their spread, anchors interleaved."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence

ROUNDS = 15


def milliseconds(work: Callable[[], object], times: int = 1) -> float:
    """How long the work takes, on average over so many times."""
    start = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - start) / times * 1000


def rounds(work: Callable[[], object], times: int) -> list[float]:
    """The time of each round, after one that is not counted."""
    work()
    return [milliseconds(work, times) for _ in range(ROUNDS)]


def interleaved(works: Sequence[Callable[[], object]], count: int = ROUNDS) -> list[list[float]]:
    """Times of each work, taken in turn, so that what slows the machine slows them all."""
    for work in works:
        work()
    found: list[list[float]] = [[] for _ in works]
    for _ in range(count):
        for taken, work in zip(found, works, strict=True):
            taken.append(milliseconds(work))
    return found


def ratio(figures: Sequence[float], anchor: Sequence[float]) -> str:
    """The ratios of two interleaved works, round by round."""
    return spread([a / b for a, b in zip(figures, anchor, strict=True)])


def spread(figures: Sequence[float]) -> str:
    """The median, and the least and the most."""
    return f"{statistics.median(figures):.3f} ({min(figures):.3f} to {max(figures):.3f})"


def highest(figures: Sequence[float], share: float = 0.99) -> float:
    """The figure below which this share of them lies."""
    ordered = sorted(figures)
    return ordered[min(int(len(ordered) * share), len(ordered) - 1)]


def environment() -> dict[str, str]:
    """The environment of processes that are timed: they may keep compiled modules, as they do
    where a program is installed, whatever the shell of the benchmark says."""
    return {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def program(*argv: str, typed: str = "") -> None:
    """Runs this program in a process of its own; a question or a refusal is an answer too."""
    done = subprocess.run(  # noqa: S603 - this very program
        [sys.executable, "-m", "assistant.shell.main", *argv],
        input=typed.encode(),
        capture_output=True,
        check=False,
        env=environment(),
    )
    if done.returncode not in {0, 3, 4}:
        done.check_returncode()


_PEAK = """
import io, resource, sys
from assistant.shell.main import main
from assistant.shell.world import World
typed = io.TextIOWrapper(io.BytesIO(sys.argv[2].encode()))
silent = io.TextIOWrapper(io.BytesIO())
main(["--home", sys.argv[1], "ask", "--json", "-"], World(typed, silent, silent, {}))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def peak_memory(home: str, typed: str) -> float:
    """The most memory that a run of these lines takes, in kilobytes (as Linux counts)."""
    done = subprocess.run(  # noqa: S603 - this very program
        [sys.executable, "-c", _PEAK, home, typed], capture_output=True, check=True
    )
    return float(done.stdout.split()[-1])

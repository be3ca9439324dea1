"""How far an import is: a moving line for the eye, sentences at intervals for the ear."""

import time
from collections.abc import Iterator
from contextlib import contextmanager

from assistant.shell import words
from assistant.shell.food_import import Step
from assistant.shell.voice import Voice

EVERY = 15.0
"""Seconds between two sentences (common practice, no source)."""
ROWS = 500
"""Rows between two looks at the clock."""


@contextmanager
def progress(voice: Voice) -> Iterator[Step]:
    """Takes the number of rows read so far. Nothing is shown in pipes, files and JSON."""
    if voice.mode == "json" or not voice.world.stdout.isatty():
        yield lambda _: None
    elif voice.mode == "spoken" or voice.world.plain_terminal:
        yield _spoken(voice)
    else:
        yield from _drawn(voice)


def _spoken(voice: Voice) -> Step:
    last = time.monotonic()

    def step(count: int) -> None:
        nonlocal last
        if count % ROWS == 0 and time.monotonic() - last >= EVERY:
            last = time.monotonic()
            voice.line(words.say("foods-so-far", count=count))

    return step


def _drawn(voice: Voice) -> Iterator[Step]:
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = Console(file=voice.world.stdout, width=voice.world.width,
                      no_color=not voice.world.color)  # fmt: skip
    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True) as shown:
        task = shown.add_task(words.say("foods-so-far", count=0))

        def step(count: int) -> None:
            if count % ROWS == 0:
                shown.update(task, description=words.say("foods-so-far", count=count))

        yield step

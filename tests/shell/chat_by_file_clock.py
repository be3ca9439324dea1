"""The spoken chat as it is, but for its clock: the time stands in a file, so a test can move it.

Arguments: the data folder, the file with the time.
"""

import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from assistant.shell.chat import chat_or_lines
from assistant.shell.options import Options
from assistant.shell.world import World

FOLDER, CLOCK = Path(sys.argv[1]), Path(sys.argv[2])


class ByFile(Options, frozen=True):
    """Options whose clock is read anew from the file each time."""

    @property
    def clock(self) -> Callable[[], datetime]:
        return lambda: datetime.fromisoformat(CLOCK.read_text())


sys.exit(chat_or_lines(ByFile(home=FOLDER, spoken="--spoken"), World.of_process()))

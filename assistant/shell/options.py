"""The command line as values: which command, its words, and the options of this run."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from assistant.shell import words
from assistant.shell.world import World


class Options(Struct, frozen=True):
    """What was asked for. home is None where nobody named a folder on the command line."""

    home: Path | None = None
    at: datetime | None = None
    spoken: str | None = None
    json: bool = False
    text: str = ""
    rest: tuple[str, ...] = ()
    own: Mapping[str, Any] = field(default_factory=dict)
    """Options of one command, by name without the dashes."""

    def get(self, name: str) -> Any:
        """An option of the command; None where it was not given."""
        return self.own.get(name)

    @property
    def clock(self) -> Callable[[], datetime]:
        """The clock of this run: fixed by --at, or the machine's with its own offset."""
        fixed = self.at
        if fixed is not None:
            return lambda: fixed
        return lambda: datetime.now(UTC).astimezone()

    @property
    def from_input(self) -> bool:
        """True where the text is '-': the turns come from standard input."""
        return self.text == "-"


def home_of(options: Options, world: World) -> Path:
    """The data folder: --home, then COUNTALOUD_HOME, then the platform's own."""
    if options.home is not None:
        return options.home
    told = world.environ.get("COUNTALOUD_HOME")
    if told:
        return Path(told).expanduser()
    from platformdirs import user_data_dir

    return Path(user_data_dir("countaloud", appauthor=False))


def time_with_offset(text: str) -> datetime:
    """ISO 8601 with an offset; ValueError with a clear sentence for anything else."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(words.say("not-a-time")) from None
    if at.tzinfo is None:
        raise ValueError(words.say("needs-offset"))
    return at


def spoken_by(flag: bool, world: World) -> str | None:
    """How spoken mode was turned on by this run, or None."""
    if flag:
        return "--spoken"
    if world.environ.get("COUNTALOUD_SPOKEN", "0") not in ("", "0"):
        return "COUNTALOUD_SPOKEN"
    return None

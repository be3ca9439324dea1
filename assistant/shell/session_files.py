"""Opening a session file by its path or by the name of a saved talk; its faults in sentences."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from msgspec import Struct

from assistant.render.texts import TEXTS
from assistant.shell.options import Options, home_of
from assistant.shell.world import World
from assistant.teaching import saving
from assistant.teaching.session_file import VERSION, Damage, Header, Turn, read


class Opened(Struct, frozen=True):
    """A session file that is being read."""

    header: Header
    turns: Iterator[Turn | Damage]
    file: str
    old: bool
    """True for a file of an older form."""


def damage_sentence(damage: Damage, file: str) -> str:
    """Why a file could not be read, or be read on."""
    return TEXTS[f"damage-{damage.code}"].format(
        file=file, line=damage.line, detail=damage.detail, version=VERSION
    )


def path_of(name: str, options: Options, world: World) -> Path | None:
    """The file of that path, or of that saved talk; None where there is neither."""
    path = Path(name).expanduser()
    if path.is_file():
        return path
    saved = saving.path_of(home_of(options, world), name.removesuffix(".jsonl"))
    return saved if saved.is_file() else None


def no_file(name: str, options: Options, world: World) -> str:
    """The sentence for a file that is not there, with the saved talks."""
    names = saving.names(home_of(options, world))
    told = TEXTS["damage-saved-talks" if names else "damage-no-saved-talks"]
    saved = told.format(names=", ".join(names))
    return TEXTS["damage-no-file"].format(file=name, saved=saved)


@contextmanager
def opened(name: str, options: Options, world: World) -> Iterator[Opened | str]:
    """The session; or the sentence for why there is none."""
    path = path_of(name, options, world)
    if path is None:
        yield no_file(name, options, world)
        return
    try:
        file = path.open(encoding="utf-8-sig", errors="surrogateescape", newline="\n")
    except OSError as fault:
        detail = (fault.strerror or str(fault)).casefold()
        yield TEXTS["damage-cannot-read"].format(file=name, detail=detail)
        return
    with file:
        header, turns = read(line.rstrip("\r\n") for line in file)
        if isinstance(header, Damage):
            yield damage_sentence(header, name)
        else:
            yield Opened(header, turns, name, not header.clock)


def chained(first: Turn, rest: Iterator[Turn | Damage]) -> Iterator[Turn | Damage]:
    """The first turn, which was looked at, and the rest."""
    yield first
    yield from rest

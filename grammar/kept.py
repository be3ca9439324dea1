"""What takes long to make and is the same every time, kept beside the compiled modules.

The files lie where Python keeps compiled modules and are trusted as they are: made anew for another
Python, and not written where Python is told to write nothing compiled.
"""

import marshal
import os
import sys
import zlib
from contextlib import suppress
from importlib.util import cache_from_source
from typing import Any

_HEAD = f"1 {sys.version}\n".encode()


def _place(name: str) -> str | None:
    """The file of this name; None where nothing compiled is to be kept."""
    if sys.dont_write_bytecode:
        return None
    try:
        return f"{cache_from_source(__file__).removesuffix('.pyc')}.{name}"
    except NotImplementedError:  # an interpreter that keeps nothing compiled
        return None


def read(name: str) -> Any:
    """What was kept under this name; None for nothing, for another Python's, and for a torn file.

    It is as it was given to write(): numbers, texts, tuples, lists and dictionaries.
    """
    place = _place(name)
    if place is None:
        return None
    try:
        with open(place, "rb") as file:
            data = file.read()
    except OSError:
        return None
    head = len(_HEAD)
    if data[:head] != _HEAD or data[head : head + 4] != _sum(data[head + 4 :]):
        return None
    return marshal.loads(data[head + 4 :])  # noqa: S302 - trusted as the compiled modules beside it


def write(name: str, value: Any) -> None:
    """Keeps it, whole or not at all. Where it cannot be kept, it is made again next time."""
    place = _place(name)
    if place is None:
        return
    data = marshal.dumps(value)
    new = f"{place}.{os.getpid()}"
    with suppress(OSError):
        try:
            with open(new, "wb") as file:
                file.write(_HEAD + _sum(data) + data)
            os.replace(new, place)
        except OSError:
            with suppress(FileNotFoundError):
                os.remove(new)
            raise


def _sum(data: bytes) -> bytes:
    return zlib.crc32(data).to_bytes(4, "big")

"""What takes long to make and is the same every time, kept from one run to the next.

The files lie where Python keeps compiled modules and are trusted as they are: made anew for another
Python. Where those are not to be written (a program installed for all users, say), they lie in the
user's folder for such things, and are read from there.
"""

import marshal
import os
import sys
import zlib
from collections.abc import Mapping
from contextlib import suppress
from importlib.util import cache_from_source
from typing import Any, BinaryIO

_HEAD = f"1 {sys.version}\n".encode()


def _beside(name: str) -> str | None:
    """The file of this name beside the compiled modules."""
    try:
        return f"{cache_from_source(__file__).removesuffix('.pyc')}.{name}"
    except NotImplementedError:  # an interpreter that keeps nothing compiled
        return None


def _of_user(name: str) -> str | None:
    """The file of this name in the user's folder for what can be made again."""
    folder = os.environ.get("LOCALAPPDATA") if os.name == "nt" else os.environ.get("XDG_CACHE_HOME")
    if not folder or not os.path.isabs(folder):
        folder = os.path.join(os.path.expanduser("~"), ".cache")
    named = f"{sys.implementation.cache_tag}.{name}"
    return os.path.join(folder, "countaloud", named) if os.path.isabs(folder) else None


def text_of(file: str) -> str:
    """The text of a file of this folder: a grammar."""
    with open(os.path.join(os.path.dirname(__file__), file), encoding="utf-8") as source:
        return source.read()


def read(name: str) -> Any:
    """What was kept under this name; None for nothing, for another Python's, and for a torn file.

    It is as it was given to write(): numbers, texts, tuples, lists and dictionaries.
    """
    file = _opened(name)
    if file is None:
        return None
    with file:
        return _whole(file.read())


def write(name: str, value: Any) -> None:
    """Keeps it, whole or not at all. Where it cannot be kept, it is made again next time."""
    _put(name, _sealed(value))


class Pieces:
    """Values kept under keys in one file, each of which is read when it is asked for."""

    def __init__(self, name: str) -> None:
        self._file = _opened(name)
        self._places: dict[Any, tuple[int, int]] = {}
        if self._file is not None:
            length = int.from_bytes(self._file.read(4), "big")
            found = _whole(self._file.read(length))
            self._places = found if found is not None else {}
            self._start = len(_HEAD) + 4 + length

    def keys(self) -> frozenset[Any]:
        """The keys of all values."""
        return frozenset(self._places)

    def get(self, key: Any) -> Any:
        """The value of a key; None where there is none, or it is torn."""
        place = self._places.get(key)
        if place is None or self._file is None:
            return None
        try:
            self._file.seek(self._start + place[0])
            return _whole(self._file.read(place[1]))
        except (OSError, ValueError):
            return None

    def __del__(self) -> None:
        self.close()

    def close(self) -> None:
        """Gives the file back."""
        if self._file is not None:
            self._file.close()


def write_pieces(name: str, values: Mapping[Any, Any]) -> None:
    """Keeps these values for Pieces; as write does."""
    places, blob = {}, bytearray()
    for key, value in values.items():
        data = _sealed(value)
        places[key] = (len(blob), len(data))
        blob += data
    index = _sealed(places)
    _put(name, len(index).to_bytes(4, "big") + index + bytes(blob))


def _opened(name: str) -> BinaryIO | None:
    """The file, read up to behind its head; None where there is none of this Python."""
    for place in (_beside(name), _of_user(name)):
        if place is None:
            continue
        with suppress(OSError):
            file = open(place, "rb")  # noqa: SIM115 - pieces are read from it later
            if file.read(len(_HEAD)) == _HEAD:
                return file
            file.close()
    return None


def _sealed(value: Any) -> bytes:
    data = marshal.dumps(value)
    return zlib.crc32(data).to_bytes(4, "big") + data


def _whole(data: bytes) -> Any:
    """What was sealed; None where a byte of it is another."""
    if data[:4] != zlib.crc32(data[4:]).to_bytes(4, "big"):
        return None
    return marshal.loads(data[4:])  # noqa: S302 - trusted as the compiled modules beside it


def _put(name: str, data: bytes) -> None:
    beside = None if sys.dont_write_bytecode else _beside(name)
    if beside is not None and _written(beside, data):
        return
    of_user = _of_user(name)
    if of_user is not None:
        with suppress(OSError):
            os.makedirs(os.path.dirname(of_user), mode=0o700, exist_ok=True)
        _written(of_user, data)


def _written(place: str, data: bytes) -> bool:
    """Writes the file beside itself and lets it take its name; False where it cannot."""
    new = f"{place}.{os.getpid()}"
    try:
        with open(new, "wb") as file:
            file.write(_HEAD + data)
        os.replace(new, place)
    except OSError:
        with suppress(OSError):
            os.remove(new)
        return False
    return True

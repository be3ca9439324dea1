"""What is read: a file, a folder, or an archive, as named streams of bytes."""

import gzip
import io
import tarfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TextIO

HEAD = 65_536
"""Bytes from which a layout is recognised."""


class Place:
    """Named files. The names are without folders, in lower case, and without ".gz"."""

    def __init__(self, path: Path) -> None:
        """Raises OSError, and ValueError for an archive that cannot be read."""
        self.path = path
        self._zip: zipfile.ZipFile | None = None
        self._tar: tarfile.TarFile | None = None
        self._members: dict[str, str] = {}
        if path.is_dir():
            found = sorted(p for p in path.iterdir() if p.is_file())
            self._members = {_short(p.name): str(p) for p in found}
        elif zipfile.is_zipfile(path):
            self._zip = zipfile.ZipFile(path)
            self._members = {_short(n): n for n in self._zip.namelist() if not n.endswith("/")}
        elif _is_tar(path):
            self._tar = tarfile.open(path)  # noqa: SIM115 - held until close
            self._members = {_short(m.name): m.name for m in self._tar if m.isfile()}
        else:
            with path.open("rb"):
                pass
            self._members = {_short(path.name): str(path)}

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the files."""
        return tuple(self._members)

    def has(self, *names: str) -> bool:
        """Are all of these there?"""
        return all(name in self._members for name in names)

    def only(self, name: str) -> "Part":
        """This place with one of its files alone."""
        return Part(self, name)

    @contextmanager
    def binary(self, name: str) -> Iterator[IO[bytes]]:
        """The bytes of a file."""
        member = self._members[name]
        if self._zip is not None:
            stream: IO[bytes] = self._zip.open(member)
        elif self._tar is not None:
            opened = self._tar.extractfile(member)
            assert opened is not None
            stream = opened
        else:
            stream = Path(member).open("rb")  # noqa: SIM115 - closed below
        with stream:
            start = stream.read(2)
            stream.seek(0)
            if start == b"\x1f\x8b":
                with gzip.open(stream) as whole:
                    yield whole  # type: ignore[misc]
            else:
                yield stream

    @contextmanager
    def text(self, name: str) -> Iterator[TextIO]:
        """The text of a file: UTF-8 with or without its mark, or else Latin-1.

        newline is left as it is, as the csv module wants it.
        """
        encoding = self.encoding(name)
        with self.binary(name) as raw:
            yield io.TextIOWrapper(raw, encoding=encoding, errors="replace", newline="")

    def encoding(self, name: str) -> str:
        """UTF-8 where the whole file is that; the tables that are not are Latin-1."""
        with self.binary(name) as raw:
            head = raw.read(HEAD)
            try:
                _check(head, last=len(head) < HEAD)
                while head:
                    head = raw.read(1 << 20)
                    if not head.isascii():
                        _check(head, last=False)
            except UnicodeDecodeError:
                return "latin-1"
        return "utf-8-sig"

    def head(self, name: str) -> str:
        """The beginning of a file as text."""
        with self.binary(name) as raw:
            data = raw.read(HEAD)
        try:
            return _check(data, last=False).removeprefix("\ufeff")
        except UnicodeDecodeError:
            return data.decode("latin-1")

    def close(self) -> None:
        """Lets go of an archive."""
        for archive in (self._zip, self._tar):
            if archive is not None:
                archive.close()


class Part(Place):
    """One file of a place."""

    def __init__(self, whole: Place, name: str) -> None:
        self.path = whole.path
        self._zip, self._tar = whole._zip, whole._tar
        self._members = {name: whole._members[name]}


def _check(data: bytes, *, last: bool) -> str:
    """The text; a letter that the end of the data cuts is left out."""
    for cut in (0,) if last else (0, 1, 2, 3):
        try:
            return data[: len(data) - cut].decode("utf-8")
        except UnicodeDecodeError as fault:
            if last or fault.start < len(data) - 4:
                raise
            kept = fault
    raise kept


def _short(name: str) -> str:
    return name.rpartition("/")[2].rpartition("\\")[2].casefold().removesuffix(".gz")


def _is_tar(path: Path) -> bool:
    try:
        return path.is_file() and tarfile.is_tarfile(path)
    except OSError:
        return False

"""What is read: a file, a folder, or an archive, as named streams of bytes."""

import codecs
import csv
import gzip
import io
import tarfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TextIO

HEAD = 65_536
"""Bytes from which a layout is recognised."""
OTHER = "cp1252"
"""How a file is read that is no UTF-8: Latin-1 with the letters of Windows in place of its control
codes, which no table has (the Encoding Standard of the WHATWG reads the label latin1 so too)."""

UNREADABLE = (OSError, EOFError, zlib.error, zipfile.BadZipFile, tarfile.TarError, csv.Error)
"""What reading a file or an archive may end in."""


def why_unreadable(fault: BaseException) -> str:
    """The reason, in a few words; empty where it says none."""
    return getattr(fault, "strerror", None) or ""


class Place:
    """Named files. The names are without folders, in lower case, and without ".gz"."""

    def __init__(self, path: Path) -> None:
        """Raises one of UNREADABLE."""
        self.path = path
        self._zip: zipfile.ZipFile | None = None
        self._tar: tarfile.TarFile | None = None
        self._members: dict[str, str] = {}
        self.doubled: tuple[str, ...] = ()
        """Names that several files have, in folders of their own or packed and not."""
        try:
            self._keep(self._found(path))
        except BaseException:
            self.close()
            raise

    def _found(self, path: Path) -> list[str]:
        if path.is_dir():
            return sorted(str(p) for p in path.iterdir() if p.is_file())
        if zipfile.is_zipfile(path):
            self._zip = zipfile.ZipFile(path)
            return [n for n in self._zip.namelist() if not n.endswith("/")]
        if _is_tar(path):
            self._tar = tarfile.open(path)  # noqa: SIM115 - held until close
            return [m.name for m in self._tar if m.isfile()]
        with path.open("rb") as stream:
            if stream.read(4) == b"PK\x03\x04":
                raise zipfile.BadZipFile(path.name)  # its end is missing
        return [str(path)]

    def _keep(self, found: list[str]) -> None:
        twice: dict[str, None] = {}
        for member in found:
            short = _short(member)
            if _beside(member) and len(found) > 1:
                continue
            if short in self._members:
                twice[short] = None
            self._members[short] = member
        self.doubled = tuple(twice)

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
            try:
                stream: IO[bytes] = self._zip.open(member)
            except RuntimeError as fault:  # a password, or a packing that is not known
                raise OSError(0, str(fault)) from fault
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
        """The text of a file: UTF-8 with or without its mark, or else Latin-1 (see OTHER).

        newline is left as it is, as the csv module wants it.
        """
        encoding = self.encoding(name)
        with self.binary(name) as raw:
            yield io.TextIOWrapper(raw, encoding=encoding, errors="replace", newline="")

    def encoding(self, name: str) -> str:
        """UTF-8 where the whole file is that; else what the other tables are in."""
        decoder = codecs.getincrementaldecoder("utf-8")()
        with self.binary(name) as raw:
            try:
                while part := raw.read(1 << 20):
                    decoder.decode(part)
                decoder.decode(b"", final=True)
            except UnicodeDecodeError:
                return OTHER
        return "utf-8-sig"

    def head(self, name: str) -> str:
        """The beginning of a file as text."""
        with self.binary(name) as raw:
            data = raw.read(HEAD)
        decoder = codecs.getincrementaldecoder("utf-8")()
        try:
            text = decoder.decode(data, final=len(data) < HEAD)
            return text.removeprefix("\ufeff")
        except UnicodeDecodeError:
            return data.decode(OTHER, "replace")

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
        self.doubled = ()


def _beside(member: str) -> bool:
    """A file that a system puts beside what it packs: hidden, or of another system's own."""
    return member.startswith("__MACOSX/") or _short(member).startswith(".")


def _short(name: str) -> str:
    return name.rpartition("/")[2].rpartition("\\")[2].casefold().removesuffix(".gz")


def _is_tar(path: Path) -> bool:
    try:
        return path.is_file() and tarfile.is_tarfile(path)
    except UNREADABLE:  # a packed file that is cut off: told when it is read
        return False

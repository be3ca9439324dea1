"""Files and archives as they come: cut off, of two kinds, in other letters. Every food is invented;
the rows of release 28 and of the booklet are named where they are used."""

import gzip
import io
import tarfile
import zipfile

import pytest
from small_tables import central
from test_importing_tables import BOOKLET, CIQUAL, SWISS

from assistant.importing.layouts import Unknown, recognised
from assistant.importing.places import HEAD, UNREADABLE, Place, why_unreadable

HEADER = "name,per,carbohydrate_is,carbohydrate_g\n"


def names(foods):
    return [facts.name for facts in foods.values()]


@pytest.mark.more
@pytest.mark.parametrize("at", [HEAD, 1 << 20])
@pytest.mark.parametrize(
    ("letter", "inside"), [("é", 1), ("€", 1), ("€", 2), ("𝄞", 1), ("𝄞", 2), ("𝄞", 3)]
)
def test_a_letter_that_straddles_what_is_read_at_once_is_a_letter(
    take, written, at, letter, inside
):
    """inside: bytes of the letter in front of the seam."""
    row = "Food {:06d},100 g,total,10\n"
    text = HEADER + "".join(row.format(n) for n in range((at - 200) // len(row.format(0))))
    text += "A" * (at - inside - len(text)) + letter + "B,100 g,total,48\n"
    assert text.encode().index(letter.encode()) + inside == at
    path = written("t.csv", text)
    assert Place(path).encoding("t.csv") == "utf-8-sig"
    _, foods, faults = take(path)
    assert faults == []
    assert names(foods)[-1].endswith(f"A{letter}B")


@pytest.mark.parametrize("name", ["Ben’s rice", "Œuf", "Bread – white", "Crème “fine”"])
def test_letters_of_windows(take, written, name):
    """0x92, 0x8C, 0x96, 0x93: control codes in Latin-1, which no table has."""
    _, foods, _ = take(written("t.csv", f"{HEADER}{name},100 g,total,10\n", "cp1252"))
    assert names(foods) == [name]


def test_letters_of_latin_1_stay(take, written):
    _, foods, _ = take(written("t.csv", f"{HEADER}Pâté à l'ancienne,100 g,total,3\n", "latin-1"))
    assert names(foods) == ["Pâté à l'ancienne"]


def packed(path, kind, files):
    if kind == "zip":
        with zipfile.ZipFile(path, "w") as archive:
            for name, data in files.items():
                archive.writestr(name, data)
    else:
        with tarfile.open(path, "w:gz") as archive:
            for name, data in files.items():
                member = tarfile.TarInfo(name)
                member.size = len(data)
                archive.addfile(member, io.BytesIO(data))
    return path


@pytest.mark.parametrize("kind", ["zip", "tgz"])
def test_an_archive_of_two_downloads_is_not_read(tmp_path, kind):
    folder = central(tmp_path / "one")
    files = {
        f"{top}/{p.name}": p.read_bytes() for top in ("a", "b") for p in sorted(folder.iterdir())
    }
    found = recognised(Place(packed(tmp_path / f"both.{kind}", kind, files)))
    assert isinstance(found, Unknown)
    assert (found.why, "food.csv" in found.names) == ("doubled", True)


def test_a_file_that_is_there_packed_and_not_is_not_chosen_from(tmp_path):
    (tmp_path / "t.csv").write_text(f"{HEADER}Rye,100 g,total,48\n")
    (tmp_path / "t.csv.gz").write_bytes(gzip.compress(f"{HEADER}Rye,100 g,total,4\n".encode()))
    assert recognised(Place(tmp_path)) == Unknown("doubled", ("t.csv",))


def test_what_a_system_puts_beside_its_files_is_passed_over(take, tmp_path):
    files = {"t/t.csv": f"{HEADER}Rye,100 g,total,48\n".encode(), "__MACOSX/t/._t.csv": b"\x00\x05",
             "t/.DS_Store": b"\x00"}  # fmt: skip
    _, foods, _ = take(packed(tmp_path / "t.zip", "zip", files))
    assert names(foods) == ["Rye"]


def test_a_package_may_have_its_own_files_twice(take, tmp_path):
    files = {"package/ciqual.csv": CIQUAL.encode(), "package/package.json": b"{}",
             "package/more/package.json": b"{}"}  # fmt: skip
    layout, foods, _ = take(packed(tmp_path / "p.tgz", "tgz", files))
    assert (layout, len(foods)) == ("ciqual", 2)


def test_two_kinds_in_a_folder_are_told_by_kind(tmp_path):
    for n in range(7):
        (tmp_path / f"part{n}-eng.csv").write_text(BOOKLET)
    (tmp_path / "swiss.csv").write_text(SWISS)
    found = recognised(Place(tmp_path))
    assert isinstance(found, Unknown)
    assert (found.why, {kind: len(files) for kind, files in found.groups}) == (
        "mixed", {"canada-booklet": 7, "swiss": 1},
    )  # fmt: skip


def test_a_table_beside_a_folder_s_own_files_is_told(tmp_path):
    folder = central(tmp_path / "fdc")
    (folder / "mine.csv").write_text(f"{HEADER}Rye,100 g,total,48\n")
    found = recognised(Place(folder))
    assert isinstance(found, Unknown)
    assert dict(found.groups) == {"usda-csv": (), "plain-table": ("mine.csv",)}


def test_tables_that_are_read_one_at_a_time(tmp_path):
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_text(f"{HEADER}Rye,100 g,total,48\n")
    found = recognised(Place(tmp_path))
    assert isinstance(found, Unknown)
    assert (found.why, found.names) == ("one-by-one", ("a.csv", "b.csv"))


@pytest.mark.parametrize("name", ["cut.csv.gz", "junk.gz", "cut.tgz", "cut.zip", "inner.zip"])
def test_packed_files_that_are_cut_off_or_damaged(tmp_path, name):
    """Wherever it shows, it is one of the faults that the import tells."""
    text = HEADER.encode() + b"".join(b"Food %06d,100 g,total,10\n" % n for n in range(9000))
    path = tmp_path / name
    if name == "cut.csv.gz":
        path.write_bytes(gzip.compress(text)[:100])
    elif name == "junk.gz":
        path.write_bytes(b"\x1f\x8b\x08junk")
    elif name == "cut.tgz":
        packed(path, "tgz", {"t/t.csv": text})
        path.write_bytes(path.read_bytes()[:200])
    else:
        packed(path, "zip", {"t/t.csv": text})
        whole = path.read_bytes()
        inner = whole[:200] + bytes(300) + whole[500:]
        path.write_bytes(whole[:3000] if name == "cut.zip" else inner)

    def read():
        place = Place(path)
        layout = recognised(place)
        assert not isinstance(layout, Unknown)
        list(layout.read(place))

    with pytest.raises(UNREADABLE) as caught:
        read()
    assert not why_unreadable(caught.value) or isinstance(caught.value, OSError)


def test_a_file_that_is_not_there_says_so(tmp_path):
    with pytest.raises(UNREADABLE) as caught:
        Place(tmp_path / "gone.csv")
    assert why_unreadable(caught.value) == "No such file or directory"

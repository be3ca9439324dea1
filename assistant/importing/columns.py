"""Tables of one file, read by what their columns are called: Swiss, French, Indian."""

import csv
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import Measure, Nutrient
from assistant.importing import figures
from assistant.importing.common import Draft, Per, finished, header_of, misfit, telling, width_of
from assistant.importing.names import clean
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Source
from grammar import patterns
from grammar.words import plain

Cells = Sequence[str]


class Sheet(Struct, frozen=True):
    """A table as it lies in its file: the file, its delimiter, the line of its columns."""

    file: str
    delimiter: str
    skip: int
    columns: tuple[str, ...]

    def at(self, *names: str) -> int | None:
        """The first column whose name is one of these patterns."""
        for pattern in names:
            for at, name in enumerate(self.columns):
                if patterns.fullmatch(pattern, name):
                    return at
        return None


def sheet(place: Place, *needed: str) -> Sheet | None:
    """The first file with columns of all these patterns within its first lines."""
    for file in place.names:
        if not file.endswith((".csv", ".txt", ".tsv")):
            continue
        lines = place.head(file).splitlines()[:6]
        for delimiter in (";", ",", "\t"):
            for skip, cells in enumerate(csv.reader(lines, delimiter=delimiter)):
                columns = tuple(plain(c) for c in header_of(cells))
                found = Sheet(file, delimiter, skip, columns)
                if all(found.at(pattern) is not None for pattern in needed):
                    return found
    return None


def rows(
    place: Place, found: Sheet, faults: list[Fault], used: Iterable[int | None]
) -> Iterator[tuple[int, list[str]]]:
    """The rows under the columns, each with its line. A row with more or fewer cells than columns
    is a fault. Where one of the columns that are used is there twice, no row is read."""
    for at in used:
        if at is not None and found.columns.count(found.columns[at]) > 1:
            faults.append(Fault(found.file, found.skip + 1, "doubled-column", found.columns[at]))
            return
    width = width_of(found.columns)
    with place.text(found.file) as stream:
        reader = csv.reader(stream, delimiter=found.delimiter)
        for _ in range(found.skip + 1):
            next(reader, None)
        for row in reader:
            if not any(cell.strip() for cell in row):
                continue
            why = misfit(row, width, one_line=True)
            if why is None:
                yield reader.line_num, row
            else:
                faults.append(Fault(found.file, reader.line_num, why, found.delimiter.join(row)))


def cell(row: Cells, at: int | None) -> str:
    """The cell; empty where there is no such column."""
    return row[at].strip() if at is not None and at < len(row) else ""


def found_in(
    row: Cells, columns: Mapping[str, tuple[int | None, str]], *, comma: bool = False
) -> tuple[dict[str, Nutrient], bool] | None:
    """The figures of a row, and whether carbohydrate is a trace. None for what is no figure."""
    found: dict[str, Nutrient] = {}
    trace = False
    for nutrient, (at, unit) in columns.items():
        figure = figures.read(cell(row, at), unit, comma=comma)
        if isinstance(figure, Nutrient):
            found[nutrient] = figure
        elif figure.why == "odd":
            return None
        elif figure.why == "trace" and nutrient == "carbohydrate":
            trace = True
    return found, trace


# The Swiss table

SWISS = Source("Swiss Food Composition Database", "free with its source named")
"""Terms from memory."""
_SWISS_CARBS = r"carbohydrates, available(?: \(g\))?"


def swiss_sheet(place: Place) -> Sheet | None:
    """The table with "carbohydrates, available" and an ID."""
    return sheet(place, "id", _SWISS_CARBS, r"dietary fib(?:re|er)s?(?: \(g\))?")


def swiss_fits(place: Place) -> bool:
    """Is it there?"""
    return swiss_sheet(place) is not None


@telling
def swiss_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods per 100 g or per 100 ml, as each row says. Carbohydrate is available, without fibre."""
    found = swiss_sheet(place)
    assert found is not None
    carbs = found.at(_SWISS_CARBS)
    assert carbs is not None
    columns = {
        "carbohydrate": (carbs, "g"),
        "fibre": (found.at(r"dietary fib(?:re|er)s?(?: \(g\))?"), "g"),
        "sugars": (found.at(r"sugars(?: \(g\))?"), "g"),
        "protein": (found.at(r"protein(?: \(g\))?"), "g"),
        "fat": (found.at(r"fat, total(?: \(g\))?"), "g"),
        "alcohol": (found.at(r"alcohol(?: \(g\))?"), "g"),
        "sodium": (found.at(r"sodium \(na\)(?: \(mg\))?"), "mg"),
        "energy kcal": (found.at(r"energy kcal", r"energy, kilocalories(?: \(kcal\))?"), "kcal"),
        "energy kJ": (found.at(r"energy kj", r"energy, kilojoules(?: \(kj\))?"), "kJ"),
    }
    matrix = _behind(found, carbs, r"matrix unit|carb_matrix_unit")
    matrix = found.at("carb_matrix_unit", "matrix unit") if matrix is None else matrix
    name, number = found.at("name e", "name"), found.at("id")
    used = (name, number, *(at for at, _ in columns.values()))
    for line, row in rows(place, found, faults, used):
        said = cell(row, name)
        basis = patterns.search(r"per 100 ?(g|ml)", cell(row, matrix), re.I)
        read = found_in(row, columns)
        if basis is None:
            yield Fault(found.file, line, "other-unit", f"{said} {cell(row, matrix)}".strip())
        elif read is None:
            yield Fault(found.file, line, "not-a-figure", said)
        else:
            per: Per = "100 ml" if basis[1].lower() == "ml" else "100 g"
            gravity = cell(row, found.at("specific gravity", "density"))
            draft = Draft(f"swiss:{cell(row, number)}", said, read[0], "table-available", per,
                          _by_gravity(per, gravity), trace=read[1])  # fmt: skip
            yield finished(draft, SWISS, found.file, line)


def _behind(found: Sheet, start: int, pattern: str) -> int | None:
    """The column of this name that belongs to the one at start: among the few behind it."""
    for at in range(start + 1, min(start + 6, len(found.columns))):
        if patterns.fullmatch(pattern, found.columns[at]):
            return at
    return None


def _by_gravity(per: Per, gravity: str) -> tuple[Measure, ...]:
    """What a volume weighs, from the specific gravity: grams of a millilitre."""
    weight = figures.amount(gravity)
    if weight is None or per != "100 ml":
        return ()
    hundred = Fraction(100)
    return (Measure(hundred, "millilitre", weight * 100, hundred, of_source=True),)


# The French table

CIQUAL = Source("ANSES, Ciqual food composition table", "open licence, Etalab")
"""Terms from memory."""
_FRENCH_NAME = r"alim_nom_(?:eng|fr)"
_JONES = r"(?:jones' factor|facteur de jones)"
_LAW = r"(?:regulation eu no|reglement ue n.?)"
_FRENCH = {
    "carbohydrate": (r"(?:carbohydrate|glucides) \(g/100 ?g\)", "g"),
    "fibre": (r"(?:fibres|fibres alimentaires) \(g/100 ?g\)", "g"),
    "sugars": (r"(?:sugars|sucres) \(g/100 ?g\)", "g"),
    "polyols": (r"(?:polyols|polyols totaux) \(g/100 ?g\)", "g"),
    "protein": (rf"(?:protein|proteines)(?:[.,] n x {_JONES})? \(g/100 ?g\)", "g"),
    "fat": (r"(?:fat|lipides) \(g/100 ?g\)", "g"),
    "alcohol": (r"(?:alcohol|alcool) \(g/100 ?g\)", "g"),
    "sodium": (r"sodium \(mg/100 ?g\)", "mg"),
    "energy kcal": (rf"(?:energy|energie)[.,] {_LAW} 1169/2011 \(kcal/100 ?g\)", "kcal"),
}  # fmt: skip


def french_sheet(place: Place) -> Sheet | None:
    """The table with the code and the name of foods and carbohydrate in g per 100 g."""
    return sheet(place, "alim_code", _FRENCH_NAME, _FRENCH["carbohydrate"][0])


def french_fits(place: Place) -> bool:
    """Is it there?"""
    return french_sheet(place) is not None


@telling
def french_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods per 100 g. Carbohydrate is available, without fibre; sugar alcohol is inside it."""
    found = french_sheet(place)
    assert found is not None
    columns = {n: (found.at(pattern), unit) for n, (pattern, unit) in _FRENCH.items()}
    name = found.at("alim_nom_eng", "alim_nom_fr")
    code = found.at("alim_code")
    year = patterns.search(r"(?:19|20)\d\d", found.file)
    used = (name, code, *(at for at, _ in columns.values()))
    sample = [
        cell(row, at) for _, row in rows(place, found, [], used) for at, _ in columns.values()
    ]
    comma = figures.decimal_comma(sample)
    for line, row in rows(place, found, faults, used):
        read = found_in(row, columns, comma=comma)
        if read is None:
            yield Fault(found.file, line, "not-a-figure", cell(row, name))
            continue
        draft = Draft(f"ciqual:{cell(row, code)}", cell(row, name), read[0], "table-available",
                      trace=read[1], dated=year[0] if year else "")  # fmt: skip
        yield finished(draft, CIQUAL, found.file, line)


# The Indian table

INDIAN = Source(
    "Indian Food Composition Tables 2017, National Institute of Nutrition",
    "figures belong to the institute; the package that carries them is MIT",
)


def indian_sheet(place: Place) -> Sheet | None:
    """The table with the column choavldf: available carbohydrate by difference."""
    return sheet(place, _coded("code"), _coded("name"), _coded("choavldf"), _coded("enerc"))


def _coded(code: str) -> str:
    """ "Carbohydrate; choavldf", or the code alone."""
    return rf"(?:.*;\s*)?{code}"


def indian_fits(place: Place) -> bool:
    """Is it there?"""
    return indian_sheet(place) is not None


@telling
def indian_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods per 100 g, edible part. Energy is in kJ. Rows that were never filled are left out."""
    found = indian_sheet(place)
    assert found is not None
    columns = {
        nutrient: (found.at(_coded(code)), unit)
        for nutrient, code, unit in (
            ("carbohydrate", "choavldf", "g"),
            ("fibre", "fibtg", "g"),
            ("sugars", "fsugar", "g"),
            ("protein", "protcnt", "g"),
            ("fat", "fatce", "g"),
            ("energy kJ", "enerc", "kJ"),
        )
    }
    name, code = found.at(_coded("name")), found.at(_coded("code"))
    used = (name, code, *(at for at, _ in columns.values()))
    for line, row in rows(place, found, faults, used):
        read = found_in(row, columns)
        if read is None:
            yield Fault(found.file, line, "not-a-figure", cell(row, name))
            continue
        energy = read[0].get("energy kJ")
        if energy is None or energy.value == 0:
            yield Fault(found.file, line, "unfilled", cell(row, name))
            continue
        draft = Draft(f"ifct:{cell(row, code)}", clean(cell(row, name)), read[0],
                      "table-available", dated="2017")  # fmt: skip
        yield finished(draft, INDIAN, found.file, line)


# The British table: known, and not taken

_BRITISH = (r"food code", r"food name", r"carbohydrate \(g\)", r"aoac fibre \(g\)")


def british_fits(place: Place) -> bool:
    """The UK table, whose carbohydrate is as monosaccharides (starch weighs 110 for 100): it is on
    no label's scale, so it is not taken (from memory)."""
    return sheet(place, *_BRITISH) is not None

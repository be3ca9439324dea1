"""The Canadian tables: the Nutrient File as a set of CSV files, and the booklet of 2008.

Carbohydrate is by difference, with fibre inside, in both.
"""

import csv
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import Measure, Nutrient
from assistant.importing import figures, measures, names, usda
from assistant.importing.common import (
    Draft,
    finished,
    first_row,
    header_of,
    misfit,
    scaled,
    table,
    telling,
    width_of,
)
from assistant.importing.names import clean
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Source, Why
from assistant.importing.scratch import Scratch, scratch
from grammar import patterns
from grammar.words import name_key

TERMS = "terms of the government of Canada for its open data"
"""From memory."""
FILE_SOURCE = Source("Canadian Nutrient File", TERMS)
BOOKLET = Source("Health Canada, Nutrient Value of Some Common Foods", TERMS)

FOODS, FIGURES, UNITS = "food name.csv", "nutrient amount.csv", "nutrient name.csv"
FACTORS, MEASURES = "conversion factor.csv", "measure name.csv"


def file_fits(place: Place) -> bool:
    """Foods, figures and the units of the figures, by their columns."""
    return place.has(FOODS, FIGURES, UNITS) and {"foodid", "fooddescription"} <= set(
        first_row(place, FOODS)
    )


@telling
def file_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in the order of FOOD NAME. Nutrient ids are the numbers of the US tables."""
    wanted: set[str] = set()
    for line in table(place, UNITS, faults):
        number = line.get("nutrientid")
        if number not in usda.WANTED:
            continue
        if usda.unit_fits(number, line.get("nutrientunit")):
            wanted.add(number)
        else:
            yield Fault(UNITS, line.number, "other-unit", line.get("nutrientname"))
    with scratch() as kept:
        kept.put("figures", (
            (f.get("foodid"), f.get("nutrientid"), f.get("nutrientvalue"))
            for f in table(place, FIGURES, faults) if f.get("nutrientid") in wanted
        ))  # fmt: skip
        if place.has(FACTORS, MEASURES):
            named = table(place, MEASURES, faults)
            told = {m.get("measureid"): m.get("measuredescription") for m in named}
            kept.put("portions", (
                (f.get("foodid"), f.number, "", told[f.get("measureid")],
                 f.get("conversionfactorvalue"))
                for f in table(place, FACTORS, faults) if f.get("measureid") in told
            ))  # fmt: skip
        kept.index()
        for line in table(place, FOODS, faults):
            dated = names.day(line.get("fooddateofpublication")) or ""
            yield _food(kept, line.get("foodid"), line.get("fooddescription"), dated, line.number)


def _food(kept: Scratch, food: str, name: str, dated: str, number: int) -> Row | Fault:
    amounts = kept.figures(food)
    if amounts is None:
        return Fault(FOODS, number, "stated-twice", name)
    found = usda.nutrients(amounts)
    if found is None:
        return Fault(FOODS, number, "not-a-figure", name)
    own: list[Measure] = []
    for _, words, factor in kept.portions(food):
        times = figures.read(factor, "")
        if isinstance(times, Nutrient) and times.value > 0:
            own += _measures(words, times.value * 100)
    draft = Draft(f"cnf:{food}", name, found, "table-total", dated=dated,
                  measures=tuple(own))  # fmt: skip
    return finished(draft, FILE_SOURCE, FOODS, number)


def _measures(words: str, grams: Fraction) -> tuple[Measure, ...]:
    """ "250mL, chopped", "1 slice", "1/6": a bare figure counts the food itself."""
    counted = measures.leading_count(words)
    if counted is None:
        return ()
    count, rest = counted
    return measures.measures_of(count, rest or "item", grams)


# The booklet: figures are per measure, rounded, with the weight of the measure beside them.

_COLUMNS = {
    "carbohydrate": ("carbohydrate", "g"),
    "fibre": ("total dietary fibre", "g"),
    "sugars": ("total sugar", "g"),
    "protein": ("protein", "g"),
    "fat": ("total fat", "g"),
    "saturated fat": ("saturated fat", "g"),
    "sodium": ("sodium", "mg"),
    "energy kcal": ("energy", "kcal"),
}
_SPELT = {"total daietary fibre": "total dietary fibre", "protei": "protein"}
"""Columns that the files themselves misspell."""


def _head_of(place: Place, name: str) -> list[list[str]]:
    """The first lines up to the names of the columns; empty where it is no such file."""
    rows = list(csv.reader(place.head(name).splitlines()[:8]))
    for at, row in enumerate(rows):
        if header_of(row)[:3] == ["food name", "measure", "weight"]:
            return rows[: at + 1]
    return []


def _units_of(place: Place, name: str, skip: int) -> list[str] | None:
    """The units under the columns; None where the file has no line of them."""
    rows = list(csv.reader(place.head(name).splitlines()[: skip + 1]))
    row = rows[-1] if len(rows) > skip else []
    plain = [cell.strip() for cell in row]
    return plain if len(plain) > 2 and plain[:3] == ["", "", "g"] else None


def booklet_fits(place: Place) -> bool:
    """Every file is one of the booklet's."""
    tables = [n for n in place.names if n.endswith(".csv")]
    return bool(tables) and all(_head_of(place, name) for name in tables)


def booklet_read(place: Place) -> Iterator[Row | Fault]:
    """The foods of every file. A line with a name alone opens a section.

    One file of the booklet has no units; there those of the same columns in its other files hold.
    """
    tables = [name for name in place.names if name.endswith(".csv")]
    heads = {name: _head_of(place, name) for name in tables}
    units = {name: _units_of(place, name, len(heads[name])) for name in tables}
    known: dict[str, set[str]] = {}
    for name in tables:
        for column, unit in zip(_numbered(heads[name][-1]), units[name] or [], strict=False):
            known.setdefault(column, set()).add(unit)
    for name in tables:
        own = units[name]
        if own is None:
            each = [known.get(column, set()) for column in _numbered(heads[name][-1])]
            own = [next(iter(unit)) if len(unit) == 1 else "" for unit in each]
        yield from _booklet_file(place, name, heads[name], own, units[name] is not None)


def _numbered(columns: Sequence[str]) -> list[str]:
    """The names of columns, the second of one name with a number behind it."""
    named = [_SPELT.get(n, n) for n in header_of(columns)]
    return [f"{n} {named[:at].count(n)}" for at, n in enumerate(named)]


def _booklet_file(
    place: Place, name: str, head: list[list[str]], units: Sequence[str], has_units: bool
) -> Iterator[Row | Fault]:
    year = patterns.search(r"\b(?:19|20)\d\d\b", " ".join(c for row in head for c in row))
    columns = _columns(head[-1], units)
    if "carbohydrate" not in columns:
        unread: Why = "other-unit" if has_units else "no-units"
        yield Fault(name, len(head), unread, "Carbohydrate")
        return
    named = list(zip(header_of(head[-1]), (u.strip() for u in units), strict=False))
    twice = [n for n, unit in named if n and unit and named.count((n, unit)) > 1]
    if twice:
        yield Fault(name, len(head), "doubled-column", twice[0])
        return
    titles = [row[0] for row in head[:-1] if row and row[0].strip() and "Nutrient" not in row[0]]
    part, section = (titles[-1] if titles else ""), ""
    width = max(width_of(head[-1]), width_of(units))
    with place.text(name) as stream:
        rows = csv.reader(stream)
        for _ in range(len(head) + has_units):
            next(rows, None)
        for row in rows:
            if not any(cell.strip() for cell in row[1:]):
                section = row[0] if row and row[0].strip() else section
                continue
            why = misfit(row, width, one_line=True)
            if why is not None:
                yield Fault(name, rows.line_num, why, ",".join(row))
                continue
            cells = {n: row[at] for n, at in columns.items() if at < len(row)}
            weight = row[2] if len(row) > 2 else ""
            entry = Entry(row[0], (part, section), row[1], weight, cells, year[0] if year else "",
                          (name, rows.line_num))  # fmt: skip
            yield _booklet_food(entry)


def _columns(names: Sequence[str], units: Sequence[str]) -> dict[str, int]:
    """Nutrient -> column, by its name and its unit."""
    found: dict[str, int] = {}
    plain = [_SPELT.get(n, n) for n in header_of(names)]
    for at, (name, unit) in enumerate(zip(plain, units, strict=False)):
        for nutrient, wanted in _COLUMNS.items():
            if (name, unit.strip()) == wanted:
                found.setdefault(nutrient, at)
    return found


class Entry(Struct, frozen=True):
    """A row of the booklet: its food, the part and section above it, its measure and weight, its
    figures by nutrient, the year, and its place."""

    name: str
    sections: tuple[str, str]
    measured: str
    weight: str
    cells: Mapping[str, str]
    dated: str
    place: tuple[str, int]


def _booklet_food(entry: Entry) -> Row | Fault:
    """The food per 100 g: the figure of its measure over the weight of it. Names are those of the
    booklet with their section, since "Chicken noodle" is one of several soups."""
    under = clean(": ".join(s.strip().casefold() for s in entry.sections if s.strip()))
    whole = f"{clean(entry.name)} ({under})" if under else clean(entry.name)
    grams = figures.amount(entry.weight)
    if grams is None:
        return Fault(*entry.place, "no-weight", whole)
    found: dict[str, Nutrient] = {}
    for nutrient, cell in entry.cells.items():
        figure = figures.read(cell, _COLUMNS[nutrient][1])
        if isinstance(figure, Nutrient):
            half = Fraction(1, 2 * 10**figure.decimals)
            found[nutrient] = scaled(figure, Fraction(100) / grams, half)
        elif figure.why == "odd":
            return Fault(*entry.place, "not-a-figure", whole)
        elif figure.why == "trace" and nutrient == "carbohydrate":
            # a trace is what rounds to nothing in a column of whole grams, and is not nought
            figure = Nutrient(Fraction(1, 2), "g", below=True)
            found[nutrient] = scaled(figure, Fraction(100) / grams, Fraction(0))
    draft = Draft(f"cnf2008:{name_key(whole).replace(':', '')}", whole, found, "table-total",
                  measures=_measures(entry.measured, grams), dated=entry.dated)  # fmt: skip
    return finished(draft, BOOKLET, *entry.place)


# The booklet as one table

_TIDY = {
    "carbohydrate": "carb_g",
    "fibre": "fibre_g",
    "sugars": "sugar_g",
    "protein": "protein_g",
    "fat": "fat_g",
    "energy kcal": "energy_kcal",
}


def tidy_file(place: Place) -> str | None:
    """The one table of the place with these columns."""
    wanted = {"category", "subcategory", "food", "measure", "grams", "carb_g"}
    return next((n for n in place.names if wanted <= set(first_row(place, n))), None)


def tidy_fits(place: Place) -> bool:
    """One of its files has the columns."""
    return tidy_file(place) is not None


@telling
def tidy_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """The rows of the table."""
    name = tidy_file(place)
    assert name is not None
    for line in table(place, name, faults):
        cells = {nutrient: line.get(column) for nutrient, column in _TIDY.items()}
        sections = (line.get("category"), line.get("subcategory"))
        entry = Entry(line.get("food"), sections, line.get("measure"), line.get("grams"), cells,
                      "2008", (name, line.number))  # fmt: skip
        yield _booklet_food(entry)

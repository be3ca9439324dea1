"""What the readers share: tables read by the names of their columns, and facts put together."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.counting.labels import impossible
from assistant.importing import figures, names
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Source, Why

Per = Literal["serving", "100 g", "100 ml"]
Scale = Literal["table-total", "table-available"]
LONGEST_CELL = 1 << 24
"""Characters of one cell: the ingredients of a product may be many."""

@dataclass(frozen=True, slots=True)
class Line:
    """A row of a table: its number in the file, and its cells by the names of the columns."""

    number: int
    cells: Mapping[str, str]

    def get(self, column: str) -> str:
        """The cell; empty where there is no such column."""
        return self.cells.get(column, "")


def header_of(cells: Sequence[str]) -> list[str]:
    """The names of columns as they are compared: lower case, one blank at most in a row."""
    return [" ".join(c.replace("\ufeff", "").split()).casefold() for c in cells]


def table(place: Place, name: str, *, delimiter: str = ",", skip: int = 0) -> Iterator[Line]:
    """The rows of a table under its header. Cells behind the last column are left out."""
    csv.field_size_limit(LONGEST_CELL)
    with place.text(name) as stream:
        rows = csv.reader(stream, delimiter=delimiter)
        for _ in range(skip):
            next(rows, None)
        header = header_of(next(rows, []))
        for row in rows:
            if any(cell.strip() for cell in row):
                yield Line(rows.line_num, dict(zip(header, row, strict=False)))


def first_row(place: Place, name: str, delimiter: str = ",") -> list[str]:
    """The header of a table, as it is compared; empty where the file is no such table."""
    try:
        return header_of(next(csv.reader(place.head(name).splitlines(), delimiter=delimiter), []))
    except csv.Error:
        return []


@dataclass(frozen=True, slots=True)
class Column:
    """A nutrient's column and the unit that the table writes it in."""

    nutrient: str
    name: str
    unit: str


def nutrients(
    line: Line, columns: Sequence[Column], *, comma: bool = False
) -> dict[str, Nutrient] | Why:
    """The figures of a row; what is missing or a trace is left out, and so is unknown."""
    found: dict[str, Nutrient] = {}
    for column in columns:
        figure = figures.read(line.get(column.name), column.unit, comma=comma)
        if isinstance(figure, Nutrient):
            found[column.nutrient] = figure
        elif figure.why == "odd":
            return "not-a-figure"
    return found


def energy_once(found: dict[str, Nutrient]) -> dict[str, Nutrient]:
    """The figures in a fixed order, carbohydrate first."""
    first = [n for n in ("carbohydrate", "fibre", "sugars", "polyols") if n in found]
    return {n: found[n] for n in (*first, *(k for k in found if k not in first))}


@dataclass(frozen=True, slots=True)
class Draft:
    """A food as a reader found it, before it is checked."""

    food_id: str
    name: str
    found: Mapping[str, Nutrient]
    scale: Scale
    per: Per = "100 g"
    measures: tuple[Measure, ...] = ()
    dated: str = ""
    barcode: str | None = None
    ingredients: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    trace: bool = False
    """The table gives a trace of carbohydrate and no figure."""


def finished(draft: Draft, source: Source, file: str, line: int) -> Row | Fault:
    """The food, or why it is not taken."""
    name = names.clean(draft.name)
    said = name or draft.food_id
    if not names.usable(name):
        return Fault(file, line, "no-name", said)
    if "carbohydrate" not in draft.found and draft.trace:
        return Fault(file, line, "trace", said)
    if "carbohydrate" not in draft.found:
        return Fault(file, line, "no-carbohydrate", said)
    facts = FoodFacts(
        name, draft.scale, draft.per, energy_once(dict(draft.found)), extra=distinct(draft.measures),
        barcode=draft.barcode, source=source.name, licence=source.licence, dated=draft.dated,
        ingredients=draft.ingredients,
    )  # fmt: skip
    wrong = impossible(facts)
    if wrong is not None:
        why: Why = "over-hundred" if wrong.why == "over-hundred" else "part-over-whole"
        return Fault(file, line, why, said)
    return Row(draft.food_id.casefold(), facts, source, draft.aliases)


def distinct(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """Each measure once. Two of the same words with different weights stay two: they are asked."""
    return tuple(dict.fromkeys(measures))


def scaled(figure: Nutrient, times: Fraction, off_by: Fraction) -> Nutrient:
    """A figure per 100 worked out from one that was rounded per portion: exact, with its doubt."""
    return replace(figure, value=figure.value * times, off_by=off_by * times)

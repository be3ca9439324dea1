"""What the readers share: tables read by the names of their columns, and facts put together."""

import csv
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import wraps
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.checks import DENSITY
from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.counting.rounding import printed_range
from assistant.importing import figures, names
from assistant.importing.energy import far_off
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Reader, Row, Source, Why
from assistant.values import Ranged

Per = Literal["serving", "100 g", "100 ml"]
Scale = Literal["table-total", "table-available"]
LONGEST_CELL = 1 << 24
"""Characters of one cell: the ingredients of a product may be many."""


class Line(Struct, frozen=True):
    """A row of a table: its number in the file, and its cells by the names of the columns."""

    number: int
    cells: Mapping[str, str]

    def get(self, column: str) -> str:
        """The cell; empty where there is no such column."""
        return self.cells.get(column, "")


def header_of(cells: Sequence[str]) -> list[str]:
    """The names of columns as they are compared: lower case, one blank at most in a row."""
    return [" ".join(c.replace("\ufeff", "").split()).casefold() for c in cells]


def table(
    place: Place, name: str, faults: list[Fault], *, one_line: bool = False
) -> Iterator[Line]:
    """The rows of a table under its header. A row with more or fewer cells than columns is a fault:
    a comma too many or too few may have put each figure under another name.

    one_line: no cell runs over a line; one that does may have swallowed the rows behind it.
    """
    csv.field_size_limit(LONGEST_CELL)
    with place.text(name) as stream:
        rows = csv.reader(stream)
        header = header_of(next(rows, []))
        twice = doubled(header)
        if twice:
            faults.append(Fault(name, 1, "doubled-column", twice))
            return
        width = width_of(header)
        for row in rows:
            if not any(cell.strip() for cell in row):
                continue
            why = misfit(row, width, one_line=one_line)
            if why is None:
                yield Line(rows.line_num, dict(zip(header, row, strict=False)))
            else:
                faults.append(Fault(name, rows.line_num, why, ",".join(row)))


def width_of(header: Sequence[str]) -> int:
    """So many cells a row has to have: up to the last column that has a name."""
    return max((at for at, column in enumerate(header, 1) if column.strip()), default=0)


def doubled(header: Sequence[str]) -> str:
    """A column that is there twice; empty where there is none."""
    return next((c for at, c in enumerate(header) if c and c in header[:at]), "")


def misfit(row: Sequence[str], width: int, *, one_line: bool = False) -> Why | None:
    """Why the cells of a row may stand under other columns than their own."""
    if one_line and any("\n" in cell or "\r" in cell for cell in row):
        return "line-break"
    if len(row) < width:
        return "short-row"
    if any(cell.strip() for cell in row[width:]):
        return "surplus"
    return None


def telling(reader: Callable[[Place, list[Fault]], Iterator[Row | Fault]]) -> Reader:
    """A reader whose tables put aside rows that do not fit: they are told as they are found."""

    @wraps(reader)
    def read(place: Place) -> Iterator[Row | Fault]:
        faults: list[Fault] = []
        for row in reader(place, faults):
            yield from faults
            faults.clear()
            yield row
        yield from faults

    return read


def first_row(place: Place, name: str, delimiter: str = ",") -> list[str]:
    """The header of a table, as it is compared; empty where the file is no such table."""
    try:
        return header_of(next(csv.reader(place.head(name).splitlines(), delimiter=delimiter), []))
    except csv.Error:
        return []


class Column(Struct, frozen=True):
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


class Draft(Struct, frozen=True):
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
        name, draft.scale, draft.per, energy_once(dict(draft.found)),
        extra=distinct(draft.measures), barcode=draft.barcode, source=source.name,
        licence=source.licence, dated=draft.dated, ingredients=draft.ingredients,
    )  # fmt: skip
    ranges = ranges_of(facts)
    wrong = contradiction(facts, ranges)
    if wrong is not None:
        return Fault(file, line, wrong, said)
    if far_off(facts, ranges):
        facts = replace(facts, failed_checks=("energy",))
    return Row(draft.food_id.casefold(), facts, source, draft.aliases, file=file, line=line)


SLACK = 1
"""Grams that a part may be above its whole: both are rounded apart, as on labels."""


def ranges_of(facts: FoodFacts) -> dict[str, Ranged]:
    """What is stated in grams, with what its rounding allows."""
    return {
        name: printed_range(figure, facts.region)
        for name, figure in facts.nutrients.items()
        if figure.unit == "g"
    }


def contradiction(facts: FoodFacts, ranges: Mapping[str, Ranged]) -> Why | None:
    """Figures that cannot all be right, even at the ends of what their rounding allows."""
    if facts.per in {"100 g", "100 ml"}:
        most = 100 * (DENSITY[1] if facts.per == "100 ml" else 1) + SLACK
        if any(r.low > most for r in ranges.values()):
            return "over-hundred"
        whole = ["fat", "carbohydrate", "protein", *([] if facts.fibre_inside else ["fibre"])]
        if sum(ranges[part].low for part in whole if part in ranges) > most:
            return "sum"
    carbohydrate = ranges["carbohydrate"]
    parts = ["sugars", "polyols", *(["fibre"] if facts.fibre_inside else [])]
    lows = [ranges[part].low for part in parts if part in ranges]
    most = carbohydrate.high + SLACK
    if any(low > most for low in lows) or sum(lows) > most + Fraction(1, 2):
        return "part-over-whole"
    for part, all_of_it in (("added sugars", "sugars"), ("saturated fat", "fat")):
        if {part, all_of_it} <= set(ranges) and ranges[part].low > ranges[all_of_it].high + SLACK:
            return "part-over-whole"
    return None


def distinct(measures: Sequence[Measure]) -> tuple[Measure, ...]:
    """Each measure once. Two of the same words with different weights stay two: they are asked."""
    return tuple(dict.fromkeys(measures))


def scaled(figure: Nutrient, times: Fraction, off_by: Fraction) -> Nutrient:
    """A figure per 100 worked out from one that was rounded per portion: exact, with its doubt."""
    return replace(figure, value=figure.value * times, off_by=off_by * times)

"""The project's own table: a CSV with named columns, made by hand or by a spreadsheet."""

from collections.abc import Iterator, Mapping

from assistant.counting.facts import Measure, Nutrient
from assistant.importing import figures, measures, names
from assistant.importing.common import Draft, Line, Per, Scale, finished, first_row, table, telling
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Source, Why
from grammar import patterns
from grammar.words import name_key

NUTRIENTS = {
    "carbohydrate_g": ("carbohydrate", "g"),
    "fibre_g": ("fibre", "g"),
    "fiber_g": ("fibre", "g"),
    "sugars_g": ("sugars", "g"),
    "added_sugars_g": ("added sugars", "g"),
    "polyols_g": ("polyols", "g"),
    "protein_g": ("protein", "g"),
    "fat_g": ("fat", "g"),
    "saturated_fat_g": ("saturated fat", "g"),
    "sodium_mg": ("sodium", "mg"),
    "salt_g": ("salt", "g"),
    "energy_kcal": ("energy kcal", "kcal"),
    "energy_kj": ("energy kJ", "kJ"),
}
OTHERS = (
    "name",
    "id",
    "per",
    "carbohydrate_is",
    "measures",
    "barcode",
    "source",
    "licence",
    "date",
)
NEEDED = {"name", "per", "carbohydrate_g", "carbohydrate_is"}
SCALES: Mapping[str, Scale] = {"total": "table-total", "available": "table-available"}
PERS: Mapping[str, Per] = {"100 g": "100 g", "100g": "100 g", "100 ml": "100 ml", "100ml": "100 ml"}
_MEASURE = patterns.compile(r"(?P<words>.+?)\s*=\s*(?P<figure>[\d.]+)\s*(?P<unit>g|ml)")


def fits(place: Place) -> bool:
    """One file whose first line has the needed columns."""
    return len(place.names) == 1 and set(first_row(place, place.names[0])) >= NEEDED


@telling
def read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in the order of the rows."""
    file = place.names[0]
    for column in first_row(place, file):
        if column and column not in NUTRIENTS and column not in OTHERS:
            yield Fault(file, 1, "unknown-value", column, kept=True)
    for line in table(place, file, faults, one_line=True):
        yield from _row(line, file)


def _row(line: Line, file: str) -> Iterator[Row | Fault]:
    name = names.clean(line.get("name"))
    scale = SCALES.get(line.get("carbohydrate_is").strip().casefold())
    per = PERS.get(line.get("per").strip().casefold())
    if scale is None:
        other = line.get("carbohydrate_is").strip().casefold().startswith("mono")
        why: Why = "other-scale" if other else "unknown-value"
        yield Fault(file, line.number, why, f"{name}: {line.get('carbohydrate_is')}")
        return
    if per is None:
        yield Fault(file, line.number, "unknown-value", f"{name}: {line.get('per')}")
        return
    found: dict[str, Nutrient] = {}
    for column, (nutrient, unit) in NUTRIENTS.items():
        figure = figures.read(line.get(column), unit)
        if isinstance(figure, Nutrient):
            if found.setdefault(nutrient, figure) != figure:  # fibre_g and fiber_g
                yield Fault(file, line.number, "stated-twice", f"{name}: {column}")
                return
        elif figure.why == "odd":
            yield Fault(file, line.number, "not-a-figure", f"{name}: {line.get(column)}")
            return
    barcode = names.barcode(line.get("barcode"))
    if line.get("barcode").strip() and barcode is None:
        yield Fault(file, line.number, "barcode", line.get("barcode"), kept=True)
    own: list[Measure] = []
    for part in filter(None, (p.strip() for p in line.get("measures").split(";"))):
        told = _measures(part)
        if not told:
            yield Fault(file, line.number, "measure", f"{name}: {part}", kept=True)
        own += told
    dated = names.day(line.get("date"))
    if dated is None:
        yield Fault(file, line.number, "date", f"{name}: {line.get('date')}")
        return
    source = Source(
        names.clean(line.get("source")) or names.clean(file), names.clean(line.get("licence"))
    )
    identity = f"plain:{name_key(source.name)}:{name_key(names.clean(line.get('id')) or name)}"
    draft = Draft(identity, name, found, scale, per, tuple(own), dated, barcode)
    yield finished(draft, source, file, line.number)


def _measures(text: str) -> tuple[Measure, ...]:
    """ "1 cup, chopped = 160 g"."""
    match = _MEASURE.fullmatch(text)
    amount = figures.amount(match["figure"]) if match else None
    counted = measures.leading_count(match["words"]) if match else None
    if match is None or amount is None or counted is None:
        return ()
    grams, held = (amount, None) if match["unit"] == "g" else (None, amount)
    return measures.measures_of(*counted, grams, held)

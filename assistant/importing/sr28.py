"""The text files of the USDA National Nutrient Database, release 28: fields between carets."""

from collections.abc import Iterator, Mapping

from assistant.importing import usda
from assistant.importing.common import Draft, finished, first_row, misfit, table, telling
from assistant.importing.places import OTHER, Place
from assistant.importing.rows import Fault, Row, Source
from assistant.importing.scratch import scratch

SOURCE = Source("USDA National Nutrient Database, release 28", usda.PUBLIC_DOMAIN)
DATED = "2016"
FOODS, FIGURES, WEIGHTS, NUTRIENTS = "food_des.txt", "nut_data.txt", "weight.txt", "nutr_def.txt"


def fits(place: Place) -> bool:
    """The three files that figures need, and the first begins as they do."""
    return place.has(FOODS, FIGURES, NUTRIENTS) and place.head(FOODS).startswith("~")


def _lines(place: Place, name: str, faults: list[Fault]) -> Iterator[tuple[int, list[str]]]:
    """The fields of each line. A record ends with a line feed; a return within it is a stray. One
    with more or fewer fields than the first is a fault."""
    width = 0
    with place.binary(name) as stream:
        for number, raw in enumerate(stream, 1):
            line = raw.decode(OTHER, "replace").replace("\r\n", "").strip("\n").replace("\r", "")
            if not line.strip():
                continue
            fields = [field.strip().strip("~") for field in line.split("^")]
            width = width or len(fields)
            why = misfit(fields, width)
            if why is None:
                yield number, fields
            else:
                faults.append(Fault(name, number, why, line))


@telling
def read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in the order of FOOD_DES, each with its figures and weights."""
    units: dict[str, bool] = {}
    for number, fields in _lines(place, NUTRIENTS, faults):
        if fields[0] in usda.WANTED and len(fields) > 3:
            units[fields[0]] = usda.unit_fits(fields[0], fields[1])
            if not units[fields[0]]:
                yield Fault(NUTRIENTS, number, "other-unit", f"{fields[3]} {fields[1]}")
    with scratch() as kept:
        kept.put("figures", (
            (f[0], f[1], f[2]) for _, f in _lines(place, FIGURES, faults)
            if len(f) > 2 and units.get(f[1], False)
        ))  # fmt: skip
        if place.has(WEIGHTS):
            kept.put("portions", (
                (f[0], n, f[2], f[3], f[4]) for n, f in _lines(place, WEIGHTS, faults) if len(f) > 4
            ))  # fmt: skip
        kept.index()
        for number, fields in _lines(place, FOODS, faults):
            if len(fields) < 3:
                yield Fault(FOODS, number, "short-row", "^".join(fields))
                continue
            yield _food(fields[0], fields[2], kept.figures(fields[0]),
                        list(kept.portions(fields[0])), (FOODS, number))  # fmt: skip


def _food(
    ndb: str,
    name: str,
    amounts: Mapping[str, str] | None,
    portions: list[tuple[str, ...]],
    place: tuple[str, int],
) -> Row | Fault:
    if amounts is None:
        return Fault(*place, "stated-twice", name)
    found = usda.nutrients(amounts)
    if found is None:
        return Fault(*place, "not-a-figure", name)
    draft = Draft(f"sr:{ndb.zfill(5)}", name, found, "table-total", dated=DATED,
                  measures=tuple(m for count, words, grams in portions
                                 for m in usda.portions(count, "", words, "", grams)))  # fmt: skip
    return finished(draft, SOURCE, *place)


# The same release as two tables, foods_per100g.csv and portions.csv

TIDY, TIDY_PORTIONS = "foods_per100g.csv", "portions.csv"
_TIDY_COLUMNS = {
    "205": "carb_by_diff_g",
    "291": "fibre_g",
    "269": "sugars_g",
    "203": "protein_g",
    "204": "fat_g",
    "221": "alcohol_g",
    "307": "sodium_mg",
    "208": "energy_kcal",
}
"""The unit is in the name of the column."""


def tidy_fits(place: Place) -> bool:
    """The table of foods, by its columns; and no full release beside it."""
    return place.has(TIDY) and {"ndb_no", "description", "carb_by_diff_g"} <= set(
        first_row(place, TIDY)
    )


@telling
def tidy_read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in the order of the table."""
    portions: dict[str, list[tuple[str, ...]]] = {}
    if place.has(TIDY_PORTIONS):
        for line in table(place, TIDY_PORTIONS, faults):
            told = (line.get("amount"), line.get("measure"), line.get("grams"))
            portions.setdefault(line.get("ndb_no"), []).append(told)
    for line in table(place, TIDY, faults):
        amounts = {number: line.get(column) for number, column in _TIDY_COLUMNS.items()}
        ndb = line.get("ndb_no")
        if not ndb.strip():
            yield Fault(TIDY, line.number, "no-id", line.get("description"))
            continue
        yield _food(ndb, line.get("description"), amounts, portions.get(ndb, []),
                    (TIDY, line.number))  # fmt: skip

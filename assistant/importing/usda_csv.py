"""The folder of CSV files of the US FoodData Central, of any of its parts or of all of them."""

from collections.abc import Iterator

from assistant.counting.facts import Measure
from assistant.importing import names, usda
from assistant.importing.common import Draft, finished, first_row, table, telling
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Why
from assistant.importing.scratch import Scratch, scratch

FOOD, NUTRIENT, AMOUNT = "food.csv", "nutrient.csv", "food_nutrient.csv"
NEEDED = (FOOD, NUTRIENT, AMOUNT)
_CODES = {
    "survey_fndds_food.csv": ("food_code", "fndds"),
    "sr_legacy_food.csv": ("ndb_number", "sr"),
    "foundation_food.csv": ("ndb_number", "foundation"),
}
"""Where a food has a number that stays from one download to the next."""


def fits(place: Place) -> bool:
    """Its three main files, by their columns."""
    return place.has(*NEEDED) and {"fdc_id", "data_type", "description"} <= set(
        first_row(place, FOOD)
    )


@telling
def read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in the order of food.csv."""
    with scratch() as kept:
        ids = _nutrient_ids(place, faults)
        _stage(place, kept, ids, faults)
        kept.index()
        yield from _foods(kept)


def _nutrient_ids(place: Place, faults: list[Fault]) -> dict[str, str]:
    """Nutrient id -> number, of those that are wanted and in the unit that is wanted.

    The survey's figures may stand under the numbers themselves, so they are ids too where the
    table uses them for nothing else.
    """
    ids: dict[str, str] = {}
    every: set[str] = set()
    for line in table(place, NUTRIENT, faults):
        number = usda.number_of(line.get("nutrient_nbr"))
        every.add(line.get("id"))
        if number == usda.BY_SUM:
            ids[line.get("id")] = number
        if number not in usda.WANTED:
            continue
        if usda.unit_fits(number, line.get("unit_name")):
            ids[line.get("id")] = number
        else:
            said = f"{line.get('name')} {line.get('unit_name')}"
            faults.append(Fault(NUTRIENT, line.number, "other-unit", said))
    numbers = {number for number in ids.values() if number not in every}
    return {**ids, **{number: number for number in numbers}}


def _stage(place: Place, kept: Scratch, ids: dict[str, str], faults: list[Fault]) -> None:
    kept.put("foods", (
        (line.get("fdc_id"), line.get("data_type"), line.get("description"),
         names.day_of_us(line.get("publication_date")), line.number)
        for line in table(place, FOOD, faults) if line.get("data_type") in usda.SOURCES
    ))  # fmt: skip
    kept.put("figures", (
        (line.get("fdc_id"), ids[line.get("nutrient_id")], line.get("amount"))
        for line in table(place, AMOUNT, faults) if line.get("nutrient_id") in ids
    ))  # fmt: skip
    for file, (column, prefix) in _CODES.items():
        if place.has(file):
            kept.put("codes", (
                (line.get("fdc_id"), f"{prefix}:{line.get(column).strip().zfill(5)}")
                for line in table(place, file, faults) if line.get(column).strip()
            ))  # fmt: skip
    if place.has("food_portion.csv"):
        kept.put("portions", _portions(place, faults))
    if place.has("branded_food.csv"):
        kept.put("products", _products(place, faults))


def _portions(place: Place, faults: list[Fault]) -> Iterator[tuple[object, ...]]:
    """(food, place, count, words, grams): the words are the four columns, kept apart by a tab."""
    units = {"9999": "undetermined"}
    if place.has("measure_unit.csv"):
        named = table(place, "measure_unit.csv", faults)
        units |= {line.get("id"): line.get("name") for line in named}
    for line in table(place, "food_portion.csv", faults):
        unit = units.get(line.get("measure_unit_id"))
        if unit is None:
            told_once(faults, "food_portion.csv", line.number, line.get("measure_unit_id"))
            continue
        words = "\t".join((unit, line.get("modifier"), line.get("portion_description")))
        yield (line.get("fdc_id"), line.number, line.get("amount"), words, line.get("gram_weight"))


def told_once(faults: list[Fault], file: str, line: int, unit: str) -> None:
    """A note on a unit of portions that is not known, at its first row."""
    if not any(f.why == "portion-unit" and f.said == unit for f in faults):
        faults.append(Fault(file, line, "portion-unit", unit, kept=True))


def _products(place: Place, faults: list[Fault]) -> Iterator[tuple[object, ...]]:
    for line in table(place, "branded_food.csv", faults):
        brand = line.get("brand_name") or line.get("brand_owner")
        yield (
            line.get("fdc_id"), line.get("gtin_upc"), line.get("serving_size"),
            line.get("serving_size_unit"), line.get("household_serving_fulltext"),
            line.get("market_country"), brand, line.number, names.barcode(line.get("gtin_upc")),
        )  # fmt: skip


_FOODS = """
SELECT f.food, f.kind, f.name, f.dated, f.line, coalesce(f.again, 0), c.code FROM foods AS f
LEFT JOIN codes AS c ON c.food = f.food WHERE f.kind != 'branded_food' ORDER BY f.line
"""
_BRANDED = """
SELECT food, name, dated, line, again, barcode, size, unit, household, market, brand, gtin FROM (
    SELECT f.food, f.name, f.dated, f.line, coalesce(f.again, 0) AS again, p.barcode, p.size,
        p.unit, p.household, p.market, p.brand, p.gtin,
        row_number() OVER (PARTITION BY coalesce(p.gtin, f.food)
                           ORDER BY f.dated DESC, f.line DESC) AS rank
    FROM foods AS f JOIN products AS p ON p.food = f.food WHERE f.kind = 'branded_food'
) WHERE rank = 1 ORDER BY line
"""
"""Of products with one barcode the newest."""


def _foods(kept: Scratch) -> Iterator[Row | Fault]:
    for food, kind, name, dated, line, again, code in kept.rows(_FOODS):
        if int(again):
            yield Fault(FOOD, int(line), "twice", name)
            yield Fault(FOOD, int(again), "twice", name)
            continue
        draft = _draft(kept, food, name, dated, code or f"fdc:{food}")
        if isinstance(draft, Draft):
            yield finished(draft, usda.SOURCES[kind], FOOD, int(line))
        else:
            yield Fault(FOOD, int(line), draft, name)
    told_twice = kept.products_told_twice()
    for row in kept.rows(_BRANDED):
        food, name, dated, line, again = row[:5]
        product, gtin = usda.Product(*(cell or "" for cell in row[5:-1])), row[-1]
        if int(again):
            yield Fault(FOOD, int(line), "twice", name)
            yield Fault(FOOD, int(again), "twice", name)
            continue
        if food in told_twice:
            yield Fault(FOOD, int(line), "stated-twice", name)
            continue
        draft = _draft(kept, food, name, dated, f"fdc:{food}")
        made = usda.branded(draft, product) if isinstance(draft, Draft) else draft
        if not isinstance(made, Draft):
            yield Fault(FOOD, int(line), made, name)
            continue
        if product.barcode.strip() and not gtin:
            yield Fault(FOOD, int(line), "barcode", product.barcode, kept=True)
        yield finished(made, usda.SOURCES["branded_food"], FOOD, int(line))


def _draft(kept: Scratch, food: str, name: str, dated: str, identity: str) -> Draft | Why:
    amounts = kept.figures(food)
    if amounts is None:
        return "stated-twice"
    found = usda.nutrients(amounts)
    if found is None:
        return "not-a-figure"
    if "carbohydrate" not in found and usda.BY_SUM in amounts:
        return "carbohydrate-by-sum"
    portions: list[Measure] = []
    for count, words, grams in kept.portions(food):
        unit, modifier, told = words.split("\t", 2)
        portions += usda.portions(count, unit, modifier, told, grams)
    return Draft(identity, name, found, "table-total", measures=tuple(portions), dated=dated)

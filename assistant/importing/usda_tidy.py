"""US survey and legacy foods as two tables: figures per 100 g, and all portions in one."""

from collections.abc import Iterator

from assistant.counting.facts import Measure
from assistant.importing import usda
from assistant.importing.common import Draft, finished, first_row, table, telling
from assistant.importing.names import clean
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row
from assistant.importing.usda_csv import told_once
from grammar.words import name_key

FOODS, PORTIONS, UNITS = (
    "nonbranded_per100g.csv",
    "fdc_portions_merged.csv",
    "measure_unit.csv",
)
_COLUMNS = {"205": "carbohydrate", "291": "fiber", "269": "total sugars", "204": "total fat",
            "606": "fatty acids, total saturated", "203": "protein", "307": "sodium",
            "208": "energy"}  # fmt: skip
_KINDS = {"sr_legacy_food": "legacy", "survey_fndds_food": "fndds",
          "foundation_food": "foundation_food"}  # fmt: skip


def fits(place: Place) -> bool:
    """The table of foods, by its columns."""
    return place.has(FOODS) and {"foodname", "data_type", "carbohydrate", "fiber"} <= set(
        first_row(place, FOODS)
    )


@telling
def read(place: Place, faults: list[Fault]) -> Iterator[Row | Fault]:
    """Foods in order; portions are joined by the type and the exact name."""
    seen: dict[str, int] = {}
    portions = _portions(place, faults) if place.has(PORTIONS) else {}
    for line in table(place, FOODS, faults):
        name, kind = line.get("foodname"), line.get("data_type")
        if kind not in usda.SOURCES:
            continue  # a sample or a purchase, no food
        found = usda.nutrients({number: line.get(column) for number, column in _COLUMNS.items()})
        if found is None:
            yield Fault(FOODS, line.number, "not-a-figure", name)
            continue
        identity = f"{kind.removesuffix('_food').replace('_', ' ')}:{name_key(clean(name))}"
        seen[identity] = seen.get(identity, 0) + 1
        if seen[identity] > 1:  # two foods of one name stay two
            identity = f"{identity} {seen[identity]}"
        own = tuple(portions.get((_KINDS.get(kind, kind), name.casefold()), ()))
        draft = Draft(identity, name, found, "table-total", measures=own)
        yield finished(draft, usda.SOURCES[kind], FOODS, line.number)


def _portions(place: Place, faults: list[Fault]) -> dict[tuple[str, str], list[Measure]]:
    units = {"9999": "undetermined", "0": "undetermined"}
    if place.has(UNITS):
        units |= {line.get("id"): line.get("name") for line in table(place, UNITS, faults)}
    found: dict[tuple[str, str], list[Measure]] = {}
    for line in table(place, PORTIONS, faults):
        unit = units.get(line.get("measure_unit_id").removesuffix(".0"))
        if unit is None:
            told_once(faults, PORTIONS, line.number, line.get("measure_unit_id"))
            continue
        told, grams = line.get("portion_description"), line.get("gram_weight")
        told_by = usda.portions(line.get("amount"), unit, line.get("modifier"), told, grams)
        key = (line.get("data_type"), line.get("description").casefold())
        found.setdefault(key, []).extend(told_by)
    return found

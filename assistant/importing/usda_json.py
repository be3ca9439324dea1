"""The JSON files of the US FoodData Central: one list of foods, each with all that it has."""

from collections.abc import Iterator, Mapping
from typing import Any

from assistant.counting.facts import Measure
from assistant.importing import names, usda
from assistant.importing.common import Draft, finished
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row
from assistant.importing.scratch import differ
from grammar import patterns

_LISTS = {
    "FoundationFoods": ("foundation_food", "ndbNumber", "foundation"),
    "SRLegacyFoods": ("sr_legacy_food", "ndbNumber", "sr"),
    "SurveyFoods": ("survey_fndds_food", "foodCode", "fndds"),
    "BrandedFoods": ("branded_food", "", ""),
}
"""The name of the list -> type of food, the number that stays, and how its identity begins."""
_OPENING = patterns.compile(r'\s*\{\s*"(' + "|".join(_LISTS) + r')"\s*:\s*\[')


def _list_of(place: Place, name: str) -> str | None:
    match = _OPENING.match(place.head(name))
    return match[1] if match else None


def fits(place: Place) -> bool:
    """Every file of the place that is JSON begins with one of the lists."""
    return bool(place.names) and any(_list_of(place, name) for name in place.names)


def read(place: Place) -> Iterator[Row | Fault]:
    """Foods in the order of the files. Faults have the number of the food in its list."""
    import ijson  # noqa: PLC0415 - only where JSON is read

    for name in place.names:
        listed = _list_of(place, name)
        if listed is None:
            continue
        kind, code, prefix = _LISTS[listed]
        number = 0
        with place.binary(name) as stream:
            try:
                for number, food in enumerate(
                    ijson.items(stream, f"{listed}.item", map_type=_Once), 1
                ):
                    yield from _row(food, kind, (code, prefix), name, number)
            except ijson.JSONError:
                yield Fault(name, number + 1, "not-json")


class _Once(dict[str, Any]):
    """An object that knows whether a key of it is there twice."""

    twice = False

    def __setitem__(self, key: str, value: Any) -> None:
        self.twice |= key in self
        super().__setitem__(key, value)


def _twice(found: Any) -> bool:
    """Does an object, or one within it, have a key twice?"""
    if isinstance(found, list):
        return any(_twice(inner) for inner in found)
    if isinstance(found, _Once):
        return found.twice or any(
            _twice(inner) for inner in found.values() if isinstance(inner, list | dict)
        )
    return False


def _text(food: Any, key: str) -> str:
    value = food.get(key) if isinstance(food, Mapping) else None
    return "" if value is None or isinstance(value, Mapping | list) else str(value)


def _within(food: Any, key: str) -> Mapping[str, Any]:
    value = food.get(key) if isinstance(food, Mapping) else None
    return value if isinstance(value, Mapping) else {}


def _each(food: Any, key: str) -> Iterator[Mapping[str, Any]]:
    value = food.get(key) if isinstance(food, Mapping) else None
    if isinstance(value, list):
        yield from (item for item in value if isinstance(item, Mapping))


def _row(
    food: Any, kind: str, code: tuple[str, str], file: str, number: int
) -> Iterator[Row | Fault]:
    name = _text(food, "description")
    amounts: dict[str, str] = {}
    twice = _twice(food)
    for figure in _each(food, "foodNutrients"):
        nutrient = _within(figure, "nutrient")
        key = usda.number_of(_text(nutrient, "number"))
        if key != usda.BY_SUM and key not in usda.WANTED:
            continue
        if key in usda.WANTED and not usda.unit_fits(key, _text(nutrient, "unitName")):
            yield Fault(file, number, "other-unit", name)
            return
        amount = _text(figure, "amount")
        twice |= differ(amounts.setdefault(key, amount), amount)
    if twice:
        yield Fault(file, number, "stated-twice", name)
        return
    found = usda.nutrients(amounts)
    if found is None:
        yield Fault(file, number, "not-a-figure", name)
        return
    if "carbohydrate" not in found and usda.BY_SUM in amounts:
        yield Fault(file, number, "carbohydrate-by-sum", name)
        return
    field, prefix = code
    stays = _text(food, field).strip() if field else ""
    identity = f"{prefix}:{stays.zfill(5)}" if stays else f"fdc:{_text(food, 'fdcId')}"
    portions = tuple(m for p in _each(food, "foodPortions") for m in _portions(p))
    dated = names.day_of_us(_text(food, "publicationDate"))
    draft = Draft(identity, name, found, "table-total", measures=portions, dated=dated)
    if kind != "branded_food":
        yield finished(draft, usda.SOURCES[kind], file, number)
        return
    yield from _product(draft, food, file, number)


def _product(draft: Draft, food: Any, file: str, number: int) -> Iterator[Row | Fault]:
    product = usda.Product(
        _text(food, "gtinUpc"), _text(food, "servingSize"), _text(food, "servingSizeUnit"),
        _text(food, "householdServingFullText"), _text(food, "marketCountry"),
        _text(food, "brandName") or _text(food, "brandOwner"),
    )  # fmt: skip
    made = usda.branded(draft, product)
    if not isinstance(made, Draft):
        yield Fault(file, number, made, draft.name)
        return
    if product.barcode.strip() and made.barcode is None:
        yield Fault(file, number, "barcode", product.barcode, kept=True)
    yield finished(made, usda.SOURCES["branded_food"], file, number)


def _portions(portion: Mapping[str, Any]) -> tuple[Measure, ...]:
    count = _text(portion, "amount") or _text(portion, "value")
    unit = _text(_within(portion, "measureUnit"), "name")
    return usda.portions(
        count, unit, _text(portion, "modifier"), _text(portion, "portionDescription"),
        _text(portion, "gramWeight"),
    )  # fmt: skip

"""What the layouts of the US tables share: nutrient numbers, portions, and products with labels.

Numbers and units are checked against the table of nutrients that comes with the figures.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import Measure, Nutrient
from assistant.importing import figures, measures, names
from assistant.importing.common import Draft, Per
from assistant.importing.rows import Source

PUBLIC_DOMAIN = "public domain, United States government work"
FDC = "USDA FoodData Central"

SOURCES = {
    "foundation_food": Source(f"{FDC}, foundation foods", PUBLIC_DOMAIN),
    "sr_legacy_food": Source(f"{FDC}, SR Legacy", PUBLIC_DOMAIN),
    "survey_fndds_food": Source(f"{FDC}, survey foods (FNDDS)", PUBLIC_DOMAIN),
    "branded_food": Source(f"{FDC}, branded foods", PUBLIC_DOMAIN),
}
"""The types of food that are foods; a download holds samples and purchases too. Terms: CC0 1.0 as
the site has them (from memory)."""


class Wanted(Struct, frozen=True):
    """A nutrient by its number: its name here, its unit in the table, and its rank among those
    that tell the same thing."""

    nutrient: str
    unit: str
    rank: int = 0


WANTED: Mapping[str, Wanted] = {
    "205": Wanted("carbohydrate", "g"),
    "291": Wanted("fibre", "g"),
    "293": Wanted("fibre", "g", 1),
    "269": Wanted("sugars", "g"),
    "269.3": Wanted("sugars", "g", 1),
    "539": Wanted("added sugars", "g"),
    "299": Wanted("polyols", "g"),
    "203": Wanted("protein", "g"),
    "204": Wanted("fat", "g"),
    "298": Wanted("fat", "g", 1),
    "606": Wanted("saturated fat", "g"),
    "221": Wanted("alcohol", "g"),
    "307": Wanted("sodium", "mg"),
    "208": Wanted("energy kcal", "kcal"),
    "958": Wanted("energy kcal", "kcal", 1),
    "957": Wanted("energy kcal", "kcal", 2),
    "268": Wanted("energy kJ", "kJ"),
}
"""Nutrient numbers of the US tables. 205 is carbohydrate by difference, with fibre inside."""
BY_SUM = "205.2"
"""Carbohydrate by summation: another figure, never taken for the one by difference."""


def number_of(text: str) -> str:
    """ "205.0" and "205" are one number."""
    return text.strip().removesuffix(".0")


def unit_fits(number: str, unit: str) -> bool:
    """Is this the unit that the number is taken in?"""
    return WANTED[number].unit.casefold() == unit.strip().casefold()


def nutrients(amounts: Mapping[str, str]) -> dict[str, Nutrient] | None:
    """Figures by nutrient number -> figures by name, the best number of each. None where one of
    them is no figure."""
    best: dict[str, tuple[int, Nutrient]] = {}
    for number, amount in amounts.items():
        wanted = WANTED.get(number)
        if wanted is None:
            continue
        figure = figures.read(amount, wanted.unit)
        if not isinstance(figure, Nutrient):
            if figure.why == "odd":
                return None
            continue
        if wanted.nutrient not in best or wanted.rank < best[wanted.nutrient][0]:
            best[wanted.nutrient] = (wanted.rank, figure)
    return {name: figure for name, (_, figure) in best.items()}


def portions(count: str, unit: str, modifier: str, told: str, grams: str) -> tuple[Measure, ...]:
    """What one row of the portions tells, in whichever of the three ways it is told.

    Survey foods: a phrase ("1 cup, cooked") and a code in the modifier. Legacy: an undetermined
    unit and the words in the modifier. Foundation: a unit, and more words in the modifier.
    grams is for the whole amount.
    """
    weight = figures.amount(grams)
    if weight is None:
        return ()
    if told.strip():
        found = measures.leading_count(told.strip())
        return measures.measures_of(*found, weight, kitchen="customary") if found else ()
    number = figures.count(count)
    if number is None:
        return ()
    if unit.strip().casefold() in {"", "undetermined", "9999"}:
        words = modifier
    else:
        words = f"{unit}, {modifier}" if modifier.strip() else unit
    return measures.measures_of(number, words, weight, kitchen="customary")


class Product(Struct, frozen=True):
    """What a branded food has beside its figures."""

    barcode: str
    size: str
    unit: str
    household: str
    market: str
    brand: str


_MASS, _VOLUME = {"g", "grm", "gm"}, {"ml", "mlt"}
MARKETS = {"", "united states", "us", "usa"}
"""Markets whose labels have total carbohydrate."""

Odd = Literal["other-unit", "other-market"]


def branded(draft: Draft, product: Product) -> Draft | Odd:
    """The food with its serving. Its figures are per 100 g, or per 100 ml where the serving is in
    millilitres; they were worked out from a label, whose figure may be off by half a gram."""
    if product.market.strip().casefold() not in MARKETS:
        return "other-market"
    unit = product.unit.strip().casefold()
    if unit not in _MASS | _VOLUME:
        return "other-unit"
    size = figures.amount(product.size)
    per: Per = "100 ml" if unit in _VOLUME else "100 g"
    off_by = Fraction(50) / size if size else Fraction(50)
    found = {
        name: figure if figure.unit != "g" else Nutrient(figure.value, "g", off_by=off_by)
        for name, figure in draft.found.items()
    }
    name = draft.name
    if product.brand.strip() and product.brand.casefold() not in name.casefold():
        name = f"{name}, {product.brand.strip()}"
    barcode = names.barcode(product.barcode)
    identity = f"gtin:{barcode}" if barcode else draft.food_id
    return Draft(identity, name, found, "table-total", per, tuple(_servings(product, size, per)),
                 draft.dated, barcode)  # fmt: skip


def _servings(product: Product, size: Fraction | None, per: Per) -> Iterator[Measure]:
    """The serving by weight or volume, and in household words."""
    if size is None:
        return
    grams, held = (size, None) if per == "100 g" else (None, size)
    yield Measure(Fraction(1), "serving", grams, held, of_source=True)
    counted = measures.leading_count(product.household.strip())
    told = measures.measure(counted[0], counted[1].lower(), grams, held) if counted else None
    if told is not None and told.unit not in {"serving", "millilitre"}:
        yield told

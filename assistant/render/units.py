"""How a unit is written and spoken: one row for each unit code, and a rule for other words."""

from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from grammar.words import plural, printable, singular

Form = Literal["sighted", "spoken"]


class UnitWords(Struct, frozen=True):
    """The words of one unit. written is None where the spoken words are written too.

    close is true where the written sign stands against the figure ("50%").
    """

    written: str | None
    one: str
    many: str
    close: bool = False


UNITS = MappingProxyType(
    {
        "g": UnitWords("g", "gram", "grams"),
        "g of fat": UnitWords("g of fat", "gram of fat", "grams of fat"),
        "g of protein": UnitWords("g of protein", "gram of protein", "grams of protein"),
        "kg": UnitWords("kg", "kilogram", "kilograms"),
        "mg": UnitWords("mg", "milligram", "milligrams"),
        "mcg": UnitWords("mcg", "microgram", "micrograms"),
        "ml": UnitWords("ml", "millilitre", "millilitres"),
        "cl": UnitWords("cl", "centilitre", "centilitres"),
        "dl": UnitWords("dl", "decilitre", "decilitres"),
        "l": UnitWords("l", "litre", "litres"),
        "oz": UnitWords("oz", "ounce", "ounces"),
        "fl oz": UnitWords("fl oz", "fluid ounce", "fluid ounces"),
        "lb": UnitWords("lb", "pound", "pounds"),
        "tbsp": UnitWords("tbsp", "tablespoon", "tablespoons"),
        "tsp": UnitWords("tsp", "teaspoon", "teaspoons"),
        "unit": UnitWords(None, "unit", "units"),
        "IU": UnitWords(None, "international unit", "international units"),
        "mg/dL": UnitWords("mg/dL", "milligram per decilitre", "milligrams per decilitre"),
        "mmol/L": UnitWords("mmol/L", "millimole per litre", "millimoles per litre"),
        "g/unit": UnitWords("g per unit", "gram per unit", "grams per unit"),
        "mg/dL/unit": UnitWords(
            "mg/dL per unit",
            "milligram per decilitre per unit",
            "milligrams per decilitre per unit",
        ),
        "mmol/L/unit": UnitWords(
            "mmol/L per unit", "millimole per litre per unit", "millimoles per litre per unit"
        ),
        "kcal": UnitWords("kcal", "kilocalorie", "kilocalories"),
        "kJ": UnitWords("kJ", "kilojoule", "kilojoules"),
        "percent": UnitWords("%", "percent", "percent", close=True),
        "times": UnitWords(None, "times", "times"),
        "serving": UnitWords(None, "serving", "servings"),
        "pack": UnitWords(None, "pack", "packs"),
        "item": UnitWords(None, "item", "items"),
        "hour": UnitWords(None, "hour", "hours"),
        "minute": UnitWords(None, "minute", "minutes"),
        "day": UnitWords(None, "day", "days"),
    }
)
"""Insulin is always 'unit' in full, never a letter: 'U' has been read as a nought (Joint
Commission, "Do Not Use" list). 'IU' is on the same list, so it is written in full too."""


def _free_words(unit: str) -> UnitWords:
    """A word outside the table: a household measure, as the user or a label calls it."""
    cleaned = " ".join(printable(unit).split())
    head, _, last = cleaned.rpartition(" ")
    one = f"{head} {singular(last)}".strip() if last == last.lower() else cleaned
    return UnitWords(None, one, plural(one))


def unit_words(unit: str, shown: Fraction, form: Form) -> tuple[str, bool]:
    """The words for so much of a unit, and whether they stand against the figure.

    Exactly one is singular; of a household measure less than one is too ("0.5 cup").
    """
    row = UNITS.get(unit)
    words = row or _free_words(unit)
    if form == "sighted" and words.written is not None:
        return words.written, words.close
    alone = abs(shown) == 1 or (row is None and 0 < abs(shown) < 1)
    return (words.one if alone else words.many), False

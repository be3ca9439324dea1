"""Daily values and reference intakes, and what share of one a figure is."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from assistant.counting.facts import Nutrient, Region

Values = Mapping[str, tuple[Fraction, str]]


def _table(text: str) -> Values:
    rows = (row.rsplit(" ", 2) for row in text.strip().split("; "))
    return {name: (Fraction(value), unit) for name, value, unit in rows}


US_2016: Values = _table(
    "fat 78 g; saturated fat 20 g; cholesterol 300 mg; carbohydrate 275 g; sodium 2300 mg; "
    "fibre 28 g; protein 50 g; added sugars 50 g; vitamin A 900 mcg; vitamin C 90 mg; "
    "calcium 1300 mg; iron 18 mg; vitamin D 20 mcg; vitamin E 15 mg; vitamin K 120 mcg; "
    "thiamin 1.2 mg; riboflavin 1.3 mg; niacin 16 mg; vitamin B6 1.7 mg; folate 400 mcg; "
    "vitamin B12 2.4 mcg; biotin 30 mcg; pantothenic acid 5 mg; phosphorus 1250 mg; "
    "iodine 150 mcg; magnesium 420 mg; zinc 11 mg; selenium 55 mcg; copper 0.9 mg; "
    "manganese 2.3 mg; chromium 35 mcg; molybdenum 45 mcg; chloride 2300 mg; "
    "potassium 4700 mg; choline 550 mg"
)
"""21 CFR 101.9(c)(8)(iv) and (c)(9), the rule of 2016, adults and children from 4 years."""

US_BEFORE_2016: Values = _table(
    "fat 65 g; saturated fat 20 g; cholesterol 300 mg; sodium 2400 mg; potassium 3500 mg; "
    "carbohydrate 300 g; fibre 25 g; protein 50 g; vitamin C 60 mg; calcium 1000 mg; iron 18 mg"
)
"""The values on labels before the rule of 2016 (the US government's dietary supplement label
database prints both)."""

EU_INTAKES: Values = _table(
    "energy kJ 8400 kJ; energy kcal 2000 kcal; fat 70 g; saturated fat 20 g; carbohydrate 260 g; "
    "sugars 90 g; protein 50 g; salt 6 g"
)
"""Reference intakes, Regulation (EU) 1169/2011 Annex XIII part B (energy seen, the rest from
memory)."""

LOW, HIGH = Fraction(5), Fraction(20)
"""5 per cent of the daily value or less is low, 20 or more is high: FDA, Interactive Nutrition
Facts Label. Canada calls 15 or more high (a Canadian charity's label guide)."""
HIGH_CANADA = Fraction(15)

_TO_MG = {"g": Fraction(1000), "mg": Fraction(1), "mcg": Fraction(1, 1000)}


def values_for(region: Region) -> Values:
    """The table of a label's law: daily values for the US and Canada, intakes for the rest."""
    return US_2016 if region in {"US", "CA"} else EU_INTAKES


def share(name: str, figure: Nutrient, values: Values) -> Fraction | None:
    """Per cent of the daily value, exact; None where there is none, or the units do not meet."""
    if name not in values:
        return None
    whole, unit = values[name]
    if unit == figure.unit:
        return figure.value / whole * 100
    if unit in _TO_MG and figure.unit in _TO_MG:
        return figure.value * _TO_MG[figure.unit] / (whole * _TO_MG[unit]) * 100
    return None


def level(percent: Fraction, region: Region) -> Literal["low", "between", "high"]:
    """Low, high or between, by the rule of the label's place."""
    if percent <= LOW:
        return "low"
    return "high" if percent >= (HIGH_CANADA if region == "CA" else HIGH) else "between"

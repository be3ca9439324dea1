"""The published tables of daily values, and what share of one a figure is.

Each table here is copied from its source by hand, in the source's own order, and read by no code of
the program.
"""

from fractions import Fraction

import pytest

from assistant.counting.daily_values import (
    EU_INTAKES,
    US_2016,
    US_BEFORE_2016,
    level,
    share,
    values_for,
)
from assistant.counting.facts import Nutrient

# 21 CFR 101.9(c)(8)(iv), reference daily intakes, adults and children from 4 years; (c)(9),
# daily reference values. From memory of the rule of 2016; potassium, carbohydrate, fibre, sodium
# and sugars stand so on FDA's own sample labels too.
RULE_OF_2016 = {
    "vitamin A": ("900", "mcg"), "vitamin C": ("90", "mg"), "calcium": ("1300", "mg"),
    "iron": ("18", "mg"), "vitamin D": ("20", "mcg"), "vitamin E": ("15", "mg"),
    "vitamin K": ("120", "mcg"), "thiamin": ("1.2", "mg"), "riboflavin": ("1.3", "mg"),
    "niacin": ("16", "mg"), "vitamin B6": ("1.7", "mg"), "folate": ("400", "mcg"),
    "vitamin B12": ("2.4", "mcg"), "biotin": ("30", "mcg"), "pantothenic acid": ("5", "mg"),
    "phosphorus": ("1250", "mg"), "iodine": ("150", "mcg"), "magnesium": ("420", "mg"),
    "zinc": ("11", "mg"), "selenium": ("55", "mcg"), "copper": ("0.9", "mg"),
    "manganese": ("2.3", "mg"), "chromium": ("35", "mcg"), "molybdenum": ("45", "mcg"),
    "chloride": ("2300", "mg"), "potassium": ("4700", "mg"), "choline": ("550", "mg"),
    "protein": ("50", "g"),
    "fat": ("78", "g"), "saturated fat": ("20", "g"), "cholesterol": ("300", "mg"),
    "carbohydrate": ("275", "g"), "sodium": ("2300", "mg"), "fibre": ("28", "g"),
    "added sugars": ("50", "g"),
}  # fmt: skip
# The same paragraphs before the rule of 2016 (from memory), as far as labels print them.
BEFORE_2016 = {
    "fat": ("65", "g"), "saturated fat": ("20", "g"), "cholesterol": ("300", "mg"),
    "carbohydrate": ("300", "g"), "fibre": ("25", "g"), "sodium": ("2400", "mg"),
    "potassium": ("3500", "mg"), "protein": ("50", "g"), "vitamin C": ("60", "mg"),
    "calcium": ("1000", "mg"), "iron": ("18", "mg"),
}  # fmt: skip
# Regulation (EU) 1169/2011 Annex XIII part B (energy seen, the rest from memory).
ANNEX_XIII = {
    "energy kJ": ("8400", "kJ"), "energy kcal": ("2000", "kcal"), "fat": ("70", "g"),
    "saturated fat": ("20", "g"), "carbohydrate": ("260", "g"), "sugars": ("90", "g"),
    "protein": ("50", "g"), "salt": ("6", "g"),
}  # fmt: skip


@pytest.mark.parametrize(
    ("held", "published"),
    [(US_2016, RULE_OF_2016), (US_BEFORE_2016, BEFORE_2016), (EU_INTAKES, ANNEX_XIII)],
)
def test_the_table_is_the_published_one(held, published):
    assert held == {name: (Fraction(value), unit) for name, (value, unit) in published.items()}


@pytest.mark.parametrize(
    ("region", "table"),
    [("US", US_2016), ("CA", US_2016), ("EU", EU_INTAKES), ("UK", EU_INTAKES),
     ("AU", EU_INTAKES), ("NZ", EU_INTAKES), ("JP", EU_INTAKES)],
)  # fmt: skip
def test_a_label_goes_by_the_values_of_its_own_law(region, table):
    assert values_for(region) is table


@pytest.mark.parametrize(
    ("name", "value", "unit", "percent"),
    [
        # The unit of the table, and each other metric unit of it; 1 g is 1,000 mg, 1 mg 1,000 mcg.
        ("carbohydrate", "55", "g", "20"), ("carbohydrate", "55000", "mg", "20"),
        ("sodium", "230", "mg", "10"), ("sodium", "0.23", "g", "10"),
        ("vitamin D", "5", "mcg", "25"), ("vitamin D", "0.005", "mg", "25"),
        ("calcium", "1300000", "mcg", "100"), ("calcium", "0", "mg", "0"),
        # Units that do not meet, and a nutrient without a daily value.
        ("vitamin A", "900", "IU", None), ("sugars", "10", "g", None),
    ],
)  # fmt: skip
def test_a_share_is_exact_in_any_metric_unit(name, value, unit, percent):
    found = share(name, Nutrient(Fraction(value), unit), US_2016)
    assert found == (None if percent is None else Fraction(percent))


def test_energy_has_a_share_only_in_its_own_unit():
    assert share("energy kJ", Nutrient(Fraction(840), "kJ"), EU_INTAKES) == 10
    assert share("energy kJ", Nutrient(Fraction(840), "g"), EU_INTAKES) is None


@pytest.mark.parametrize(
    ("percent", "region", "said"),
    [
        # FDA, Interactive Nutrition Facts Label: 5 or less is low, 20 or more is high.
        ("5", "US", "low"), ("5.1", "US", "between"), ("19.9", "US", "between"),
        ("20", "US", "high"), ("0", "US", "low"), ("90", "US", "high"),
        # Canada: 15 or more is a lot (a Canadian charity's label guide).
        ("5", "CA", "low"), ("14.9", "CA", "between"), ("15", "CA", "high"),
        ("15", "EU", "between"),
    ],
)  # fmt: skip
def test_low_and_high_are_the_published_ones(percent, region, said):
    assert level(Fraction(percent), region) == said

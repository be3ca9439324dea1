"""Conversions are exact, and another program that knows the units agrees.

Exact figures: the international avoirdupois pound is 453.59237 g (yard and pound agreement, 1959)
and an ounce a sixteenth of it; the rest is the SI. Label measures: 21 CFR 101.9(b)(5)(viii).
"""

import os
import shutil
import subprocess
from fractions import Fraction

import pytest

from assistant.counting.units import KITCHEN, LABEL_MILLILITRES, conversion

EXACT = [
    ("pound", "gram", "453.59237"),
    ("ounce", "gram", "28.349523125"),
    ("kilogram", "gram", "1000"),
    ("milligram", "gram", "0.001"),
    ("gram", "gram", "1"),
    ("litre", "millilitre", "1000"),
    ("decilitre", "millilitre", "100"),
    ("centilitre", "millilitre", "10"),
    ("millilitre", "millilitre", "1"),
]
IDS = [f"{unit}-{into}" for unit, into, _ in EXACT]


@pytest.mark.parametrize(("unit", "into", "value"), EXACT, ids=IDS)
def test_a_conversion_is_exact_both_ways(unit, into, value):
    assert conversion(unit, into) == Fraction(value)
    assert conversion(into, unit) == 1 / Fraction(value)
    assert isinstance(conversion(into, unit), Fraction)


def test_sixteen_ounces_are_a_pound():
    assert 16 * conversion("ounce", "gram") == conversion("pound", "gram")
    assert conversion("pound", "ounce") == 16


@pytest.mark.parametrize(
    ("unit", "into"),
    [("gram", "millilitre"), ("litre", "kilogram"), ("ounce", "millilitre"), ("cup", "millilitre")],
)
def test_mass_never_becomes_volume_and_a_cup_has_no_size_of_its_own(unit, into):
    import pint

    with pytest.raises((pint.DimensionalityError, pint.UndefinedUnitError)):
        conversion(unit, into)


def test_a_label_measure_holds_what_the_law_says():
    """101.9(b)(5)(viii): cup 240 mL, tablespoon 15, teaspoon 5, fluid ounce 30."""
    assert LABEL_MILLILITRES == {
        "cup": 240, "tablespoon": 15, "teaspoon": 5, "fluid ounce": 30,
    }  # fmt: skip
    assert set(LABEL_MILLILITRES) <= set(KITCHEN)


@pytest.fixture(scope="module")
def gnu_units():
    """Asks GNU units (Debian package "units"): gnu_units("pound", "gram") -> "453.59237"."""
    program = shutil.which("units")
    if program is None:
        reason = "GNU units is not installed (Debian package: units)"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)

    def ask(unit: str, into: str) -> Fraction:
        asked = subprocess.run(
            [program, "--terse", "--digits", "15", unit, into],
            capture_output=True, text=True, check=True, timeout=30,
            env={**os.environ, "LC_ALL": "C"},
        )  # fmt: skip
        return Fraction(asked.stdout.strip())

    return ask


@pytest.mark.parametrize(("unit", "into", "value"), EXACT, ids=IDS)
def test_gnu_units_agrees(gnu_units, unit, into, value):
    assert gnu_units(unit, into) == conversion(unit, into)


@pytest.mark.parametrize(
    ("unit", "expression"),
    [
        # GNU units knows the labelling cup and tablespoon; the two others by their share of them.
        ("cup", "legalcup"), ("tablespoon", "legaltablespoon"),
        ("teaspoon", "legaltablespoon/3"), ("fluid ounce", "legalcup/8"),
    ],
)  # fmt: skip
def test_gnu_units_agrees_on_the_labelling_measures(gnu_units, unit, expression):
    assert gnu_units(expression, "ml") == LABEL_MILLILITRES[unit]


def test_a_label_cup_is_not_the_customary_cup(gnu_units):
    """Customary US cup 236.5882365 mL (exact definition, from memory): 1.4 % less."""
    assert gnu_units("uscup", "ml") == Fraction("236.5882365") != LABEL_MILLILITRES["cup"]


def test_the_measures_that_differ_from_kitchen_to_kitchen():
    """Cups and spoons are 240, 250 or 200 ml by country; the pint, quart and gallon of the United
    States and of Great Britain are not the same (20 imperial fluid ounces, 16 of the US)."""
    assert set(KITCHEN) == {
        "cup", "tablespoon", "teaspoon", "fluid ounce", "pint", "quart", "gallon",
    }  # fmt: skip
    assert len(KITCHEN) == 7

"""Sums of nutrients: a label without the figure is counted as missing, never as nought."""

from fractions import Fraction

import pytest

from assistant.counting.facts import FoodFacts, Nutrient
from assistant.counting.nutrients import figure, sums


def food(**figures):
    nutrients = {
        name.replace("_", " "): Nutrient(Fraction(value), unit)
        for name, (value, unit) in figures.items()
    }
    return FoodFacts("x", "EU", "100 g", nutrients)


def of(parts):
    return {s.nutrient: s for s in sums(parts)}


def test_a_missing_figure_is_told_and_not_nought():
    found = of([(food(protein=("10", "g")), Fraction(2)), (food(fat=("3", "g")), Fraction(1))])
    assert (found["protein"].amount, found["protein"].known, found["protein"].missing) == (20, 1, 1)
    assert (found["sodium"].amount, found["sodium"].known, found["sodium"].missing) == (0, 0, 2)


def test_sodium_comes_from_salt_by_the_law():
    """Salt is sodium times 2.5 (Regulation (EU) 1169/2011, Annex I): 0.5 g are 200 mg."""
    assert figure(food(salt=("0.5", "g")), "sodium") == 200
    assert figure(food(salt=("0.5", "g"), sodium=("150", "mg")), "sodium") == 150
    assert figure(food(sodium=("0.2", "g")), "sodium") == 200


def test_a_food_of_which_there_is_nothing_is_passed_over():
    assert of([(food(fat=("3", "g")), Fraction(0))])["fat"].missing == 0


UNITS = {"fat": "g", "saturated fat": "g", "fibre": "g", "protein": "g", "sodium": "mg"}


def test_carbohydrate_is_the_total_with_fibre_inside():
    """The US daily value is of total carbohydrate, fibre inside: 21 CFR 101.9(c)(6), (c)(9)."""
    eu = food(carbohydrate=("28", "g"), fibre=("2", "g"))
    assert figure(eu, "carbohydrate") == 30
    assert figure(food(carbohydrate=("28", "g")), "carbohydrate") is None
    assert figure(food(fibre=("2", "g")), "carbohydrate") is None
    assert figure(food(carbohydrate=("28", "IU"), fibre=("2", "g")), "carbohydrate") is None
    us = FoodFacts("x", "US", "serving", {"carbohydrate": Nutrient(Fraction(27), "g"),
                                          "fibre": Nutrient(Fraction(6), "g")})  # fmt: skip
    assert figure(us, "carbohydrate") == 27


def test_the_summed_nutrients_are_told_in_the_units_of_their_daily_values():
    """In grams, sodium in milligrams: 21 CFR 101.9(c)(9)."""
    assert {name: s.unit for name, s in of([]).items()} == {"carbohydrate": "g", **UNITS}


@pytest.mark.parametrize("name", UNITS)
def test_each_nutrient_is_read_in_grams_and_in_milligrams(name):
    grams, milligrams = ("3", 3000) if UNITS[name] == "mg" else ("3", 3)
    assert figure(food(**{name: (grams, "g")}), name) == milligrams
    assert figure(food(**{name: ("3000", "mg")}), name) == milligrams
    assert figure(food(**{name: ("3", "IU")}), name) is None
    assert figure(food(), name) is None


def test_salt_tells_sodium_alone_and_in_a_unit_that_is_known():
    assert figure(food(salt=("0.5", "g")), "fat") is None
    assert figure(food(salt=("500", "mg")), "sodium") == 200
    assert figure(food(salt=("5", "IU")), "sodium") is None
    assert figure(food(sodium=("5", "IU"), salt=("0.5", "g")), "sodium") == 200


def test_a_sum_is_of_each_food_times_its_multiple():
    found = of([(food(fat=("3", "g")), Fraction(2)), (food(fat=("5", "g")), Fraction(1, 2))])
    assert (found["fat"].amount, found["fat"].known, found["fat"].missing) == (
        Fraction(17, 2),
        2,
        0,
    )


def test_nothing_of_a_food_neither_tells_nor_lacks_a_figure():
    found = of([(food(fat=("3", "g")), Fraction(0)), (food(), Fraction(0))])["fat"]
    assert (found.amount, found.known, found.missing) == (0, 0, 0)

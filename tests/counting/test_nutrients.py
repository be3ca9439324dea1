"""Sums of nutrients: a label without the figure is counted as missing, never as nought."""

from fractions import Fraction

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

"""Label checks: slips in copying are caught, and lawful labels raise no alarm.

The generator below makes labels that the law allows, by its own rounding (21 CFR 101.9(c) for the
US, the Commission's table of December 2012 for the EU), and then changes one digit. The published
sample labels are in test_labels_facts.
"""

import random
from fractions import Fraction

import pytest

from assistant.counting.checks import check
from assistant.counting.facts import FoodFacts, Nutrient
from assistant.shell.label_trials import TRIALS, detection, lawful


@pytest.mark.more
@pytest.mark.parametrize("region", ["US", "EU"])
def test_a_changed_digit_is_caught_in_at_least_four_of_five(region: str) -> None:
    assert detection(region, seed=20260302) >= Fraction(4, 5)


@pytest.mark.parametrize("region", ["US", "EU"])
def test_a_lawful_label_raises_no_alarm(region: str) -> None:
    rng = random.Random(7)
    for _ in range(TRIALS):
        facts = lawful(rng, region)
        assert check(facts) == (), facts


def test_fibre_and_sugar_alcohol_may_lower_the_energy() -> None:
    """21 CFR 101.9(c)(1)(i)(C): non-digestible carbohydrate and sugar alcohol count less."""
    nutrients = {
        "fat": Nutrient(Fraction(5), "g"),
        "carbohydrate": Nutrient(Fraction(30), "g"),
        "fibre": Nutrient(Fraction(10), "g"),
        "polyols": Nutrient(Fraction(12), "g"),
        "protein": Nutrient(Fraction(5), "g"),
        "energy kcal": Nutrient(Fraction(130), "kcal"),
    }
    facts = FoodFacts("x", "US", "serving", nutrients, serving_grams=Fraction(50))
    assert check(facts) == ()


def test_the_muesli_of_the_norwegian_food_table_adds_up() -> None:
    """60 g carbohydrate, 11 g fat, 11 g protein, 9 g fibre: 1,686 kJ and 401 kcal, as published."""
    nutrients = {
        "fat": Nutrient(Fraction(11), "g"),
        "carbohydrate": Nutrient(Fraction(60), "g"),
        "fibre": Nutrient(Fraction(9), "g"),
        "protein": Nutrient(Fraction(11), "g"),
        "energy kcal": Nutrient(Fraction(401), "kcal"),
        "energy kJ": Nutrient(Fraction(1686), "kJ"),
    }
    assert check(FoodFacts("muesli", "EU", "100 g", nutrients)) == ()


def test_more_macronutrients_than_weight_is_found() -> None:
    nutrients = {
        "carbohydrate": Nutrient(Fraction(27), "g"),
        "protein": Nutrient(Fraction(15), "g"),
    }
    facts = FoodFacts("x", "US", "serving", nutrients, serving_grams=Fraction(40))
    assert [f.code for f in check(facts)] == ["sum"]

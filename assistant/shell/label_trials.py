"""Labels that the law allows, and the same with one digit changed: how many slips are caught.

The labels are made by the laws' own rounding, written here apart from the checks that they try:
21 CFR 101.9(c) for the US, the Commission's table of December 2012 for the EU. The tests and the
benchmark both use them.
"""

import random
from fractions import Fraction

from assistant.counting.checks import check
from assistant.counting.facts import FoodFacts, Nutrient
from assistant.counting.labels import impossible

TRIALS = 2000
FIELDS = ("carbohydrate", "fibre", "fat", "protein", "energy kcal")
TOLERANCE = Fraction(1, 5)
HOSTILE = (
    *("servings per container ", "number of servings\t", "1- ", "contains:\n", "salt\n"),
    *("Fat / ", "Ingredients: (", "I|", "<", "1 1/", "9", "per 1 (", "Total Fat "),
)
"""Pieces that, said over and over, make a reader try one place in many ways."""
"""21 CFR 101.9(g) and the EU guidance both work with 20 per cent in the middle of their ranges."""


def nearest(value: Fraction, step: Fraction) -> Fraction:
    """The nearest multiple of step, a tie up."""
    return (value / step + Fraction(1, 2)).__floor__() * step


def us_gram(value: Fraction) -> Fraction:
    """Under 0.5 g is 0, else the nearest gram."""
    return Fraction(0) if value < Fraction(1, 2) else nearest(value, Fraction(1))


def us_fat(value: Fraction) -> Fraction:
    """Under 0.5 g is 0, under 5 g the nearest 0.5 g, else the nearest gram."""
    if value < Fraction(1, 2):
        return Fraction(0)
    return nearest(value, Fraction(1, 2) if value < 5 else Fraction(1))


def us_kcal(value: Fraction) -> Fraction:
    """Under 5 is 0, to 50 the nearest 5, above the nearest 10."""
    if value < 5:
        return Fraction(0)
    return nearest(value, Fraction(5 if value <= 50 else 10))


def eu_gram(value: Fraction) -> Fraction:
    """From 10 g the nearest gram, below the nearest 0.1 g, up to 0.5 g nothing."""
    if value <= Fraction(1, 2):
        return Fraction(0)
    return nearest(value, Fraction(1) if value >= 10 else Fraction(1, 10))


def figure(value: Fraction, unit: str = "g") -> Nutrient:
    """The figure as printed, with as many decimals as it needs."""
    return Nutrient(value, unit, decimals=0 if value.denominator == 1 else 1)


def lawful(rng: random.Random, region: str) -> FoodFacts:
    """A label as the law would have it printed, of a food that can exist."""
    carbs = Fraction(rng.randint(50, 500), 10)
    fibre = carbs * Fraction(rng.randint(0, 30), 100)
    fat = Fraction(rng.randint(0, 200), 10)
    protein = Fraction(rng.randint(0, 200), 10)
    if region == "US":
        kcal = 9 * fat + 4 * carbs + 4 * protein
        printed = {
            "fat": us_fat(fat),
            "carbohydrate": us_gram(carbs),
            "fibre": us_gram(fibre),
            "protein": us_gram(protein),
        }
        daily = {"fat": 78, "carbohydrate": 275, "fibre": 28}
        percents = {n: nearest(printed[n] / d * 100, Fraction(1)) for n, d in daily.items()}
        nutrients = {n: figure(v) for n, v in printed.items()}
        nutrients["energy kcal"] = figure(us_kcal(kcal), "kcal")
        return FoodFacts(
            "x", "US", "serving", nutrients, serving_grams=Fraction(120), percents=percents
        )
    kcal = 9 * fat + 4 * carbs + 4 * protein + 2 * fibre
    kj = 37 * fat + 17 * carbs + 17 * protein + 8 * fibre
    nutrients = {
        n: figure(eu_gram(v))
        for n, v in (
            ("fat", fat),
            ("carbohydrate", carbs),
            ("fibre", fibre),
            ("protein", protein),
        )
    }
    nutrients["energy kcal"] = figure(nearest(kcal, Fraction(1)), "kcal")
    nutrients["energy kJ"] = figure(nearest(kj, Fraction(1)), "kJ")
    return FoodFacts("x", "EU", "100 g", nutrients)


def with_one_digit_changed(rng: random.Random, facts: FoodFacts) -> FoodFacts | None:
    """One digit of one of the five figures made another, by more than the law's tolerance."""
    name = rng.choice(FIELDS)
    old = facts.nutrients[name]
    text = f"{float(old.value):.{old.decimals}f}"
    places = [i for i, c in enumerate(text) if c.isdigit()]
    at = rng.choice(places)
    digit = rng.choice([d for d in "0123456789" if d != text[at]])
    value = Fraction(text[:at] + digit + text[at + 1 :])
    if abs(value - old.value) <= max(TOLERANCE * old.value, Fraction(2)):
        return None
    changed = {**facts.nutrients, name: Nutrient(value, old.unit, decimals=old.decimals)}
    return FoodFacts(
        facts.name, facts.region, facts.per, changed,
        serving_grams=facts.serving_grams, percents=facts.percents,
    )  # fmt: skip


def caught(facts: FoodFacts) -> bool:
    """By a check, or by a part that is larger than its whole."""
    return bool(check(facts)) or impossible(facts) is not None


def detection(region: str, seed: int, trials: int = TRIALS) -> Fraction:
    """The share of changed labels that are caught."""
    rng = random.Random(seed)  # noqa: S311 - trials, no secrets
    tried = found = 0
    while tried < trials:
        changed = with_one_digit_changed(rng, lawful(rng, region))
        if changed is None:
            continue
        tried += 1
        found += caught(changed)
    return Fraction(found, tried)

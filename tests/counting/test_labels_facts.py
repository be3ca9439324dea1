"""The published sample labels, pasted in layouts of our own, to the facts of a food.

Figures: FDA sample of the 2016 format (partly seen, rest from memory; every figure agrees with
the daily values below), FDA frozen lasagna sample (from memory; likewise), and the old-format
macaroni and cheese sample as the US Office on Women's Health prints it (seen).
"""

from fractions import Fraction

import pytest

from assistant.counting.checks import check
from assistant.counting.facts import FoodFacts
from assistant.counting.labels import LabelProblem, facts_from_label
from assistant.counting.policy import Counted, count_reference
from assistant.counting.portions import Weighed, weigh
from grammar.label_nodes import Column, Figure, LabelReading
from grammar.labels import read_label
from grammar.measures import find_measure
from grammar.nodes import MeasureWord

FORMAT_2016 = """\
Nutrition Facts
8 servings per container
Serving size    2/3 cup (55g)
Amount per serving
Calories    230
                       % Daily Value*
Total Fat 8g                 10%
   Saturated Fat 1g           5%
   Trans Fat 0g
Cholesterol 0mg               0%
Sodium 160mg                  7%
Total Carbohydrate 37g       13%
   Dietary Fiber 4g          14%
   Total Sugars 12g
     Includes 10g Added Sugars   20%
Protein 3g
Vitamin D 2mcg               10%
Calcium 260mg                20%
Iron 8mg                     45%
Potassium 235mg               6%
"""

LASAGNA = """\
Nutrition Facts
4 servings per container
Serving size 1 cup (227g)
Calories 280
Total Fat 9g 12%
Saturated Fat 4.5g 23%
Trans Fat 0g
Cholesterol 35mg 12%
Sodium 850mg 37%
Total Carbohydrate 34g 12%
Dietary Fiber 4g 14%
Total Sugars 6g
Includes 0g Added Sugars 0%
Protein 15g
Vitamin D 0mcg 0%
Calcium 320mg 25%
Iron 1.6mg 8%
Potassium 510mg 10%
"""

# The figures run into each other, as they do when such a page is copied.
MACARONI = """\
Nutrition Facts
Serving Size 1 cup (228g)
Servings Per Container 2
Amount Per Serving
Calories 250 Calories from Fat 110
% Daily Value*
Total Fat 12g18%
Saturated Fat 3g15%
Trans Fat 3g
Cholesterol 30mg10%
Sodium 470mg20%
Total Carbohydrate 31g10%
Dietary Fiber 0g0%
Sugars 5g
Protein 5g
Vitamin A 4%
Vitamin C 2%
"""

# Daily values of the 2016 rule, 21 CFR 101.9(c)(8)(iv) and (c)(9), in grams, milligrams, mcg.
DAILY_2016 = {
    "fat": 78, "saturated fat": 20, "cholesterol": 300, "sodium": 2300, "carbohydrate": 275,
    "fibre": 28, "added sugars": 50, "vitamin D": 20, "calcium": 1300, "iron": 18,
    "potassium": 4700,
}  # fmt: skip
# Before 2016 (a federal supplement database's table).
DAILY_BEFORE = {
    "fat": 65, "saturated fat": 20, "cholesterol": 300, "sodium": 2400, "carbohydrate": 300,
    "fibre": 25,
}  # fmt: skip
IN_STEPS = {"vitamin D", "calcium", "iron", "potassium"}

SAMPLES = {
    "2016 format": (FORMAT_2016, DAILY_2016),
    "lasagna": (LASAGNA, DAILY_2016),
    "macaroni": (MACARONI, DAILY_BEFORE),
}


def sample(name: str) -> FoodFacts:
    reading = read_label(SAMPLES[name][0])
    assert reading.doubts == ()
    facts = facts_from_label(name, reading)
    assert isinstance(facts, FoodFacts), facts
    return facts


def nearest(value: Fraction, step: int) -> int:
    """Half rounds up: the regulation's own example prints 235 mg of 4,700 (5.0 %) as 6 %."""
    return int((value / step + Fraction(1, 2)) // 1) * step


def per_cent(name: str, share: Fraction) -> int:
    """101.9(d)(7)(ii) nearest 1; for vitamins and minerals (c)(8)(iii) steps of 2, 5, 10."""
    if name not in IN_STEPS:
        return nearest(share, 1)
    return nearest(share, 2 if share <= 10 else 5 if share <= 50 else 10)


def calories(value: Fraction) -> int:
    """101.9(c)(1): to 50 the nearest 5, above 50 the nearest 10."""
    return nearest(value, 5 if value <= 50 else 10)


def portion(facts: FoodFacts, quantity: str, unit: str) -> Fraction:
    found = find_measure(unit)
    assert found is not None
    measure = MeasureWord(found[0], found[1], unit)
    weighed = weigh(facts, Fraction(quantity), measure, facts.name, {})
    assert isinstance(weighed, Weighed), weighed
    counted = count_reference(facts, "total")
    assert isinstance(counted, Counted)
    return counted.result.value * weighed.factor


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        ("2016 format", {
            "energy kcal": 230, "fat": 8, "saturated fat": 1, "trans fat": 0, "cholesterol": 0,
            "sodium": 160, "carbohydrate": 37, "fibre": 4, "sugars": 12, "added sugars": 10,
            "protein": 3, "vitamin D": 2, "calcium": 260, "iron": 8, "potassium": 235,
        }),
        ("lasagna", {
            "energy kcal": 280, "fat": 9, "saturated fat": Fraction("4.5"), "trans fat": 0,
            "cholesterol": 35, "sodium": 850, "carbohydrate": 34, "fibre": 4, "sugars": 6,
            "added sugars": 0, "protein": 15, "vitamin D": 0, "calcium": 320,
            "iron": Fraction("1.6"), "potassium": 510,
        }),
        ("macaroni", {
            "energy kcal": 250, "fat": 12, "saturated fat": 3, "trans fat": 3, "cholesterol": 30,
            "sodium": 470, "carbohydrate": 31, "fibre": 0, "sugars": 5, "protein": 5,
        }),
    ],
)  # fmt: skip
def test_every_printed_figure_of_a_sample_is_kept(name, figures):
    kept = {key: figure.value for key, figure in sample(name).nutrients.items()}
    assert {key: kept.get(key) for key in figures} == figures


@pytest.mark.parametrize(
    ("name", "grams", "household", "servings"),
    [("2016 format", 55, ("2/3", "cup"), 8), ("lasagna", 227, ("1", "cup"), 4),
     ("macaroni", 228, ("1", "cup"), 2)],
)  # fmt: skip
def test_a_samples_serving_and_pack_are_kept(name, grams, household, servings):
    facts = sample(name)
    assert (facts.region, facts.per, facts.fibre_inside) == ("US", "serving", True)
    assert facts.serving_grams == grams
    assert (facts.household_count, facts.household_unit) == (Fraction(household[0]), household[1])
    assert facts.servings_per_pack == servings


@pytest.mark.parametrize("name", SAMPLES)
def test_every_printed_per_cent_follows_from_the_figure_and_the_daily_value(name):
    facts, daily = sample(name), SAMPLES[name][1]
    worked = {
        key: per_cent(key, facts.nutrients[key].value * 100 / value)
        for key, value in daily.items()
        if key in facts.nutrients
    }
    assert len(worked) == len(daily)
    assert {key: facts.percents.get(key) for key in worked} == worked


@pytest.mark.parametrize("name", SAMPLES)
def test_the_calories_follow_from_four_four_nine(name):
    """101.9(c)(1)(i)(B); these samples were made so. A real label may lawfully be lower."""
    grams = {key: figure.value for key, figure in sample(name).nutrients.items()}
    energy = 4 * grams["carbohydrate"] + 4 * grams["protein"] + 9 * grams["fat"]
    assert calories(energy) == grams["energy kcal"]


def test_the_whole_packet_is_eight_servings():
    """Derived: 8 x 37 = 296 g."""
    assert portion(sample("2016 format"), "1", "packet") == 296
    assert portion(sample("2016 format"), "1/2", "container") == 148


def test_a_serving_and_a_half_with_milk_is_the_worked_phrase():
    """Derived: 1.5 x 37 + 9.9 = 65.4 g, the milk being 200 mL at 244 g in 236.588 mL."""
    oats = portion(sample("2016 format"), "1.5", "servings")
    milk = Fraction(200) * 244 / Fraction("236.588") * Fraction("0.048")
    assert oats == Fraction("55.5")
    assert abs(oats + milk - Fraction("65.4")) <= Fraction("0.05")


def test_two_cups_of_lasagna_are_two_servings():
    """Derived: 2 x 34 = 68 g."""
    assert portion(sample("lasagna"), "2", "cups") == 68
    assert portion(sample("macaroni"), "2", "cups") == portion(sample("macaroni"), "1", "box") == 62


def test_two_thirds_of_a_cup_are_one_serving_exactly():
    assert portion(sample("2016 format"), "2/3", "cup") == 37
    assert portion(sample("2016 format"), "1", "cup") == Fraction(37) * 3 / 2
    assert portion(sample("2016 format"), "55", "g") == 37


@pytest.mark.parametrize("name", SAMPLES)
def test_one_line_reads_as_many_lines_do(name):
    text = SAMPLES[name][0]
    one = facts_from_label(name, read_label(" ".join(text.split("\n"))))
    assert isinstance(one, FoodFacts), one
    many = sample(name)
    assert one.nutrients["carbohydrate"] == many.nutrients["carbohydrate"]
    assert one.nutrients["fibre"] == many.nutrients["fibre"]
    assert (one.serving_grams, one.servings_per_pack) == (
        many.serving_grams,
        many.servings_per_pack,
    )


MUESLI = """\
Nutrition        per 100 g     per 40 g serving
Energy    1686 kJ / 401 kcal   674 kJ / 160 kcal
Fat              11 g          4.4 g
Carbohydrate     60 g          24 g
 of which sugars 15 g          6.0 g
Fibre            9 g           3.6 g
Protein          11 g          4.4 g
Salt             0.1 g         0.04 g
"""


def test_an_eu_label_is_kept_per_hundred_grams_with_fibre_outside():
    """Muesli of a Norwegian food table; 17 x 60 + 37 x 11 + 17 x 11 + 8 x 9 = 1,686 kJ proves it.

    Energy factors: Regulation (EU) 1169/2011 Annex XIV. Sugars and salt here are invented.
    """
    facts = facts_from_label("muesli", read_label("EU label\n" + MUESLI))
    assert isinstance(facts, FoodFacts), facts
    assert (facts.per, facts.fibre_inside) == ("100 g", False)
    n = {key: figure.value for key, figure in facts.nutrients.items()}
    assert (n["carbohydrate"], n["fibre"]) == (60, 9)
    assert n["energy kJ"] == 17 * 60 + 37 * 11 + 17 * 11 + 8 * 9
    assert n["energy kcal"] == 4 * 60 + 9 * 11 + 4 * 11 + 2 * 9


def why(text: str) -> str:
    problem = facts_from_label("invented", read_label(text))
    assert isinstance(problem, LabelProblem), problem
    return problem.why


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("US label, serving 40 g, fibre 6 g, protein 3 g", "no-carbohydrate"),
        ("serving 40 g, carbohydrate 27 g, fibre 6 g", "region"),
        ("US label, serving 40 g, carbohydrate 2,7 g, fibre 1 g", "doubt"),
        # A part larger than its whole.
        ("US label, serving 40 g, carbohydrate 6 g, fibre 27 g", "part-over-whole"),
        ("US label, serving 40 g, carbohydrate 12 g, sugars 27 g", "part-over-whole"),
        ("EU label, per 100 g, carbohydrate 12 g, sugars 27 g", "part-over-whole"),
        # More than there is room for.
        ("EU label, per 100 g, carbohydrate 127 g", "over-hundred"),
        # Neither a serving nor 100 g: what the figures are for is not known.
        ("US label, carbohydrate 27 g, fibre 6 g", "doubt"),
    ],
)
def test_a_label_that_cannot_be_counted_from_says_why(text, reason):
    assert why(text) == reason


def column(per, **others) -> Column:
    carbs = Figure(Fraction(27), "g", "27 g", 0, 4)
    return Column(per, {"carbohydrate": carbs}, **others)


@pytest.mark.parametrize(
    ("columns", "reason"),
    [
        ([column(None)], "no-basis"),
        ([column("pack")], "no-basis"),
        ([column("serving"), column("serving")], "columns"),
        ([column("serving", state="packaged"), column("serving", state="prepared")], "columns"),
        ([Column("serving")], "no-carbohydrate"),
        ([], "no-carbohydrate"),
    ],
)
def test_columns_that_leave_the_basis_open_say_why(columns, reason):
    """Only per serving, per 100 g and per 100 ml can be counted from, and only one of each."""
    problem = facts_from_label("invented", LabelReading(tuple(columns), region="US"))
    assert isinstance(problem, LabelProblem)
    assert problem.why == reason


@pytest.mark.parametrize(
    ("region", "per"), [("US", "serving"), ("CA", "serving"), ("EU", "100 g"), ("AU", "100 g")]
)
def test_of_two_columns_the_one_that_the_labels_law_asks_for_is_kept(region, per):
    reading = LabelReading((column("100 g"), column("serving")), region=region)
    facts = facts_from_label("invented", reading)
    assert isinstance(facts, FoodFacts)
    assert facts.per == per


def test_fibre_over_carbohydrate_is_no_slip_where_fibre_stands_outside():
    facts = facts_from_label(
        "bran", read_label("EU label, per 100 g, carbohydrate 20 g, fibre 45 g")
    )
    assert isinstance(facts, FoodFacts)


def test_a_part_may_be_over_its_whole_by_the_rounding_of_both():
    """Sugars that are all of the carbohydrate print equal, or one gram apart."""
    facts = facts_from_label(
        "sweets", read_label("US label, serving 15 g, carbohydrate 12 g, sugars 12 g, fibre 0 g")
    )
    assert isinstance(facts, FoodFacts)


@pytest.mark.parametrize(
    "text",
    [
        "US label, serving 1/2 cup (40 g), carbohydrate 270 g, fibre 6 g",
        "US label, serving 40 g, carbohydrate 72 g, fibre 6 g",
    ],
)
def test_a_serving_cannot_hold_more_carbohydrate_than_it_weighs(text):
    """A slip of a digit: 270 g in a serving of 40 g is no food. No facts, or a failed check."""
    facts = facts_from_label("invented", read_label(text))
    assert isinstance(facts, LabelProblem) or check(facts) != ()


@pytest.mark.parametrize("name", SAMPLES)
def test_a_published_sample_passes_every_check(name):
    assert check(sample(name)) == ()


def test_a_dual_column_label_is_kept_per_serving():
    """101.9(b)(12): the per-container column must not be read as per serving."""
    text = """\
Nutrition Facts
2 servings per container
Serving size 1 cup (255g)
              Per serving    Per container
Calories          220            440
Total Fat       5g   6%       10g  13%
Total Carb.    35g  13%       70g  25%
Dietary Fiber   6g  21%       12g  43%
Total Sugars    7g            14g
Protein         9g            18g
"""
    facts = facts_from_label("soup", read_label(text))
    if isinstance(facts, LabelProblem):
        return
    assert facts.per == "serving"
    assert facts.nutrients["carbohydrate"].value == 35
    assert facts.nutrients["fibre"].value == 6
    assert portion(facts, "1", "container") == 70

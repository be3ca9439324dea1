"""From a reading to a food: which column, what is impossible, what is kept. All are invented."""

from fractions import Fraction

import pytest
from msgspec.structs import fields

from assistant.counting.facts import FoodFacts, Nutrient
from assistant.counting.labels import LabelProblem, facts_from_label, impossible
from grammar.label_nodes import Column, Doubt, Figure, LabelReading, ServingSize


def figures(printed: str) -> dict[str, Figure]:
    """ "fat <1 g; carbohydrate 12.5 g" as the reader gives them."""
    found = {}
    for row in printed.split("; "):
        name, value, unit = row.rsplit(" ", 2)
        bare = value.removeprefix("<")
        decimals = len(bare.partition(".")[2])
        found[name] = Figure(Fraction(bare), unit, row, 0, 1, value != bare, decimals)
    return found


def column(per, printed="carbohydrate 20 g", **others) -> Column:
    return Column(per, figures(printed) if printed else {}, **others)


def read(*columns: Column, region="US", **others):
    return facts_from_label("stew", LabelReading(tuple(columns), region=region, **others))


def facts_of(printed: str, region="US", per=None, **known) -> FoodFacts:
    per = per or ("serving" if region in {"US", "CA", "JP"} else "100 g")
    nutrients = {
        name: Nutrient(f.value, f.unit, f.below, f.decimals) for name, f in figures(printed).items()
    }
    return FoodFacts("stew", region, per, nutrients, **known)


def test_everything_that_the_label_says_is_kept():
    serving = ServingSize("2 slices (80 g, 75 ml)", 0, 9, Fraction(2), "slices", Fraction(80),
                          Fraction(75))  # fmt: skip
    reading = LabelReading(
        (column("serving", "carbohydrate 12.50 g; fibre <1 g; sodium 5 mg",
                percents={"fibre": Fraction(3)}, state="prepared"),),
        region="CA", serving=serving, servings_per_pack=Fraction(6), pack_grams=Fraction(480),
        pack_millilitres=Fraction(450), ingredients=("flour", "salt"), allergens=("wheat",),
        may_contain=("soy",), barcode="123",
    )  # fmt: skip
    assert facts_from_label("rye loaf", reading) == FoodFacts(
        "rye loaf", "CA", "serving",
        {
            "carbohydrate": Nutrient(Fraction("12.5"), "g", False, 2),
            "fibre": Nutrient(Fraction(1), "g", True, 0),
            "sodium": Nutrient(Fraction(5), "mg", False, 0),
        },
        serving_grams=Fraction(80), serving_millilitres=Fraction(75), household_count=Fraction(2),
        household_unit="slices", servings_per_pack=Fraction(6), pack_grams=Fraction(480),
        pack_millilitres=Fraction(450), percents={"fibre": Fraction(3)},
        ingredients=("flour", "salt"), allergens=("wheat",), may_contain=("soy",), barcode="123",
        prepared=True,
    )  # fmt: skip


def test_what_the_label_does_not_say_is_not_known():
    facts = read(column("serving"))
    assert isinstance(facts, FoodFacts)
    said = {
        f.name for f in fields(facts) if getattr(facts, f.name) not in (None, (), {}, False, "")
    }
    assert said == {"name", "region", "per", "nutrients", "source"}


@pytest.mark.parametrize("state", ["packaged", None])
def test_a_column_that_does_not_say_prepared_is_not(state):
    facts = read(column("serving", state=state))
    assert isinstance(facts, FoodFacts)
    assert facts.prepared is False


def test_a_serving_in_weight_alone_has_no_household_count():
    """A count without a measure ("1 (40 g)") is a count of nothing."""
    serving = ServingSize("40 g", 0, 4, Fraction(1), None, Fraction(40))
    facts = read(column("serving"), serving=serving)
    assert isinstance(facts, FoodFacts)
    assert (facts.household_count, facts.household_unit) == (None, None)
    assert facts.serving_grams == 40


# Which column is counted from: US, Canada and Japan per serving first, the others per 100 g or ml.
COLUMNS = [
    ("US", ["serving", "100 g"], "serving"), ("US", ["100 g", "serving"], "serving"),
    ("CA", ["100 ml", "serving"], "serving"), ("JP", ["100 g", "serving"], "serving"),
    ("US", ["100 g"], "100 g"), ("US", ["100 ml"], "100 ml"), ("US", ["100 ml", "100 g"], "100 g"),
    ("EU", ["serving", "100 g"], "100 g"), ("UK", ["serving", "100 ml"], "100 ml"),
    ("AU", ["serving"], "serving"), ("NZ", ["100 ml", "100 g"], "100 g"),
    ("EU", ["pack", "100 g"], "100 g"), ("US", ["pack", "serving"], "serving"),
]  # fmt: skip


@pytest.mark.parametrize(("region", "pers", "kept"), COLUMNS)
def test_the_column_of_the_labels_law_is_kept(region, pers, kept):
    facts = read(*(column(per) for per in pers), region=region)
    assert isinstance(facts, FoodFacts)
    assert facts.per == kept


@pytest.mark.parametrize(
    ("region", "first", "kept"), [("US", "serving", "100 g"), ("EU", "100 g", "serving")]
)
def test_a_column_without_carbohydrate_is_passed_over(region, first, kept):
    facts = read(column(first, "protein 3 g"), column(kept), region=region)
    assert isinstance(facts, FoodFacts)
    assert facts.per == kept


STATES = [column("serving", state="packaged"), column("100 g", state="prepared")]
PROBLEMS = [
    ([], "US", "no-carbohydrate"), ([column("serving", "protein 3 g")], "US", "no-carbohydrate"),
    ([column("serving", "protein 3 g")], None, "no-carbohydrate"),
    ([column("serving")], None, "region"),
    ([column("pack")], "US", "no-basis"), ([column(None)], "EU", "no-basis"),
    ([column("serving", "protein 3 g"), column("pack")], "US", "no-basis"),
    # which of two columns of one kind, or as packaged or as prepared, is for the user to say
    ([column("serving"), column("serving")], "US", "columns"),
    (STATES, "US", "columns"), (STATES[::-1], "EU", "columns"),
    ([column("serving", state="packaged"), column("100 g")], "US", "columns"),
]  # fmt: skip


@pytest.mark.parametrize(("columns", "region", "why"), PROBLEMS)
def test_what_keeps_a_label_from_being_counted_is_told(columns, region, why):
    assert read(*columns, region=region) == LabelProblem(why)


def test_a_doubt_of_the_reading_comes_before_all_else():
    assert read(doubts=(Doubt("figure", "2,7", 0, 3),)) == LabelProblem("doubt")
    assert read(column("serving"), doubts=(Doubt("figure", "2,7", 0, 3),)) == LabelProblem("doubt")


# A part larger than its whole; a gram is left for the rounding of both.
PARTS = [
    ("US", "sugars", "carbohydrate"), ("US", "fibre", "carbohydrate"),
    ("US", "added sugars", "sugars"), ("US", "saturated fat", "fat"),
    ("EU", "sugars", "carbohydrate"), ("EU", "saturated fat", "fat"),
]  # fmt: skip


@pytest.mark.parametrize(("region", "part", "whole"), PARTS)
def test_a_part_larger_than_its_whole_is_impossible(region, part, whole):
    told = LabelProblem("part-over-whole", part, whole)
    assert impossible(facts_of(f"{part} 12 g; {whole} 10 g", region)) == told
    assert impossible(facts_of(f"{part} 11.1 g; {whole} 10 g", region)) == told
    assert impossible(facts_of(f"{part} 11 g; {whole} 10 g", region)) is None
    assert impossible(facts_of(f"{part} 12000 mg; {whole} 10 g", region)) == told
    assert impossible(facts_of(f"{part} 11000 mg; {whole} 10 g", region)) is None
    # in another unit, or without the other, nothing can be compared
    assert impossible(facts_of(f"{part} 12 mcg; {whole} 10 g", region)) is None
    assert impossible(facts_of(f"{part} 90 g", region)) is None
    assert impossible(facts_of(f"{whole} 0 g", region)) is None


def test_fibre_may_be_more_than_the_carbohydrate_where_it_stands_outside():
    assert impossible(facts_of("fibre 40 g; carbohydrate 10 g", "EU")) is None


# Sugars, sugar alcohol and fibre (where it is inside) together; one and a half grams for the
# rounding of three.
TOGETHER = LabelProblem(
    "part-over-whole", "sugars, sugar alcohol and fibre together", "carbohydrate"
)


@pytest.mark.parametrize(
    ("printed", "region", "problem"),
    [
        ("sugars 4 g; polyols 4 g; fibre 4 g; carbohydrate 10 g", "US", TOGETHER),
        ("sugars 4 g; polyols 4 g; fibre 3.5 g; carbohydrate 10 g", "US", None),
        ("sugars 4 g; polyols 4 g; fibre 3.6 g; carbohydrate 10 g", "US", TOGETHER),
        ("sugars 6 g; polyols 6 g; carbohydrate 10 g", "US", TOGETHER),
        ("sugars 6 g; fibre 6 g; carbohydrate 10 g", "US", TOGETHER),
        ("polyols 6 g; fibre 6 g; carbohydrate 10 g", "US", TOGETHER),
        ("polyols 12 g; carbohydrate 10 g", "US", TOGETHER),
        ("polyols 11.5 g; carbohydrate 10 g", "US", None),
        ("sugars 6 g; polyols 6 g; carbohydrate 10 g", "EU", TOGETHER),
        ("sugars 6 g; fibre 6 g; carbohydrate 10 g", "EU", None),
        ("sugars 6 g; polyols 6 g; fibre 6 g", "US", None),
        ("carbohydrate 0 g", "US", None),
    ],
)  # fmt: skip
def test_the_parts_of_carbohydrate_together_fit_in_it(printed, region, problem):
    assert impossible(facts_of(printed, region)) == problem


@pytest.mark.parametrize("name", ["carbohydrate", "protein", "fibre"])
def test_no_nutrient_weighs_more_than_what_it_is_in(name):
    """A gram is left for the rounding of both."""
    for region, weight, known in (
        ("EU", "100", {}), ("US", "40", {"serving_grams": Fraction(40)}),
        ("EU", "100", {"serving_grams": Fraction(40)}),
    ):  # fmt: skip
        most = int(weight) + 1
        told = LabelProblem("over-hundred", name)
        assert impossible(facts_of(f"{name} {most} g", region, **known)) is None
        assert impossible(facts_of(f"{name} {most}.1 g", region, **known)) == told
        assert impossible(facts_of(f"{name} {most}001 mg", region, **known)) == told


def test_what_has_no_weight_to_be_compared_with_is_not_judged():
    assert impossible(facts_of("carbohydrate 500 g")) is None
    heavy = facts_of("carbohydrate 130 g", "EU", "100 ml", serving_grams=Fraction(40))
    assert impossible(heavy) is None
    assert impossible(facts_of("energy kJ 1700 kJ; vitamin A 900 mcg", "EU")) is None
    assert impossible(facts_of("vitamin A 150000 mcg; vitamin D 150000 IU", "EU")) is None


def test_every_row_is_weighed_and_not_the_first_alone():
    facts = facts_of("fat 3 g; energy kJ 1700 kJ; protein 300 g", "EU")
    assert impossible(facts) == LabelProblem("over-hundred", "protein")


# Two columns of one label by its own serving size: a gram, or a tenth of what is expected, apart.
# 50 g a hundred and 80 g a serving are 40 g, and 36 to 44 pass; 10 g a hundred are 8: 7 to 9.
AGREE = [
    ("50", "36", True), ("50", "44", True), ("50", "35.9", False), ("50", "44.1", False),
    ("10", "7", True), ("10", "9", True), ("10", "6.9", False), ("10", "9.1", False),
]  # fmt: skip


@pytest.mark.parametrize(("hundred", "serving", "agree"), AGREE)
@pytest.mark.parametrize(("per", "unit"), [("100 g", "grams"), ("100 ml", "millilitres")])
def test_two_columns_agree_by_the_serving_size(per, unit, hundred, serving, agree):
    size = ServingSize("80", 0, 2, **{unit: Fraction(80)})
    for region in ("US", "EU"):
        found = read(
            column(per, f"carbohydrate {hundred} g"),
            column("serving", f"carbohydrate {serving} g"),
            region=region, serving=size,
        )  # fmt: skip
        assert isinstance(found, FoodFacts) == agree
        assert agree or found == LabelProblem("columns-disagree")


@pytest.mark.parametrize(
    ("per", "size"),
    [
        ("100 g", {"millilitres": Fraction(80)}), ("100 ml", {"grams": Fraction(80)}),
        ("100 g", {}), ("pack", {"grams": Fraction(80)}),
    ],
)  # fmt: skip
def test_two_columns_without_a_size_between_them_are_not_compared(per, size):
    far = (column(per, "carbohydrate 50 g"), column("serving", "carbohydrate 5 g"))
    assert isinstance(read(*far, serving=ServingSize("x", 0, 1, **size)), FoodFacts)
    assert isinstance(read(*far), FoodFacts)


def test_a_column_without_carbohydrate_is_not_compared():
    size = ServingSize("80 g", 0, 4, grams=Fraction(80), millilitres=Fraction(80))
    for other in ("100 g", "100 ml"):
        one = read(column("serving"), column(other, "protein 3 g"), serving=size)
        assert isinstance(one, FoodFacts)
        two = read(column("serving", "protein 3 g"), column(other), serving=size)
        assert isinstance(two, FoodFacts)


def test_each_of_three_columns_is_compared():
    size = ServingSize("80 g", 0, 4, grams=Fraction(80), millilitres=Fraction(80))
    good, bad = "carbohydrate 25 g", "carbohydrate 90 g"
    for hundred, volume in ((good, bad), (bad, good)):
        found = read(
            column("serving"), column("100 g", hundred), column("100 ml", volume), serving=size
        )
        assert found == LabelProblem("columns-disagree")


def test_what_is_impossible_is_told_before_what_disagrees():
    size = ServingSize("80 g", 0, 4, grams=Fraction(80))
    found = read(
        column("serving", "carbohydrate 20 g; sugars 40 g"), column("100 g", "carbohydrate 90 g"),
        serving=size,
    )  # fmt: skip
    assert found == LabelProblem("part-over-whole", "sugars", "carbohydrate")


def test_a_problem_names_a_part_and_a_whole_only_where_it_is_about_them():
    problem = read(column("serving"), region=None)
    assert isinstance(problem, LabelProblem)
    assert (problem.why, problem.part, problem.whole) == ("region", "", "")

"""What one row of portions tells, on rows of the USDA National Nutrient Database, release 28 (file
WEIGHT: amount, measure, grams; public domain) and of its copy in FoodData Central."""

from fractions import Fraction

import pytest

from assistant.importing.figures import amount, count
from assistant.importing.usda import portions


def read(amount, words, grams):
    return [(m.count, m.unit, m.how, m.grams) for m in portions(amount, "", words, "", grams)]


@pytest.mark.parametrize(
    ("amount", "words", "grams", "counted", "how"),
    [
        ("4", "cracker 1 serving", "14.0", (4, "cracker"), ""),  # 18228, water biscuits
        ("16", "crackers 1 serving", "34", (16, "cracker"), ""),
        ("6", "cookies 1 serving", "30", (6, "cookie"), ""),
        ("2", "waffles 1 serving", "70", (2, "waffle"), ""),
        ("3", "links 1 NLEA serving", "60", (3, "link"), "NLEA"),
        (".125", 'crust 1 serving (from 9" shell)', "21", (Fraction(1, 8), "crust"), ""),
        ("5", "pieces 1 serving", "145", (5, "piece"), ""),
        (".33", "cup 1 serving", "41", (Fraction(1, 3), "cup"), ""),
        ("1", "package 1 serving", "40", (1, "package"), ""),
    ],
)
def test_so_many_are_one_serving(amount, words, grams, counted, how):
    assert read(amount, words, grams) == [
        (*counted, "", Fraction(grams)),
        (1, "serving", how, Fraction(grams)),
    ]


def test_a_serving_told_by_weight_is_one_serving():
    """A weight needs no measure: ".99 oz 1 serving" is 28 g."""
    assert read(".99", "oz 1 serving", "28") == [(1, "serving", "", 28)]
    assert read("56", "grams 1 serving", "56") == [(1, "serving", "", 56)]


def test_a_serving_tells_what_it_is():
    crackers, serving = portions("4", "", "cracker 1 serving", "", "14.0")
    assert (crackers.note, serving.note) == ("1 serving", "4 cracker")
    half, _ = portions(".5", "", "piece bagel 1 serving", "", "43")
    assert (half.count, half.unit, half.how) == (Fraction(1, 2), "piece", "bagel")


def test_a_serving_that_may_be_one_or_three_is_none():
    """FoodData Central, 167915: 3 "serving (3 oz)" is 85.0 g, and 3 oz are 85 g."""
    assert read("3.0", "serving (3 oz)", "85.0") == []


def test_servings_that_were_right_stay():
    assert read("1", "NLEA serving", "28") == [(1, "serving", "NLEA", 28)]
    assert read("1", "serving 1 roll with icing", "44") == [(1, "serving", "", 44)]
    assert read("1", "medium serving", "117") == [(1, "medium serving", "", 117)]
    assert read("1", "package 4 servings", "32") == [(1, "package", "", 32)]


def test_a_size_among_figures_is_no_size():
    """15172, scallop: "unit 2 large or 5 small" is 30 g, which no small one weighs."""
    ((_, unit, _, _),) = read("1", "unit 2 large or 5 small", "30")
    assert not unit.startswith("small")


@pytest.mark.parametrize(
    ("text", "part"),
    [(".333", "1/3"), ("1.33", "4/3"), (".667", "2/3"), (".167", "1/6"), ("0.16", "1/6"),
     (".125", "1/8"), ("0.12", "1/8"), (".083", "1/12"), ("0.08", "1/12"), ("0.35", "7/20"),
     ("7.5", "15/2"), ("16.0", "16")],
)  # fmt: skip
def test_parts_of_a_whole_as_the_us_tables_cut_them_off(text, part):
    """.125 pie (1/8 of 9 in pie), .167 "loaf 1/6 of the loaf" and .083 package in release 28 are
    0.12, 0.16 and 0.08 in FoodData Central."""
    assert count(text) == Fraction(part)


@pytest.mark.parametrize("text", ["0.33", "0.333", "0.66", "0.67", "0.667", "0.12", "0.08", "0.3"])
def test_a_weight_is_the_figure_that_is_written(text):
    assert amount(text) == Fraction(text)

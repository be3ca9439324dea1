"""Every doubt code of the label reader: what raises it, what is then kept out of the columns.

Each line is one invented label with one fault. The faulty nutrient may have no figure; a sound one
beside it keeps its own. Comma readings follow the house rule: decimal on European labels, thousands
for kJ, kcal and mg on American, Canadian and Australian ones, a question everywhere else.
"""

from fractions import Fraction

import pytest

from grammar.label_nodes import LabelReading
from grammar.labels import LONGEST, read_label

US = "US label, serving 40 g, protein 3 g, "
EU = "EU label, per 100 g: protein 3 g, "
AU = "Australian label, per 100 g: protein 3 g, "

ONE_FAULT = [
    # text behind the lead, code, words of the doubt, readings
    (US, "carbohydrate 27,5 g", "comma", "carbohydrate 27,5 g", ("27.5 g",)),
    (US, "fat 1,200 g", "comma", "fat 1,200 g", ("1.200 g", "1200 g")),
    (EU, "energy 1,686 kJ", "comma", "energy 1,686 kJ", ("1.686 kJ", "1686 kJ")),
    (EU, "energy 1.686 kJ", "comma", "energy 1.686 kJ", ("1.686 kJ", "1686 kJ")),
    (EU, "cholesterol 1,200 mg", "comma", "cholesterol 1,200 mg", ("1.200 mg", "1200 mg")),
    (AU, "carbohydrate 4,8 g", "comma", "carbohydrate 4,8 g", ("4.8 g",)),
    (US, "carbohydrate O g", "ocr", "carbohydrate O g", ("0 g",)),
    (US, "carbohydrate lg", "ocr", "carbohydrate lg", ("1 g",)),
    (US, "carbohydrate 1O g", "ocr", "carbohydrate 1O g", ("10 g",)),
    (US, "carbohydrate 2Og", "ocr", "carbohydrate 2Og", ("20 g",)),
    (US, "carbohydrate l2 g", "ocr", "carbohydrate l2 g", ("12 g",)),
    (US, "carbohydrate S5 g", "ocr", "carbohydrate S5 g", ("55 g",)),
    (US, "carbohydrate 8q", "ocr", "carbohydrate 8q", ("8 g",)),
    (US, "sodium 160rng", "ocr", "sodium 160rng", ("160 mg",)),
    (US, "Calories 23O", "ocr", "Calories 23O", ("230",)),
    (US, "Total Fat 89", "ocr", "Total Fat 89", ("89 g", "8 g")),
    (US, "carbohydrate 27", "no-unit", "carbohydrate 27", ()),
    (US, "energy 230", "no-unit", "energy 230", ()),
    (EU, "energy 1 686 kJ", "apart", "energy 1 686 kJ", ()),
    (US, "carbohydrate 2 7 g", "apart", "carbohydrate 2 7 g", ()),
    (US, "carbohydrate", "no-figure", "carbohydrate", ()),
    (US, "carbohydrate 9%", "no-figure", "carbohydrate 9%", ()),
    (US, "carbohydrate 27 mg", "unit", "carbohydrate 27 mg", ()),
    (US, "sodium 160 g", "unit", "sodium 160 g", ()),
    (US, "energy 20 g", "unit", "energy 20 g", ()),
    (US, "carbohydrate -8 g", "negative", "carbohydrate -8 g", ()),
    (US, "carbohydrate 5-6 g", "range", "carbohydrate 5-6 g", ()),
    (US, "carbohydrate 5 to 6 g", "range", "carbohydrate 5 to 6 g", ()),
    (US, "carbohydrate 1/2 g", "fraction", "carbohydrate 1/2 g", ()),
    (US, "carbohydrate 1.2.3 g", "number", "carbohydrate 1.2.3 g", ()),
    (US, "carbohydrate 27gx", "no-unit", "carbohydrate 27", ()),
    (US, "Calories 23x", "number", "Calories 23x", ()),
    (US, "carbohydrate 1234567890 g", "huge", "carbohydrate 1234567890 g", ()),
    (US, "carbohydrate 27 g 30 g", "columns", "carbohydrate 27 g 30 g", ()),
    (US, "carbohydrate 27 g, carbohydrate 28 g", "twice", "carbohydrate 28 g", ("27 g", "28 g")),
    (US, "impact carbs 3 g", "name", "impact carbs 3 g", ()),
]


def codes(reading: LabelReading) -> list[str]:
    return [doubt.code for doubt in reading.doubts]


@pytest.mark.parametrize(("lead", "text", "code", "said", "readings"), ONE_FAULT)
def test_a_fault_is_told_and_its_figure_is_not_given(
    lead: str, text: str, code: str, said: str, readings: tuple[str, ...]
) -> None:
    reading = read_label(lead + text)
    found = {(doubt.code, doubt.said, doubt.readings) for doubt in reading.doubts}
    assert (code, said, readings) in found
    (column,) = reading.columns
    assert set(column.figures) == {"protein"}
    assert column.figures["protein"].value == 3


@pytest.mark.parametrize(("lead", "text", "code", "said", "readings"), ONE_FAULT)
def test_the_label_without_the_fault_has_no_doubt(
    lead: str, text: str, code: str, said: str, readings: tuple[str, ...]
) -> None:
    assert read_label(lead.rstrip(", ")).doubts == ()


def test_commas_are_read_where_the_law_settles_them() -> None:
    american = read_label(US + "sodium 1,200 mg, Calories 1,230")
    assert american.doubts == ()
    assert american.columns[0].figures["sodium"].value == 1200
    assert american.columns[0].figures["energy kcal"].value == 1230
    assert read_label(AU + "energy 1,686 kJ").columns[0].figures["energy kJ"].value == 1686
    european = read_label(EU + "carbohydrate 4,85 g").columns[0].figures["carbohydrate"]
    assert (european.value, european.decimals) == (Fraction("4.85"), 2)


def test_a_figure_stated_twice_alike_is_one_figure() -> None:
    reading = read_label(US + "carbohydrate 27 g, carbohydrate 27 g")
    assert reading.doubts == ()
    assert reading.columns[0].figures["carbohydrate"].value == 27


def test_a_nutrient_clear_in_one_place_and_unclear_in_another_is_not_given() -> None:
    reading = read_label(US + "carbohydrate 27 g, carbohydrate 2O g")
    assert codes(reading) == ["ocr"]
    assert set(reading.columns[0].figures) == {"protein"}


def test_two_labels_in_one_paste_are_told_and_neither_is_counted() -> None:
    one = "Nutrition Facts\nServing size 40 g\nTotal Fat {} g\nTotal Carbohydrate {} g\n"
    reading = read_label(one.format(3, 20) + one.format(4, 30))
    assert "two-labels" in codes(reading)
    assert all(not column.figures for column in reading.columns)


def test_two_barcodes_are_two_labels() -> None:
    reading = read_label(US + "barcode 4006381333931, barcode 96385074")
    assert codes(reading) == ["two-labels"]
    assert reading.barcode is None


def test_a_label_that_says_no_basis_is_asked_about() -> None:
    reading = read_label("carbohydrate 27 g, fibre 6 g")
    assert [(doubt.code, doubt.said) for doubt in reading.doubts] == [("per", "carbohydrate 27 g")]
    assert [column.per for column in reading.columns] == [None]


@pytest.mark.parametrize(
    "text",
    [
        "fat 3 g per serving, carbohydrate 60 g per 100 g",
        "per 100 g: carbohydrate 60 g, fibre 3 g per serving",
        "carbohydrate 27 g per serving of 40 g, fibre 6 g",
    ],
)
def test_a_basis_that_could_belong_to_either_side_is_given_to_none(text: str) -> None:
    reading = read_label(text)
    assert "per" in codes(reading)
    carbohydrate = [c for c in reading.columns if "carbohydrate" in c.figures]
    assert [column.per for column in carbohydrate] == [None]


def test_a_basis_behind_all_figures_is_theirs() -> None:
    reading = read_label("carbohydrate 60 g, fibre 9 g per 100 g")
    assert reading.doubts == ()
    assert [column.per for column in reading.columns] == ["100 g"]


@pytest.mark.parametrize(
    "text",
    [
        US + "27 g carbohydrate, 6 g fibre",
        "per serving: 27 g carbohydrate, 6 g fibre",
        "27 g carbohydrate\n6 g fibre\n3 g fat",
        "27 g carbohydrate 6 g fibre",
        "serving 40 g, carbohydrate, 6 g fibre",
        "0 g trans fat\nNutrition Facts\nServing size 40 g\nTotal Fat 3 g",
    ],
)
def test_figures_in_front_of_their_names_are_never_read_as_the_neighbours(text: str) -> None:
    reading = read_label(text)
    assert "order" in codes(reading)
    assert all(not column.figures for column in reading.columns)


@pytest.mark.parametrize(
    ("text", "said", "shown"),
    [
        ("US label, per 100 g: carbohydrate 60 g, of which sugars 4 g, salt 0.5 g", "US", "EU"),
        ("EU label, serving 40 g, Total Carbohydrate 27g 9% Daily Value", "EU", "US"),
        ("UK label, Servings per package: 9, serving 40 g, carbohydrate 27 g", "UK", "AU"),
    ],
)
def test_words_and_layout_that_disagree_on_the_law_are_told(
    text: str, said: str, shown: str
) -> None:
    reading = read_label(text)
    (doubt,) = [doubt for doubt in reading.doubts if doubt.code == "region"]
    assert doubt.readings == (said, shown)


def test_two_named_regions_leave_the_region_open() -> None:
    reading = read_label("US label, EU label, serving 40 g, carbohydrate 27 g")
    assert codes(reading) == ["region"]
    assert reading.region is None


@pytest.mark.parametrize(
    "text",
    [
        "serving 1 cup (40 g), portion 35 g, carbohydrate 27 g",
        "serving 40 g / 41 g, carbohydrate 27 g",
        "Per 1 cup (55 g) / pour 1 tasse (50 g)\nCarbohydrate / Glucides 44 g",
    ],
)
def test_two_sizes_of_one_serving_are_told(text: str) -> None:
    assert "serving" in codes(read_label(text))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("serving 4O g, fat 1 g", "ocr"),
        ("serving 30-40 g, fat 1 g", "range"),
        ("US label, serving 27,5 g, fat 1 g", "comma"),
        ("serving 0 g, fat 1 g", "serving"),
    ],
)
def test_an_unclear_serving_is_told_and_has_no_grams(text: str, code: str) -> None:
    reading = read_label(text)
    assert code in codes(reading)
    assert reading.serving is None or reading.serving.grams is None


def test_two_counts_of_servings_are_told() -> None:
    assert codes(read_label("serving 40 g, 9 servings, 8 servings, fat 1 g")) == ["servings"]
    assert codes(read_label("serving 40 g, 8-9 servings, fat 1 g")) == ["range"]


def test_a_barcode_with_a_wrong_check_digit_is_not_kept() -> None:
    reading = read_label(US + "barcode 4006381333932")
    assert codes(reading) == ["barcode"]
    assert reading.barcode is None


def test_a_row_that_does_not_fit_the_columns_is_told() -> None:
    reading = read_label("per 100 g per 30 g portion\nCarbohydrate 60 g 18 g\nFibre 9 g")
    assert [(doubt.code, doubt.said) for doubt in reading.doubts] == [("columns", "Fibre 9 g")]
    assert all(set(column.figures) == {"carbohydrate"} for column in reading.columns)


def test_a_text_longer_than_any_label_is_refused() -> None:
    text = "x" * (LONGEST + 1)
    (doubt,) = read_label(text).doubts
    assert (doubt.code, doubt.start) == ("too-long", 0)
    assert text[doubt.start : doubt.end] == doubt.said
    assert codes(read_label("x" * LONGEST)) == []

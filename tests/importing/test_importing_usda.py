"""The layouts of the US tables. What the columns hold: the headers of the published downloads.

The foods are invented. Where a layout is known from memory alone, that is said.
"""

import gzip
import json
import zipfile
from fractions import Fraction

import pytest
from small_tables import (
    AMOUNTS,
    BRANDED,
    FOODS,
    NUTRIENTS,
    PORTIONS,
    RELEASE_28,
    UNITS_28,
    central,
    release_28,
)

from assistant.importing.usda import portions


def carbohydrate(facts):
    return facts.nutrients["carbohydrate"].value


def test_the_folder_of_csv_files(take, tmp_path):
    layout, foods, faults = take(central(tmp_path / "fdc"))
    assert layout == "usda-csv"
    assert set(foods) == {
        "sr:09279", "fndds:56200000", "foundation:20001",
        "gtin:02100000000012", "gtin:02001234567893", "fdc:9",
    }  # fmt: skip
    plum = foods["sr:09279"]
    assert (plum.region, plum.per, plum.dated) == ("table-total", "100 g", "2019-04-01")
    assert "SR Legacy" in plum.source
    assert "public domain" in plum.licence
    assert plum.fibre_inside
    assert carbohydrate(plum) == Fraction("11.4")
    assert [(m.unit, m.how, m.note, m.grams) for m in plum.extra] == [
        ("cup", "sliced", "", 165), ("fruit", "", "2-1/8 in dia", 66),
    ]  # fmt: skip
    assert [(f.why, f.said) for f in faults] == [
        ("carbohydrate-by-sum", "Seeds, mill"),
        ("no-carbohydrate", "Nothing stated"),
        ("barcode", "2001234567890"),
    ]


def test_the_surveys_figures_stand_under_the_old_numbers(take, tmp_path):
    _, foods, _ = take(central(tmp_path / "fdc"))
    porridge = foods["fndds:56200000"]
    assert carbohydrate(porridge) == 12
    assert porridge.nutrients["fibre"].value == Fraction("1.7")
    # "quantity not specified" is a guess of the survey, and no measure
    assert [(m.count, m.unit, m.how, m.grams) for m in porridge.extra] == [
        (1, "cup", "cooked", 240)
    ]


def test_an_old_number_that_is_an_id_of_something_else_is_not_taken_for_it(take, tmp_path):
    table = (*NUTRIENTS, ("205", "Odd", "UG", "999", "1"))
    _, foods, _ = take(central(tmp_path / "fdc", nutrient=table))
    assert "fndds:56200000" not in foods


def test_newer_fibre_stands_in_where_the_older_is_missing(take, tmp_path):
    _, foods, _ = take(central(tmp_path / "fdc"))
    assert foods["foundation:20001"].nutrients["fibre"].value == Fraction("9.5")
    both = (*AMOUNTS, ("15", "3", "1079", "9.0", "", ""))
    _, foods, _ = take(central(tmp_path / "both", food_nutrient=both))
    assert foods["foundation:20001"].nutrients["fibre"].value == 9


def test_fibre_that_is_not_stated_is_unknown(take, tmp_path):
    _, foods, _ = take(central(tmp_path / "fdc"))
    assert "fibre" not in foods["gtin:02001234567893"].nutrients


def test_a_weight_is_for_the_whole_amount(take, tmp_path):
    _, foods, _ = take(central(tmp_path / "fdc"))
    (spoons,) = foods["foundation:20001"].extra
    assert (spoons.count, spoons.unit, spoons.grams) == (2, "tablespoon", Fraction("33.9"))


def test_of_one_barcode_the_newest_stands(take, tmp_path):
    for folder, rows in (("fdc", FOODS), ("turned", (FOODS[0], *reversed(FOODS[1:])))):
        _, foods, _ = take(central(tmp_path / folder, food=rows))
        bar = foods["gtin:02100000000012"]
        assert (carbohydrate(bar), bar.dated) == (Fraction("62.5"), "2024-06-01")
        assert bar.barcode == "02100000000012"


def test_a_branded_figure_may_be_off_by_half_a_gram_in_a_serving(take, tmp_path):
    """21 CFR 101.9(c)(6): the label's carbohydrate is to the nearest gram."""
    _, foods, _ = take(central(tmp_path / "fdc"))
    bar = foods["gtin:02100000000012"]
    assert bar.nutrients["carbohydrate"].off_by == Fraction(1, 2) * 100 / 40
    assert [(m.count, m.unit, m.grams) for m in bar.extra] == [(1, "serving", 40), (1, "bar", 40)]
    assert bar.name == "OAT BAR, HILLMOOR MILL"


def test_a_serving_in_millilitres_has_figures_per_100_ml(take, tmp_path):
    _, foods, _ = take(central(tmp_path / "fdc"))
    drink = foods["gtin:02001234567893"]
    assert drink.per == "100 ml"
    assert [(m.unit, m.grams, m.millilitres) for m in drink.extra] == [
        ("serving", None, 240), ("cup", None, 240),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("column", "value", "why"),
    [(5, "IU", "other-unit"), (5, "", "other-unit"), (7, "New Zealand", "other-market")],
)
def test_a_product_on_another_basis_is_left_out(take, tmp_path, column, value, why):
    odd = list(BRANDED[3])
    odd[column] = value
    rows = (*BRANDED[:3], tuple(odd))
    _, foods, faults = take(central(tmp_path / "fdc", branded_food=rows))
    assert "fdc:9" not in foods
    assert why in {f.why for f in faults}


def test_a_nutrient_in_another_unit_is_not_read(take, tmp_path):
    table = tuple(("1079", "Fiber", "MG", "291", "1") if r[0] == "1079" else r for r in NUTRIENTS)
    _, foods, faults = take(central(tmp_path / "fdc", nutrient=table))
    assert "fibre" not in foods["sr:09279"].nutrients
    assert faults[0].why == "other-unit"


def test_columns_are_read_by_name(take, tmp_path):
    def moved(rows):
        return tuple(tuple(reversed(row)) for row in rows)

    straight = take(central(tmp_path / "a"))
    turned = take(central(tmp_path / "b", food=moved(FOODS), food_nutrient=moved(AMOUNTS),
                          food_portion=moved(PORTIONS), branded_food=moved(BRANDED)))  # fmt: skip
    assert turned == straight


def test_names_are_cleaned(take, tmp_path):
    name = "Plum\x1b[31m \u202emill\u202c, \x07raw\x00"
    rows = tuple((*r[:2], name, *r[3:]) if r[0] == "1" else r for r in FOODS)
    _, foods, _ = take(central(tmp_path / "fdc", food=rows))
    assert foods["sr:09279"].name == "Plum mill , raw"


def test_an_archive_is_read_as_its_folder(take, tmp_path):
    folder = central(tmp_path / "fdc")
    with zipfile.ZipFile(tmp_path / "fdc.zip", "w") as archive:
        for path in folder.iterdir():
            archive.write(path, f"FoodData/{path.name}")
    assert take(tmp_path / "fdc.zip") == take(folder)


def test_figures_that_are_none_leave_the_row_out(take, tmp_path):
    rows = tuple((*r[:3], "eleven", *r[4:]) if r[0] == "1" else r for r in AMOUNTS)
    _, foods, faults = take(central(tmp_path / "fdc", food_nutrient=rows))
    assert "sr:09279" not in foods
    assert (faults[0].file, faults[0].line, faults[0].why) == ("food.csv", 2, "not-a-figure")


JSON_FOOD = {
    "fdcId": 900, "description": "Plum, mill", "publicationDate": "4/18/2024", "ndbNumber": 9279,
    "foodNutrients": [
        {"nutrient": {"id": 1005, "number": "205", "unitName": "g"}, "amount": 11.4},
        {"nutrient": {"id": 1079, "number": "291", "unitName": "g"}, "amount": 1.40},
        {"nutrient": {"id": 1093, "number": "307", "unitName": "mg"}, "amount": 0},
        {"nutrient": {"id": 1050, "number": "205.2", "unitName": "g"}, "amount": 9},
    ],
    "foodPortions": [
        {"amount": 0.5, "measureUnit": {"name": "undetermined"}, "modifier": "cup, sliced",
         "gramWeight": 82.5},
    ],
}  # fmt: skip
"""The keys of the JSON downloads, from memory."""


@pytest.mark.parametrize(
    ("key", "identity"),
    [("FoundationFoods", "foundation:09279"), ("SRLegacyFoods", "sr:09279")],
)
def test_json(take, written, key, identity):
    layout, foods, faults = take(written("foods.json", json.dumps({key: [JSON_FOOD]})))
    assert (layout, faults, list(foods)) == ("usda-json", [], [identity])
    facts = foods[identity]
    assert carbohydrate(facts) == Fraction("11.4")  # the digits of the file, no binary fraction
    assert facts.dated == "2024-04-18"
    assert [(m.count, m.told, m.grams) for m in facts.extra] == [
        (Fraction(1, 2), "cup, sliced", Fraction("82.5"))
    ]


def test_json_of_survey_foods(take, written):
    food = {**JSON_FOOD, "foodCode": 63000000, "foodPortions": [
        {"portionDescription": "1 cup, sliced", "modifier": "10205", "gramWeight": 165,
         "measureUnit": {"name": "undetermined"}},
        {"portionDescription": "Quantity not specified", "modifier": "90000", "gramWeight": 66},
    ]}  # fmt: skip
    _, foods, _ = take(written("survey.json", json.dumps({"SurveyFoods": [food]})))
    assert [(m.count, m.told) for m in foods["fndds:63000000"].extra] == [(1, "cup, sliced")]


def test_json_of_branded_foods(take, written):
    food = {
        **JSON_FOOD, "gtinUpc": "2100000000012", "servingSize": 40, "servingSizeUnit": "g",
        "householdServingFullText": "1 bar", "brandName": "Hillmoor Mill",
    }  # fmt: skip
    _, foods, faults = take(written("branded.json", json.dumps({"BrandedFoods": [food]})))
    assert (list(foods), faults) == (["gtin:02100000000012"], [])


def test_json_that_ends_too_early_gives_what_stands_before(take, written):
    whole = json.dumps({"FoundationFoods": [JSON_FOOD, {**JSON_FOOD, "ndbNumber": 2}]})
    _, foods, faults = take(written("cut.json", whole[:-40]))
    assert list(foods) == ["foundation:09279"]
    assert [f.why for f in faults] == ["not-json"]


@pytest.mark.parametrize(
    "food",
    [{}, [], None, 3, "x", {"description": {}}, {**JSON_FOOD, "foodNutrients": None},
     {**JSON_FOOD, "foodNutrients": [None, 3, {"nutrient": []}]},
     {**JSON_FOOD, "foodNutrients": [{"nutrient": {"number": "205", "unitName": "mg"},
                                      "amount": 3}]}],
)  # fmt: skip
def test_json_of_odd_foods_is_listed(take, written, food):
    _, foods, faults = take(written("odd.json", json.dumps({"FoundationFoods": [food]})))
    assert (foods, len(faults)) == ({}, 1)


def test_release_28(take, tmp_path):
    """Line ends, stray returns within records and missing figures are those of the release."""
    nothing = ("99999", "Dust, mill", "", "1.0", ())
    path = release_28(tmp_path / "sr28", (*RELEASE_28, nothing))
    layout, foods, faults = take(path)
    assert layout == "usda-sr28"
    assert len(foods) == len(RELEASE_28)
    assert [(f.file, f.line, f.why) for f in faults] == [
        ("food_des.txt", len(RELEASE_28) + 1, "no-carbohydrate")
    ]
    milk = foods["sr:01077"]
    assert [(m.unit, m.grams) for m in milk.extra] == [
        ("cup", 244), ("fluid ounce", Fraction("30.5")), ("tablespoon", 15),
    ]  # fmt: skip
    oats = foods["sr:08120"]
    assert [(m.count, m.grams) for m in oats.extra] == [(1, 81), (Fraction(1, 3), 27)]


def test_release_28_checks_its_units(take, tmp_path):
    units = tuple(u.replace("~205~^~g~", "~205~^~mg~") for u in UNITS_28)
    _, foods, faults = take(release_28(tmp_path / "sr28", units=units))
    assert foods == {}
    assert faults[0].why == "other-unit"


def test_release_28_as_two_tables(take, written, tmp_path):
    table = (
        "ndb_no,description,carb_by_diff_g,fibre_g,sugars_g\n"
        '01077,"Milk, mill",4.80,0.0,5.05\n09001,"Plum, mill",11.4,,\n,No number,1,1,1\n'
    )
    portions = 'ndb_no,description,seq,amount,measure,grams\n01077,"Milk, mill",1,1,cup,244\n'
    folder = tmp_path / "tidy"
    folder.mkdir()
    for name, text in (("foods_per100g.csv", table), ("portions.csv", portions)):
        with gzip.open(folder / f"{name}.gz", "wt") as out:
            out.write(text)
    layout, foods, faults = take(folder)
    assert (layout, sorted(foods)) == ("usda-sr28-tidy", ["sr:01077", "sr:09001"])
    assert "fibre" not in foods["sr:09001"].nutrients
    assert [m.told for m in foods["sr:01077"].extra] == ["cup"]
    assert [f.why for f in faults] == ["no-id"]


def test_the_same_words_in_any_dialect_are_the_same_measure():
    (legacy,) = portions("1", "undetermined", "cup, chopped", "", "160")
    (foundation,) = portions("1.0", "cup", "chopped", "", "160.0")
    (survey,) = portions("", "undetermined", "10205", "1 cup, chopped", "160.0")
    assert legacy == foundation == survey
    assert (legacy.unit, legacy.how, legacy.grams) == ("cup", "chopped", 160)

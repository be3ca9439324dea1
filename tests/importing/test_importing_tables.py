"""The Canadian, Swiss, French and Indian tables, and the project's own formats, in small.

The foods are invented; the columns are those of the published files, read by name. What
"carbohydrate" means in each: US and Canada by difference with fibre inside; Swiss, French and
Indian available, without fibre (each table's own notes, from memory where no file says it).
"""

import io
import json
import tarfile
from fractions import Fraction

import pytest

from assistant.counting.facts import Food, FoodFacts, Measure, Nutrient
from assistant.importing.layouts import LAYOUTS, Unknown, recognised
from assistant.importing.places import Place
from assistant.importing.plain_lines import written as lines_of

CIQUAL = (
    "alim_grp_code,alim_code,alim_nom_eng,Protein (g/100g),Carbohydrate (g/100g),Fat (g/100g),"
    "Sugars (g/100g),Fibres (g/100g),Polyols (g/100g)\n"
    "1,100,Soup of the mill,1.1,4.19,2,2.38,2.87,0\n"
    "1,101,Broth of the mill,1.1,< 0.1,2,-,-,-\n"
    "1,102,Meat of the mill,20,traces,2,0,0,0\n"
    "1,103,Unknown of the mill,20,-,2,0,0,0\n"
)


def test_the_french_table_in_english(take, written):
    layout, foods, faults = take(written("ciqual2017.csv", CIQUAL))
    assert layout == "ciqual"
    soup = foods["ciqual:100"]
    assert (soup.region, soup.fibre_inside, soup.dated) == ("table-available", False, "2017")
    assert soup.nutrients["carbohydrate"].value == Fraction("4.19")
    assert soup.nutrients["polyols"].value == 0
    broth = foods["ciqual:101"]
    assert broth.nutrients["carbohydrate"] == Nutrient(Fraction("0.1"), "g", below=True, decimals=1)
    assert "fibre" not in broth.nutrients
    assert [(f.line, f.why) for f in faults] == [(4, "trace"), (5, "no-carbohydrate")]


def test_the_french_table_with_decimal_commas(take, written):
    text = (
        "alim_code;alim_nom_fr;Protéines, N x facteur de Jones (g/100 g);Glucides (g/100 g);"
        "Fibres alimentaires (g/100 g)\n"
        "100;Crème du moulin, épaisse;1,1;4,19;< 0,5\n101;Soupe;1;5;-\n"
    )
    layout, foods, faults = take(written("table.csv", text, "latin-1"))
    assert (layout, faults) == ("ciqual", [])
    cream = foods["ciqual:100"]
    assert cream.name == "Crème du moulin, épaisse"
    assert cream.nutrients["carbohydrate"].value == Fraction("4.19")
    assert cream.nutrients["fibre"] == Nutrient(Fraction("0.5"), "g", below=True, decimals=1)


def test_a_table_that_mixes_decimal_marks_is_not_guessed_at(take, written):
    mixed = CIQUAL.replace("4.19", '"4,19"')
    _, foods, faults = take(written("ciqual.csv", mixed))
    assert "ciqual:100" not in foods
    assert (faults[0].line, faults[0].why) == (2, "not-a-figure")


SWISS = (
    'ID,name D,name E,specific gravity,protein,"carbohydrates, available",sugars,dietary fibres,'
    '"fat, total",sodium (Na),carb_matrix_unit\n'
    "10,Saft,Juice of the mill,1.05,0.1,10.8,10.3,0,0.1,2.3,per 100ml food volume\n"
    "11,Brot,Bread of the mill,,8,48,2,,1,400,per 100g edible portion\n"
    "12,Rest,Rest of the mill,,8,48,2,,1,400,\n"
)


def test_the_swiss_table(take, written):
    layout, foods, faults = take(written("swiss.csv", SWISS))
    assert layout == "swiss"
    assert foods["swiss:10"].per == "100 ml"
    assert foods["swiss:11"].per == "100 g"
    assert not foods["swiss:11"].fibre_inside
    assert "fibre" not in foods["swiss:11"].nutrients
    (volume,) = foods["swiss:10"].extra
    assert (volume.count, volume.unit, volume.grams) == (100, "millilitre", 105)
    assert [(f.line, f.why) for f in faults] == [(4, "other-unit")]


def test_the_swiss_table_with_a_unit_beside_each_figure(take, written):
    """The published file gives each nutrient a unit and a matrix unit; the columns share names."""
    text = (
        "ID;name E;protein;matrix unit;carbohydrates, available;unit;matrix unit;dietary fibres\n"
        "10;Juice;1;per 100g edible portion;10;g;per 100ml food volume;1\n"
    )
    _, foods, _ = take(written("swiss.csv", text))
    assert foods["swiss:10"].per == "100 ml"


INDIAN = (
    "Food code; code,Food name; name,Energy; enerc,Energy; enerc_e,Total Dietary Fibre; fibtg,"
    "Carbohydrate; choavldf,Total CHO; cho\n"
    'A001,"Millet, ""fine""",1490,30,7.02,59.98,56.71\nT001,Mill oil,0,0,0,0,0\n'
)


@pytest.mark.parametrize("packed", [False, True])
def test_the_indian_table_as_its_package_has_it(take, written, tmp_path, packed):
    path = written("index.csv", INDIAN)
    if packed:
        data = INDIAN.encode()
        with tarfile.open(tmp_path / "compositions.tgz", "w:gz") as archive:
            for name, content in (("package/package.json", b"{}"), ("package/index.csv", data)):
                member = tarfile.TarInfo(name)
                member.size = len(content)
                archive.addfile(member, io.BytesIO(content))
        path = tmp_path / "compositions.tgz"
    layout, foods, faults = take(path)
    assert (layout, list(foods)) == ("indian", ["ifct:a001"])
    millet = foods["ifct:a001"]
    assert (millet.region, millet.fibre_inside) == ("table-available", False)
    assert millet.nutrients["carbohydrate"].value == Fraction("59.98")
    assert millet.nutrients["energy kJ"].unit == "kJ"  # the table's energy is in kilojoules
    assert [f.why for f in faults] == ["unfilled"]


def canada(folder, units="G"):
    folder.mkdir()
    for name, text in {
        "FOOD NAME.csv": "FoodID,FoodCode,FoodDescription,FoodDescriptionF,FoodDateOfPublication\n"
        "5,55,Crème of the mill,Crème,2015-01-01\n",
        "NUTRIENT NAME.csv": "NutrientID,NutrientCode,NutrientSymbol,NutrientUnit,NutrientName\n"
        f"205,205,CARB,{units},CARBOHYDRATE\n291,291,TDF,g,FIBRE\n",
        "NUTRIENT AMOUNT.csv": "FoodID,NutrientID,NutrientValue\n5,205,7.5\n5,291,1.5\n5,999,3\n",
        "MEASURE NAME.csv": "MeasureID,MeasureDescription\n1,250ml\n2,\"1 slice\"\n3,1/6\n4,8-9\n",
        "CONVERSION FACTOR.csv": "FoodID,MeasureID,ConversionFactorValue\n5,1,2.59\n5,2,0.3\n"
        "5,3,0.85\n5,4,1\n",
    }.items():  # fmt: skip
        (folder / name).write_bytes(text.encode("latin-1"))
    return folder


def test_the_canadian_file(take, tmp_path):
    """A conversion factor is the weight of the measure in hundreds of grams."""
    layout, foods, faults = take(canada(tmp_path / "cnf"))
    assert (layout, faults) == ("canada-file", [])
    cream = foods["cnf:5"]
    assert (cream.name, cream.region, cream.dated) == (
        "Crème of the mill", "table-total", "2015-01-01",
    )  # fmt: skip
    assert [(m.count, m.unit, m.grams, m.millilitres) for m in cream.extra] == [
        (250, "millilitre", 259, 250), (1, "slice", 30, None), (Fraction(1, 6), "item", 85, None),
    ]  # fmt: skip


def test_the_canadian_file_checks_its_units(take, tmp_path):
    _, foods, faults = take(canada(tmp_path / "cnf", units="mg"))
    assert foods == {}
    assert faults[0].why == "other-unit"


BOOKLET = (
    '"Nutrient Value of Some Common Foods, 2008 edition",,,,,,,,\n'
    "SOUPS,,,,,,,,\n"
    "Food name,Measure,Weight ,Energy,Energy,Protei,Carbohydrate,Total Sugar,Total Daietary Fibre\n"
    ",,g,kcal,kJ,g,g,g,g\n"
    "FROM THE MILL,,,,,,,,\n"
    "Oat,250mL,250,100,418,2,25,tr,2.5\n"
    "Slices,2 slices,50,100,418,2,tr,,\n"
    "No weight,1,,100,418,2,25,,\n"
)


def test_the_booklet_is_per_measure(take, written):
    layout, foods, faults = take(written("soups-eng.csv", BOOKLET, "latin-1"))
    assert layout == "canada-booklet"
    oat, slices = foods.values()
    assert oat.name == "Oat (soups: from the mill)"
    figure = oat.nutrients["carbohydrate"]
    assert (figure.value, figure.off_by) == (10, Fraction(1, 2) * 100 / 250)
    assert "sugars" not in oat.nutrients
    assert oat.dated == "2008"
    assert [(m.count, m.unit, m.grams) for m in slices.extra] == [(2, "slice", 50)]
    trace = slices.nutrients["carbohydrate"]  # rounds to 0 g of 50 g: below half a gram
    assert (trace.value, trace.below) == (1, True)
    assert [(f.line, f.why) for f in faults] == [(8, "no-weight")]


def test_a_file_of_the_booklet_without_units_takes_them_from_the_others(take, tmp_path):
    folder = tmp_path / "booklet"
    folder.mkdir()
    (folder / "a-eng.csv").write_text(BOOKLET)
    bare = BOOKLET.replace(",,g,kcal,kJ,g,g,g,g\n", "").replace("SOUPS", "CAKES")
    (folder / "b-eng.csv").write_text(bare)
    _, foods, _ = take(folder)
    assert {facts.name for facts in foods.values()} >= {
        "Oat (soups: from the mill)", "Oat (cakes: from the mill)",
    }  # fmt: skip


def test_a_file_of_the_booklet_without_units_alone_is_not_read(take, written):
    bare = BOOKLET.replace(",,g,kcal,kJ,g,g,g,g\n", "")
    _, foods, faults = take(written("a-eng.csv", bare))
    assert (foods, [f.why for f in faults]) == ({}, ["no-units"])


def test_the_booklet_as_one_table(take, written):
    text = (
        "category,subcategory,food,measure,grams,carb_g,fibre_g\n"
        'SOUPS,FROM THE MILL,"Oat",250mL,250,25,2.5\n'
    )
    layout, foods, _ = take(written("tidy.csv", text))
    assert layout == "canada-booklet-tidy"
    assert [f.name for f in foods.values()] == ["Oat (soups: from the mill)"]


# The project's own

PLAIN = (
    "name,per,carbohydrate_g,carbohydrate_is,fibre_g,measures,barcode,source,licence,date,colour\n"
    'Oat bread,100 g,48.5,total,6,"1 slice = 35 g; 1 cup, crumbs = 45 g; 2 x = 3",2001234567893,'
    "my list,mine,2026-01-02,brown\n"
    "Oat drink,100 ml,6.7,available,,,123,,,,\n"
    "Grain,100 g,70,monosaccharide,,,,,,,\n"
    "Grain,1 cup,70,total,,,,,,,\n"
    "Grain,100 g,7o,total,,,,,,,\n"
    "123,100 g,70,total,,,,,,,\n"
    "Grain,100 g,,total,,,,,,,\n"
    "Grain,100 g,120,total,,,,,,,\n"
    "Grain,100 g,5,total,50,,,,,,\n"
)


def test_the_plain_table(take, written):
    layout, foods, faults = take(written("foods.csv", PLAIN))
    assert layout == "plain-table"
    bread, drink = foods.values()
    assert (bread.source, bread.licence, bread.dated) == ("my list", "mine", "2026-01-02")
    assert bread.barcode == "02001234567893"
    assert [(m.told, m.grams) for m in bread.extra] == [("slice", 35), ("cup, crumbs", 45)]
    assert (drink.per, drink.region, drink.source) == ("100 ml", "table-available", "foods.csv")
    assert [(f.line, f.why, f.kept) for f in faults] == [
        (1, "unknown-value", True),  # a column that is not known
        (2, "measure", True),
        (3, "barcode", True),
        (4, "other-scale", False),
        (5, "unknown-value", False),
        (6, "not-a-figure", False),
        (7, "no-name", False),
        (8, "no-carbohydrate", False),
        (9, "over-hundred", False),
        (10, "part-over-whole", False),
    ]


OWN = Food(
    "oat cereal",
    3,
    FoodFacts(
        "Oat cereal", "US", "serving",
        {"carbohydrate": Nutrient(Fraction(27), "g"),
         "fibre": Nutrient(Fraction(1, 3), "g", below=True, decimals=2),
         "fat": Nutrient(Fraction(5, 2), "g", decimals=1, off_by=Fraction(1, 7))},
        serving_grams=Fraction(40), household_count=Fraction(1, 2), household_unit="cup",
        servings_per_pack=Fraction(9), extra=(
            Measure(Fraction(1), "scoop", Fraction(61, 3)),
            Measure(Fraction(2), "cup", Fraction(9), Fraction(7), "chopped", "dry", True)),
        percents={"iron": Fraction(45)}, ingredients=("oats", "salt"), allergens=("oats",),
        barcode="2001234567893", failed_checks=("energy",), prepared=True, fast=True,
        source="typed label", licence="mine", dated="2026-01-02",
    ),
    ("morning oats", "2001234567893"),
)  # fmt: skip


def test_the_plain_lines_read_back_exactly(written):
    path = written("own.jsonl", "\n".join(lines_of([OWN])) + "\n")
    place = Place(path)
    layout = recognised(place)
    (row,) = layout.read(place)
    assert (layout.name, row.own) == ("plain-lines", True)
    assert (row.food_id, row.facts, row.aliases) == (OWN.food_id, OWN.facts, OWN.aliases)


@pytest.mark.parametrize(
    "change",
    [
        {"region": "Mars"}, {"per": "1 cup"}, {"nutrients": {"carbohydrate": {"value": True}}},
        {"nutrients": {"carbohydrate": {"value": "-1", "unit": "g"}}},
        {"nutrients": {"carbohydrate": {"value": "1/0", "unit": "g"}}},
        {"nutrients": []}, {"measures": [{"count": "0", "unit": "cup", "grams": "1"}]},
        {"measures": [{"count": "1", "unit": "cup"}]}, {"measures": 3}, {"fast": 1},
        {"colour": "brown"}, {"aliases": "x"}, {"serving_grams": []}, {"name": 3}, {"id": 3},
        {"nutrients": {"carbohydrate": {"value": "1", "unit": "g", "decimals": 99}}},
        {"nutrients": {"carbohydrate": {"value": "1", "unit": "mg"}}}, {"serving_grams": "0"},
        {"nutrients": {"carbohydrate": {"value": "1e999999", "unit": "g"}}},
    ],
)  # fmt: skip
def test_an_odd_value_in_the_plain_lines_leaves_the_row_out(take, written, change):
    head, food = lines_of([OWN])
    changed = json.dumps({**json.loads(food), **change})
    _, foods, faults = take(written("own.jsonl", f"{head}\n{changed}\n{food}\nnot json\n"))
    assert list(foods) == ["oat cereal"]
    assert [(f.line, f.why) for f in faults] == [(2, "unknown-value"), (4, "not-json")]


# Recognising


@pytest.mark.parametrize(
    "text", ["", "hello", "a,b,c\n1,2,3\n", "{}", "[1, 2]", "~a~^b\n", "\x00\x01", "name\nx\n"]
)
def test_an_unknown_layout_is_told_and_not_guessed_at(written, text):
    assert recognised(Place(written("some.csv", text))) == Unknown("unknown")


def test_the_british_table_is_known_and_not_taken(written):
    """Carbohydrate as monosaccharides: 100 g of starch count 110 g (from memory)."""
    text = "Food Code,Food Name,Carbohydrate (g),AOAC fibre (g)\n1,Bread,45,3\n"
    assert recognised(Place(written("uk.csv", text))) == Unknown("other-scale")


def test_a_folder_of_several_tables_asks_for_one(tmp_path):
    (tmp_path / "ciqual.csv").write_text(CIQUAL)
    (tmp_path / "swiss.csv").write_text(SWISS)
    found = recognised(Place(tmp_path))
    assert isinstance(found, Unknown)
    assert found.why == "mixed"
    assert dict(found.groups) == {"swiss": ("swiss.csv",), "ciqual": ("ciqual.csv",)}


def test_half_a_folder_is_no_layout(tmp_path):
    canada(tmp_path / "cnf")
    (tmp_path / "cnf" / "NUTRIENT NAME.csv").unlink()
    assert isinstance(recognised(Place(tmp_path / "cnf")), Unknown)


def test_every_layout_has_its_name_in_the_texts():
    from assistant.render.texts import TEXTS

    named = {key.removeprefix("shell-layout-") for key in TEXTS if key.startswith("shell-layout-")}
    assert named == {layout.name for layout in LAYOUTS}


def test_every_reason_has_its_words():
    from typing import get_args

    from assistant.importing.rows import Why
    from assistant.render.texts import TEXTS

    named = {key.removeprefix("shell-fault-") for key in TEXTS if key.startswith("shell-fault-")}
    assert named == set(get_args(Why))

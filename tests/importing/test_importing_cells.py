"""A row whose cells do not match the columns is left out and told: one comma too many or too few
puts each figure behind it under another name, and 48.5 becomes 48. The foods are invented."""

import pytest
from small_tables import AMOUNTS, FOODS, PORTIONS, central, release_28
from test_importing_tables import BOOKLET, CIQUAL, INDIAN, SWISS

HEAD = "name,per,carbohydrate_is,carbohydrate_g"
GOOD = "Good rye,100 g,total,48.5"


def names(foods):
    return sorted(facts.name for facts in foods.values())


@pytest.mark.parametrize(
    ("head", "row", "why"),
    [
        (HEAD, "Rye long,100 g,total,48,5", "surplus"),  # a decimal comma without quotation marks
        (HEAD + ",", "Rye long,100 g,total,48,5", "surplus"),  # under a column without a name
        (HEAD + ",fibre_g", "Comma rye,100 g,total,48,5,7,2", "surplus"),
        ("per,carbohydrate_is,name,carbohydrate_g", "100 g,total,Juice, 100,10", "surplus"),
        (HEAD + ",barcode,measures", "Same,100 g,total,10,,1 cup, chopped = 160 g", "surplus"),
        ("name,per,carbohydrate_is,protein_g,carbohydrate_g,fat_g", "Rye,100 g,total,48.5,1",
         "short-row"),
        (HEAD, '"Rye,100 g,total,48.5\nOat,100 g,total,60\nBar",100 g,total,5', "line-break"),
    ],
)  # fmt: skip
def test_the_plain_table_takes_no_row_of_another_width(take, written, head, row, why):
    columns = head.split(",")
    told = {
        "name": "Good rye",
        "per": "100 g",
        "carbohydrate_is": "total",
        "carbohydrate_g": "48.5",
    }
    good = ",".join(told.get(column, "") for column in columns)
    _, foods, faults = take(written("t.csv", f"{head}\n{good}\n{row}\n"))
    assert names(foods) == ["Good rye"]
    assert [(f.why, f.kept) for f in faults] == [(why, False)]
    assert faults[0].line == 3 + row.count("\n")


@pytest.mark.parametrize("row", [GOOD + ",", GOOD + ", ,", '"Good rye","100 g","total","48.5"'])
def test_empty_cells_at_the_end_are_no_surplus(take, written, row):
    _, foods, faults = take(written("t.csv", f"{HEAD}\n{row}\n"))
    assert (names(foods), faults) == (["Good rye"], [])


def test_a_decimal_comma_in_quotation_marks_is_told_as_no_figure(take, written):
    _, foods, faults = take(written("t.csv", f'{HEAD}\nRye,100 g,total,"48,5"\n'))
    assert (foods, [f.why for f in faults]) == ({}, ["not-a-figure"])


def test_a_column_that_is_there_twice_is_not_chosen_from(take, written):
    _, foods, faults = take(written("t.csv", f"{HEAD},Carbohydrate_g\nBar,100 g,total,10,50\n"))
    assert (foods, [(f.line, f.why) for f in faults]) == ({}, [(1, "doubled-column")])


@pytest.mark.parametrize(
    ("file", "text", "row", "whole"),
    [
        ("ciqual.csv", CIQUAL, "1,104,Bread, white,8,48,2,0,3,0", 2),
        ("ciqual.csv", CIQUAL, "1,104,Bread,8,48,2,0,3", 2),
        ("swiss.csv", SWISS, "13,Rest,Bread, white,,8,48,2,,1,400,per 100g edible portion", 2),
        ("index.csv", INDIAN, "A002,Millet, dry,1490,30,7.02,59.98,56.71", 1),
    ],
)
def test_a_published_table_takes_no_row_of_another_width(take, written, file, text, row, whole):
    _, foods, faults = take(written(file, text + row + "\n"))
    assert len(foods) == whole
    assert {f.why for f in faults if f.line == text.count("\n") + 1} <= {"surplus", "short-row"}
    assert any(f.line == text.count("\n") + 1 for f in faults)


def test_a_published_table_with_a_figure_twice_is_not_read(take, written):
    head, *rows = CIQUAL.splitlines()
    text = "\n".join([f"{head},Carbohydrate (g/100g)", *(f"{row},1" for row in rows)])
    _, foods, faults = take(written("ciqual.csv", text))
    assert (foods, [f.why for f in faults]) == ({}, ["doubled-column"])


def test_a_row_of_the_booklet_with_a_cell_too_many(take, written):
    lines = BOOKLET.splitlines()
    at = next(n for n, line in enumerate(lines) if ",,g,kcal" in line) + 1
    food = next(n for n in range(at, len(lines)) if lines[n].count(",") and lines[n].split(",")[2])
    lines[food] = lines[food].replace(",", ", fresh,", 1)
    _, foods, faults = take(written("a-eng.csv", "\n".join(lines) + "\n"))
    assert (food + 1, "surplus") in [(f.line, f.why) for f in faults]
    assert not any("fresh" in name for name in names(foods))


def test_a_figure_of_the_folder_with_a_cell_too_many_is_told(take, tmp_path):
    """Its food has no carbohydrate then, and is left out too."""
    amounts = tuple((*r, "", "5") if r[0] == "1" else (*r, "", "") for r in AMOUNTS)
    amounts = (AMOUNTS[0], *amounts[1:])
    _, foods, faults = take(central(tmp_path / "fdc", food_nutrient=amounts))
    assert ("food_nutrient.csv", "surplus") in [(f.file, f.why) for f in faults]
    assert "Plum, mill" not in names(foods)


def test_a_food_and_a_portion_with_a_cell_too_many(take, tmp_path):
    food = (*FOODS[:1], (*FOODS[1], "x"), *FOODS[2:])
    portion = (*PORTIONS[:3], (*PORTIONS[3], "x"), *PORTIONS[4:])
    _, foods, faults = take(central(tmp_path / "fdc", food=food, food_portion=portion))
    assert {(f.file, f.line) for f in faults if f.why == "surplus"} == {
        ("food.csv", 2),
        ("food_portion.csv", 4),
    }
    assert "Plum, mill" not in names(foods)
    porridge = next(f for f in foods.values() if f.name == "Porridge, mill")
    assert porridge.extra == ()


def test_a_record_of_release_28_with_a_field_too_many(take, tmp_path):
    folder = release_28(tmp_path / "sr28")
    whole = (folder / "NUT_DATA.txt").read_bytes().splitlines(keepends=True)
    spoiled = whole[6].replace(b"^", b"^^", 1)  # carbohydrate of 09003
    (folder / "NUT_DATA.txt").write_bytes(b"".join([*whole[:6], spoiled, *whole[7:]]))
    _, foods, faults = take(folder)
    assert ("nut_data.txt", 7, "surplus") in [(f.file, f.line, f.why) for f in faults]
    assert "sr:09003" not in foods

"""One food, two figures: nothing says which is right, so the food is left out and told. Every food
is invented."""

import json

import pytest
from small_tables import AMOUNTS, BRANDED, FOODS, central, release_28
from test_importing_tables import canada


def names(foods):
    return sorted(facts.name for facts in foods.values())


def whys(faults, name):
    return [f.why for f in faults if name in f.said]


@pytest.mark.parametrize("again", ["40.0", "11.5", "", "x"])
def test_the_folder_of_csv_files(take, tmp_path, again):
    """Nutrient 1005 twice for one food."""
    rows = (*AMOUNTS, ("99", "1", "1005", again, "", ""))
    _, foods, faults = take(central(tmp_path / "fdc", food_nutrient=rows))
    assert "Plum, mill" not in names(foods)
    assert whys(faults, "Plum, mill") == ["stated-twice"]


def test_the_same_figure_twice_is_one(take, tmp_path):
    rows = (*AMOUNTS, ("99", "1", "1005", "11.40", "", ""))
    _, foods, faults = take(central(tmp_path / "fdc", food_nutrient=rows))
    assert "Plum, mill" in names(foods)
    assert not whys(faults, "Plum, mill")


def test_a_food_that_stands_twice_with_another_name(take, tmp_path):
    rows = (*FOODS, ("2", "survey_fndds_food", "Porridge of oats", "1002", "2024-10-31"))
    _, foods, faults = take(central(tmp_path / "fdc", food=rows))
    assert not any("orridge" in name for name in names(foods))
    assert [(f.line, f.why) for f in faults if "Porridge" in f.said] == [
        (3, "twice"),
        (12, "twice"),
    ]


def test_a_product_with_two_servings(take, tmp_path):
    other = list(BRANDED[3])
    other[4] = "30.0"
    _, foods, faults = take(central(tmp_path / "fdc", branded_food=(*BRANDED, tuple(other))))
    assert not any("OAT DRINK" in name for name in names(foods))
    assert whys(faults, "OAT DRINK") == ["stated-twice"]
    _, foods, _ = take(central(tmp_path / "same", branded_food=(*BRANDED, BRANDED[3])))
    assert any("OAT DRINK" in name for name in names(foods))


def test_release_28(take, tmp_path):
    folder = release_28(tmp_path / "sr28")
    with (folder / "NUT_DATA.txt").open("ab") as out:
        out.write(b"~09003~^~205~^31.81^1^^~1~\r\n")
    _, foods, faults = take(folder)
    assert "sr:09003" not in foods
    assert whys(faults, "Apples") == ["stated-twice"]


def test_the_canadian_file(take, tmp_path):
    folder = canada(tmp_path / "cnf")
    path = next(p for p in folder.iterdir() if p.name.casefold() == "nutrient amount.csv")
    lines = path.read_text("latin-1").splitlines()
    at = next(n for n, line in enumerate(lines) if ",205," in line)
    cells = lines[at].split(",")
    _, before, _ = take(folder)
    cells[2] = "99.5"
    path.write_text("\n".join([*lines, ",".join(cells)]) + "\n", "latin-1")
    _, foods, faults = take(folder)
    assert set(before) - set(foods) == {f"cnf:{cells[0]}"}
    assert "stated-twice" in [f.why for f in faults]


def json_food(*nutrients):
    return {"description": "Meal, mill", "fdcId": 3, "ndbNumber": 20001, "foodNutrients": nutrients}


def nutrient(number, amount):
    return {"nutrient": {"number": number, "unitName": "g"}, "amount": amount}


def test_json(take, written):
    twice = json_food(nutrient("205", 13.81), nutrient("205", 33.81))
    _, foods, faults = take(written("a.json", json.dumps({"FoundationFoods": [twice]})))
    assert (foods, [f.why for f in faults]) == ({}, ["stated-twice"])
    same = json_food(nutrient("205", 13.81), nutrient("205", 13.810))
    _, foods, faults = take(written("a.json", json.dumps({"FoundationFoods": [same]})))
    assert (len(foods), faults) == (1, [])


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ('"amount": 13.81', '"amount": 13.81, "amount": 33.81'),
        ('"number": "205"', '"number": "205", "number": "291"'),
        ('"description"', '"description": "Meal, other", "description"'),
    ],
)
def test_a_key_twice_in_the_json_of_a_food(take, written, text, instead):
    plain = json.dumps({"FoundationFoods": [json_food(nutrient("205", 13.81))]})
    assert plain.count(text) == 1
    _, foods, faults = take(written("a.json", plain.replace(text, instead)))
    assert (foods, [f.why for f in faults]) == ({}, ["stated-twice"])


LINE = (
    '{"name": "rye bread", "id": "f7", "own": true, "region": "EU", "per": "100 g", "nutrients": '
    '{"carbohydrate": {"value": "10", "unit": "g"}}}'
)


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ('"carbohydrate"', '"carbohydrate": {"value": "90", "unit": "g"}, "carbohydrate"'),
        ('"value": "10"', '"value": "10", "value": "90"'),
        ('"per": "100 g"', '"per": "100 g", "per": "100 ml"'),
    ],
)
def test_a_key_twice_in_the_plain_lines(take, written, text, instead):
    head = '{"countaloud_foods": 1}\n'
    _, foods, _ = take(written("a.jsonl", head + LINE + "\n"))
    assert list(foods) == ["f7"]
    _, foods, faults = take(written("a.jsonl", head + LINE.replace(text, instead) + "\n"))
    assert (foods, [(f.line, f.why) for f in faults]) == ({}, [(2, "stated-twice")])


def test_fibre_in_both_spellings(take, written):
    head = "name,per,carbohydrate_is,carbohydrate_g,fibre_g,fiber_g\n"
    _, foods, faults = take(written("a.csv", f"{head}Rye,100 g,total,48,6,9\n"))
    assert (foods, [f.why for f in faults]) == ({}, ["stated-twice"])
    _, foods, faults = take(
        written("a.csv", f"{head}Rye,100 g,total,48,6,6\nOat,100 g,total,48,,9\n")
    )
    assert (len(foods), faults) == (2, [])

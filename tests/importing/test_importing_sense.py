"""Figures that cannot all be right, dates that are none, units of portions that nobody names."""

from fractions import Fraction

import pytest
from small_tables import CODES, PORTIONS, central
from test_importing_tables import SWISS

from assistant.importing.names import day, day_of_us

HEAD = "name,per,carbohydrate_is,carbohydrate_g,fat_g,protein_g,fibre_g,energy_kcal\n"


@pytest.fixture
def one(take, written):
    """Reads one row of a plain table: its facts or None, and why it was left out."""

    def read(row, head=HEAD):
        _, foods, faults = take(written("t.csv", f"{head}{row}\n"))
        return next(iter(foods.values()), None), [f.why for f in faults]

    return read


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("A,100 g,total,90,60,50,,265", "sum"),
        ("A,100 g,total,60.0,30.0,12.0,,", "sum"),
        ("A,100 g,available,60,20,12,12,", "sum"),  # fibre is outside
        ("A,100 ml,total,5000,,,,", "over-hundred"),
        ("A,100 ml,total,162,,,,", "over-hundred"),  # nothing eaten weighs more than 1.6 g a ml
        ("A,100 ml,total,90,60,50,,", "sum"),
    ],
)
def test_more_in_a_food_than_it_weighs(one, row, why):
    assert one(row) == (None, [why])


@pytest.mark.parametrize(
    "row",
    [
        "A,100 g,total,60,28,12,12,540",  # fibre is inside
        "A,100 g,total,50.3,30.2,19.9,,548",  # each rounded apart
        "Honey,100 ml,available,116,0,0,,464",  # 1.42 g a ml (household measures, release 28)
    ],
)
def test_what_a_food_may_weigh(one, row):
    facts, faults = one(row)
    assert faults == []
    assert facts.failed_checks == ()


@pytest.mark.parametrize(
    ("row", "off"),
    [
        ("Bread with a slip,100 g,total,3.5,0.5,8,,265", True),  # 48.5 typed as 3.5
        ("Bread,100 g,total,48.5,0.5,8,6,265", False),
        ("Bread with a slip,100 g,total,84.5,0.5,8,,150", True),
        ("Bran,100 g,total,64.5,4.3,15.6,42.8,216", False),  # USDA release 28, 20077: wheat bran
        ("Bread,100 g,available,48.5,0.5,8,,265", False),
        ("Fibre alone,100 g,available,10,0.5,8,60,200", False),  # 2 kcal a gram, EU 1169/2011
        ("Unknown protein,100 g,total,3.5,0.5,,,265", False),
        ("Leaf,100 g,total,3.6,0.4,2.9,2.2,23", False),  # release 28, 11457: spinach
    ],
)
def test_energy_that_is_far_from_the_other_figures_is_kept_with_the_food(one, row, off):
    """4, 4, 9 kcal a gram: Regulation (EU) 1169/2011 Annex XIV, 21 CFR 101.9(c)(1)(i)(B)."""
    facts, faults = one(row)
    assert faults == []
    assert facts.failed_checks == (("energy",) if off else ())


def test_energy_in_kilojoules(one):
    head = HEAD.replace("energy_kcal", "energy_kj")
    facts, _ = one("Bread with a slip,100 g,total,3.5,0.5,8,,1109", head)
    assert facts.failed_checks == ("energy",)
    facts, _ = one("Bread,100 g,total,48.5,0.5,8,,1109", head)
    assert facts.failed_checks == ()


def test_alcohol_has_energy_of_its_own(take, written):
    """The Swiss table has a column for it: 7 kcal a gram."""
    head, juice, *_ = SWISS.splitlines()
    head = head.replace(",specific gravity", ",alcohol,energy kcal,specific gravity")
    wine = juice.replace("Juice of the mill,1.05,0.1,10.8,10.3",
                         "Wine of the mill,10.5,76,0.99,0.1,0.3,0.3")  # fmt: skip
    _, foods, _ = take(written("swiss.csv", "\n".join([head, wine])))
    (found,) = foods.values()
    assert (found.nutrients["alcohol"].value, found.failed_checks) == (Fraction("10.5"), ())
    _, foods, _ = take(written("swiss.csv", "\n".join([head, wine.replace("10.5,76", ",76")])))
    (found,) = foods.values()
    assert found.failed_checks == ("energy",)


DATED = "name,per,carbohydrate_is,carbohydrate_g,date\n"


@pytest.mark.parametrize("date", ["2020", "2020-12", "2020-12-31", "2024-02-29", ""])
def test_a_date_as_iso_8601_has_it(one, date):
    facts, faults = one(f"A,100 g,total,10,{date}", DATED)
    assert (facts.dated, faults) == (date, [])


@pytest.mark.parametrize(
    "date", ["31/12/2020", "7", "2020-13-01", "2023-02-29", "2020-1-1", "soon", "20201231", "0020",
             "2020-12-31\x1b[31m"],
)  # fmt: skip
def test_what_is_no_date_leaves_the_row_out(one, date):
    assert one(f"A,100 g,total,10,{date}", DATED) == (None, ["date"])
    assert day(date) is None


def test_a_table_of_the_state_is_not_left_out_for_its_date():
    assert day_of_us("4/1/2019") == "2019-04-01"
    assert day_of_us("2019-04-01") == "2019-04-01"
    assert day_of_us("13/13/2019") == day_of_us("spring") == day_of_us("") == ""


def test_a_unit_of_portions_that_is_not_known_is_told_once(take, tmp_path):
    """FoodData Central names its units in measure_unit.csv; 1001 is a tablespoon there."""
    units = (("id", "name"), ("1000", "cup"), ("9999", "undetermined"))
    assert ("1001", "tablespoon") in CODES["measure_unit.csv"]
    again = ("6", "3", "2", "1.0", "1001", "", "heaped", "20", "")
    folder = central(tmp_path / "fdc", measure_unit=units, food_portion=(*PORTIONS, again))
    _, foods, faults = take(folder)
    told = [(f.file, f.line, f.said) for f in faults if f.why == "portion-unit"]
    assert told == [("food_portion.csv", 6, "1001")]
    assert all(f.kept for f in faults if f.why == "portion-unit")
    meal = next(f for f in foods.values() if f.name == "Meal, mill")
    assert meal.extra == ()

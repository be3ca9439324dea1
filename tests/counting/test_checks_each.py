"""Each label check where it finds, and at its edge, where it does not; with what it tells.

The bounds are worked out by hand from the laws that are named; figures are invented. A US-type
figure from 5 g of fat or 1 g of the rest hides half a gram either way, fat under 5 g a quarter
(21 CFR 101.9(c)); an EU figure from 10 g half a gram, below that 0.05 g (Commission guidance of
December 2012, table 4).
"""

from fractions import Fraction

import pytest

from assistant.counting.checks import (
    ABOUT_CARBOHYDRATE,
    Finding,
    against_like,
    check,
    doubts_carbohydrate,
)
from assistant.counting.facts import FoodFacts, Nutrient
from assistant.counting.policy import NAMED_POLYOLS


def figure(text: str) -> Nutrient:
    """ "12 g", "<1 g", "0.5 mg": as printed."""
    value, unit = text.split()
    below = value.startswith("<")
    value = value.removeprefix("<")
    return Nutrient(Fraction(value), unit, below, len(value.partition(".")[2]))


def label(printed: str, region: str = "US", per: str = "", **known: object) -> FoodFacts:
    """ "fat 10 g; protein 3 g" as a label; per serving where fibre is inside, else per 100 g."""
    rows = (row.rsplit(" ", 2) for row in printed.split("; "))
    nutrients = {name: figure(f"{value} {unit}") for name, value, unit in rows}
    per = per or ("serving" if region in {"US", "CA", "JP"} else "100 g")
    return FoodFacts("invented", region, per, nutrients, **known)


def found(code: str, stated: str, low: str, high: str, unit: str, nutrient: str = "") -> Finding:
    return Finding(code, Fraction(stated), Fraction(low), Fraction(high), unit, nutrient)


PLAIN = "fat 10 g; carbohydrate 20 g; protein 10 g"

# Energy. 9, 4, 4, 2 and 7 kcal a gram of fat, carbohydrate, protein, fibre and alcohol. US: fibre
# and sugar alcohol may count for nothing, and kcal are printed in fives up to 50, in tens above.
# EU: fibre is beside the carbohydrate and need not be stated (up to 10 g of it then).
# 3 per cent of the stated figure for the factors.
ENERGY = [
    # low: 9 x 9.5 + 4 x 9.5 + 4 x 19.5 = 201.5; high: 9 x 10.5 + 4 x 10.5 + 4 x 20.5 = 218.5.
    # 201.5 - 5 = 196.5 = 1.03 x 190.7...; 218.5 + 5 = 223.5 = 0.97 x 230.4...
    ("US", PLAIN, "201.5", "218.5", "190 < 191", "230 > 231"),
    ("CA", PLAIN, "201.5", "218.5", "190 < 191", "230 > 231"),
    # fibre and sugar alcohol to their upper ends: 4 x (19.5 - 5.5 - 3.5) = 42; 160.5 = 1.03 x 155.8
    ("US", PLAIN + "; fibre 5 g; polyols 3 g", "165.5", "218.5", "155 < 156", "230 > 231"),
    ("US", PLAIN + "; polyols 3 g", "187.5", "218.5", "177 < 178", "230 > 231"),
    ("US", PLAIN + "; fibre 5 g", "179.5", "218.5", "169 < 170", "230 > 231"),
    # more of them than carbohydrate leaves none: 123.5 - 5 = 118.5 = 1.03 x 115.04
    ("US", PLAIN + "; fibre 18 g; polyols 9 g", "123.5", "218.5", "115 < 116", "230 > 231"),
    # alcohol: 7 x 2.5 = 17.5 and 7 x 3.5 = 24.5; 214 = 1.03 x 207.7...; 248 = 0.97 x 255.6...
    ("US", PLAIN + "; alcohol 3 g", "219", "243", "207 < 208", "255 > 256"),
    # fat under 5 g to the nearest half: 9 x 2.75 + 116 = 140.75; 9 x 3.25 + 124 = 153.25
    ("US", PLAIN.replace("fat 10", "fat 3"), "140.75", "153.25", "131 < 132", "163 > 164"),
    # 9 x 4.75 = 42.75 and 9 x 5.25 = 47.25 printed as 4.99; from 5 g half a gram: 40.5 and 49.5
    ("US", PLAIN.replace("fat 10", "fat 5"), "156.5", "173.5", "147 < 148", "184 > 185"),
    # 0 g of fat is under half a gram
    ("US", PLAIN.replace("fat 10", "fat 0"), "116", "128.5", "107 < 108", "137 > 138"),
    # less than 1 g of fat: nothing to 1 g
    ("US", PLAIN.replace("fat 10", "fat <1"), "116", "133", "107 < 108", "142 > 143"),
    # up to 50 kcal half of five: 38 - 2.5 = 35.5 = 1.03 x 34.4...
    ("US", "fat 0 g; carbohydrate 10 g; protein 0 g", "38", "48.5", "34 < 35", ""),
    # 50 itself still is: 44.5 + 2.5 + 1.5 = 48.5; 51 is not: 44.5 + 5 + 1.53 = 51.03
    ("US", "fat 0 g; carbohydrate 9 g; protein 0 g", "34", "44.5", "", "51 > 50"),
    # EU: up to 10 g of fibre that is not stated: 238.5; to 1 kcal: 200.5 = 1.03 x 194.6...,
    # 239.5 = 0.97 x 246.9...
    ("EU", PLAIN, "201.5", "238.5", "194 < 195", "246 > 247"),
    ("UK", PLAIN, "201.5", "238.5", "194 < 195", "246 > 247"),
    # fibre 11.5 to 12.5 at 2: 224.5 and 243.5; 223.5 = 1.03 x 216.9..., 244.5 = 0.97 x 252.06
    ("EU", PLAIN + "; fibre 12 g", "224.5", "243.5", "216 < 217", "252 > 253"),
    # sugar alcohol 5.95 to 6.05: 4 x (19.5 - 6.05) = 53.8; 176.3 = 1.03 x 171.1...
    ("EU", PLAIN + "; polyols 6 g", "177.3", "238.5", "171 < 172", "246 > 247"),
    # two kinds by name: 4 x (19.5 - 6.05 - 2.05) = 45.6; 168.1 = 1.03 x 163.2...
    ("EU", PLAIN + "; maltitol 6 g; xylitol 2 g", "169.1", "238.5", "163 < 164", "246 > 247"),
    # the line for all of them stands for its kinds
    ("EU", PLAIN + "; polyols 6 g; xylitol 2 g", "177.3", "238.5", "171 < 172", "246 > 247"),
    # more sugar alcohol than carbohydrate: 123.5 - 1 = 122.5 = 1.03 x 118.9...
    ("EU", PLAIN + "; polyols 30 g", "123.5", "238.5", "118 < 119", "246 > 247"),
    # 0 g of fat per 100 g is under half a gram, and 3 g is 2.95 to 3.05
    ("EU", PLAIN.replace("fat 10", "fat 0"), "116", "148.5", "111 < 112", "154 > 155"),
    ("EU", PLAIN.replace("fat 10", "fat 3"), "142.55", "171.45", "137 < 138", "177 > 178"),
]  # fmt: skip


def edges() -> list[tuple[str, str, str, str, str, str]]:
    """One row for each end: what is caught, and the whole number beside it that passes."""
    found = []
    for region, printed, low, high, below, above in ENERGY:
        pairs = [tuple(below.split(" < "))] if below else []
        if above:
            passes, caught = above.split(" > ")
            pairs.append((caught, passes))
        found += [(region, printed, caught, passes, low, high) for caught, passes in pairs]
    return found


@pytest.mark.parametrize(("region", "printed", "caught", "passes", "low", "high"), edges())
def test_energy_is_found_beyond_its_bounds(region, printed, caught, passes, low, high):
    facts = label(f"{printed}; energy kcal {caught} kcal", region)
    assert check(facts) == (found("energy", caught, low, high, "kcal"),)
    assert check(label(f"{printed}; energy kcal {passes} kcal", region)) == ()


def test_energy_at_its_very_bounds_is_not_found():
    """196.5 / 1.03 and 223.5 / 0.97, exactly."""
    low, high = Fraction("196.5") / Fraction("1.03"), Fraction("223.5") / Fraction("0.97")
    for value in (low, high):
        facts = label(PLAIN)
        facts.nutrients["energy kcal"] = Nutrient(value, "kcal")
        assert check(facts) == ()


@pytest.mark.parametrize("name", ["fat", "carbohydrate", "protein"])
def test_energy_of_which_a_part_is_not_stated_is_not_judged(name):
    rows = [row for row in PLAIN.split("; ") if not row.startswith(name)]
    for region in ("US", "EU"):
        assert check(label("; ".join([*rows, "energy kcal 900 kcal"]), region)) == ()
        other = [*rows, f"{name} 10 oz", "energy kcal 900 kcal"]
        assert check(label("; ".join(other), region)) == ()


def test_a_label_without_energy_is_not_judged_by_it():
    assert check(label(PLAIN)) == ()


@pytest.mark.parametrize("name", NAMED_POLYOLS)
def test_each_sugar_alcohol_by_name_lowers_the_energy(name):
    """The rows above with 6 g of maltitol, of any kind."""
    printed = f"{PLAIN}; {name} 6 g; energy kcal"
    assert check(label(f"{printed} 172 kcal", "EU")) == ()
    assert check(label(f"{printed} 171 kcal", "EU")) != ()


# kJ against kcal: 4.184 kJ are 1 kcal. 200 kcal are 836.8 kJ, give or take 3 per cent and 5.
@pytest.mark.parametrize("kj", ["806", "867"])
def test_kilojoules_that_do_not_fit_the_kilocalories_are_found(kj):
    facts = label(f"energy kcal 200 kcal; energy kJ {kj} kJ", "EU")
    assert check(facts) == (found("energy-units", kj, "806.696", "866.904", "kJ"),)


@pytest.mark.parametrize("kj", ["806.696", "807", "836.8", "866", "866.904"])
def test_kilojoules_within_the_tolerance_pass(kj):
    assert check(label(f"energy kcal 200 kcal; energy kJ {kj} kJ", "EU")) == ()


@pytest.mark.parametrize("one", ["energy kcal 200 kcal", "energy kJ 200 kJ"])
def test_one_energy_alone_has_nothing_to_be_compared_with(one):
    assert check(label(one, "EU")) == ()


# Per cents of the daily value. 55 g of carbohydrate is 54.5 to 55.5: by the rule of 2016 (275 g)
# 19.8 to 20.2 per cent, by the values before (300 g) 18.2 to 18.5, each give or take a half.


def percents(printed: str, region: str = "US", **said: str) -> FoodFacts:
    named = {name.replace("_", " "): Fraction(percent) for name, percent in said.items()}
    return label(printed, region, percents=named)


def told(facts: FoodFacts) -> dict[str, tuple[Fraction, Fraction, Fraction]]:
    assert all((f.code, f.unit) == ("daily-value", "percent") for f in check(facts))
    return {f.nutrient: (f.stated, f.low, f.high) for f in check(facts)}


def of(amount: str, whole: str) -> Fraction:
    return Fraction(amount) / Fraction(whole) * 100


HALF = Fraction(1, 2)


@pytest.mark.parametrize("percent", ["20", "18", "19"])
def test_a_per_cent_of_either_table_passes(percent):
    assert told(percents("carbohydrate 55 g", carbohydrate=percent)) == {}
    assert told(percents("carbohydrate 55 g", "CA", carbohydrate=percent)) == {}


@pytest.mark.parametrize("percent", ["17", "21", "2", "0"])
def test_a_per_cent_of_neither_table_is_told_by_the_table_of_2016(percent):
    low, high = of("54.5", "275") - HALF, of("55.5", "275") + HALF
    for region in ("US", "CA", "JP"):
        facts = percents("carbohydrate 55 g", region, carbohydrate=percent)
        assert told(facts) == {"carbohydrate": (Fraction(percent), low, high)}


def test_the_older_table_is_taken_where_it_fits_better():
    """60 g and 25 g of 300 and 25; 1,200 mg of 2,400: 20, 100 and 50 per cent before 2016."""
    before = percents(
        "carbohydrate 60 g; fibre 25 g; sodium 1200 mg", carbohydrate="20", fibre="100", sodium="53"
    )
    assert told(before) == {
        "sodium": (Fraction(53), of("1195", "2400") - HALF, of("1205", "2400") + HALF)
    }


def test_of_two_per_cents_the_one_that_is_off_is_told():
    facts = percents("carbohydrate 55 g; protein 10 g", carbohydrate="20", protein="30")
    assert told(facts) == {
        "protein": (Fraction(30), of("9.5", "50") - HALF, of("10.5", "50") + HALF)
    }


@pytest.mark.parametrize("region", ["EU", "UK", "AU", "NZ"])
def test_a_label_of_another_law_goes_by_the_intakes_of_annex_xiii(region):
    """26 g of 260: 25.5 to 26.5 g are 9.8 to 10.2 per cent."""
    assert told(percents("carbohydrate 26 g", region, carbohydrate="10")) == {}
    assert told(percents("carbohydrate 26 g", region, carbohydrate="11")) == {
        "carbohydrate": (Fraction(11), of("25.5", "260") - HALF, of("26.5", "260") + HALF)
    }


# In mg and mcg: sodium to the nearest 5 mg up to 140 and 10 mg above, 21 CFR 101.9(c)(4); else
# half of the last printed digit. A vitamin's per cent: to 2 up to 10, to 5 up to 50, to 10 above,
# (c)(8)(iii). The 20 per cent of carbohydrate beside it fit the table of 2016 alone.
TO_5 = Fraction(5, 2)
TRACES = [
    ("sodium 139 mg", "90", of("136.5", "2300") - HALF, of("141.5", "2300") + HALF),
    ("sodium 140 mg", "90", of("135", "2300") - HALF, of("145", "2300") + HALF),
    ("sodium 230 mg", "90", of("225", "2300") - HALF, of("235", "2300") + HALF),
    ("sodium 230.0 mg", "90", of("229.95", "2300") - HALF, of("230.05", "2300") + HALF),
    ("sodium 2.5 mg", "90", Fraction(0), of("2.55", "2300") + HALF),
    ("sodium 0 mg", "90", Fraction(0), of("2.5", "2300") + HALF),
    ("cholesterol 60 mg", "90", of("57.5", "300") - HALF, of("62.5", "300") + HALF),
    ("vitamin D 2 mcg", "90", of("1.5", "20") - 1, of("2.5", "20") + 1),
    ("vitamin D 2.02 mcg", "90", of("2.015", "20") - TO_5, of("2.025", "20") + TO_5),
    ("vitamin D 10 mcg", "90", of("9.5", "20") - TO_5, of("10.5", "20") + TO_5),
    ("vitamin D 10.1 mcg", "90", of("10.05", "20") - 5, of("10.15", "20") + 5),
    ("vitamin D 11 mcg", "90", of("10.5", "20") - 5, of("11.5", "20") + 5),
    ("vitamin A 180 mcg", "90", of("175", "900") - TO_5, of("185", "900") + TO_5),
]  # fmt: skip


@pytest.mark.parametrize(("row", "percent", "low", "high"), TRACES)
def test_a_per_cent_of_a_trace_is_told_with_what_its_rounding_allows(row, percent, low, high):
    name = row.rsplit(" ", 2)[0]
    said = {name.replace(" ", "_"): percent, "carbohydrate": "20"}
    assert told(percents(f"carbohydrate 55 g; {row}", **said)) == {
        name: (Fraction(percent), low, high)
    }


@pytest.mark.parametrize(
    "name",
    ["fat", "saturated fat", "carbohydrate", "fibre", "protein", "added sugars"],
)
def test_a_per_cent_of_a_nutrient_with_a_reference_value_is_to_the_nearest_one(name):
    """21 CFR 101.9(d)(7)(ii): 200 times its daily value, told to half a per cent."""
    whole = {"fat": "78", "saturated fat": "20", "carbohydrate": "275", "fibre": "28",
             "protein": "50", "added sugars": "50"}[name]  # fmt: skip
    said = {"carbohydrate": "20", name.replace(" ", "_"): "999"}  # 20 fits no older table
    facts = percents(f"carbohydrate 55 g; {name} 60 g", **said)
    low, high = of("59.5", whole) - HALF, of("60.5", whole) + HALF
    assert told(facts) == {name: (Fraction(999), low, high)}


@pytest.mark.parametrize(("name", "whole"), [("sodium", "2300"), ("cholesterol", "300")])
def test_sodium_and_cholesterol_are_to_the_nearest_one_too(name, whole):
    facts = percents(f"carbohydrate 55 g; {name} 60 mg", **{name: "99", "carbohydrate": "20"})
    low, high = of("57.5", whole) - HALF, of("62.5", whole) + HALF
    assert told(facts) == {name: (Fraction(99), low, high)}


def test_a_trace_printed_in_grams_is_judged_in_its_own_unit():
    """0.23 g of sodium is 10 per cent of 2,300 mg, and no alarm."""
    facts = percents("carbohydrate 55 g; sodium 0.23 g", sodium="10", carbohydrate="20")
    assert told(facts) == {}


@pytest.mark.parametrize("percent", ["0", "1"])
def test_nought_of_a_trace_is_no_more_than_its_rounding(percent):
    facts = percents("carbohydrate 55 g; sodium 0 mg", sodium=percent, carbohydrate="20")
    assert (told(facts) == {}) == (percent == "0")


def test_a_per_cent_at_its_very_bounds_passes():
    facts = "carbohydrate 55 g; vitamin D 5 mcg"
    for percent, passes in (("20", True), ("30", True), ("19.9", False), ("30.1", False)):
        found_some = told(percents(facts, vitamin_D=percent, carbohydrate="20"))
        assert (found_some == {}) == passes


@pytest.mark.parametrize(
    ("printed", "name"),
    [
        ("sodium <5 mg", "sodium"),  # "less than": what it is is not printed
        ("sugars 10 g", "sugars"),  # no daily value
        ("protein 10 g", "iron"),  # no such line
        ("vitamin A 500 IU", "vitamin A"),  # units that do not meet
    ],
)
def test_a_per_cent_that_nothing_can_be_compared_with_is_not_judged(printed, name):
    facts = percents(
        f"carbohydrate 55 g; {printed}", **{name.replace(" ", "_"): "77", "carbohydrate": "20"}
    )
    assert told(facts) == {}


# Parts against the weight. Lower ends: 9.5 + 19.5 + 9.5 = 38.5 g.
def test_parts_that_weigh_more_than_the_serving_are_found():
    caught = label(PLAIN, serving_grams=Fraction("38.4"))
    assert check(caught) == (found("sum", "38.5", "0", "38.4", "g"),)
    assert check(label(PLAIN, serving_grams=Fraction("38.5"))) == ()


def test_fibre_is_a_part_of_its_own_only_where_it_stands_outside():
    for region, sum_of_lows in (("EU", "111"), ("AU", "111")):
        heavy = label("fat 40 g; carbohydrate 40 g; protein 21 g; fibre 12 g", region)
        assert check(heavy) == (found("sum", sum_of_lows, "0", "100", "g"),)
    light = label("fat 40 g; carbohydrate 40 g; protein 21 g", "EU")
    assert check(light) == ()
    inside = label(PLAIN + "; fibre 12 g", serving_grams=Fraction(39))
    assert check(inside) == ()


@pytest.mark.parametrize("name", ["fat", "carbohydrate", "protein"])
def test_each_part_alone_may_be_too_heavy(name):
    """101 g is 100.5 at least; a serving of 10 g cannot hold 11, which is 10.5."""
    assert [f.code for f in check(label(f"{name} 101 g", "EU"))] == ["sum"]
    assert check(label(f"{name} 100 g", "EU")) == ()
    small = label(f"{name} 11 g", serving_grams=Fraction(10))
    assert check(small) == (found("sum", "10.5", "0", "10", "g"),)


def test_what_is_per_serving_is_compared_with_the_serving_and_else_with_a_hundred():
    heavy = "fat 40 g; carbohydrate 40 g; protein 30 g"
    assert check(label(heavy, "EU", "serving", serving_grams=Fraction(150))) == ()
    assert check(label(heavy, "EU", serving_grams=Fraction(150))) != ()
    assert check(label(heavy, "EU", "100 ml")) == ()  # 100 ml of syrup weighs more
    assert check(label(heavy)) == ()  # a serving without a weight


# Salt is 2.5 times sodium, Regulation (EU) 1169/2011 Annex I: 400 mg are 1 g, to a tenth and 0.05.
@pytest.mark.parametrize("salt", ["0.84", "1.16", "10", "0.1"])
def test_salt_that_does_not_fit_the_sodium_is_found(salt):
    facts = label(f"salt {salt} g; sodium 400 mg", "EU")
    assert check(facts) == (found("salt", salt, "0.85", "1.15", "g"),)


@pytest.mark.parametrize("salt", ["0.85", "1", "1.15"])
def test_salt_within_its_tolerance_passes(salt):
    assert check(label(f"salt {salt} g; sodium 400 mg", "EU")) == ()


@pytest.mark.parametrize(
    "printed",
    ["salt 9 g", "sodium 400 mg", "salt 900 mg; sodium 400 mg", "salt 9 g; sodium 0.4 g"],
)
def test_salt_or_sodium_alone_or_in_other_units_is_not_judged(printed):
    assert check(label(printed, "EU")) == ()


# The pack: servings times serving within a fifth of the net weight, since servings are printed
# rounded (21 CFR 101.9(b)(8)). 9 x 40 = 360: 300 x 1.2 and 450 x 0.8.
@pytest.mark.parametrize(
    ("pack", "caught", "low", "high"),
    [
        ("300", False, "", ""), ("450", False, "", ""), ("360", False, "", ""),
        ("299", True, "239.2", "358.8"), ("451", True, "360.8", "541.2"),
    ],
)  # fmt: skip
def test_a_pack_that_does_not_hold_its_servings_is_found(pack, caught, low, high):
    for unit, name in (("g", "grams"), ("ml", "millilitres")):
        known = {
            "servings_per_pack": Fraction(9),
            f"serving_{name}": Fraction(40),
            f"pack_{name}": Fraction(pack),
        }
        facts = label("sugars 1 g", **known)
        assert check(facts) == ((found("pack", "360", low, high, unit),) if caught else ())
        for missing in known:
            less = {k: v for k, v in known.items() if k != missing}
            assert check(label("sugars 1 g", **less)) == ()


def test_a_pack_by_weight_is_not_compared_with_a_serving_by_volume():
    nine, far = Fraction(9), Fraction(4000)
    mixed = label(
        "sugars 1 g", servings_per_pack=nine, serving_millilitres=Fraction(40), pack_grams=far
    )
    assert check(mixed) == ()
    other = label(
        "sugars 1 g", servings_per_pack=nine, serving_grams=Fraction(40), pack_millilitres=far
    )
    assert check(other) == ()


def test_grams_go_before_millilitres_and_millilitres_serve_where_a_weight_is_missing():
    both = {
        "servings_per_pack": Fraction(9), "serving_grams": Fraction(40),
        "pack_grams": Fraction(360), "serving_millilitres": Fraction(40),
        "pack_millilitres": Fraction(4000),
    }  # fmt: skip
    assert check(label("sugars 1 g", **both)) == ()
    for missing in ("serving_grams", "pack_grams"):
        less = {k: v for k, v in both.items() if k != missing}
        assert [f.unit for f in check(label("sugars 1 g", **less))] == ["ml"]


# Density: from 0.02 to 1.6 g a millilitre. A US label's cup is 240 ml, a tablespoon 15, a teaspoon
# 5, a fluid ounce 30 (21 CFR 101.9(b)(5)(viii)).
@pytest.mark.parametrize(
    ("count", "unit", "volume"),
    [
        ("1", "cup", "240"), ("1/2", "cup", "120"), ("2", "tbsp", "30"), ("3", "tsp", "15"),
        ("4", "fl oz", "120"), ("1", "cups", "240"),
    ],
)  # fmt: skip
def test_a_household_measure_that_nothing_eaten_weighs_is_found(count, unit, volume):
    low, high = Fraction(volume) / 50, Fraction(volume) * Fraction(8, 5)
    step = Fraction(1, 1000)
    for grams, caught in ((low, False), (high, False), (low - step, True), (high + step, True)):
        facts = label(
            "sugars 1 g", household_count=Fraction(count), household_unit=unit, serving_grams=grams
        )
        told_of = (Finding("density", grams, low, high, "g"),) if caught else ()
        assert check(facts) == told_of


@pytest.mark.parametrize(
    ("count", "unit", "grams"),
    [
        (None, "cup", "9000"), ("1", None, "9000"), ("1", "cup", None),
        ("1", "slice", "9000"), ("1", "pint", "9000"), ("1", "lump", "9000"),
    ],
)  # fmt: skip
def test_a_measure_of_no_known_volume_is_not_judged(count, unit, grams):
    facts = label(
        "sugars 1 g",
        household_count=None if count is None else Fraction(count),
        household_unit=unit,
        serving_grams=None if grams is None else Fraction(grams),
    )
    assert check(facts) == ()


# The same measure of foods of a like name may differ by a factor of three (common practice).
def one(grams: str | None, count: str | None = "1", unit: str | None = "slice") -> FoodFacts:
    return label(
        "sugars 1 g",
        household_count=None if count is None else Fraction(count),
        household_unit=unit,
        serving_grams=None if grams is None else Fraction(grams),
    )


@pytest.mark.parametrize(
    ("mine", "caught"), [("90", False), ("10", False), ("90.1", True), ("9.9", True)]
)
def test_a_slice_three_times_another_slice_is_found(mine, caught):
    told_of = (found("like", mine, "10", "90", "g", "invented"),) if caught else ()
    assert against_like(one(mine), [one("30")]) == told_of
    assert against_like(one(mine), [one("60", "2", "slices")]) == told_of


def test_the_measure_itself_is_compared_and_not_its_number():
    assert against_like(one("80", "4"), [one("30", "1")]) == ()
    assert against_like(one("80", "4"), [one("200", "1")]) == (
        found("like", "20", "200/3", "600", "g", "invented"),
    )


def test_only_the_same_measure_of_a_food_that_has_one_is_compared():
    mine = one("300")
    for other in (
        one("30", unit="bar"), one(None), one("30", count=None), one("30", unit=None),
        one("30", unit=""), one("30", "0"),
    ):  # fmt: skip
        assert against_like(mine, [other]) == ()
        # and it does not keep the next from being looked at
        assert [f.code for f in against_like(mine, [other, one("30")])] == ["like"]
    for without in (one(None), one("300", count=None), one("300", unit=None), one("300", "0")):
        assert against_like(without, [one("30")]) == ()
    assert against_like(mine, []) == ()
    assert [f.stated for f in against_like(mine, [one("200"), one("30")])] == [300]


def test_every_check_is_made_in_one_order():
    facts = label(
        PLAIN + "; salt 9 g; sodium 400 mg; energy kcal 900 kcal; energy kJ 9 kJ", "EU",
        percents={"carbohydrate": Fraction(90)}, servings_per_pack=Fraction(9),
        serving_grams=Fraction(4000), pack_grams=Fraction(300), household_count=Fraction(1),
        household_unit="cup",
    )  # fmt: skip
    assert [f.code for f in check(facts)] == [
        "energy", "energy-units", "daily-value", "salt", "pack", "density",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("failed", "doubted"),
    [
        (("daily-value",), True), (("daily-value carbohydrate",), True),
        (("daily-value fibre",), True), (("sum",), True), (("energy", "sum"), True),
        (("energy",), False), (("daily-value sodium",), False), (("pack", "density"), False),
        ((), False),
    ],
)  # fmt: skip
def test_a_failed_check_on_the_counted_figure_itself_makes_it_doubtful(failed, doubted):
    assert doubts_carbohydrate(label(PLAIN, failed_checks=failed)) is doubted
    assert len(ABOUT_CARBOHYDRATE) == 4


def test_grams_are_judged_with_the_range_of_their_own_law():
    """5 g per 100 g may be 4.95 to 5.05 of 260: 1.9 per cent, give or take a half. 3 g of fat on a
    US label may be 2.75 to 3.25 of 78; 150 g may be 149.5 to 150.5."""
    assert told(percents("carbohydrate 5 g", "EU", carbohydrate="2.5")) == {
        "carbohydrate": (Fraction(5, 2), of("4.95", "260") - HALF, of("5.05", "260") + HALF)
    }
    low, high = of("2.75", "78") - HALF, of("3.25", "78") + HALF
    assert told(percents("fat 3 g", fat="9")) == {"fat": (Fraction(9), low, high)}
    low, high = of("149.5", "275") - HALF, of("150.5", "275") + HALF
    facts = percents("carbohydrate 150 g", carbohydrate="99")
    assert told(facts) == {"carbohydrate": (Fraction(99), low, high)}


def test_the_plural_of_a_measure_is_the_same_measure_on_either_side():
    assert [f.code for f in against_like(one("180", "2", "slices"), [one("20")])] == ["like"]
    assert [f.code for f in against_like(one("90"), [one("40", "2", "slices")])] == ["like"]

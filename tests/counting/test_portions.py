"""How much of a food was said: every kind of measure, each missing fact, each step by hand.

All foods are invented. Label measures by law: 21 CFR 101.9(b)(5)(viii).
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.counting.portions import Need, Weighed, known_measures, weigh
from grammar.measures import find_measure
from grammar.nodes import MeasureWord

NO_KITCHEN: dict[str, Fraction] = {}
METRIC_CUP = {"cup": Fraction(250)}
CARBS = {"carbohydrate": Nutrient(Fraction(27), "g")}

# A US label with a serving of 1/2 cup (40 g), nine to the pack.
OATS = FoodFacts(
    "oat cereal", "US", "serving", CARBS,
    serving_grams=Fraction(40), household_count=Fraction(1, 2), household_unit="cup",
    servings_per_pack=Fraction(9),
)  # fmt: skip
# A US label with a serving of 14 crackers (30 g).
CRACKERS = FoodFacts(
    "crackers", "US", "serving", CARBS,
    serving_grams=Fraction(30), household_count=Fraction(14), household_unit="crackers",
    servings_per_pack=Fraction(8),
)  # fmt: skip
BREAD = FoodFacts(
    "rye bread", "EU", "100 g", CARBS,
    serving_grams=Fraction(70), household_count=Fraction(2), household_unit="slices",
)  # fmt: skip
RICE = FoodFacts("rice", "EU", "100 g", CARBS)
JUICE = FoodFacts("juice", "EU", "100 ml", CARBS)
US_JUICE = FoodFacts("juice", "US", "100 ml", CARBS)
PLAIN = FoodFacts("stew", "US", "serving", CARBS)
MILK = FoodFacts(
    "milk", "US", "100 g", CARBS,
    extra=(Measure(Fraction("236.588"), "millilitre", grams=Fraction(244)),),
)  # fmt: skip


def measure(said: str, size: str | None = None) -> MeasureWord:
    found = find_measure(said)
    assert found is not None
    return MeasureWord(found[0], found[1], said, size)


def word(said: str) -> MeasureWord:
    return MeasureWord(said, "word", said)


def size(said: str) -> MeasureWord:
    return MeasureWord(said, "size", said)


def told(facts: FoodFacts, *measures: Measure) -> FoodFacts:
    return replace(facts, extra=measures)


def got(facts, quantity, unit, name=None, kitchen=NO_KITCHEN) -> Weighed | Need:
    said = measure(unit) if isinstance(unit, str) else unit
    return weigh(facts, Fraction(quantity), said, name or facts.name, kitchen)


def factor(*args, **named) -> Fraction:
    weighed = got(*args, **named)
    assert isinstance(weighed, Weighed), weighed
    return weighed.factor


def need(*args, **named) -> Need:
    found = got(*args, **named)
    assert isinstance(found, Need), found
    return found


def assert_steps_by_hand(weighed: Weighed, ratios: dict[tuple[str, str], Fraction]) -> None:
    """Each step from the one before, by a ratio that the test itself holds."""
    count, unit = weighed.quantity, weighed.unit
    for step in weighed.steps:
        assert (step.count, step.unit) == (count, unit)
        assert step.result == step.count * ratios[step.unit, step.into]
        count, unit = step.result, step.into
    assert (count, unit) == (weighed.factor, "reference")


# Mass


@pytest.mark.parametrize(
    ("quantity", "unit", "servings"),
    [
        ("40", "g", "1"), ("100", "g", "2.5"), ("1", "kg", "25"), ("500", "mg", "0.0125"),
        # International pound and ounce: 453.59237 g and a sixteenth of it.
        ("1", "lb", "11.33980925"), ("1", "ounce-weight", "0.708738078125"),
    ],
)  # fmt: skip
def test_a_mass_is_divided_by_the_servings_grams(quantity, unit, servings):
    weighed = got(OATS, quantity, unit)
    assert isinstance(weighed, Weighed)
    assert weighed.factor == Fraction(servings)
    assert weighed.grams == Fraction(servings) * 40


def test_a_mass_per_hundred_grams_is_divided_by_a_hundred():
    assert factor(RICE, "150", "g") == Fraction("1.5")
    weighed = got(RICE, "150", "g")
    assert_steps_by_hand(weighed, {("gram", "reference"): Fraction(1, 100)})
    assert (weighed.grams, weighed.millilitres) == (150, None)


# Volume


@pytest.mark.parametrize(
    ("quantity", "unit", "hundreds"),
    [("200", "ml", "2"), ("1", "l", "10"), ("2", "dl", "2"), ("33", "cl", "3.3")],
)
def test_a_volume_is_divided_by_a_hundred_millilitres(quantity, unit, hundreds):
    weighed = got(JUICE, quantity, unit)
    assert isinstance(weighed, Weighed)
    assert weighed.factor == Fraction(hundreds)
    assert weighed.millilitres == Fraction(hundreds) * 100
    assert weighed.grams is None


@pytest.mark.parametrize("unit", ["ml", "l", "dl", "cl"])
@pytest.mark.parametrize("facts", [RICE, BREAD, CRACKERS, PLAIN], ids=lambda f: f.name)
def test_a_volume_of_a_food_known_by_weight_is_asked(facts, unit):
    """No density is ever assumed, not that of water either."""
    assert need(facts, "200", unit).why == "volume"


@pytest.mark.parametrize("unit", ["g", "kg", "lb", "ounce-weight"])
@pytest.mark.parametrize("facts", [JUICE, US_JUICE, PLAIN], ids=["EU", "US", "no weight"])
def test_a_mass_of_a_food_known_by_volume_is_asked(facts, unit):
    assert need(facts, "200", unit).why == "mass"


def test_volume_becomes_mass_through_the_foods_own_label():
    """1/2 cup (40 g) on a US label: 120 mL are 40 g, so 60 mL are 20 g, half a serving."""
    weighed = got(OATS, "60", "ml")
    assert isinstance(weighed, Weighed)
    assert weighed.factor == Fraction(1, 2)
    assert weighed.grams == 20
    assert_steps_by_hand(
        weighed,
        {
            ("millilitre", "label cup"): Fraction(1, 240),
            ("label cup", "serving"): Fraction(2),
            ("serving", "reference"): Fraction(1),
        },
    )


def test_volume_becomes_mass_through_a_told_measure():
    """USDA: 244 g a customary cup of 236.588 mL is 1.0313 g/mL; 200 mL are 206.3 g (derived)."""
    weighed = got(MILK, "200", "ml")
    assert isinstance(weighed, Weighed)
    assert weighed.grams == Fraction(200) * 244 / Fraction("236.588")
    assert abs(weighed.grams - Fraction("206.3")) <= Fraction("0.05")
    assert weighed.steps[0].why == "told"


# Kitchen measures


@pytest.mark.parametrize(
    ("unit", "millilitres"), [("cup", 240), ("tbsp", 15), ("tsp", 5), ("fl oz", 30)]
)
def test_a_us_labels_kitchen_measures_are_the_laws(unit, millilitres):
    weighed = got(US_JUICE, "2", unit)
    assert isinstance(weighed, Weighed)
    assert weighed.millilitres == 2 * millilitres
    assert weighed.factor == Fraction(2 * millilitres, 100)
    assert "law" in {step.why for step in weighed.steps}


@pytest.mark.parametrize(
    ("quantity", "unit", "servings"),
    # 1/2 cup of 240 mL a serving: a tablespoon is 15/120 of it, a teaspoon 5/120, 1 fl oz 30/120.
    [("1", "cup", "2"), ("1/2", "cup", "1"), ("8", "tbsp", "1"), ("24", "tsp", "1"),
     ("4", "fl oz", "1"), ("3", "cup", "6")],
)  # fmt: skip
def test_kitchen_measures_of_a_us_label_walk_through_its_cup(quantity, unit, servings):
    assert factor(OATS, quantity, unit) == Fraction(servings)


def test_the_users_own_cup_goes_before_the_laws():
    """A 250 mL cup of oats: 250/240 of the label's cup, two servings each."""
    weighed = got(OATS, "1", "cup", kitchen=METRIC_CUP)
    assert isinstance(weighed, Weighed)
    assert weighed.factor == 2 * Fraction(250, 240)
    assert_steps_by_hand(
        weighed,
        {
            ("cup", "millilitre"): Fraction(250),
            ("millilitre", "label cup"): Fraction(1, 240),
            ("label cup", "serving"): Fraction(2),
            ("serving", "reference"): Fraction(1),
        },
    )
    assert weighed.steps[0].why == "kitchen"
    assert factor(US_JUICE, "1", "cup", kitchen=METRIC_CUP) == Fraction("2.5")


def test_the_users_own_cup_serves_a_label_of_another_law():
    assert factor(JUICE, "1", "cup", kitchen=METRIC_CUP) == Fraction("2.5")
    assert factor(JUICE, "2", "tbsp", kitchen={"tablespoon": Fraction(20)}) == Fraction("0.4")


def test_the_users_own_cup_is_not_the_size_of_another_measure():
    assert factor(US_JUICE, "1", "tbsp", kitchen=METRIC_CUP) == Fraction("0.15")


@pytest.mark.parametrize("unit", ["cup", "tbsp", "tsp", "fl oz", "pint", "quart", "gallon"])
@pytest.mark.parametrize("region", ["EU", "UK", "AU", "NZ", "CA", "JP"])
def test_a_kitchen_measure_that_no_law_and_no_user_set_is_asked(region, unit):
    facts = FoodFacts("juice", region, "100 ml", CARBS)
    assert need(facts, "1", unit) == Need("kitchen", measure(unit).unit)


@pytest.mark.parametrize("unit", ["pint", "quart", "gallon"])
def test_a_pint_is_no_label_measure_and_is_asked(unit):
    """A US pint is 473 mL and an imperial one 568: neither is taken."""
    assert need(US_JUICE, "1", unit).why == "kitchen"


def test_a_cup_of_a_food_known_only_by_weight_is_asked():
    assert need(RICE, "1", "cup", kitchen=METRIC_CUP).why == "measure"
    assert need(CRACKERS, "1", "cup").why == "measure"


def test_a_labels_own_cup_is_a_serving_where_no_law_gives_its_size():
    facts = FoodFacts(
        "cereal", "CA", "serving", CARBS,
        serving_grams=Fraction(30), household_count=Fraction(1), household_unit="cup",
    )  # fmt: skip
    assert factor(facts, "2", "cup") == 2
    assert isinstance(got(facts, "2", "tbsp"), Need)
    assert isinstance(got(facts, "2", "cup", kitchen=METRIC_CUP), Need)


def test_a_told_cup_goes_before_the_laws_cup():
    facts = told(RICE, Measure(Fraction(1), "cup", grams=Fraction(158)))
    assert factor(facts, "2", "cup") == Fraction("3.16")
    us = told(replace(RICE, region="US"), Measure(Fraction(1), "cup", grams=Fraction(158)))
    assert factor(us, "2", "cup") == Fraction("3.16")


# Servings, packs, pieces, sizes, told measures


@pytest.mark.parametrize("unit", ["serving", "portions"])
def test_a_serving_is_the_labels(unit):
    if unit == "serving":
        assert factor(OATS, "3/2", unit) == Fraction(3, 2)
        assert factor(BREAD, "2", unit) == Fraction("1.4")
    assert got(OATS, "1.5", unit).grams == 60


def test_a_serving_of_a_label_that_states_none_is_asked():
    assert need(RICE, "1", "serving").why == "measure"


@pytest.mark.parametrize(("quantity", "servings"), [("1", "9"), ("1/2", "4.5"), ("2", "18")])
@pytest.mark.parametrize("unit", ["pack", "packet", "box", "bag", "container"])
def test_a_pack_is_its_servings(quantity, servings, unit):
    assert factor(OATS, quantity, unit) == Fraction(servings)


@pytest.mark.parametrize("unit", ["pack", "box", "can", "bottle"])
def test_a_pack_whose_servings_are_not_stated_is_asked(unit):
    assert need(PLAIN, "1", unit) == Need("pack", measure(unit).unit)


def test_a_told_pack_goes_before_the_labels():
    facts = told(OATS, Measure(Fraction(1), "pack", grams=Fraction(400)))
    assert factor(facts, "1", "pack") == 10


@pytest.mark.parametrize(
    "household", ["bag", "packet", "package", "container", "can", "bottle", "box", "carton"]
)
def test_a_pack_that_is_a_serving_is_never_taken_for_the_whole_box(household):
    """Serving 1 packet (28 g), 10 servings per container: "2 packets" are not 20 servings.

    Two servings is the label's own meaning; a question is safe; anything else is a wrong count.
    """
    facts = FoodFacts(
        "oatmeal", "US", "serving", CARBS,
        serving_grams=Fraction(28), household_count=Fraction(1), household_unit=household,
        servings_per_pack=Fraction(10),
    )  # fmt: skip
    found = got(facts, "2", household)
    assert isinstance(found, Need) or found.factor == 2


CONTAINERS = ["pack", "packet", "package", "box", "bag", "container", "can", "carton", "tub"]


@pytest.mark.parametrize("household", CONTAINERS)
@pytest.mark.parametrize("said", CONTAINERS)
def test_a_container_word_counts_as_the_label_has_it_or_is_asked(household, said):
    """The label: serving 1 HOUSEHOLD (28 g), 10 servings per container. "1 SAID" of it.

    Where SAID is another word than the label's, nothing tells which of the two it is: a packet
    may well be called a pack, and a box hold ten of them.
    """
    facts = FoodFacts(
        "oatmeal", "US", "serving", CARBS,
        serving_grams=Fraction(28), household_count=Fraction(1), household_unit=household,
        servings_per_pack=Fraction(10),
    )  # fmt: skip
    found = got(facts, "1", said)
    assert isinstance(found, Need) or (said == household and found.factor == 1)


@pytest.mark.parametrize("said", ["box", "bag", "container", "carton"])
def test_a_told_pack_is_not_a_box_of_another_name(said):
    """A pack told to weigh 28 g, 10 servings per container on the label: "1 box" is not 28 g."""
    facts = FoodFacts(
        "oatmeal", "US", "serving", CARBS, serving_grams=Fraction(28),
        servings_per_pack=Fraction(10), extra=(Measure(Fraction(1), "pack", grams=Fraction(28)),),
    )  # fmt: skip
    found = got(facts, "1", said)
    assert isinstance(found, Need) or found.factor == 10


@pytest.mark.parametrize("household", ["pouch", "pouches", "packets", "bars", "pieces"])
def test_the_labels_own_household_word_is_counted(household):
    facts = FoodFacts(
        "snack", "US", "serving", CARBS,
        serving_grams=Fraction(28), household_count=Fraction(2), household_unit=household,
    )  # fmt: skip
    found = find_measure(household)
    said = measure(household) if found else word(household)
    assert factor(facts, "3", said) == Fraction(3, 2)


def test_a_piece_is_the_labels_household_measure():
    weighed = got(BREAD, "3", "slices")
    assert isinstance(weighed, Weighed)
    assert weighed.unit == "slice"
    assert weighed.factor == Fraction("1.05")
    assert weighed.grams == 105
    assert_steps_by_hand(
        weighed,
        {
            ("slice", "serving"): Fraction(1, 2),
            ("serving", "gram"): Fraction(70),
            ("gram", "reference"): Fraction(1, 100),
        },
    )


def test_a_piece_of_another_kind_is_asked():
    found = need(BREAD, "1", "bar")
    assert (found.why, found.unit, found.known) == ("measure", "bar", ("slices",))


APPLE = told(
    FoodFacts("apple", "US", "100 g", CARBS),
    Measure(Fraction(1), "small apple", grams=Fraction(149)),
    Measure(Fraction(1), "medium apple", grams=Fraction(182)),
)


def test_a_size_is_the_told_measure_of_that_size():
    assert factor(APPLE, "2", size("medium")) == Fraction("3.64")
    assert factor(APPLE, "1", size("small")) == Fraction("1.49")
    bread = told(RICE, Measure(Fraction(1), "large slice", grams=Fraction(30)))
    assert factor(bread, "2", measure("slices", "large")) == Fraction("0.6")


def test_a_size_that_was_not_told_is_asked_and_no_other_size_is_taken():
    found = need(APPLE, "1", size("large"))
    assert (found.why, found.unit) == ("measure", "large apple")
    assert found.known == ("small apple", "medium apple")
    assert need(BREAD, "1", measure("slice", "large")).why == "measure"


@pytest.mark.parametrize("said", ["serving", "portion", "pack", "box", "cup", "tablespoon"])
def test_a_size_before_a_measure_is_never_left_out_of_the_count(said):
    """ "1 large serving" is not the label's serving: every word of the input has its role."""
    assert isinstance(got(OATS, "1", measure(said, "large")), Need)
    assert isinstance(got(OATS, "1", measure(said, "small")), Need)


def test_a_told_measure_of_the_users_own_is_counted():
    facts = told(
        PLAIN, Measure(Fraction(2), "scoop", grams=Fraction(50)),
        Measure(Fraction(1), "ladle", millilitres=Fraction(120)),
    )  # fmt: skip
    whole = replace(facts, serving_grams=Fraction(100), serving_millilitres=Fraction(240))
    assert factor(whole, "3", word("scoops")) == Fraction("0.75")
    assert factor(whole, "3", word("ladle")) == Fraction("1.5")
    assert need(facts, "1", word("scoop")).why == "measure"
    assert need(facts, "1", word("bowl")).known == ("scoop", "ladle")


# Ounces


def test_an_ounce_of_a_food_known_by_weight_is_mass():
    assert factor(RICE, "1", "oz") == Fraction("0.28349523125")


def test_an_ounce_of_a_food_known_by_volume_is_volume():
    assert factor(US_JUICE, "8", "oz") == Fraction("2.4")
    assert need(JUICE, "8", "oz").why == "kitchen"


def test_an_ounce_of_a_food_known_both_ways_is_asked():
    """8 oz of oats: 227 g, or 240 mL of it, which are 80 g."""
    assert need(OATS, "8", "oz").why == "ounce"
    assert need(MILK, "8", "oz").why == "ounce"


def test_an_ounce_of_a_food_known_neither_way_is_not_taken_for_one_of_them():
    found = need(PLAIN, "8", "oz")
    assert found.unit != "fluid ounce"


# Conflicts


def cups_of(millilitres: str) -> FoodFacts:
    """A US label: 1 cup that it gives another figure in millilitres."""
    return FoodFacts(
        "drink", "US", "serving", CARBS,
        serving_millilitres=Fraction(millilitres),
        household_count=Fraction(1), household_unit="cup",
    )  # fmt: skip


def test_two_facts_that_differ_by_more_than_two_per_cent_are_asked():
    found = need(cups_of("250"), "3", "cup")
    assert found.why == "conflict"
    assert sorted(found.factors) == [Fraction(3) * 240 / 250, 3]


def test_two_facts_within_two_per_cent_are_a_labels_rounding():
    assert factor(cups_of("244.8"), "1", "cup") == 1
    assert need(cups_of("244.81"), "1", "cup").why == "conflict"
    assert factor(cups_of("240"), "1", "cup") == 1


def test_a_told_measure_that_disagrees_with_the_labels_weight_is_asked():
    """A serving of 40 g by the label, of 50 g as told: 100 g are 2 servings or 2.5."""
    facts = told(OATS, Measure(Fraction(1), "serving", grams=Fraction(50)))
    found = need(facts, "100", "g")
    assert found.why == "conflict"
    assert set(found.factors) >= {2, Fraction("2.5")}


# Bare counts


def test_a_bare_count_counts_the_labels_household_word():
    """14 crackers (30 g) a serving."""
    weighed = weigh(CRACKERS, Fraction(10), None, "crackers", NO_KITCHEN)
    assert isinstance(weighed, Weighed)
    assert weighed.factor == Fraction(10, 14)
    assert weighed.unit == "cracker"
    assert weighed.grams == Fraction(300, 14)
    assert isinstance(weigh(CRACKERS, Fraction(1), None, "rye cracker", NO_KITCHEN), Weighed)


@pytest.mark.parametrize("facts", [BREAD, RICE, JUICE, OATS, PLAIN, APPLE], ids=lambda f: f.name)
def test_a_bare_count_of_a_food_without_such_a_word_is_asked(facts):
    found = weigh(facts, Fraction(2), None, facts.name, NO_KITCHEN)
    assert isinstance(found, Need)
    assert found.why == "count"
    assert found.known == known_measures(facts)


def test_a_bare_count_needs_a_measure_of_that_very_name():
    """ "3 dumplings" of a food with a told dumpling; a told piece of rice is no "3 rice"."""
    facts = told(RICE, Measure(Fraction(1), "dumpling", grams=Fraction(50)))
    weighed = weigh(facts, Fraction(3), None, "dumplings", NO_KITCHEN)
    assert isinstance(weighed, Weighed)
    assert weighed.factor == Fraction("1.5")
    facts = told(RICE, Measure(Fraction(1), "piece", grams=Fraction(50)))
    assert isinstance(weigh(facts, Fraction(3), None, "rice", NO_KITCHEN), Need)


@pytest.mark.parametrize("name", ["fruit cup", "snack pack", "half pint"])
def test_a_bare_count_of_a_name_that_ends_in_a_measure_is_asked(name):
    """ "2 fruit cups" of a food called fruit cup are not 480 mL of it: what one is was not told."""
    facts = FoodFacts(
        name, "US", "serving", CARBS,
        serving_grams=Fraction(113), household_count=Fraction(1, 2), household_unit="cup",
        servings_per_pack=Fraction(4),
    )  # fmt: skip
    assert isinstance(weigh(facts, Fraction(2), None, name, NO_KITCHEN), Need)


# Laws

FOODS = [OATS, CRACKERS, BREAD, RICE, JUICE, US_JUICE, MILK, APPLE, cups_of("240")]
SAID = [
    *(measure(u) for u in ("g", "kg", "mg", "lb", "oz", "ml", "cl", "dl", "l", "cup", "tbsp",
                           "tsp", "fl oz", "pint", "serving", "pack", "box", "slice", "bar")),
    size("medium"), word("scoop"), None,
]  # fmt: skip
RATIOS = {
    # What one of the first is of the second, held here and not read from the program.
    ("gram", "milligram"): Fraction(1000), ("kilogram", "gram"): Fraction(1000),
    ("milligram", "gram"): Fraction(1, 1000), ("pound", "gram"): Fraction("453.59237"),
    ("ounce", "gram"): Fraction("28.349523125"), ("litre", "millilitre"): Fraction(1000),
    ("decilitre", "millilitre"): Fraction(100), ("centilitre", "millilitre"): Fraction(10),
    ("label cup", "millilitre"): Fraction(240), ("label tablespoon", "millilitre"): Fraction(15),
    ("label teaspoon", "millilitre"): Fraction(5),
    ("label fluid ounce", "millilitre"): Fraction(30),
    ("cup", "label cup"): Fraction(1), ("tablespoon", "label tablespoon"): Fraction(1),
    ("teaspoon", "label teaspoon"): Fraction(1), ("fluid ounce", "label fluid ounce"): Fraction(1),
    ("cup", "millilitre"): Fraction(250),
}  # fmt: skip
OWN = {
    "oat cereal": {("serving", "gram"): 40, ("serving", "label cup"): Fraction(1, 2),
                   ("pack", "serving"): 9, ("reference", "serving"): 1},
    "crackers": {("serving", "gram"): 30, ("serving", "cracker"): 14, ("pack", "serving"): 8,
                 ("reference", "serving"): 1},
    "rye bread": {("serving", "gram"): 70, ("serving", "slice"): 2, ("reference", "gram"): 100},
    "rice": {("reference", "gram"): 100},
    "juice": {("reference", "millilitre"): 100},
    "milk": {("reference", "gram"): 100, ("millilitre", "gram"): 244 / Fraction("236.588")},
    "apple": {("reference", "gram"): 100, ("medium apple", "gram"): 182,
              ("small apple", "gram"): 149},
    "drink": {("serving", "millilitre"): 240, ("serving", "label cup"): 1,
              ("reference", "serving"): 1},
}  # fmt: skip


@given(
    st.sampled_from(FOODS),
    st.integers(1, 4200).map(lambda n: Fraction(n, 420)),
    st.sampled_from(SAID),
    st.sampled_from([NO_KITCHEN, METRIC_CUP]),
)
def test_every_step_can_be_redone_by_hand_and_twice_as_much_counts_twice(
    facts, quantity, said, kitchen
):
    found = weigh(facts, quantity, said, facts.name, kitchen)
    twice = weigh(facts, 2 * quantity, said, facts.name, kitchen)
    if isinstance(found, Need):
        assert isinstance(twice, Need)
        assert twice.why == found.why
        return
    ratios = RATIOS | {key: Fraction(value) for key, value in OWN[facts.name].items()}
    ratios |= {(b, a): 1 / value for (a, b), value in ratios.items() if (b, a) not in ratios}
    assert_steps_by_hand(found, ratios)
    assert found.factor > 0
    assert isinstance(twice, Weighed)
    assert twice.factor == 2 * found.factor
    if found.grams is not None and facts.per == "100 g":
        assert found.grams == 100 * found.factor
    if found.millilitres is not None and facts.per == "100 ml":
        assert found.millilitres == 100 * found.factor

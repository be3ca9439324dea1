"""The steps of a portion, with why each holds; and what is told where a fact is missing.

Every food is invented. What a step rests on: the label, its law, the user's kitchen, the metric
system, or a measure that the user told.
"""

from fractions import Fraction

import pytest

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.counting.portions import Need, Step, Weighed, known_measures, weigh
from grammar.measures import find_measure
from grammar.nodes import MeasureWord


def food(
    region: str = "US", per: str = "serving", name: str = "stew", **known: object
) -> FoodFacts:
    facts = {k: Fraction(v) if isinstance(v, str) and k != "household_unit" else v
             for k, v in known.items()}  # fmt: skip
    return FoodFacts(name, region, per, {"carbohydrate": Nutrient(Fraction(20), "g")}, **facts)


def said(text: str) -> MeasureWord:
    """ "large slice", "cup", "dollop": a word that is no measure is the user's own."""
    *sizes, unit = text.split()
    found = find_measure(unit)
    size = sizes[0] if sizes else None
    if found is None:
        return MeasureWord(unit, "word", unit, size)
    return MeasureWord(found[0], found[1], unit, size)


def portion(facts: FoodFacts, quantity: str, unit: str, kitchen: dict[str, str] | None = None):
    own = {name: Fraction(held) for name, held in (kitchen or {}).items()}
    return weigh(facts, Fraction(quantity), said(unit), facts.name, own)


def told(unit: str, count: str = "1", **known: str) -> Measure:
    return Measure(Fraction(count), unit, **{k: Fraction(v) for k, v in known.items()})


def step(count: str, unit: str, result: str, into: str, why: str) -> Step:
    return Step(Fraction(count), unit, Fraction(result), into, why)


OWN = {"cup": "250"}
CASES = [
    # The label's serving, in weight, volume and household measure.
    (food(serving_grams="40"), "100", "g", {}, [
        step("100", "gram", "5/2", "serving", "label"),
        step("5/2", "serving", "5/2", "reference", "label"),
    ]),
    (food(serving_millilitres="240"), "120", "ml", {}, [
        step("120", "millilitre", "1/2", "serving", "label"),
        step("1/2", "serving", "1/2", "reference", "label"),
    ]),
    (food(household_count="2", household_unit="slices"), "3", "slice", {}, [
        step("3", "slice", "3/2", "serving", "label"),
        step("3/2", "serving", "3/2", "reference", "label"),
    ]),
    # A word of the label's own that is no measure.
    (food(household_count="4", household_unit="Dollops"), "2", "dollop", {}, [
        step("2", "dollop", "1/2", "serving", "label"),
        step("1/2", "serving", "1/2", "reference", "label"),
    ]),
    # Per 100 g and per 100 ml.
    (food("EU", "100 g"), "50", "g", {}, [step("50", "gram", "1/2", "reference", "label")]),
    (food("EU", "100 ml"), "50", "ml", {}, [step("50", "millilitre", "1/2", "reference", "label")]),
    # Metric units.
    (food("EU", "100 g"), "2", "kg", {}, [
        step("2", "kilogram", "2000", "gram", "metric"),
        step("2000", "gram", "20", "reference", "label"),
    ]),
    (food("EU", "100 g"), "500", "mg", {}, [
        step("500", "milligram", "1/2", "gram", "metric"),
        step("1/2", "gram", "1/200", "reference", "label"),
    ]),
    (food("EU", "100 ml"), "3", "cl", {}, [
        step("3", "centilitre", "30", "millilitre", "metric"),
        step("30", "millilitre", "3/10", "reference", "label"),
    ]),
    (food("EU", "100 ml"), "3", "dl", {}, [
        step("3", "decilitre", "300", "millilitre", "metric"),
        step("300", "millilitre", "3", "reference", "label"),
    ]),
    (food("EU", "100 ml"), "1/2", "l", {}, [
        step("1/2", "litre", "500", "millilitre", "metric"),
        step("500", "millilitre", "5", "reference", "label"),
    ]),
    # A pack, by its servings; by its net weight or volume only where servings are not stated.
    (food(servings_per_pack="9", pack_grams="400", serving_grams="40"), "1/3", "pack", {}, [
        step("1/3", "pack", "3", "serving", "label"),
        step("3", "serving", "3", "reference", "label"),
    ]),
    (food("EU", "100 g", pack_grams="400"), "1/2", "box", {}, [
        step("1/2", "pack", "200", "gram", "label"),
        step("200", "gram", "2", "reference", "label"),
    ]),
    (food("EU", "100 ml", pack_millilitres="330"), "2", "can", {}, [
        step("2", "pack", "660", "millilitre", "label"),
        step("660", "millilitre", "33/5", "reference", "label"),
    ]),
    # Told measures, by weight and by volume; of several at once.
    (food("EU", "100 g", extra=(told("dollop", "2", grams="50"),)), "3", "dollop", {}, [
        step("3", "dollop", "75", "gram", "told"),
        step("75", "gram", "3/4", "reference", "label"),
    ]),
    (food("EU", "100 ml", extra=(told("dollop", "2", millilitres="50"),)), "3", "dollop", {}, [
        step("3", "dollop", "75", "millilitre", "told"),
        step("75", "millilitre", "3/4", "reference", "label"),
    ]),
    # A slice that was told goes before the label's slice.
    (
        food(
            serving_grams="50", household_count="2", household_unit="slices",
            extra=(told("slice", grams="40"),),
        ),
        "1", "slice", {},
        [
            step("1", "slice", "40", "gram", "told"), step("40", "gram", "4/5", "serving", "label"),
            step("4/5", "serving", "4/5", "reference", "label"),
        ],
    ),
    # A US label's cup by its law (21 CFR 101.9(b)(5)(viii)), the label's own cup, and the user's.
    (food("US", "100 ml"), "1", "cup", {}, [
        step("1", "cup", "1", "label cup", "label"),
        step("1", "label cup", "240", "millilitre", "law"),
        step("240", "millilitre", "12/5", "reference", "label"),
    ]),
    (food("EU", household_count="1/2", household_unit="cup"), "2", "cup", {}, [
        step("2", "cup", "2", "label cup", "label"),
        step("2", "label cup", "4", "serving", "label"),
        step("4", "serving", "4", "reference", "label"),
    ]),
    (food("US", "100 ml"), "1", "cup", OWN, [
        step("1", "cup", "250", "millilitre", "kitchen"),
        step("250", "millilitre", "5/2", "reference", "label"),
    ]),
    (food("EU", "100 ml"), "1", "mug", {"mug": "300"}, [
        step("1", "mug", "300", "millilitre", "kitchen"),
        step("300", "millilitre", "3", "reference", "label"),
    ]),
    # A kitchen measure of the user's that the food itself knows otherwise: the food's own wins.
    (
        food("EU", "100 ml", extra=(told("mug", millilitres="200"),)), "1", "mug", {"mug": "300"},
        [
            step("1", "mug", "200", "millilitre", "told"),
            step("200", "millilitre", "2", "reference", "label"),
        ],
    ),
    (
        food("EU", household_count="2", household_unit="mugs", serving_millilitres="500"),
        "1", "mug", {"mug": "300"},
        [
            step("1", "mug", "1/2", "serving", "label"),
            step("1/2", "serving", "1/2", "reference", "label"),
        ],
    ),
    (
        food("EU", "100 ml", extra=(told("cup", millilitres="200"),)), "1", "cup", OWN,
        [
            step("1", "cup", "200", "millilitre", "told"),
            step("200", "millilitre", "2", "reference", "label"),
        ],
    ),
    # A size of a measure, and a size alone before the food's name.
    (
        food("EU", "100 g", extra=(told("large slice", grams="60"), told("slice", grams="30"))),
        "2", "large slice", {},
        [
            step("2", "large slice", "120", "gram", "told"),
            step("120", "gram", "6/5", "reference", "label"),
        ],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "quantity", "unit", "kitchen", "steps"), CASES)
def test_each_step_tells_what_it_rests_on(facts, quantity, unit, kitchen, steps):
    found = portion(facts, quantity, unit, kitchen)
    assert isinstance(found, Weighed), found
    assert list(found.steps) == steps
    assert (found.quantity, found.unit) == (Fraction(quantity), steps[0].unit)
    assert found.factor == steps[-1].result


@pytest.mark.parametrize(
    ("facts", "quantity", "unit", "grams", "millilitres"),
    [
        (food(serving_grams="40"), "2", "serving", "80", None),
        (food(serving_millilitres="240"), "2", "serving", None, "480"),
        (food(serving_grams="40", serving_millilitres="240"), "3", "serving", "120", "720"),
        (food(), "2", "serving", None, None),
        (food("EU", "100 g"), "2", "kg", "2000", None),
    ],
)
def test_a_portion_tells_its_weight_and_its_volume_where_they_are_known(
    facts, quantity, unit, grams, millilitres
):
    found = portion(facts, quantity, unit)
    assert isinstance(found, Weighed)
    assert found.grams == (None if grams is None else Fraction(grams))
    assert found.millilitres == (None if millilitres is None else Fraction(millilitres))


SLICED = food(household_count="2", household_unit="slices", extra=(told("dollop", grams="30"),))
KNOWN = ("dollop", "slices")


@pytest.mark.parametrize(
    ("facts", "unit", "needed"),
    [
        # nothing tells what one unit weighs
        (SLICED, "wedge", Need("measure", "wedge", KNOWN)),
        (SLICED, "lump", Need("measure", "lump", KNOWN)),
        (SLICED, "large slice", Need("measure", "large slice", KNOWN)),
        (SLICED, "mug", Need("measure", "mug", KNOWN)),
        # a label by weight, a food by volume, and the other way round
        (food("EU", "100 g"), "ml", Need("volume", "millilitre")),
        (food("EU", "100 g"), "l", Need("volume", "millilitre")),
        (food("EU", "100 ml"), "g", Need("mass", "gram")),
        (food("EU", "100 ml"), "lb", Need("mass", "gram")),
        # a pack of which nothing is known; a large one, even where a pack is known
        (food(), "box", Need("pack", "box")),
        (food(), "pack", Need("pack", "pack")),
        (food(servings_per_pack="9"), "large pack", Need("pack", "pack")),
        # what a cup holds, where a volume would help; where none would, what it weighs
        (food("EU", "100 ml"), "cup", Need("kitchen", "cup")),
        (food("EU", "100 ml"), "pint", Need("kitchen", "pint")),
        (food("EU", "100 g"), "cup", Need("measure", "cup")),
        (food("US", "100 g"), "cup", Need("measure", "cup")),
        # ounces: neither, volume (whose ounce?), both
        (food("EU"), "oz", Need("measure", "ounce")),
        (food("EU", "100 ml"), "oz", Need("kitchen", "fluid ounce")),
        (food("US", "100 ml", serving_millilitres="240", serving_grams="250"), "oz",
         Need("ounce", "ounce")),
        # a serving that has a size is not the label's serving
        (food(), "large serving", Need("measure", "large serving")),
        # a container of the label's own beside a pack: two things
        (food(household_count="1", household_unit="packet", servings_per_pack="10"), "box",
         Need("pack", "box", ("packet",))),
        # words for what stands inside the program are no measures
        (food("EU", "100 g"), "reference", Need("measure", "reference")),
    ],
)  # fmt: skip
def test_what_is_missing_is_named_with_what_the_food_knows(facts, unit, needed):
    assert portion(facts, "1", unit) == needed


@pytest.mark.parametrize(
    "unit", ["gram", "millilitre", "serving", "reference", "label cup", "pack"]
)
def test_a_word_of_the_user_never_names_a_node_of_the_program(unit):
    facts = food("US", "100 ml", serving_millilitres="240", servings_per_pack="9")
    asked = weigh(facts, Fraction(1), MeasureWord(unit, "word", unit), "stew", {})
    assert asked == Need("measure", unit)


@pytest.mark.parametrize("name", ["gram", "serving", "reference", "my pack", "label cup", "litre"])
def test_a_bare_count_of_a_food_that_is_called_like_a_measure_is_asked(name):
    facts = food("US", "100 ml", serving_millilitres="240", servings_per_pack="9", name=name)
    found = weigh(facts, Fraction(2), None, name, {})
    assert isinstance(found, Need)
    assert found.why == "count"


def test_a_bare_count_is_of_the_last_word_or_of_the_whole_name():
    one = food("EU", "100 g", name="rye roll", extra=(told("roll", grams="50"),))
    whole = food("EU", "100 g", name="rye roll", extra=(told("rye roll", grams="60"),))
    both = food(
        "EU",
        "100 g",
        name="rye roll",
        extra=(told("rye roll", grams="60"), told("roll", grams="50")),
    )
    for facts, factor in ((one, "1"), (whole, "6/5"), (both, "1")):
        found = weigh(facts, Fraction(2), None, "rye rolls", {})
        assert isinstance(found, Weighed)
        assert found.factor == Fraction(factor)
    missing = weigh(food("EU", "100 g"), Fraction(2), None, "rye rolls", {})
    assert missing == Need("count", "roll")


SIZES = [
    # 1 medium, of the food that it was told of: alone, with the food's last word, with its name
    ("medium", "150"), ("medium apple", "160"), ("medium red apple", "170"),
]  # fmt: skip


@pytest.mark.parametrize(("unit", "grams"), SIZES)
def test_a_size_is_the_told_measure_of_that_size(unit, grams):
    facts = food("EU", "100 g", name="red apple", extra=(told(unit, grams=grams),))
    size = MeasureWord("medium", "size", "medium")
    found = weigh(facts, Fraction(1), size, "red apple", {})
    assert isinstance(found, Weighed)
    assert (found.unit, found.grams) == (unit, Fraction(grams))
    other = weigh(facts, Fraction(1), MeasureWord("large", "size", "large"), "red apple", {})
    assert other == Need("measure", "large apple", (unit,))


def test_of_two_told_sizes_the_one_with_the_foods_word_goes_first():
    facts = food(
        "EU", "100 g", name="red apple",
        extra=(told("medium", grams="150"), told("medium apple", grams="160")),
    )  # fmt: skip
    found = weigh(facts, Fraction(1), MeasureWord("medium", "size", "medium"), "red apple", {})
    assert isinstance(found, Weighed)
    assert found.grams == 160


def test_the_known_measures_are_told_once_each_the_users_first():
    facts = food(
        household_count="1", household_unit="slice",
        extra=(told("dollop", grams="30"), told("slice", grams="40"), told("dollop", grams="31")),
    )  # fmt: skip
    assert known_measures(facts) == ("dollop", "slice")
    assert known_measures(food()) == ()
    assert known_measures(food(household_count="1")) == ()


@pytest.mark.parametrize(
    "facts",
    [food(household_count="1/2"), food(household_unit="slice"),
     food(household_count="0", household_unit="slice")],
)  # fmt: skip
def test_half_a_household_measure_is_none(facts):
    """A count without a unit, a unit without a count, a count of nought: nothing to divide by."""
    found = portion(facts, "1", "slice")
    assert isinstance(found, Need)
    assert found.why == "measure"


@pytest.mark.parametrize(
    ("millilitres", "agrees"),
    [("244.8", True), ("244.81", False), ("235.3", True), ("235.29", False)],
)
def test_two_walks_may_differ_by_two_per_cent_either_way(millilitres, agrees):
    """A US cup of 240 ml: 244.8 is 2 per cent more, 235.3 is 1.997 per cent less of it."""
    facts = food(household_count="1", household_unit="cup", serving_millilitres=millilitres)
    found = portion(facts, "3", "cup")
    assert isinstance(found, Weighed) == agrees
    if not agrees:
        factors = {Fraction(3), Fraction(720) / Fraction(millilitres)}
        assert (found.why, found.unit, found.known) == ("conflict", "cup", ("cup",))
        assert set(found.factors) == factors


def test_the_first_walk_is_the_shortest():
    """By its cup: the label's own serving, not the way through millilitres."""
    facts = food(household_count="1", household_unit="cup", serving_millilitres="244")
    found = portion(facts, "1", "cup")
    assert isinstance(found, Weighed)
    assert found.factor == 1
    assert [s.why for s in found.steps] == ["label", "label", "label"]


@pytest.mark.parametrize("said_unit", ["packet", "box", "tub", "pack"])
def test_a_container_with_a_weight_of_its_own_is_that_and_any_other_is_asked(said_unit):
    facts = food("EU", "100 g", pack_grams="400", extra=(told("tub", grams="150"),))
    found = portion(facts, "1", said_unit)
    if said_unit == "tub":
        assert isinstance(found, Weighed)
        assert found.grams == 150
    else:
        assert found == Need("pack", said_unit, ("tub",))
    assert portion(facts, "1", "large tub") == Need("pack", "tub", ("tub",))


@pytest.mark.parametrize("region", ["US", "EU"])
def test_a_serving_in_containers_leaves_the_pack_to_be_asked(region):
    facts = food(region, household_count="1", household_unit="tub", servings_per_pack="4")
    found = portion(facts, "2", "tub")
    assert isinstance(found, Weighed)
    assert found.factor == 2
    assert portion(facts, "2", "pack") == Need("pack", "pack", ("tub",))


def test_a_told_spoon_goes_before_the_laws_and_the_users():
    facts = food("US", "100 g", extra=(told("tablespoon", grams="12"),))
    for kitchen in ({}, {"tablespoon": "20"}):
        found = portion(facts, "1", "tbsp", kitchen)
        assert isinstance(found, Weighed)
        assert [s.why for s in found.steps] == ["told", "label"]


@pytest.mark.parametrize(("unit", "held"), [("tbsp", "15"), ("tsp", "5"), ("floz", "30")])
def test_each_kitchen_measure_of_the_us_law_serves_a_us_label_only(unit, held):
    """21 CFR 101.9(b)(5)(viii)."""
    names = {"tbsp": "tablespoon", "tsp": "teaspoon", "floz": "fluid ounce"}
    word = MeasureWord(names[unit], "kitchen", unit)
    found = weigh(food("US", "100 ml"), Fraction(1), word, "stew", {})
    assert isinstance(found, Weighed)
    assert found.millilitres == Fraction(held)
    for region in ("CA", "EU"):
        asked = weigh(food(region, "100 ml"), Fraction(1), word, "stew", {})
        assert asked == Need("kitchen", names[unit])


def test_a_told_measure_that_is_no_container_leaves_the_pack_as_it_is():
    facts = food(servings_per_pack="9", extra=(told("dollop", grams="30"),))
    found = portion(facts, "1", "box")
    assert isinstance(found, Weighed)
    assert found.factor == 9


def test_a_bare_count_of_a_piece_that_no_weight_is_known_of_asks_for_it():
    facts = food("EU", "100 g", name="rolls", household_count="2", household_unit="rolls")
    assert weigh(facts, Fraction(3), None, "rolls", {}) == Need("measure", "roll", ("rolls",))


def test_a_bare_count_of_a_piece_that_the_food_is_named_after() -> None:
    """ "2 cheese slices" where the label's serving is 1 slice (20 g)."""
    cheese = food(name="cheese slice", serving_grams="20", household_count="1",
                  household_unit="slice")  # fmt: skip
    found = weigh(cheese, Fraction(2), None, "cheese slices", {})
    assert isinstance(found, Weighed)
    assert (found.unit, found.factor, found.grams) == ("slice", 2, 40)


@pytest.mark.parametrize(
    ("facts", "unit", "kitchen", "why"),
    [
        # the user's cup is set, but nothing leads from its millilitres to this label
        (food("EU", household_count="1", household_unit="cup"), "cup", {"cup": "250"}, "measure"),
        # another measure of the kitchen is set, not this one
        (food("EU", "100 ml"), "cup", {"tablespoon": "15"}, "kitchen"),
        # a cup of this food was weighed, which does not help a label for 100 ml
        (food("EU", "100 ml", extra=(told("cup", grams="240"),)), "cup", {}, "measure"),
        (food("EU", "100 g"), "cup", {}, "measure"),
    ],
)  # fmt: skip
def test_what_is_missing_for_a_cup(facts, unit, kitchen, why) -> None:
    found = portion(facts, "1", unit, kitchen)
    assert isinstance(found, Need)
    assert (found.why, found.unit) == (why, "cup")


def test_a_size_before_a_unit_of_volume_is_a_measure_that_nobody_told() -> None:
    found = portion(food("EU", "100 g"), "1", "small litre")
    assert isinstance(found, Need)
    assert (found.why, found.unit) == ("measure", "small litre")

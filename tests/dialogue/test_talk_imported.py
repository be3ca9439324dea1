"""Talks about imported foods: found, told apart, measured by their source's portions.

Every food is invented; the weights are round figures, so that counts can be checked in the head.
"""

from fractions import Fraction

import pytest
from msgspec.structs import replace
from talk import CEREAL, NET, talking

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.store import shelf_writer

GTIN = "2001234567893"
"""A number for use within one shop (GS1 prefix 200), with a right check digit."""


def of(name, carbohydrate, *measures, fibre="2", **more):
    nutrients = {"carbohydrate": Nutrient(Fraction(carbohydrate), "g")}
    if fibre is not None:
        nutrients["fibre"] = Nutrient(Fraction(fibre), "g")
    extra = tuple(
        Measure(Fraction(1), unit, Fraction(grams), how=how, note=note, of_source=True)
        for unit, how, note, grams in measures
    )
    return FoodFacts(name, "table-total", "100 g", nutrients, extra=extra, **more)


APPLE = of("Apples, mill, raw", 12, ("medium", "", "3 in dia", 200), ("small", "", "", 150),
           ("cup", "slices", "", 100))  # fmt: skip
JUICE = of("Apple juice, mill", 10, ("cup", "", "", 250))
ONION = of("Onions, mill, raw", 10, ("cup", "chopped", "", 160), ("cup", "sliced", "", 120),
           ("slice", "", "", 10))  # fmt: skip
RICE = of("Rice, mill, cooked", 30, ("cup", "packed", "", 200))
BAR = of("Hillmoor bar", 60, ("bar", "", "", 40), barcode=GTIN)
BREAD = of("Bread, mill, rye", 50, ("slice", "", "", 40), fibre=None)
SHELF = {"sr:1": APPLE, "sr:2": JUICE, "sr:3": ONION, "sr:4": RICE, "gtin:9": BAR, "sr:6": BREAD}
TWICE = {"cnf:1": of("Milk, mill", 5), "swiss:1": of("Milk, mill", 6)}


def fill(home, foods):
    with shelf_writer.filling(home) as writer:
        source = writer.source("Tables of the mill", "free")
        for identity, facts in foods.items():
            writer.add(identity, facts, source)


@pytest.fixture
def talk(tmp_path):
    fill(tmp_path / "home", {**SHELF, **TWICE})
    with talking(tmp_path / "home", "count total carbohydrate", CEREAL) as one:
        yield one


def names(found):
    return found.choices


def test_an_exact_name_that_is_single_is_used(talk):
    assert talk.say("100 g of onions mill raw").counted == 10
    assert talk.say("100 g of Onion, Mill, RAW").counted == 10


def test_a_near_name_is_offered_and_never_taken(talk):
    found = talk.say("a medium apple")
    assert found.status == "asked"
    assert "Apples, mill, raw" in names(found)[0]  # it is the one that knows a medium one
    assert talk.say("1").counted == 24


def test_an_answer_can_be_remembered(talk):
    talk.say("a medium apple")
    assert talk.say("1 always").counted == 24
    assert talk.say("2 medium apples").counted == 48
    assert talk.say("1 small apple").counted == 18


def test_words_of_a_measure_stand_before_the_food(talk):
    assert talk.say('1 cup chopped "Onions, mill, raw"').counted == 16
    assert talk.say("1 cup of chopped onions mill raw").counted == 16
    assert talk.say("2 cups onions mill raw, sliced").counted == 24


def test_words_of_a_measure_with_a_near_name(talk):
    found = talk.say("1 cup chopped onion")
    assert found.status == "asked"
    assert "Onions, mill, raw" in names(found)[0]
    assert talk.say("1 always").counted == 16
    assert talk.say("1 cup sliced onion").counted == 12


def test_two_portions_of_the_same_words_are_asked_with_both(talk):
    found = talk.say('1.5 cups of "Onions, mill, raw"')
    assert found.status == "asked"
    assert [("160 g" in t, "120 g" in t) for t in names(found)] == [(True, False), (False, True)]
    assert talk.say("cup, sliced").counted == 18


def test_a_portion_that_says_more_than_was_said_is_asked(talk):
    found = talk.say('2 cups of "Rice, mill, cooked"')
    assert found.status == "asked"
    assert len(names(found)) == 1
    assert talk.say("1").counted == 120


def test_a_word_that_no_portion_has_is_not_dropped(talk):
    for said in ('1 cup mashed "Onions, mill, raw"', "1 cup fried onions mill raw"):
        assert talk.say(said).status == "asked", said
        talk.say("cancel")


def test_the_users_own_measure_wins(talk):
    talk.say('1 cup of "Onions, mill, raw" weighs 100 g')
    assert talk.say('2 cups of "Onions, mill, raw"').counted == 20
    assert (
        talk.say('1 cup chopped "Onions, mill, raw"').counted == 16
    )  # the source's is still known


def test_foods_of_one_name_are_asked_with_what_tells_them_apart(talk):
    found = talk.say("100 g of milk mill")
    assert found.status == "asked"
    assert len(names(found)) == 2
    assert talk.say("2").counted == 6
    shown = talk.say("show milk mill")
    assert shown.status == "asked"
    assert "cnf:1" in names(shown)[0]
    assert "label-of" in talk.say("1").codes


def test_the_source_is_shown(talk):
    found = talk.say("show Onions, mill, raw")
    assert "It is from Tables of the mill." in found.text
    assert "Terms: free." in found.text
    assert found.data["facts"]["food"]["source"] == "Tables of the mill"


def test_fibre_that_a_table_does_not_state_is_asked_for(talk):
    talk.say(NET)
    assert talk.say('1 slice of "Apples, mill, raw"').status == "asked"
    talk.say("cancel")
    found = talk.say('2 slices of "Bread, mill, rye"')
    assert found.status == "asked"
    assert "fibre" in found.text
    assert talk.say("5").counted == 36  # 80 g of 50 less 5 in 100


def test_half_of_fibre_needs_a_serving_which_a_table_has_not(talk):
    talk.say("count fibre over 5 g halved")
    found = talk.say('100 g of "Onions, mill, raw"')
    assert found.status == "asked"
    assert "ask-no-serving" in found.codes


def test_a_barcode_in_a_meal(talk):
    assert talk.say(f"2 bars of {GTIN}").counted == 48
    assert talk.say(f"40 g of 0{GTIN}").counted == 24


def test_a_barcode_is_found(talk):
    found = talk.say(f"barcode {GTIN}")
    assert "barcode-is" in found.codes
    assert "Hillmoor bar" in found.text
    assert "barcode-wrong" in talk.say(f"barcode {GTIN[:-1]}1").codes
    assert "barcode-unknown" in talk.say("barcode 2100000000012").codes


def test_show_all_of_a_kind(talk):
    found = talk.say("show all apples")
    assert found.data["facts"]["foods"] == ["Apples, mill, raw", "Apple juice, mill"]
    assert talk.say("show all zzz").codes[0] == "no-foods-holding"
    assert talk.say("show all my foods").data["facts"]["foods"] == ["oat cereal"]


def test_a_long_list_of_a_kind_goes_on(tmp_path):
    rows = {f"sr:{n}": of(f"Bread, mill, kind {n}", 50) for n in range(30)}
    fill(tmp_path / "home", rows)
    with talking(tmp_path / "home") as talk:
        assert "Line 12 of 30" in talk.say("show all breads").text
        assert "Line 13 of 30" in talk.say("more").text
        assert "Line 30 of 30" in talk.say("more").text
        assert "nothing-more" in talk.say("more").codes


def test_foods_like(talk):
    found = talk.say("foods like onoin")
    assert found.data["facts"]["foods"] == ["Onions, mill, raw"]


def test_own_foods_come_first(talk):
    talk.say("new food onion soup: EU label, per 100 g: carbohydrate 4 g")
    found = talk.say("foods like onion")
    assert found.data["facts"]["foods"][0] == "onion soup"


def test_a_name_with_escapes_cannot_reach_the_terminal(tmp_path):
    evil = replace(APPLE, name="Apples \x1b[31m red")
    fill(tmp_path / "home", {"sr:1": evil})
    with talking(tmp_path / "home", "count total carbohydrate") as talk:
        talk.say("100 g of apples red")  # every reply of a talk is checked for such characters
        talk.say("show all apples")


KINDS = {
    "t:1": of("Lentils, mill, raw", 60), "t:2": of("Lentils, mill, cooked, with salt", 20),
    "t:3": of("Lentils, mill, cooked, without salt", 21), "t:4": of("Soup, lentil", 8),
    "t:5": of("Snacks, lentil chips", 52), "t:6": of("Milk, whole", 5),
    "t:7": of("Milk, human", 7), "t:8": of("Milk shakes, thick", 18),
}  # fmt: skip


@pytest.fixture
def table(tmp_path):
    fill(tmp_path / "home", KINDS)
    with talking(tmp_path / "home", "count total carbohydrate") as one:
        yield one


# two weights under the very same words, as tables have them, in each of two foods
FLAT = of("Flatbread, mill", 50, ("piece", "", "", 28), ("piece", "", "", 19), fibre="0")
TENDER = replace(
    of("Tenders, mill", 20, ("piece", "", "", 15), fibre="0"),
    extra=(Measure(Fraction(1), "piece", Fraction(15), of_source=True),
           Measure(Fraction(4), "piece", Fraction(80), of_source=True)),
)  # fmt: skip
CARROT = of("Carrots, mill, raw", 8, ("cup", "chopped", "", 128), ("cup", "sliced", "", 120),
            fibre="0")  # fmt: skip


@pytest.fixture
def twins(tmp_path):
    fill(tmp_path / "home", {"sr:7": FLAT, "sr:8": TENDER, "sr:3": ONION, "sr:9": CARROT})
    with talking(tmp_path / "home", "count total carbohydrate") as one:
        yield one


def test_every_kind_of_the_food_that_was_said_is_offered_before_any_other_food(table):
    found = table.say("100 g of lentils")
    assert found.status == "asked"
    kinds = {"Lentils, mill, raw.", "Lentils, mill, cooked, with salt.",
             "Lentils, mill, cooked, without salt."}  # fmt: skip
    assert set(names(found)[:3]) == kinds
    assert table.say(str(1 + names(found).index("Lentils, mill, raw."))).counted == 60


def test_raw_or_cooked_is_asked_each_time_and_never_learned(table):
    assert "always" not in table.say("100 g of lentils").text
    table.say("1 always")
    assert table.say("100 g of lentils").status == "asked"


def test_a_kind_that_was_said_is_not_offered_as_the_other(table):
    assert all("raw" not in name for name in names(table.say("100 g of cooked lentils")))
    table.say("cancel")
    assert all("cooked" not in name for name in names(table.say("100 g of raw lentils")))


def test_a_slip_in_the_name_finds_its_kinds_too(table):
    assert names(table.say("100 g of lentls"))[0].startswith("Lentils, mill")


def test_where_a_table_has_several_kinds_of_milk_none_becomes_milk_for_good(table):
    found = table.say("100 g of milk")
    assert set(names(found)[:2]) == {"Milk, whole.", "Milk, human."}
    assert "always" not in found.text


def test_a_food_of_ones_own_that_differs_by_a_state_is_still_only_told(table):
    table.say("new food diet cola: US label, serving 1 can (330 ml), carbohydrate 0 g")
    found = table.say("330 ml of cola")
    assert not names(found)


def test_names_with_commas_are_told_a_line_each(table):
    found = table.say("foods like lentils cooked")
    assert "1 of " in found.text
    lines = [line for line in found.text.splitlines() if "Lentils, mill, cooked" in line]
    assert len(lines) == 2


def test_a_name_with_many_commas_can_be_typed_as_it_is_shown(table):
    name = "Rice, white, long-grain, regular, enriched, cooked, drained, with salt"
    fill(table.store.home, {"t:9": of(name, 28)})
    assert table.say(f"100 g of {name} and 100 g of milk, whole").counted == 33


PAIRS = [
    # 2 x 19 g of 50 g in 100 g; 2 x 80/4 g of 20 g in 100 g
    ('2 pieces "Flatbread, mill"', '2 pieces "Tenders, mill"', 19, 8),
    ('1/3 piece "Flatbread, mill"', 'half a piece "Tenders, mill"', Fraction(19, 6), 2),
    # 120 g of 10 g in 100 g; 120 g of 8 g in 100 g
    ('1 cup "Onions, mill, raw"', '1 cup "Carrots, mill, raw"', 12, Fraction("9.6")),
    ('1 cup "Onions, mill, raw"', '2 pieces "Tenders, mill"', 12, 8),
]


@pytest.mark.parametrize(("one", "other", "first", "second"), PAIRS)
def test_questions_on_two_measures_are_settled_one_after_the_other(
    twins, one, other, first, second
):
    """The second answer keeps the first: after two answers nothing is left to ask."""
    for said in (f"{one} and {other}", f"recipe mix serves 1: {one}, {other}"):
        assert len(twins.say(said).choices) == 2
        assert len(twins.say("2").choices) == 2
        found = twins.say("2")
        assert found.status == "answered", found.text
    assert twins.say("1 serving of mix").counted == first + second
    meals = [e.counted.value for e in twins.events("meal-counted")]
    assert meals == [first + second, first + second]


def test_a_word_that_two_choices_share_chooses_neither(twins):
    twins.say('2 pieces "Flatbread, mill"')
    assert twins.say("piece").status == "asked"
    twins.say("cancel")
    twins.say('2 pieces "Flatbread, mill"')
    assert twins.say("piece [28 g]").counted == 28


def test_measures_that_are_not_listed_are_told(tmp_path):
    many = of("Pasta, mill", 50, *(("cup", f"shape {n}", "", 100 + 10 * n) for n in range(12)))
    fill(tmp_path / "home", {"sr:1": many})
    with talking(tmp_path / "home", "count total carbohydrate") as talk:
        found = talk.say('1 cup "Pasta, mill"')
        assert len(found.choices) == 9
        assert "3 measures more" in found.text

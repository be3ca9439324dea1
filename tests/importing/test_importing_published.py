"""Counts of well-known foods and portions against the published figures, by a way of their own.

Weights and figures per 100 g: USDA National Nutrient Database, release 28 (public domain). The
counts expected are worked out here with decimals, and stand beside the published rounding: a weight
to the gram or a tenth, carbohydrate to the hundredth of a gram in 100 g.
"""

from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from small_tables import RELEASE_28, release_28

from assistant.counting.portions import Weighed, weigh
from assistant.dialogue.turn import turn
from assistant.importing.places import Place
from assistant.importing.sr28 import read
from assistant.shell.food_import import FaultFile, bring_in
from assistant.store.store import Store
from grammar.phrases import read_phrase

NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
FIGURES = {number: (name, Decimal(carbohydrate)) for number, name, carbohydrate, *_ in RELEASE_28}
COUNTS = (
    # words, number, grams as published
    ("1 cup", "01077", "244"),
    ("2 tbsp", "01077", "30"),
    ("1 slice", "18075", "32"),
    ("a medium", "09003", "182"),
    ("2 small", "09003", "298"),
    ("1 cup slices", "09003", "109"),
    ("1 cup chopped", "09003", "125"),
    ("1 medium", "09040", "118"),
    ("half a cup sliced", "09040", "75"),
    ("1", "09200", "131"),
    ("1 cup", "09206", "248"),
    ("1.5 cups", "20045", "237"),
    ("1/2 cup", "08120", "40.5"),
    ("1 cup chopped", "11282", "160"),
    ("1 large slice", "11282", "38"),
    ("5 rings of", "11282", "30"),
    ("1 cup diced", "11352", "150"),
    ("a medium", "11352", "213"),
    ("1 tbsp", "19296", "21"),
    ("2 packets of", "19296", "28"),
    ("60 g of", "18069", "60"),
)


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    folder = tmp_path_factory.mktemp("published")
    home = folder / "home"
    kept = FaultFile(home, str)
    tally = bring_in(home, read(Place(release_28(folder / "sr28"))), NOW, lambda _: None, kept)
    assert (tally.changed, tally.faults) == (len(RELEASE_28), [])
    store = Store.open(home, NOW)
    yield store
    store.close()


@pytest.fixture
def ask(imported):
    def one(text):
        with imported.turn() as tx:
            said = turn(tx.record, tx.foods, "count total carbohydrate", NOW)
            tx.keep(NOW, "count total carbohydrate", "answered", "{}", said.events)
        with imported.reading() as (record, foods):
            return turn(record, foods, text, NOW).reply

    return one


@pytest.mark.parametrize(("words", "number", "grams"), COUNTS)
def test_a_published_portion_comes_out_within_its_rounding(ask, words, number, grams):
    name, per_hundred = FIGURES[number]
    reply = ask(f'{words} "{name}"')
    assert reply.status == "answered", reply
    expected = Fraction(Decimal(grams) * per_hundred / 100)
    assert reply.counted.value == expected
    half = Fraction(Decimal(grams) * Decimal("0.005") / 100)
    assert (reply.counted.low, reply.counted.high) == (expected - half, expected + half)
    assert reply.portions[0].grams == Fraction(grams)


def test_two_hundred_millilitres_of_milk(ask):
    """244 g in a customary cup of 236.588 mL (NIST Handbook 44) is 1.0313 g in a millilitre."""
    reply = ask(f'200 ml "{FIGURES["01077"][0]}"')
    assert abs(reply.portions[0].grams - Fraction("206.27")) < Fraction("0.01")
    assert abs(reply.counted.value - Fraction("9.90")) < Fraction("0.005")


def test_slices_of_white_bread_are_asked_about(ask):
    """The release has a slice of 29 g and another of 25 g, both called "slice"."""
    reply = ask(f'1 slice "{FIGURES["18069"][0]}"')
    assert reply.status == "asked"
    told = [choice.label.args["amount"].value for choice in reply.question.choices]
    assert told[:2] == [29, 25]


@pytest.mark.parametrize(
    ("words", "number", "known"),
    [
        ("1 cup", "11282", [160, 115]),
        ("1 cup", "09003", [125, 109]),
        ("2", "09003", [223, 182, 149]),
        ("1 slice", "11282", [38, 9]),
        ("1 cup", "09200", [180]),
    ],
)
def test_words_that_several_portions_answer_are_asked_with_all(ask, words, number, known):
    reply = ask(f'{words} "{FIGURES[number][0]}"')
    assert reply.status == "asked"
    assert [c.label.args["amount"].value for c in reply.question.choices] == known


def test_each_choice_of_a_portion_counts_as_it_says(ask):
    name, per_hundred = FIGURES["11282"]
    reply = ask(f'2 cups "{name}"')
    for choice, grams in zip(reply.question.choices, (320, 230), strict=True):
        again = ask(choice.texts[0])
        assert again.status == "answered", choice.texts
        assert again.counted.value == Fraction(Decimal(grams) * per_hundred / 100)


def test_words_that_no_portion_knows_are_not_dropped(ask):
    for words in ("1 cup without", "1 cup mashed", "1 cup chopped dried", "1 small slice"):
        assert ask(f'{words} "{FIGURES["11282"][0]}"').status == "asked", words


def test_an_edible_weight_is_no_weight_with_peel(imported):
    """ "fruit yields" is what an orange gives as juice: no portion of what is drunk."""
    with imported.reading() as (_, foods):
        juice = foods.by_id("sr:09206").facts
    assert {m.unit for m in juice.extra} == {"cup", "fluid ounce"}


def test_a_cup_that_the_user_set_is_theirs(imported):
    """250 mL against 236.588 mL: 244 g becomes 257.8 g."""
    item = read_phrase("1 cup of milk").pieces[0][0]
    with imported.reading() as (_, foods):
        milk = foods.by_id("sr:01077").facts
    found = weigh(milk, Fraction(1), item.measure, "milk", {"cup": Fraction(250)})
    assert isinstance(found, Weighed)
    assert abs(found.grams - Fraction("257.83")) < Fraction("0.01")

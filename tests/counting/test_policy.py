"""What is counted of a label's carbohydrate, by policy and by the law of the label.

Published examples carry their source. Labels are invented around the published figures.
"""

from fractions import Fraction

import pytest

from assistant.counting.facts import FIBRE_INSIDE, Food, FoodFacts, Nutrient
from assistant.counting.policy import (
    NAMED_POLYOLS,
    POLICIES,
    Counted,
    Unknown,
    count_reference,
)

INSIDE = ("US", "CA", "JP")
OUTSIDE = ("EU", "UK", "AU", "NZ")
HALF = Fraction(1, 2)


def label(carbs: str | None, fibre: str | None = None, region: str = "US", **others: str):
    """A serving's label; decimals as typed."""
    said = {"carbohydrate": carbs, "fibre": fibre, **others}
    nutrients = {
        name.replace("_", " "): Nutrient(
            Fraction(figure), "g", decimals=len(figure.partition(".")[2])
        )
        for name, figure in said.items()
        if figure is not None
    }
    per = "serving" if region in INSIDE else "100 g"
    return FoodFacts("invented", region, per, nutrients)


def count(facts: FoodFacts, policy: str) -> Fraction:
    counted = count_reference(facts, policy)
    assert isinstance(counted, Counted)
    return counted.result.value


@pytest.mark.parametrize(
    ("carbs", "fibre", "region", "policy", "counted"),
    [
        # F1: a popular handbook of carbohydrate counting, on accounting for fibre: 30 - 4.
        pytest.param("30", "4", "US", "net", "26", id="F1"),
        # F2: Diabetes Canada's example: 36 - 6.
        pytest.param("36", "6", "CA", "net", "30", id="F2"),
        # F3, derived from a Norwegian food table's muesli: 60 g excludes its 9 g of fibre, as its
        # published energy of 1,686 kJ shows.
        pytest.param("60", "9", "EU", "net", "60", id="F3 net"),
        pytest.param("60", "9", "EU", "fibre-over-5", "60", id="F3 half"),
        pytest.param("60", "9", "EU", "total", "60", id="F3 total"),
        # F4: hospital talk (Ascension), bran cereal: 24 - 13/2.
        pytest.param("24", "13", "US", "fibre-over-5", "17.5", id="F4"),
        # F5: Beta Cell Foundation: 12 - 6/2.
        pytest.param("12", "6", "US", "fibre-over-5", "9", id="F5"),
        # Derived, the "over 5 g" form of the rule: 5 g is not over 5 g; 5.1 g is.
        pytest.param("30", "8", "US", "fibre-over-5", "26", id="8 g"),
        pytest.param("30", "5", "US", "fibre-over-5", "30", id="exactly 5 g"),
        pytest.param("30", "5.0", "US", "fibre-over-5", "30", id="exactly 5.0 g"),
        pytest.param("30", "5.1", "US", "fibre-over-5", "27.45", id="5.1 g"),
        pytest.param("30", "0", "US", "fibre-over-5", "30", id="none"),
        pytest.param("30", "0", "US", "net", "30", id="none, net"),
        # The default everywhere: total carbohydrate (American Diabetes Association; Diabetes UK).
        pytest.param("30", "8", "US", "total", "30", id="total"),
    ],
)
def test_a_published_fibre_rule_gives_its_published_count(carbs, fibre, region, policy, counted):
    assert count(label(carbs, fibre, region), policy) == Fraction(counted)


@pytest.mark.parametrize(
    ("carbs", "polyols", "counted"),
    [
        # SA1: older American Diabetes Association rule, worked in a sweetener article: 15 - 6/2.
        pytest.param("15", "6", "12", id="SA1"),
        # SA2: UCSF Diabetes Teaching Center sheet: 29 - 18/2.
        pytest.param("29", "18", "20", id="SA2"),
    ],
)
def test_half_of_the_sugar_alcohol_comes_off_under_net(carbs, polyols, counted):
    facts = label(carbs, "0", polyols=polyols)
    assert count(facts, "net") == Fraction(counted)
    assert count(facts, "total") == Fraction(carbs)
    assert count(facts, "fibre-over-5") == Fraction(carbs)


def test_maltitol_is_not_counted_as_nothing():
    """Glycaemic index 35 (Livesey, Nutr Res Rev 2003): "net 0.7 g" from 18.5 g understates."""
    assert count(label("19.2", "0", polyols="18.5"), "net") == Fraction("9.95")
    assert count(label("19.2", "0", maltitol="18.5"), "net") == Fraction("9.95")


def test_named_sugar_alcohols_add_up_and_never_beside_their_own_sum():
    assert count(label("20", "0", maltitol="6", xylitol="4"), "net") == 15
    assert count(label("20", "0", maltitol="6", xylitol="4", polyols="10"), "net") == 15


def test_fibre_and_sugar_alcohol_both_come_off_and_each_is_told():
    counted = count_reference(label("30", "6", polyols="10"), "net")
    assert isinstance(counted, Counted)
    told = [(s.nutrient, s.figure.value, s.share, s.taken.value) for s in counted.subtractions]
    assert told == [("fibre", 6, 1, 6), ("polyols", 10, Fraction(1, 2), 5)]
    assert counted.carbohydrate.value - 6 - 5 == counted.result.value == 19
    assert counted.reason == "subtracted"


@pytest.mark.parametrize("region", ["EU", "UK"])
def test_half_of_the_sugar_alcohol_comes_off_where_fibre_is_outside(region):
    """Polyols stand inside the carbohydrate there: Regulation (EU) 1169/2011 Annex I."""
    assert count(label("60", "9", region, polyols="20"), "net") == 50


@pytest.mark.parametrize("region", ["AU", "NZ"])
def test_declared_sugar_alcohol_is_not_taken_off_where_the_law_has_taken_it_off(region):
    """FSANZ Schedule 11: available carbohydrate by difference already lacks listed polyols.

    Whether a label worked by sum has them inside is not known, so less than the whole 60 g may
    not be answered with confidence.
    """
    counted = count_reference(label("60", "9", region, polyols="20"), "net")
    assert isinstance(counted, Unknown) or counted.result.value == 60


# Where fibre stands: US by difference (101.9(c)(6)); Canada (CFIA); Japan by difference
# (a labelling newsletter of 2018); EU and UK (Reg. 1169/2011 Annex I); AU and NZ (FSANZ 11).
def test_the_law_of_each_region_puts_fibre_where_its_source_says():
    tables = {"table-total": True, "table-available": False}  # what the tables themselves say
    where = {**dict.fromkeys(INSIDE, True), **dict.fromkeys(OUTSIDE, False), **tables}
    assert where == FIBRE_INSIDE


@pytest.mark.parametrize("region", OUTSIDE)
@pytest.mark.parametrize("policy", POLICIES)
@pytest.mark.parametrize("fibre", [None, "0", "9", "20", "70"])
def test_fibre_outside_is_never_subtracted_and_need_not_be_known(region, policy, fibre):
    counted = count_reference(label("60", fibre, region), policy)
    assert isinstance(counted, Counted)
    assert counted.result == counted.carbohydrate
    assert counted.result.value == 60
    assert counted.subtractions == ()
    assert counted.reason == ("total" if policy == "total" else "fibre-outside")


def test_the_muesli_is_dosed_as_sixty_grams_not_fifty_one():
    """Derived: wrongly 60 - 9 = 51 g, at 1 unit for 10 g, would take 6.0 units to 5.1."""
    assert count(label("60", "9", "EU"), "net") / 10 == 6


@pytest.mark.parametrize("region", INSIDE)
@pytest.mark.parametrize("policy", ["net", "fibre-over-5"])
def test_unknown_fibre_is_unknown_not_nought(region, policy):
    assert count_reference(label("30", None, region), policy) == Unknown("fibre", "not-stated")


@pytest.mark.parametrize("region", INSIDE)
def test_unknown_fibre_does_not_matter_to_the_total(region):
    assert count(label("30", None, region), "total") == 30


@pytest.mark.parametrize("region", [*INSIDE, *OUTSIDE])
@pytest.mark.parametrize("policy", POLICIES)
def test_unknown_carbohydrate_is_unknown(region, policy):
    facts = label(None, "6", region)
    assert count_reference(facts, policy) == Unknown("carbohydrate", "not-stated")


@pytest.mark.parametrize(
    ("carbs", "fibre", "policy"),
    [("5", "6", "net"), ("0", "1", "net"), ("6", "13", "fibre-over-5")],
)
def test_more_taken_off_than_there_is_is_unknown(carbs, fibre, policy):
    """A label with more fibre than carbohydrate cannot be of the US type."""
    counted = count_reference(label(carbs, fibre), policy)
    assert counted == Unknown("fibre", "more-than-carbohydrate")


def test_sugar_alcohol_that_takes_off_more_than_there_is_is_unknown():
    counted = count_reference(label("10", "6", polyols="9"), "net")
    assert isinstance(counted, Unknown)
    assert counted.why == "more-than-carbohydrate"


def test_fibre_equal_to_carbohydrate_counts_nought_under_net():
    assert count(label("6", "6"), "net") == 0


@pytest.mark.parametrize("policy", POLICIES)
@pytest.mark.parametrize("region", [*INSIDE, *OUTSIDE])
def test_no_policy_counts_more_than_the_label_or_less_than_nothing(policy, region):
    for carbs in ("0", "1", "7", "24", "60"):
        for fibre in ("0", "1", "5", "6", "24"):
            counted = count_reference(label(carbs, fibre, region), policy)
            if isinstance(counted, Counted):
                assert 0 <= counted.result.value <= Fraction(carbs)
                assert counted.result.low <= counted.result.value <= counted.result.high


def test_the_reason_tells_why_nothing_came_off():
    reasons = {
        "total": count_reference(label("30", "8"), "total"),
        "under-threshold": count_reference(label("30", "5"), "fibre-over-5"),
        "subtracted": count_reference(label("30", "8"), "fibre-over-5"),
        "fibre-outside": count_reference(label("30", "8", "UK"), "net"),
    }
    for reason, counted in reasons.items():
        assert isinstance(counted, Counted)
        assert counted.reason == reason


def test_the_range_of_a_subtraction_holds_every_lawful_pair_of_amounts():
    """F4 again: printed 24 g may be 23.5 to 24.5, printed 13 g 12.5 to 13.5 (101.9(c)(6))."""
    counted = count_reference(label("24", "13"), "fibre-over-5")
    assert isinstance(counted, Counted)
    assert counted.result.low == Fraction("23.5") - Fraction("13.5") / 2
    assert counted.result.high == Fraction("24.5") - Fraction("12.5") / 2


def test_there_are_three_policies_and_the_questions_offer_them_in_this_order():
    assert POLICIES == ("total", "net", "fibre-over-5")


@pytest.mark.parametrize(
    "name",
    ["erythritol", "xylitol", "maltitol", "sorbitol", "mannitol", "isomalt", "lactitol"],
)
def test_half_of_each_sugar_alcohol_by_name_comes_off(name):
    """The kinds of 21 CFR 101.9(c)(1)(i)(F), each with a line of its own on the label."""
    assert name in NAMED_POLYOLS
    assert count(label("30", "0", **{name: "8"}), "net") == 26


# What counts of a kind, as the user set it with their care team; half of the rest counts.


def shares(facts: FoodFacts, counted: dict[str, str], policy: str = "net"):
    said = {name: Fraction(share) for name, share in counted.items()}
    found = count_reference(facts, policy, said)
    assert isinstance(found, Counted)
    taken = [(s.nutrient, s.figure.value, s.share, s.taken.value) for s in found.subtractions]
    return found.result.value, [t for t in taken if t[0] != "fibre"]


@pytest.mark.parametrize(
    ("printed", "counted", "result", "taken"),
    [
        # all of 8 g of a kind that counts nothing; a quarter of one of which three quarters count
        ({"erythritol": "8"}, {"erythritol": "0"}, 22, [("erythritol", 8, 1, 8)]),
        (
            {"maltitol": "8"}, {"maltitol": "3/4"}, 28,
            [("maltitol", 8, Fraction(1, 4), 2)],
        ),
        # the rest of the line for all of them: 9 less 8
        (
            {"polyols": "9", "erythritol": "8"}, {"erythritol": "0"}, Fraction("21.5"),
            [("erythritol", 8, 1, 8), ("polyols", 1, HALF, HALF)],
        ),
        (
            {"xylitol": "4", "erythritol": "8"}, {"erythritol": "0"}, 20,
            [("erythritol", 8, 1, 8), ("polyols", 4, HALF, 2)],
        ),
        # nothing of the rest is left: no line for it
        ({"polyols": "8", "erythritol": "8"}, {"erythritol": "0"}, 22, [("erythritol", 8, 1, 8)]),
        # two kinds, each by its own share
        (
            {"polyols": "12", "erythritol": "8", "maltitol": "4"},
            {"erythritol": "0", "maltitol": "1"}, 22,
            [("erythritol", 8, 1, 8), ("maltitol", 4, 0, 0)],
        ),
        # a kind that is not on this label changes nothing, and the one behind it still counts
        (
            {"erythritol": "8"}, {"xylitol": "0", "erythritol": "0"}, 22,
            [("erythritol", 8, 1, 8)],
        ),
        ({"polyols": "8"}, {"erythritol": "0"}, 26, [("polyols", 8, HALF, 4)]),
        # a label without sugar alcohol, or with 0 g of it
        ({}, {"erythritol": "0"}, 30, []),
        ({"polyols": "0"}, {}, 30, []),
        # a word of no line that sums: nothing is known to be taken off from
        ({"polyglycitol": "8"}, {"polyglycitol": "0"}, 30, []),
    ],
)  # fmt: skip
def test_a_kind_of_sugar_alcohol_counts_by_the_users_own_share(printed, counted, result, taken):
    assert shares(label("30", "0", **printed), counted) == (result, taken)


@pytest.mark.parametrize("policy", ["total", "fibre-over-5"])
def test_shares_of_sugar_alcohol_are_for_the_net_count_alone(policy):
    facts = label("30", "0", erythritol="8")
    assert shares(facts, {"erythritol": "0"}, policy) == (30, [])


def test_a_users_share_takes_nothing_off_twice_where_the_law_has_it_outside():
    """Australia and New Zealand: FSANZ Schedule 11."""
    assert shares(label("30", "0", "AU", erythritol="8"), {"erythritol": "0"}) == (30, [])


def test_a_food_without_a_word_on_it_is_as_its_label_says_and_no_more():
    facts = label("30", "3")
    assert (facts.prepared, facts.fast, facts.failed_checks, facts.extra) == (False, False, (), ())
    assert facts.source == "typed label"
    assert Food("x", 1, facts).retired is False
    assert Food("x", 1, facts).aliases == ()
    figure = Nutrient(Fraction(3), "g")
    assert (figure.below, figure.decimals) == (False, 0)


# Tables of food composition, per 100 g.


def test_half_of_the_fibre_over_five_grams_is_a_rule_for_servings_and_a_table_has_none():
    """The rule is of the labelled serving (Ascension): 100 g of a table may be any part of one."""
    for fibre in ("0.5", "8"):
        asked = count_reference(label("30", fibre, "table-total"), "fibre-over-5")
        assert asked == Unknown("fibre", "no-serving")
    assert count(label("30", "0", "table-total"), "fibre-over-5") == 30
    assert count(label("30", "8", "table-total"), "net") == 22
    assert count(label("30", "8", "table-total"), "total") == 30
    assert count(label("30", "8", "table-available"), "fibre-over-5") == 30


def test_what_is_unknown_is_of_the_food_itself_unless_an_ingredient_is_named():
    assert Unknown("fibre", "not-stated").food == ""


def test_a_food_comes_without_a_licence_or_a_date_unless_it_was_imported():
    facts = label("30", "3")
    assert (facts.licence, facts.dated) == ("", "")

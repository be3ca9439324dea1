"""Laws of recipes, and a composition table: what goes into the pot is what comes out of it."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.counting.facts import FoodFacts, Ingredient, Measure, Nutrient, Recipe
from assistant.counting.policy import POLICIES, Unknown, count_reference
from assistant.counting.portions import Need, Weighed, weigh
from assistant.counting.recipes import (
    Changed,
    as_now,
    circle,
    differs,
    flattened,
    mark,
    raw_weight,
    scaled,
)
from assistant.values import Ranged
from grammar.nodes import MeasureWord

GRAM = MeasureWord("gram", "mass", "g")
BOWL = MeasureWord("bowl", "vessel", "bowl")


def label(name, carbs, fibre="0", region="EU", per="100 g", **more):
    """Facts of a label; figures as printed."""
    figures = {"carbohydrate": carbs, "fibre": fibre, **more}
    nutrients = {
        key: Nutrient(Fraction(value), "g", decimals=len(value.partition(".")[2]))
        for key, value in figures.items()
        if value is not None
    }
    return FoodFacts(name, region, per, nutrients)


def part(facts, times, share="0"):
    """times the label's amount, give or take a share."""
    times, share = Fraction(times), Fraction(share)
    factor = Ranged(times, times * (1 - share), times * (1 + share))
    return Ingredient(facts.name, facts.name, facts, factor, factor, GRAM, facts.name, times * 100)


def recipe(name, *parts, makes=(), grams=None):
    made = tuple(Measure(Fraction(n), unit) for n, unit in makes)
    return FoodFacts(name, "EU", "recipe", {}, recipe=Recipe(parts, made, grams))


def counted(facts, policy="total"):
    return count_reference(facts, policy).result


FIGURES = st.integers(0, 900).map(lambda n: f"{n // 10}.{n % 10}")
TIMES = st.fractions(Fraction(1, 100), 40, max_denominator=100)
LABELS = st.builds(
    label,
    st.text("abcdef", min_size=1, max_size=6),
    FIGURES.map(lambda text: str(Fraction(text) / 2 + 10)).map(
        lambda t: f"{float(Fraction(t)):.1f}"
    ),
    st.sampled_from(("0", "2.5", "6", "9")),
    st.sampled_from(("EU", "US", "UK", "AU")),
)
PARTS = st.lists(
    st.builds(part, LABELS, TIMES, st.sampled_from(("0", "1/5"))), min_size=1, max_size=5
)


@settings(max_examples=60, deadline=None)
@given(PARTS, TIMES, st.sampled_from(POLICIES))
def test_scaling_a_recipe_scales_its_count_exactly(parts, times, policy):
    whole = recipe("x", *parts)
    more = replace(whole, recipe=scaled(whole.recipe, times))
    assert counted(more, policy) == counted(whole, policy).times(times)


@settings(max_examples=40, deadline=None)
@given(PARTS, st.integers(1, 30), st.sampled_from(POLICIES))
def test_one_portion_of_so_many_is_that_part_of_the_whole(parts, number, policy):
    pot = recipe("x", *parts, makes=((number, "bowl"),))
    one = weigh(pot, Fraction(1), BOWL, "x", {})
    assert isinstance(one, Weighed)
    assert one.factor == Fraction(1, number)
    assert counted(pot, policy).times(one.factor).value * number == counted(pot, policy).value


@settings(max_examples=60, deadline=None)
@given(PARTS, st.randoms(use_true_random=False), st.sampled_from(POLICIES))
def test_the_order_of_ingredients_does_not_matter(parts, random, policy):
    other = list(parts)
    random.shuffle(other)
    assert counted(recipe("x", *parts), policy) == counted(recipe("x", *other), policy)


@settings(max_examples=60, deadline=None)
@given(PARTS, PARTS, TIMES, st.sampled_from(POLICIES))
def test_a_recipe_inside_another_counts_as_its_ingredients_would(inner, outer, times, policy):
    pot = recipe("inner", *inner)
    nested = recipe("outer", *outer, part(pot, times))
    flat = recipe("outer", *outer, *scaled(pot.recipe, Fraction(times)).ingredients)
    assert counted(nested, policy) == counted(flat, policy)
    assert list(flattened(nested, Fraction(2))) == list(flattened(flat, Fraction(2)))


@settings(max_examples=40, deadline=None)
@given(PARTS, st.sampled_from(POLICIES))
def test_a_count_is_the_sum_of_its_parts_with_their_ranges(parts, policy):
    found = count_reference(recipe("x", *parts), policy)
    alone = [count_reference(p.facts, policy).result.by(p.factor) for p in parts]
    assert [p.result for p in found.parts] == alone
    assert found.result.low == sum(a.low for a in alone)
    assert found.result.high == sum(a.high for a in alone)


def test_the_policy_holds_for_each_label_by_itself():
    # 100 g of each: US 30 g with 8 g of fibre inside; UK 30 g with 8 g beside it.
    inside, outside = label("a", "30", "8", "US", "serving"), label("b", "30", "8", "UK")
    pot = recipe("x", part(inside, 1), part(outside, 1))
    assert counted(pot, "total").value == 60
    assert counted(pot, "net").value == 52
    assert counted(pot, "fibre-over-5").value == 56


def test_sugar_alcohol_of_an_ingredient_is_half_taken_off():
    sweet = label("sweet", "20", "0", "US", "serving", polyols="10")
    assert counted(recipe("x", part(sweet, 2)), "net").value == 30  # twice 20 less half of 10


def test_an_ingredient_without_a_figure_is_named():
    pot = recipe("x", part(label("known", "10"), 1), part(label("silent", "10", None, "US"), 1))
    assert count_reference(pot, "net") == Unknown("fibre", "not-stated", "silent")


def test_grams_of_the_finished_food_need_its_weight_and_never_the_raw_one():
    parts = (part(label("a", "50"), 3), part(label("b", "10"), 2))
    assert raw_weight(recipe("x", *parts).recipe) == 500
    missing = weigh(recipe("x", *parts, makes=((6, "bowl"),)), Fraction(250), GRAM, "x", {})
    assert isinstance(missing, Need)
    assert missing.why == "mass"
    weighed = weigh(recipe("x", *parts, grams=Fraction(850)), Fraction(250), GRAM, "x", {})
    assert weighed.factor == Fraction(250, 850)


RICE_RAW, RICE_COOKED = ("79.95", Fraction("11.62")), (Fraction("28.17"), Fraction("68.44"))
OATS_RAW, OATS_COOKED = ("67.70", Fraction("10.84")), (Fraction("12.00"), Fraction("83.61"))


@pytest.mark.parametrize(
    ("raw", "cooked", "went_in", "cup", "published", "within"),
    [
        # USDA SR 20444 raw white rice and 20045 cooked: a cup of 158 g has 44.5 g
        (RICE_RAW, RICE_COOKED, 185, 158, Fraction("44.5"), Fraction(2, 100)),
        # USDA SR 08120 dry oats and 08121 cooked with water: a cup of 234 g has 28.1 g
        (OATS_RAW, OATS_COOKED, 81, 234, Fraction("28.1"), Fraction(4, 100)),
    ],
)
def test_a_pot_weighed_after_cooking_gives_the_cup_of_the_composition_table(
    raw, cooked, went_in, cup, published, within
):
    """The carbohydrate figures are the table's; the per cent of water are from memory. What is dry
    stays in the pot, so its finished weight follows from the water before and after."""
    grain = label("grain", raw[0])
    finished = went_in * (100 - raw[1]) / (100 - cooked[1])
    pot = recipe("pot", part(grain, Fraction(went_in, 100)), grams=finished)
    one = weigh(pot, Fraction(cup), GRAM, "pot", {})
    found = counted(pot).times(one.factor).value
    assert abs(found - published) < published * within
    assert Fraction(cup, 100) * Fraction(raw[0]) > 2 * published  # what raw weights would say


def finder(*foods):
    return {food.name: food for food in foods}.get


def test_a_changed_label_is_found_and_an_added_figure_is_taken_up():
    then = label("a", "48", None, "US")
    pot = recipe("x", part(then, 3))
    same = as_now(pot, finder(then))
    assert same == pot
    told = label("a", "48", "6", "US")
    assert as_now(pot, finder(told)).recipe.ingredients[0].facts == told
    other = label("a", "55", None, "US")
    found = as_now(pot, finder(other))
    assert isinstance(found, Changed)
    assert (found.recipe, found.now) == ("x", other)
    gone = as_now(pot, finder())
    assert gone == pot


def test_a_label_that_was_passed_over_is_asked_about_once():
    then, now, later = label("a", "48"), label("a", "55"), label("a", "60")
    kept = replace(part(then, 3), passed_over=mark(now))
    pot = recipe("x", kept)
    assert as_now(pot, finder(now)) == pot
    assert isinstance(as_now(pot, finder(later)), Changed)


@pytest.mark.parametrize(
    "change",
    [
        {"region": "US"},
        {"per": "serving"},
        {"serving_grams": Fraction(30)},
        {"servings_per_pack": Fraction(2)},
        {"pack_grams": Fraction(30)},
        {"household_unit": "cup"},
        {"prepared": True},
        {"nutrients": {}},
    ],
)
def test_all_that_a_count_can_rest_on_is_compared(change):
    then = label("a", "48")
    assert differs(then, replace(then, **change))


def test_a_changed_recipe_inside_is_found_innermost_first():
    base, other = label("a", "48"), label("a", "55")
    inner = recipe("inner", part(base, 1))
    outer = recipe("outer", part(inner, 1))
    found = as_now(outer, finder(other, inner))
    assert found.recipe == "inner"
    followed = recipe("inner", part(other, 1))
    found = as_now(outer, finder(other, followed))
    assert found.recipe == "outer"


def test_the_way_round_is_named():
    a = recipe("a", part(label("x", "1"), 1))
    b = recipe("b", part(a, 1))
    c = recipe("c", part(b, 1))
    assert circle("a", "a", (part(c, 1),), finder(a, b, c)) == ("a", "c", "b", "a")
    assert circle("a", "a", (part(a, 1),), finder(a)) == ("a", "a")
    assert circle("d", "d", (part(c, 1),), finder(a, b, c)) == ()


def test_a_recipe_of_another_size_has_not_been_weighed():
    pot = recipe("x", part(label("a", "48"), 3), makes=((6, "bowl"),), grams=Fraction(850))
    double = scaled(pot.recipe, Fraction(2))
    assert double.cooked_grams is None
    assert double.makes == (Measure(Fraction(12), "bowl"),)

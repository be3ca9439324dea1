"""Laws of recipes, and a composition table: what goes into the pot is what comes out of it."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Ingredient, Measure, Nutrient, Recipe
from assistant.counting.policy import POLICIES, Unknown, count_reference
from assistant.counting.portions import Need, Weighed, weigh
from assistant.counting.recipes import (
    Changed,
    changed_in,
    circle,
    differs,
    flattened,
    mark,
    passing,
    scaled,
)
from assistant.counting.recipes import as_now as as_now_with
from assistant.values import Ranged
from grammar.nodes import MeasureWord

GRAM = MeasureWord("gram", "mass", "g")
SAID_IN = {
    "100 g": (100, GRAM),
    "serving": (1, MeasureWord("serving", "serving", "serving")),
    "recipe": (1, MeasureWord("recipe", "word", "recipe")),
}
"""How many of which measure are one reference amount, so that words and amount agree."""
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
    many, measure = SAID_IN[facts.per]
    return Ingredient(facts.name, facts.name, facts, factor, factor.times(Fraction(many)), measure,
                      facts.name, times * 100)  # fmt: skip


def as_now(facts, find, **kitchen):
    """As it is now, where the user's own measures hold so many millilitres."""
    return as_now_with(facts, find, {unit: Fraction(held) for unit, held in kitchen.items()})


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
    kept = replace(
        part(then, 3), passed_over=passing(now, weigh(now, Fraction(300), GRAM, "a", {}))
    )
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


def test_a_recipe_tells_its_carbohydrate_and_its_parts():
    # US: 30 g with 8 g of fibre inside, twice; UK: 10 g, three times
    inside, outside = part(label("a", "30", "8", "US", "serving"), 2), part(label("b", "10"), 3)
    found = count_reference(recipe("x", inside, outside), "net")
    assert found.carbohydrate.value == 90
    assert found.result.value == 74
    assert (found.reason, found.subtractions) == ("recipe", ())
    assert [(p.ingredient, p.result.value) for p in found.parts] == [(inside, 44), (outside, 30)]


def test_a_recipe_of_nothing_counts_nothing():
    found = count_reference(recipe("x"), "total")
    assert (found.result, found.carbohydrate) == (Ranged.exactly(Fraction(0)),) * 2


def test_the_innermost_food_without_a_figure_is_named():
    inner = recipe("inner", part(label("silent", None), 1))
    outer = recipe("outer", part(inner, 1))
    assert count_reference(outer, "total") == Unknown("carbohydrate", "not-stated", "silent")


def test_a_share_of_sugar_alcohol_that_the_user_set_holds_inside_a_recipe():
    sweet = label("sweet", "20", "0", "US", "serving", erythritol="10")
    found = count_reference(recipe("x", part(sweet, 2)), "net", {"erythritol": Fraction(0)})
    assert found.result.value == 20


def test_marks_never_change_since_records_hold_them():
    """Worked out by the program of before its records were structs, and written down here."""
    carbs = Nutrient(Fraction(27), "g")
    fibre = Nutrient(Fraction(11, 2), "g", below=True, decimals=1, off_by=Fraction(1, 20))
    slices = Measure(Fraction(2), "slice", Fraction(60), how="it's", note='a "b"')
    oat = FoodFacts(
        "oat", "US", "serving", {"carbohydrate": carbs, "fibre": fibre}, Fraction(40),
        household_count=Fraction(1, 2), household_unit="cup", extra=(slices,),
    )  # fmt: skip
    assert mark(oat) == "c54ef1014cd8e4d2"
    one = Ranged.exactly(Fraction(1))
    part = Ingredient("1 oat", "oat", oat, one, one, None, "oat", Fraction(3))
    pot = Recipe((part,), (Measure(Fraction(6), "bowl"),), Fraction(900))
    assert mark(FoodFacts("stew", "EU", "recipe", {}, recipe=pot)) == "d3233ba698b3b207"


def test_no_newer_facts_of_an_ingredient_were_passed_over_unless_it_says_so():
    assert part(label("a", "1"), 1).passed_over == ""


OWN = Measure(Fraction(1), "slice", Fraction(30))


@pytest.mark.parametrize(
    "change",
    [
        {"serving_millilitres": Fraction(30)},
        {"household_count": Fraction(2)},
        {"pack_millilitres": Fraction(30)},
        {"like": ("b",)},
        {"extra": ()},
        {"extra": (replace(OWN, grams=Fraction(31)),)},
        {"recipe": Recipe(())},
    ],
)
def test_a_food_with_a_measure_differs_in_each_of_these(change):
    then = replace(label("a", "48"), extra=(OWN,))
    assert differs(then, replace(then, **change)) is True
    assert mark(replace(then, **change)) != mark(then)


def test_what_is_no_part_of_a_count_is_no_difference():
    then = replace(label("a", "48"), extra=(OWN,))
    for change in ({"name": "b"}, {"barcode": "1"}, {"source": "b"}, {"allergens": ("egg",)}):
        assert differs(then, replace(then, **change)) is False
        assert mark(replace(then, **change)) == mark(then)
    added = replace(then, extra=(Measure(Fraction(1), "cup", Fraction(9)), OWN))
    assert differs(then, added) is False
    assert mark(added) != mark(then)


POT = recipe("x", part(label("a", "48"), 3), makes=((6, "bowl"),), grams=Fraction(850))
INSIDE = POT.recipe.ingredients


@pytest.mark.parametrize(
    "change",
    [
        {"makes": ()},
        {"makes": (Measure(Fraction(5), "bowl"),)},
        {"cooked_grams": None},
        {"cooked_grams": Fraction(851)},
        {"cooked_millilitres": Fraction(900)},
        {"ingredients": ()},
        {"ingredients": INSIDE * 2},
        {"ingredients": (part(label("a", "48"), 4),)},
        {"ingredients": (part(label("a", "48"), 3, "1/5"),)},
        {"ingredients": (part(label("a", "49"), 3),)},
        {"ingredients": (replace(INSIDE[0], food_id="b"),)},
    ],
)
def test_a_recipe_differs_by_what_it_makes_and_what_is_in_it(change):
    other = replace(POT, recipe=replace(POT.recipe, **change))
    assert differs(POT, other) is True
    assert differs(other, POT) is True
    assert mark(other) != mark(POT)


def test_a_recipe_said_again_is_no_other():
    again = replace(POT, recipe=replace(POT.recipe))
    assert again.recipe is not POT.recipe
    assert differs(POT, again) is False
    assert mark(again) == mark(POT)
    said = replace(INSIDE[0], said="three", quantity=Ranged.exactly(Fraction(9)), grams=None)
    assert differs(POT, replace(POT, recipe=replace(POT.recipe, ingredients=(said,)))) is False


def test_a_food_that_is_a_recipe_now_differs_both_ways():
    plain = replace(POT, recipe=None)
    assert differs(POT, plain) is True
    assert differs(plain, POT) is True


def test_the_order_of_figures_on_a_label_makes_no_other_mark():
    one = label("a", "48", "6")
    other = replace(one, nutrients=dict(reversed(one.nutrients.items())))
    assert list(other.nutrients) != list(one.nutrients)
    assert mark(one) == mark(other)


def test_a_mark_is_short_and_keeps_no_more_than_sixteen_figures():
    """A journal holds it: it has to stay the same from one run to the next."""
    found = mark(label("a", "48"))
    assert len(found) == 16
    assert set(found) <= set("0123456789abcdef")


def test_a_food_with_a_label_is_itself_now():
    plain = label("a", "48")
    assert as_now(plain, finder()) is plain


def test_the_first_changed_ingredient_of_several_is_asked_about():
    a, b, c = label("a", "1"), label("b", "2"), label("c", "3")
    pot = recipe("x", part(a, 1), part(b, 1), part(c, 1))
    found = as_now(pot, finder(a, label("b", "9"), label("c", "9")))
    read = weigh(label("b", "9"), Fraction(100), GRAM, "b", {})
    assert found == Changed("x", pot.recipe.ingredients[1], label("b", "9"), read)
    more = as_now(pot, finder(label("a", "1", "0", protein="4"), b))
    assert [len(i.facts.nutrients) for i in more.recipe.ingredients] == [3, 2, 2]
    assert as_now(pot, finder(a)).recipe.ingredients == pot.recipe.ingredients


def test_what_an_inner_recipe_takes_up_is_taken_up():
    base, told = label("a", "48", None), label("a", "48", "6")
    inner = recipe("inner", part(base, 1))
    found = as_now(recipe("outer", part(inner, 1)), finder(told, inner))
    assert found.recipe.ingredients[0].facts.recipe.ingredients[0].facts == told


def test_a_way_round_through_a_food_that_is_gone_is_found():
    b = recipe("b", part(recipe("a"), 1))
    assert circle("a", "a", (part(label("x", "1"), 1), part(b, 1)), finder()) == ("a", "b", "a")


def test_a_food_comes_down_to_its_labels_with_their_multiples():
    a, b = label("a", "48"), label("b", "10")
    inner = recipe("inner", part(a, 2), part(b, 5))
    outer = recipe("outer", part(inner, Fraction(1, 2)), part(b, 3))
    assert list(flattened(outer, Fraction(4))) == [(a, 4), (b, 10), (b, 12)]
    assert list(flattened(a, Fraction(3))) == [(a, 3)]


def test_a_scaled_recipe_scales_what_was_said_and_keeps_what_was_not_counted():
    whole = replace(POT.recipe, uncounted=("salt",), cooked_millilitres=Fraction(900))
    half = scaled(whole, Fraction(1, 2))
    [one] = half.ingredients
    assert one.factor == Ranged.exactly(Fraction(3, 2))
    assert one.quantity == Ranged.exactly(Fraction(150))
    assert (one.grams, one.food_id, one.facts) == (150, "a", INSIDE[0].facts)
    assert half.uncounted == ("salt",)
    assert half.makes == (Measure(Fraction(3), "bowl"),)
    assert half.cooked_millilitres is None
    unweighed = replace(whole, ingredients=(replace(INSIDE[0], grams=None),))
    assert scaled(unweighed, Fraction(2)).ingredients[0].grams is None


def test_a_way_round_goes_by_what_a_recipe_holds_now():
    b = recipe("b", part(label("x", "1"), 1))
    changed = recipe("b", part(recipe("a"), 1))
    assert circle("a", "a", (part(b, 1),), finder(b)) == ()
    assert circle("a", "a", (part(b, 1),), finder(changed)) == ("a", "b", "a")


def test_one_changed_ingredient_among_others_makes_another_recipe():
    two = recipe("x", part(label("a", "48"), 3), part(label("b", "5"), 1))
    other = recipe("x", part(label("a", "48"), 3), part(label("b", "6"), 1))
    assert differs(two, other) is True
    assert differs(two, recipe("x", *reversed(two.recipe.ingredients))) is True


JUICE = replace(label("juice", "10", per="100 ml"), serving_millilitres=Fraction(200))
CUP = MeasureWord("cup", "kitchen", "cup")


def in_bowls(factor, facts=JUICE, measure=BOWL, quantity="2", **more):
    """2 bowls of juice that were counted as so many times 100 ml."""
    said = Ranged.exactly(Fraction(quantity))
    return Ingredient("2 bowls", "juice", facts, Ranged.exactly(Fraction(factor)), said, measure,
                      "juice", **more)  # fmt: skip


def test_a_bowl_that_holds_more_than_it_did_is_asked_about():
    """2 bowls of 350 ml are 7 times 100 ml; of 400 ml they are 8 times."""
    pot = recipe("x", in_bowls(7))
    assert as_now(pot, finder(JUICE), bowl=350) == pot
    found = as_now(pot, finder(JUICE), bowl=400)
    assert isinstance(found, Changed)
    assert (found.read.factor, found.only_measure) == (8, True)
    assert (found.recipe, found.ingredient, found.now) == ("x", pot.recipe.ingredients[0], JUICE)


def test_a_measure_told_of_the_food_later_is_asked_about():
    """The food's own bowl wins over the user's: 2 of 300 ml are 6 times 100 ml."""
    own = replace(JUICE, extra=(Measure(Fraction(1), "bowl", None, Fraction(300)),))
    found = as_now(recipe("x", in_bowls(7)), finder(own), bowl=350)
    assert (found.read.factor, found.only_measure) == (6, True)
    same = replace(JUICE, extra=(Measure(Fraction(1), "bowl", None, Fraction(350)),))
    assert as_now(recipe("x", in_bowls(7)), finder(same), bowl=350).recipe.ingredients[0] == (
        in_bowls(7, same)
    )


def test_a_changed_figure_is_no_matter_of_measures_alone():
    sweeter = replace(JUICE, nutrients=label("juice", "12").nutrients)
    found = as_now(recipe("x", in_bowls(7)), finder(sweeter), bowl=400)
    assert (found.read.factor, found.only_measure) == (8, False)


def test_words_that_no_longer_lead_to_an_amount_are_asked_about():
    """The bowl is told by weight now, and nothing tells what the juice weighs."""
    own = replace(JUICE, extra=(Measure(Fraction(1), "bowl", Fraction(340)),))
    found = as_now(recipe("x", in_bowls(7)), finder(own), bowl=350)
    assert isinstance(found.read, Need)
    assert found.only_measure is True


def test_words_that_led_nowhere_then_as_now_are_no_change():
    """ "2 bowls (700 ml)", counted by what stands in brackets, until the bowl is known."""
    pot = recipe("x", in_bowls(7))
    assert as_now(pot, finder(JUICE)) == pot
    assert isinstance(as_now(pot, finder(JUICE), bowl=360), Changed)


def test_what_is_kept_is_kept_until_the_measure_changes_again():
    def kept(bowl):
        held = {"bowl": Fraction(bowl)}
        changed = changed_in("x", in_bowls(7), JUICE, held)
        return recipe("x", in_bowls(7, passed_over=passing(JUICE, changed.read)))

    assert as_now(kept(400), finder(JUICE), bowl=400) == kept(400)
    assert isinstance(as_now(kept(400), finder(JUICE), bowl=450), Changed)
    assert as_now(kept(400), finder(JUICE), bowl=350).recipe.ingredients[0].factor.value == 7


def test_the_mark_of_what_was_passed_over_tells_facts_amounts_and_needs_apart():
    one = Fraction(1)
    read = weigh(JUICE, one, BOWL, "juice", {"bowl": Fraction(350)})
    need = weigh(JUICE, one, BOWL, "juice", {})
    other = weigh(JUICE, one, CUP, "juice", {})
    assert passing(JUICE, read) == f"{mark(JUICE)} 7/2"  # 350 ml; a journal holds it as it is
    assert passing(JUICE, need) == f"{mark(JUICE)} {need.why}"
    marks = [passing(JUICE, read), passing(JUICE, need), passing(JUICE, other)]
    assert all(each.startswith(mark(JUICE)) for each in marks)
    assert len({*marks, passing(label("juice", "9"), read)}) == 4


def test_an_inner_recipe_asks_for_its_own_measures_first():
    inner = recipe("inner", in_bowls(7))
    outer = recipe("outer", part(inner, 1))
    found = as_now(outer, finder(JUICE, inner), bowl=400)
    assert found.recipe == "inner"

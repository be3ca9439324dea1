"""Labels in the talk: line by line, by barcode, checked, explained, and what they can hide."""

from fractions import Fraction

import pytest

from assistant.render.sighted import sighted

GRANOLA = (
    "new food granola: US label, serving 2/3 cup (55 g), 8 servings, calories 230, fat 8 g 10%, "
    "carbohydrate 37 g 13%, fibre 4 g 14%, sugars 12 g, added sugars 10 g 20%, protein 3 g, "
    "ingredients: oats, sugar, maltitol, nuts. contains: tree nuts"
)
"""Carbohydrate figures of the FDA's 2016 format sample (partly from memory), an invented food."""


def guided(talk, *lines):
    found = talk.say("guide me through a label")
    for line in lines:
        assert found.status == "asked", found.text
        found = talk.say(line)
    return found


def test_the_guide_asks_line_by_line_and_saves(counting):
    found = guided(counting, "nut bar", "US", "1 bar (40 g)", "18", "3", "6")
    assert found.status == "answered"
    assert counting.say("2 nut bars").counted == 30  # net: 2 x (18 - 3)
    assert counting.say("1 pack of nut bar").counted == 90


def test_the_guide_leaves_a_skipped_fibre_unknown(counting):
    guided(counting, "nut bar", "1", "1 bar (40 g)", "18", "skip", "skip")
    found = counting.say("1 nut bar")
    assert found.status == "asked"
    assert "fibre" in found.text


def test_a_wrong_line_in_the_guide_saves_nothing(counting):
    found = guided(counting, "nut bar", "US", "1 bar (40 g)", "lots")
    assert found.status == "asked"
    assert counting.try_out("1 nut bar").status == "asked"


def test_a_barcode_finds_its_food(counting):
    """4006381333931 is the usual worked example of a GS1 check digit (from memory)."""
    counting.all("new food zero drink: US label, serving 1 cup (240 ml), carbohydrate 12 g, "
                 "fibre 0 g, barcode 4006381333931")  # fmt: skip
    assert counting.say("2 cups 4006381333931").counted == 24
    assert "zero drink" in counting.say("4006381333931").text


def test_a_barcode_with_a_wrong_digit_is_said_so(counting):
    assert "check digit" in counting.say("4006381333930").text


def test_zero_grams_over_many_servings_may_be_some(counting):
    """Under 0.5 g may be printed as 0: 21 CFR 101.9(c)(6)."""
    counting.all("new food broth: US label, serving 1 cup (240 ml), carbohydrate 0 g, fibre 0 g")
    found = counting.say("6 cups broth")
    assert found.counted == 0
    assert found.reply.counted.high == 3
    assert "hidden-zero" in found.codes
    assert "hidden-zero" not in counting.say("1 cup broth").codes


@pytest.mark.parametrize(
    ("label", "code"),
    [
        # 4 x 27 + 4 x 5 + 9 x 3 = 155 kcal at the most, plus rounding
        ("serving 40 g, calories 290, fat 3 g, carbohydrate 27 g, protein 5 g, fibre 6 g",
         "check-energy"),
        # 37 of 275 g is 13 per cent
        ("serving 55 g, carbohydrate 37 g 31%, fibre 4 g", "check-daily-value"),
        ("serving 40 g, carbohydrate 27 g, protein 15 g, fibre 3 g", "check-sum"),
        ("serving 40 g, 9 servings, net wt 500 g, carbohydrate 27 g, fibre 3 g", "check-pack"),
        ("serving 1/2 cup (400 g), carbohydrate 27 g, fibre 3 g", "check-density"),
    ],
)  # fmt: skip
def test_figures_that_do_not_fit_are_asked_about_and_told_at_each_count(counting, label, code):
    asked = counting.say(f"new food puzzle: US label, {label}")
    assert asked.status == "asked"
    assert code in asked.codes
    assert counting.try_out("1 serving of puzzle").counted is None
    assert counting.say("yes").status == "answered"
    assert "food-failed-check" in counting.say("1 serving of puzzle").codes


def test_energy_in_two_units_has_to_agree(counting):
    """1 kcal is 4.184 kJ."""
    asked = counting.say(
        "new food loaf: EU label, per 100 g: energy 2686 kJ / 401 kcal, fat 11 g, carbohydrate "
        "60 g, fibre 9 g, protein 11 g"
    )
    assert "check-energy-units" in asked.codes


def test_a_label_is_explained_with_its_pack_and_shares(counting):
    counting.all(GRANOLA)
    found = counting.say("explain the label of granola")
    codes = found.codes
    assert codes.index("food-allergens") < codes.index("explain-pack")
    assert "296 grams of carbohydrate in all" in found.text  # 8 x 37
    assert "13 percent of the daily value" in found.text  # 37 / 275, 21 CFR 101.9(c)(9)
    assert "20 percent of the daily value: high" in found.text  # 10 / 50; 20 or more is high (FDA)
    assert "37 grams minus 4 grams is 33 grams" in found.text
    assert "explain-hidden-polyols" in codes
    assert "hint" in found.text


def test_fibre_is_not_taken_off_where_the_law_has_it_outside(counting):
    """A Norwegian table's muesli: 60 g of carbohydrate beside 9 g of fibre."""
    counting.all(
        "new food muesli: per 100 g: energy 1686 kJ / 401 kcal, fat 11 g, of which saturates 2 g, "
        "carbohydrate 60 g, of which sugars 12 g, fibre 9 g, protein 11 g, salt 0.5 g"
    )
    assert counting.say("100 g of muesli").counted == 60


def test_half_of_sugar_alcohol_is_taken_off_under_the_net_way(counting):
    """UCSF Diabetes Teaching Center sheet (a copy): 29 g with 18 g of sugar alcohol is 20 g."""
    counting.all(
        "new food sweet bar: US label, serving 1 bar (45 g), carbohydrate 29 g, fibre 0 g, "
        "sugar alcohol 18 g"
    )
    assert counting.say("1 sweet bar").counted == 20


def test_a_net_claim_on_the_pack_is_not_the_carbohydrate(counting):
    found = counting.say(
        "new food keto cup: US label, serving 1 cup (40 g), net carbs 2 g, carbohydrate 22 g, "
        "fibre 4 g"
    )
    assert "label-claim" in found.codes
    assert counting.say("1 serving of keto cup").counted == Fraction(18)


def test_a_new_label_makes_a_new_version_and_old_meals_stay(counting):
    before = counting.say("1 serving of oat cereal").counted
    counting.all("new label for oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 30 g, "
                 "fibre 4 g")  # fmt: skip
    assert counting.say("1 serving of oat cereal").counted == 26
    meals = counting.events("meal-counted")
    assert [m.counted.value for m in meals] == [before, 26]


SWEET = (
    "new food sweet bar: US label, serving 1 bar (45 g), carbohydrate 29 g, fibre 0 g, "
    "sugar alcohol 18 g, erythritol 8 g, contains: milk, soy"
)


def test_a_named_sugar_alcohol_counts_as_the_user_set_it(counting):
    counting.all(SWEET, "erythritol counts as zero")
    # 29 less all 8 g of erythritol, less half of the other 10 g
    found = counting.say("1 sweet bar")
    assert found.counted == 16
    assert "count-less-named-polyol" in found.codes
    counting.all("count erythritol at 50 percent")
    assert counting.say("1 sweet bar").counted == 20  # half of all 18 g, as without a setting


def test_a_named_sugar_alcohol_is_all_counted_under_total(counting):
    counting.all(SWEET, "erythritol counts as zero", "count total carbohydrate")
    assert counting.say("1 sweet bar").counted == 29


@pytest.mark.parametrize(
    "sentence",
    [
        "count maltitol at 750 percent",
        "count maltitol at 1,5 percent",
        "maltitol counts a bit",
        "count maltitol at -5 percent",
    ],
)
def test_a_share_that_cannot_be_changes_nothing(counting, sentence):
    assert counting.say(sentence).status == "asked"
    assert dict(counting.settings().polyols) == {}


def test_a_sugar_alcohol_above_the_carbohydrate_is_told_by_its_name(counting):
    counting.all(
        "new food mint: EU label, per 100 g: carbohydrate 5 g, erythritol 9 g",
        "erythritol counts as zero",
    )
    found = counting.say("100 g mint")
    assert found.status == "asked"
    assert "more erythritol than carbohydrate" in found.text


def test_what_the_user_avoids_is_told_first(counting):
    counting.all(SWEET, "I avoid milk and peanuts")
    found = counting.say("explain the label of sweet bar")
    assert found.codes[1] == "avoid-hit"
    assert "milk, which you avoid" in found.text
    assert "avoid-hit" in counting.say("1 sweet bar").codes
    assert "avoid-hit" not in counting.say("1 serving of oat cereal").codes
    counting.all("I no longer avoid milk")
    assert "avoid-hit" not in counting.say("1 sweet bar").codes
    assert counting.settings().avoid == ("peanuts",)


@pytest.mark.parametrize(
    "paste",
    [
        "Nährwertangaben pro 100 g\nFett 10 g\nKohlenhydrate 60 g\ndavon Zucker 20 g",
        "Lentil stew\n300 g red lentils\n2 onions\n1.2 l stock",
    ],
)
def test_lines_that_are_no_label_and_no_meal_are_each_told(counting, paste):
    found = counting.say(paste)
    assert found.status == "asked"
    assert "paste-unreadable" in found.codes
    shown = sighted(found.reply, 200)
    for line in paste.splitlines()[:4]:
        assert line in shown


def test_half_a_label_says_that_its_carbohydrate_is_missing(counting):
    found = counting.say(
        "Nutrition Facts\nServing size 2/3 cup (55g)\nCalories 230\nTotal Fat 8g 10%"
    )
    assert "paste-no-carbohydrate" in found.codes
    assert not counting.events("food-saved")[5:]


def test_a_new_food_does_not_bring_another_foods_question_back(counting):
    counting.say(
        "new food puzzle: US label, serving 40 g, calories 290, fat 3 g, carbohydrate 27 g, "
        "protein 5 g, fibre 6 g"
    )
    found = counting.say("new food plain: US label, serving 40 g, carbohydrate 27 g, fibre 6 g")
    assert found.status == "answered"
    assert "puzzle" not in found.text.replace(found.text.splitlines()[0], "")
    assert "question-dropped" in found.codes


def test_a_slice_far_from_that_of_like_bread_is_asked_about(counting):
    """The rye bread of these talks has slices of 35 g."""
    asked = counting.say(
        "new food wheat rye bread: US label, serving 1 slice (350 g), carbohydrate 150 g, fibre 9 g"
    )
    assert asked.status == "asked"
    assert "check-like" in asked.codes
    assert "rye bread" in asked.text
    fine = counting.say(
        "new food wheat rye bread: US label, serving 1 slice (40 g), carbohydrate 18 g, fibre 2 g"
    )
    assert fine.status == "answered"

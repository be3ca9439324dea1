"""Talks about estimates, one's own measures, portions to find, days, and a goal."""

from fractions import Fraction

import pytest
from talk import at

LENTILS = "new food red lentils: EU label, per 100 g: carbohydrate 48 g, fibre 11 g"
RICE = "new food rice: US label, serving 1/4 cup (45 g), carbohydrate 35 g, fibre 1 g"
TOFU = (
    "new food tofu: US label, serving 100 g, carbohydrate 3 g, fibre 1 g, fat 5 g, "
    "saturated fat 1 g, protein 10 g, sodium 15 mg"
)
SOUP = (
    "new food can soup: EU label, per 100 g: carbohydrate 6 g, fibre 1 g, fat 2 g, protein 2 g, "
    "salt 0.5 g"
)


@pytest.fixture
def cook(counting):
    counting.all(LENTILS, RICE)
    return counting


# Estimates


def test_an_estimate_goes_by_foods_of_the_library_and_is_wide(cook):
    found = cook.say("estimate 100 g of pad thai like rye bread and red lentils")
    # 48 g each, printed to the gram: 47.5 to 48.5, and a fifth beyond either way
    assert found.counted == 48
    assert found.reply.counted.low == Fraction("47.5") * Fraction(4, 5)
    assert found.reply.counted.high == Fraction("48.5") * Fraction(6, 5)
    assert {"portion-estimate", "count-like", "count-spread", "estimate-used"} <= set(found.codes)


def test_with_one_food_to_go_by_the_range_is_wider(cook):
    found = cook.say("estimate 100 g of pad thai like rye bread")
    assert found.reply.counted.low == Fraction("47.5") * Fraction(3, 5)
    assert found.reply.counted.high == Fraction("48.5") * Fraction(7, 5)


def test_the_range_covers_every_food_that_it_goes_by(cook):
    found = cook.say("estimate 100 g of mash like rice, milk")
    assert found.status == "asked"  # milk is known by volume: what do 100 ml weigh?
    found = cook.say("103")
    rice, milk = Fraction(34 * 100, 45), Fraction("4.8") * 100 / 103
    assert found.counted == (rice + milk) / 2
    assert found.reply.counted.low < milk * Fraction(4, 5)
    assert found.reply.counted.high > rice


def test_an_estimate_is_remembered_as_one(cook):
    cook.all("estimate pad thai like rye bread")
    assert cook.say("pad thai").status == "asked"  # it needs an amount
    found = cook.say("200 g")
    assert found.counted == 96
    assert "estimate-used" in found.codes
    assert "estimate-shown" in cook.say("show pad thai").codes


@pytest.mark.parametrize(
    "text",
    [
        *("estimate ramen", "estimate 100 g of ramen like nothing known", "estimate like rice"),
        *("estimate 100 g of ramen like", "estimate ramen like ramen"),
    ],
)
def test_nothing_is_estimated_without_a_food_to_go_by(cook, text):
    found = cook.say(text)
    assert found.status == "asked"
    assert found.counted is None
    assert all(not e.facts.like for e in cook.events("food-saved"))


def test_no_estimate_of_an_estimate_and_none_inside_a_recipe(cook):
    cook.all("estimate pad thai like rye bread")
    assert "estimate-of-estimate" in cook.say("estimate 1 bowl of ramen like pad thai").codes
    assert "recipe-estimate" in cook.say("recipe mess: 100 g pad thai").codes
    assert "estimate-not-needed" in cook.say("estimate 100 g of rice like rye bread").codes


def test_an_estimate_whose_food_is_gone_counts_nothing(cook):
    cook.all("estimate pad thai like rye bread", "forget rye bread")
    found = cook.say("100 g of pad thai")
    assert "estimate-base-gone" in found.codes
    assert found.counted is None


def test_the_dose_says_what_the_range_does(dosing):
    dosing.all(LENTILS)
    asked = dosing.say("estimate 60 g of pad thai like rye bread and red lentils, glucose 110")
    assert asked.data["dose"] is None
    assert "rule-range-too-wide" in asked.codes
    found = dosing.say("yes")
    assert found.data["dose"]["meal_units"] == 2.88
    assert "work-range" in found.codes
    assert "range-moves-dose" in found.rules
    assert "estimate-used" in found.codes


def test_the_upper_end_of_an_estimate_is_held_against_the_caps(dosing):
    """150 g is 72 g of carbohydrate, a fifth beyond 71.25 to 72.75 g: 57 to 87.3 g, 5.5 to 8.5
    units in half units. The cap is 8: the suggestion stays, and the 8.5 are told nowhere."""
    dosing.all(LENTILS)
    dosing.say("estimate 150 g of pad thai like rye bread and red lentils, glucose 110")
    found = dosing.say("yes")
    assert found.data["dose"]["suggested_units"] == 7
    assert "range-over-dose-cap" in found.rules
    assert "range-moves-dose" not in found.rules
    assert "your cap of 8 units at once" in found.text
    assert "5.5 units" in found.text
    assert "8.5" not in found.text
    assert "8.73" not in found.text
    assert "8.5" not in dosing.say("why").text


def test_the_upper_end_of_an_estimate_is_held_against_the_cap_of_some_hours(dosing):
    """9 units are taken and 15 is the cap: of 3.8 to 5.82 units nothing passes, of 4.5 to 7 it
    does."""
    dosing.all(LENTILS)
    dosing.say("took 9 units")
    dosing.say("yes")
    dosing.say("estimate 120 g of pad thai like rye bread and red lentils, glucose 110", "07:31")
    found = dosing.say("yes")
    assert found.data["dose"]["suggested_units"] == 5.5  # 57.6 g; the upper end is 69.84 g
    assert "range-over-window-cap" in found.rules
    assert "15 units in 4 hours" in found.text
    dosing.say("not taken")
    dosing.say("100 g of pad thai, glucose 110", "07:32")
    found = dosing.say("yes")
    assert found.data["dose"]["suggested_units"] == 4.5  # 48 g; the upper end is 58.2 g
    assert "range-over-window-cap" not in found.rules


def test_an_estimate_whose_middle_passes_a_cap_is_refused(dosing):
    dosing.all(LENTILS)
    refused = dosing.say("estimate 200 g of pad thai like rye bread and red lentils, glucose 110")
    assert refused.status == "refused"  # 96 g, 9.6 units
    assert refused.data["dose"] is None
    assert refused.rules == ["over-dose-cap"]


def test_the_users_own_bound_on_ranges_holds_for_estimates(dosing):
    dosing.all("ask me when the range is wider than 20%")
    found = dosing.say("estimate 60 g of pad thai like rye bread, glucose 110")
    assert found.status == "asked"
    assert found.data["dose"] is None


# Measures of one's own


def test_a_handful_counts_once_it_was_weighed(counting):
    asked = counting.say("a handful of crackers")
    assert asked.status == "asked"
    counting.say("cancel")
    counting.all("my handful of crackers is 30 g")
    one = 18  # 30 g are 2 servings of 10 g less 1 g of fibre
    assert counting.say("a handful of crackers").counted == one
    assert counting.say("my handful of crackers").counted == one
    assert counting.say("2 handfuls of crackers").counted == 2 * one
    assert counting.say("1/2 handful of crackers").counted == Fraction(one, 2)
    assert counting.say("a handful of oat cereal").status == "asked"  # weighed for crackers only


def test_a_mug_and_a_bowl_of_ones_own(counting):
    counting.all("my mug holds 300 ml", "my bowl of oat cereal is 80 g")
    assert counting.say("1 mug of milk").counted == Fraction("14.4")
    assert counting.say("1 bowl of oat cereal").counted == 42


# Portions to find


def ways(found):
    return {w["unit"]: w for w in found.data["facts"]["ways"]}


def test_an_amount_is_exact_then_rounded_and_counted_again(cook):
    found = cook.say("how much rye bread is 45 g of carbohydrate")
    gram = ways(found)["gram"]
    assert gram["exact"] == pytest.approx(93.75)  # 45 / 0.48
    assert gram["rounded"] == 94
    assert gram["counted"] == pytest.approx(45.12)
    slices = ways(found)["slice"]
    assert slices["exact"] == pytest.approx(45 / 16.8, abs=1e-4)
    assert (slices["rounded"], slices["counted"]) == (2.5, 42)
    assert found.reply.dose is None
    assert not cook.events("meal-counted")


def test_a_household_measure_can_be_asked_for(cook):
    found = cook.say("how many slices of rye bread is 45 g")
    assert found.codes.count("find-way") == 1
    assert "2.5 slices" in found.text


def test_a_recipe_can_be_worked_back(cook):
    cook.all("recipe dal makes 4 bowls: 300 g red lentils, 100 g rye bread")
    bowl = ways(cook.say("how much dal is 96 g"))["bowl"]
    assert (bowl["exact"], bowl["counted"]) == (2, 96)


def test_the_rest_of_a_plate(counting):
    found = counting.say("1 slice of rye bread plus how much milk makes 40 g")
    # 16.8 g are there: 23.2 g of milk at 4.8 g in 100 ml are 483.33 ml
    assert ways(found)["millilitre"]["exact"] == pytest.approx(483.3333, abs=1e-3)
    assert ways(found)["millilitre"]["rounded"] == 485
    assert "40.08 grams" in found.text  # 16.8 + 485 x 0.048
    full = counting.say("5 slices of rye bread and how much milk makes 40 g")
    assert "fill-full" in full.codes
    assert counting.say("rye bread plus how much milk makes 40 g").status == "asked"
    assert not counting.events("meal-counted")


def test_the_rest_of_a_plate_in_other_words(counting):
    """16.8 g are there: of 40 g 23.2 g are left, 483.33 ml of milk at 4.8 g in 100 ml."""
    for said in ("1 slice of rye bread, fill the rest with milk to 40 g",
                 "1 slice of rye bread and fill up with milk up to 40 g in all"):  # fmt: skip
        exact = ways(counting.say(said))["millilitre"]["exact"]
        assert exact == pytest.approx(483.3333, abs=1e-3)
    asked = counting.say("1 slice of rye bread, fill the rest with milk")
    assert "fill-to-what" in asked.codes
    found = counting.say("40 g")
    assert ways(found)["millilitre"]["exact"] == pytest.approx(483.3333, abs=1e-3)
    assert "fill-no-plate" in counting.say("fill the rest with milk").codes
    assert not counting.events("meal-counted")


def test_a_measure_that_cannot_be_told_is_not_put_aside(counting):
    """No label tells what a mug of bread weighs: the question is not answered in grams instead."""
    found = counting.say("how many mugs of rye bread is 45 g")
    assert found.codes[0] == "how-many-not-in"
    assert "mugs" in found.text


def test_a_recipe_in_servings_can_be_worked_back(cook):
    """144 + 48 g in 4 servings of 48 g."""
    cook.all("recipe dal serves 4: 300 g red lentils, 100 g rye bread")
    serving = ways(cook.say("how much dal is 96 g"))["serving"]
    assert (serving["exact"], serving["counted"]) == (2, 96)
    assert "dal: 0.5 servings, which counts 24 grams" in (
        cook.say("what can I have with 30 g left").text
    )


def test_what_fits_never_goes_over(cook):
    found = cook.say("what can I have with 30 g left")
    assert "rye bread: 62 grams, which counts 29.76 grams" in found.text
    assert "rice: 39 grams" in found.text  # 39 x 34/45 = 29.47; 40 g would be 30.2
    assert "milk: 625 millilitres, which counts 30 grams" in found.text
    assert found.reply.dose is None


def test_more_goes_on_with_what_fits(counting):
    for n in range(14):
        counting.all(f"new food plain food {n:02d}: EU label, per 100 g: carbohydrate {10 + n} g")
    first = counting.say("what can I have with 30 g left")
    rest = counting.say("more")
    lines = [line for found in (first, rest) for line in found.text.split("\n") if "Line " in line]
    assert len(lines) == 19  # 14 and the 5 foods that were there
    assert "nothing-more" in counting.say("more").codes


@pytest.mark.parametrize(
    "text",
    [
        *("how much milk is 45 g", "what can I have with 30 g left"),
        "100 ml milk plus how much milk makes 40 g",
    ],
)
def test_no_amount_without_a_way_to_count(empty, text):
    empty.all("new food milk: EU label, per 100 ml: carbohydrate 4.8 g")
    assert "policy-first" in empty.say(text).codes


# Days and a goal


@pytest.fixture
def week(dosing):
    dosing.all(TOFU, SOUP)
    dosing.say("for breakfast 2 slices of rye bread plus 200 g tofu, glucose 110", "08:00")
    dosing.say("took it")  # 33.6 + 4 = 37.6 g, 3.76 units, down to 3.5
    dosing.say("for lunch 400 g can soup, glucose 110", "13:00")  # 24 g
    dosing.say("not taken")
    dosing.say("for breakfast 2 slices of rye bread, no reading", "08:00", 1)  # 33.6 g, 3 units
    dosing.say("took it")
    return dosing


def test_today_tells_nutrients_and_what_labels_lack(week):
    found = week.say("today")
    text = found.text
    assert "33.6 grams" in text
    # one label, rye bread, has none of the figures
    assert "day-nutrients-unknown" in found.codes


def test_yesterday(week):
    found = week.say("yesterday")
    day = found.data["facts"]["yesterday"]
    assert (day["meals"], day["counted_carbs_g"], day["units"]) == (2, 61.6, 3.5)
    # tofu 200 g: 20 g; soup 400 g: 8 g; rye bread has no figure
    assert (
        "For protein: at least 28 grams, 56 percent of the US daily value of 50 grams" in found.text
    )
    # 30 mg and, from 2 g of salt, 800 mg (Regulation (EU) 1169/2011: salt is sodium x 2.5)
    assert "For sodium: at least 830 milligrams" in found.text
    assert "Not in this sum: 1 label of 3" in found.text


def test_this_week_and_the_last_seven_days(week):
    found = week.say("this week")
    days = found.data["facts"]["days"]
    assert [d["day"] for d in days] == ["2026-03-02", "2026-03-03"]
    assert [d["counted_carbs_g"] for d in days] == [61.6, 33.6]
    assert "The mean is 47.6 grams a day, over 2 days with meals." in found.text
    assert "For breakfast: 2 meals, 71.2 grams in all, 35.6 grams on average." in found.text
    assert len(week.say("last 7 days").data["facts"]["days"]) == 7
    assert "span-nothing" in week.say("last week").codes


def test_blocks_are_for_the_eye_alone(week):
    from assistant.render.sighted import sighted
    from assistant.render.spoken import spoken

    reply = week.say("last 7 days").reply
    assert ".....█▅" in sighted(reply, 80)
    heard = spoken(reply)
    assert "none, none, none, none, none, 61.6 grams, 33.6 grams" in heard
    assert not set(heard) & set("▁▂▃▄▅▆▇█")


def test_an_undone_or_changed_meal_counts_once(counting):
    counting.all("2 slices of rye bread", "make that 3 slices")
    assert counting.say("last 7 days").data["facts"]["days"][-1]["counted_carbs_g"] == 50.4
    counting.all("200 ml milk", "undo")
    assert counting.say("last 7 days").data["facts"]["days"][-1]["counted_carbs_g"] == 50.4


def test_a_goal_has_no_default_and_tells_what_is_left(counting):
    assert "fits-no-goal" in counting.say("what is left").codes
    assert "fits-no-goal" in counting.say("what can I have").codes
    counting.all("my goal is 100 g of carbohydrate a day", "2 slices of rye bread")
    assert counting.say("what is left").data["facts"]["left_g"] == 66.4
    assert "goal-left" in counting.say("today").codes
    counting.all("5 slices of rye bread")
    assert "goal-passed" in counting.say("what is left").codes
    counting.now = at("09:00", day=1)
    assert "goal-passed-then" in counting.say("yesterday").codes
    counting.all("no goal")
    assert "fits-no-goal" in counting.say("what is left").codes


def test_a_goal_that_is_no_clear_figure_is_asked(counting):
    for text in ("my goal is 0 g a day", "my goal is 1,80 g a day", "my goal is 5000 g a day"):
        assert counting.say(text).status == "asked", text


# One's data


def test_forgetting_needs_the_whole_sentence(counting):
    asked = counting.say("forget everything")
    assert asked.codes[-2:] == ["forget-all-spelled", "next-type"]
    assert counting.say("yes").status == "asked"
    assert counting.say("2 slices of rye bread").counted == Fraction("33.6")


def test_past_replies_are_made_again(cook):
    from assistant.shell.again import made_again

    cook.all(
        "estimate 100 g of pad thai like rye bread", "my goal is 180 g a day", "where is my data"
    )
    cook.all("what can I have", "how much rice is 45 g", "last 7 days", "today", "show pad thai")
    for row in cook.store.history(60):
        kept, again = made_again(cook.store, row.id)
        assert kept == again, row.text


@pytest.mark.parametrize("text", ["how much rice is 45 g of carbohydrate", "show rice",
                                  "compare rice and rye bread", "forget rice"])  # fmt: skip
def test_a_name_that_may_be_another_food_is_told_and_not_offered(counting, text):
    counting.all("new food cooked rice: EU label, per 100 g: carbohydrate 28 g, fibre 0.4 g")
    found = counting.say(text)
    assert found.codes[0] == "name-other"
    assert found.reply.lines[0].args["foods"].items[0].text == "cooked rice"
    assert found.reply.question.choices == ()

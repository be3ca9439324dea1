"""Rules of the review as a person meets them in the talk."""

from datetime import timedelta

import pytest
from talk import CEREAL, SHAPE, at, talking

MEAL = "1 serving of oat cereal, glucose 162"  # 2.1 + 52/45
JUICE = "new food orange juice: EU label, per 100 ml: carbohydrate 9 g, fibre 0.2 g"
CURVE = "active insulin follows the two-compartment curve"


# The same meal twice


def test_the_same_meal_a_moment_later_is_asked_about(dosing):
    dosing.all(MEAL, "took it")
    dosing.now += timedelta(minutes=15)
    asked = dosing.say(MEAL)
    assert asked.status == "asked"
    assert asked.data["dose"] is None
    again = dosing.say("yes")
    assert again.status == "answered"
    assert "same-meal-again" in again.rules


def test_the_same_meal_is_dropped_by_no(dosing):
    dosing.all(MEAL, "took it")
    dosing.say(MEAL)
    dosing.all("no")
    assert len(dosing.events("meal-counted")) == 1


def test_after_the_time_it_is_another_meal(dosing):
    dosing.all(MEAL, "took it")
    dosing.now += timedelta(minutes=15, seconds=1)
    assert dosing.say(MEAL).status == "answered"


@pytest.mark.parametrize("how", ["not taken", "cancel"])
def test_a_meal_whose_dose_was_not_taken_may_be_typed_again(dosing, how):
    dosing.all(MEAL, how)
    assert dosing.say(MEAL).status == "answered"


def test_another_amount_is_another_meal(dosing):
    dosing.all(MEAL, "took it")
    assert dosing.say("2 servings of oat cereal, glucose 162").status == "answered"


def test_another_glucose_does_not_make_it_another_meal(dosing):
    dosing.all(MEAL, "took it")
    assert dosing.say("1 serving of oat cereal, glucose 170").status == "asked"


# Doses that differ


@pytest.mark.parametrize("text", ["took 9 units", "took 30 units"])
def test_a_dose_that_looks_like_a_slip_is_kept_and_asked_about(dosing, text):
    dosing.all(MEAL)
    asked = dosing.say(text)
    assert asked.status == "asked"
    assert len(dosing.events("dose-taken")) == 1
    assert dosing.say("yes").status == "answered"
    assert len(dosing.events("dose-taken")) == 1


def test_until_it_is_answered_no_dose_is_suggested(dosing):
    dosing.say("took 9 units")
    found = dosing.say(MEAL)
    assert found.status == "refused"
    assert "unsettled-dose" in found.rules
    dosing.all("yes")
    dosing.now += timedelta(hours=5)
    assert dosing.say(MEAL).data["dose"] is not None


@pytest.mark.parametrize("word", ["cancel", "the dose is right", "1"])
def test_no_way_of_leaving_the_question_loses_the_dose(dosing, word):
    dosing.say("took 9 units")
    found = dosing.say(word)
    assert "9 units" in found.text
    assert "Nothing was counted or changed" not in found.text
    assert [d.units for d in dosing.events("dose-taken")] == [9]
    assert "question-waits" not in dosing.say("today").codes


def test_an_old_question_about_a_dose_does_not_ask_for_it_again(dosing):
    dosing.say("took 9 units")
    dosing.now += timedelta(days=1)
    found = dosing.say("today")
    assert "dose-check-expired" in found.codes
    assert len(dosing.events("dose-taken")) == 1


def test_a_slip_is_taken_back_only_by_undo_and_its_own_question(dosing):
    dosing.say("took 9 units")
    assert dosing.say("no").status == "asked"
    assert len(dosing.events("dose-taken")) == 1
    dosing.all("yes")
    assert dosing.events("dose-taken") == []


def test_a_question_about_a_meal_does_not_drop_one_about_a_dose(dosing):
    """ "took 4,5 units" is not in the journal yet; a meal that has to be asked about waits."""
    assert dosing.say("took 4,5 units").status == "asked"
    assert dosing.say("1 mug of milk, glucose 162").status == "asked"
    found = dosing.say(MEAL)
    assert found.status == "refused"
    assert "unsettled-dose" in found.rules
    dosing.say("4.5")
    assert [float(d.units) for d in dosing.events("dose-taken")] == [4.5]


def test_a_low_beside_an_unsettled_dose_is_told_and_kept(dosing):
    dosing.say("took 4,5 units")
    found = dosing.say("1 mug of milk, glucose 55")
    assert "treat-low-1" in found.codes
    assert dosing.events("glucose-read")


# Settings that changed since a suggestion


def test_a_setting_beside_an_open_suggestion_is_told(dosing):
    dosing.all(MEAL)
    assert "suggestion-before-setting" in dosing.say("target 120 mg/dL").codes
    found = dosing.say(MEAL)
    assert {"unconfirmed-suggestion", "settings-changed"} <= set(found.rules)
    assert "dose-settings-changed" in dosing.say("took it").codes


def test_without_a_change_nothing_is_told(dosing):
    dosing.all(MEAL)
    assert "settings-changed" not in dosing.say(MEAL).rules
    assert "dose-settings-changed" not in dosing.say("took it").codes


# Shapes


def test_without_a_shape_there_is_no_dose_and_no_word_on_what_is_active(tmp_path):
    from talk import NUMBERS

    with talking(tmp_path, CEREAL, *(n for n in NUMBERS if n != SHAPE)) as talk:
        found = talk.say(MEAL)
        assert found.status == "refused"
        assert SHAPE in found.text
        assert CURVE in found.text
        assert "active-no-shape" in talk.say("what is active now").codes


def test_what_is_active_shows_each_dose_its_age_what_is_left_and_the_shape(dosing):
    dosing.all("took 4 units")
    dosing.now += timedelta(hours=1, minutes=40)
    found = dosing.say("what is active now")
    assert "1 hour and 40 minutes ago" in found.text
    assert "straight line" in found.text
    # 4 x (1 - 100/240)
    assert found.data["facts"]["active_units"] == pytest.approx(4 * 140 / 240)


def test_the_curve_is_used_once_it_is_chosen(dosing):
    dosing.all("took 4 units", CURVE)
    dosing.now += timedelta(hours=4)
    found = dosing.say("what is active now")
    assert "two-compartment curve" in found.text
    # 5 per cent at the end of the duration
    assert found.data["facts"]["active_units"] == pytest.approx(0.2)


def test_the_working_names_the_item_behind_a_range_that_moves_the_dose(dosing):
    found = dosing.say("3 servings of oat cereal and 100 ml milk, glucose 110")
    # 67.8 g, range 60 + 4.75 to 66 + 4.85: 6 or 7 units
    assert "Most of that range comes from oat cereal" in found.text
    assert "work-since" in found.codes
    assert "work-formula-correction" in found.codes


def test_a_range_beyond_the_users_share_is_asked_about(dosing):
    dosing.all("ask me when the range is wider than 5%")
    asked = dosing.say("1 serving of oat cereal, glucose 110")  # 20 to 22 around 21
    assert asked.status == "asked"
    found = dosing.say("yes")
    assert found.status == "answered"
    assert "range-wide" in found.rules


# Glucose in the other unit: both readings are shown


@pytest.mark.parametrize(
    ("unit", "figure", "shown"),
    [
        # 9.1 x 18.0156 = 163.9; 162 / 18.0156 = 9.0
        ("mg/dL", "9.1", ("9.1 millimoles per litre", "163.9 milligrams per decilitre")),
        ("mmol/L", "162", ("162 milligrams per decilitre", "9 millimoles per litre")),
    ],
)
def test_a_figure_in_the_other_unit_is_asked_with_both_readings(tmp_path, unit, figure, shown):
    with talking(tmp_path, CEREAL, f"my glucose is in {unit}", "count net carbohydrate") as talk:
        for sentence in (f"glucose {figure}", f"1 serving of oat cereal, glucose {figure}"):
            found = talk.try_out(sentence)
            assert found.status == "asked"
            for words in shown:
                assert words in found.text
        assert talk.events("glucose-read") == []


# Labels that failed a check


def test_a_label_whose_carbohydrate_contradicts_itself_gives_no_dose(dosing):
    """37 g is 13 per cent of 275 g; the label prints 31."""
    dosing.say("new food puzzle: US label, serving 55 g, carbohydrate 37 g 31%, fibre 4 g")
    kept = dosing.say("yes")
    assert "label-kept-doubted" in kept.codes
    found = dosing.say("1 serving of puzzle, glucose 110")
    assert found.status == "refused"
    assert "food-doubted" in found.rules
    assert found.data["counted_carbs_g"] is not None


def test_a_label_that_failed_another_check_is_a_caution(dosing):
    dosing.say(
        "new food riddle: US label, serving 40 g, 9 servings, net wt 500 g, carbohydrate 27 g, "
        "fibre 3 g"
    )
    dosing.all("yes")
    found = dosing.say("1 serving of riddle, glucose 110")
    assert found.status == "answered"
    assert "food-failed-check" in found.rules


def test_a_rich_meal_is_told_and_gets_no_extra_units(dosing):
    """60 g of fat: Diabetes Care 2020;43:59 found 21 per cent more needed; none is added."""
    dosing.all(
        "new food feast: US label, serving 300 g, calories 845, fat 60 g, carbohydrate 50 g, "
        "fibre 0 g, protein 26 g"
    )
    found = dosing.say("1 serving of feast, glucose 110")
    assert "high-fat-protein" in found.rules
    assert found.data["dose"]["exact_units"] == 5


# Lows, with the user's own foods


def test_a_fast_food_is_told_when_glucose_is_low(dosing):
    """15 / 9 x 100 is 166.7 ml: up to the next 10."""
    dosing.all(JUICE, "orange juice is fast acting")
    for said in ("I feel low", "glucose 60", "1 serving of oat cereal, glucose 60"):
        found = dosing.say(said)
        assert "170 millilitres of your orange juice" in found.text
    dosing.all("orange juice is not fast acting")
    assert "orange juice" not in dosing.say("I feel low").text


@pytest.mark.parametrize(
    ("label", "amount"),
    [
        # At the least that the rounding allows: a US label rounds to the gram (21 CFR
        # 101.9(c)(6)), an EU label from 10 g up (guidance on tolerances, December 2012, table 4).
        # 4 g may be 3.5: 15 / 3.5 is 4.3 tablets
        ("US label, serving 1 tablet (4 g), carbohydrate 4 g, sugars 4 g", "5 tablets"),
        # sugars act fast, the rest may not: 15 / 19.5 x 100 is 76.9 g, up to the next 5
        ("EU label, per 100 g: carbohydrate 60 g, sugars 20 g", "80 grams"),
        # below 10 g to the tenth: 15 / 9.35 x 100 is 160.4; 15 / 9.4 x 100 would be 159.6
        ("EU label, per 100 ml: carbohydrate 12 g, sugars 9.4 g", "170 millilitres"),
        # fibre inside does not act: 15 / (23.5 - 4.5) x 50 is 39.5 g; (24 - 3) would be 35.7
        ("US label, serving 50 g, carbohydrate 24 g, fibre 3 g", "40 grams"),
        # 15 / 23.5 x 240 is 153.2
        ("US label, serving 1 cup (240 ml), carbohydrate 26 g, sugars 24 g", "160 millilitres"),
    ],
)
def test_the_amount_holds_15_grams_that_act_fast_rounded_up(dosing, label, amount):
    dosing.all(f"new food quick: {label}", "quick is fast acting")
    assert f"{amount} of your quick" in dosing.say("I feel low").text


@pytest.mark.parametrize(
    "label",
    [
        "EU label, per 100 g: carbohydrate 70 g, polyols 60 g",
        "EU label, per 100 g: carbohydrate 0.5 g",
    ],
)
def test_a_food_that_cannot_treat_a_low_is_not_marked(dosing, label):
    dosing.all(f"new food slow: {label}")
    assert dosing.say("slow is fast acting").status == "asked"
    assert "slow" not in dosing.say("I feel low").text


def test_a_new_label_keeps_the_mark_with_its_own_amount(dosing):
    dosing.all(JUICE, "orange juice is fast acting")
    dosing.all("new label for orange juice: EU label, per 100 ml: carbohydrate 10 g, fibre 0 g")
    # 10 g may be 9.5: 15 / 9.5 x 100 is 157.9
    assert "160 millilitres of your orange juice" in dosing.say("I feel low").text


def test_a_clock_that_went_back_gives_no_dose(dosing):
    dosing.now = at("12:00")
    dosing.all("today")
    dosing.now = at("11:58")
    assert dosing.say(MEAL).status == "answered"
    dosing.all("not taken")
    dosing.now = at("11:57")
    found = dosing.say(MEAL)
    assert found.status == "refused"
    assert found.rules[0] == "clock-went-back"

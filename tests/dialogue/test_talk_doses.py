"""Meals and doses, as transcripts. The figures are worked out by hand from the rules."""

import re
from fractions import Fraction

import pytest
from talk import (
    ACTIVE,
    CAP,
    CEREAL,
    DURATION,
    FACTOR,
    FOODS,
    MILK,
    NET,
    NUMBERS,
    PEN,
    RATIO,
    SHAPE,
    TARGET,
    WINDOW,
    talking,
)

from assistant.values import Ranged

MEAL = "1.5 servings of the oat cereal plus 200 ml milk"


def near(value, places=6):
    return pytest.approx(value, abs=10**-places)


def test_the_example_of_a_breakfast(tmp_path):
    # cereal 1.5 x (27 - 6) = 31.5, range 1.5 x (26.5 - 6.5) to 1.5 x (27.5 - 5.5)
    # milk 200/100 x 4.8 = 9.6, range 2 x 4.75 to 2 x 4.85
    with talking(tmp_path, CEREAL, MILK, *NUMBERS) as talk:
        found = talk.say(f"{MEAL}, glucose 162")
        assert found.status == "answered"
        assert found.reply.counted == Ranged(Fraction("41.1"), Fraction("39.5"), Fraction("42.7"))
        data = found.data
        assert data["counted_carbs_g"] == 41.1
        assert data["range_g"] == [39.5, 42.7]
        dose = data["dose"]
        assert dose["meal_units"] == near(4.11)
        assert dose["correction_units"] == near(52 / 45)
        assert dose["exact_units"] == near(4.11 + 52 / 45)
        assert dose["suggested_units"] == 5.0
        assert dose["active_units"] == 0
        assert [p["counted_carbs_g"] for p in data["portions"]] == [31.5, 9.6]
        assert [p["food"] for p in data["portions"]] == ["oat cereal", "milk"]
        assert data["portions"][0]["said"] == "1.5 servings of the oat cereal"
        assert data["portions"][0]["grams"] == 60
        assert data["portions"][1]["millilitres"] == 200
        for shown in ("41.1 grams", "4.11 units", "1.1556 units", "5.2656 units", "5 units"):
            assert shown in found.text
        taken = talk.say("took 5 units")
        assert taken.status == "answered"
        assert "5 units" in taken.text
        refused = talk.say("10 servings of oat cereal, glucose 120", "12:30")
        assert refused.status == "refused"
        assert "over-dose-cap" in refused.rules
        assert refused.data["dose"] is None
        assert refused.data["counted_carbs_g"] == 210
        assert not re.search(r"21(\.\d+)? unit|7\.5 unit|0\.2222", refused.text)
        for figure in re.findall(r"([\d.]+) units", refused.text):
            assert Fraction(figure.rstrip(".")) in {8, 15, 5, 0}


def test_the_settings_of_a_dose_are_told(dosing):
    settings = dosing.say(f"{MEAL}, glucose 162").data["dose"]["settings"]
    assert settings["grams_per_unit"] == 10
    assert settings["correction_factor"] == {"value": 45, "unit": "mg/dL"}
    assert settings["target"] == {"value": 110, "unit": "mg/dL"}
    assert settings["duration_minutes"] == 240
    assert settings["active_insulin_comes_off"] == "correction"
    assert (settings["pen_step"], settings["rounding"]) == (0.5, "down")
    assert (settings["cap_at_once"], settings["cap_in_window"]) == (8, 15)
    assert settings["cap_window_minutes"] == 240


@pytest.mark.parametrize("place", ["{g}, {m}", "{m}, {g}", "{m} {g}"])
@pytest.mark.parametrize("glucose", ["glucose 162", "bg 162", "162 mg/dL", "blood sugar is 162"])
def test_glucose_may_stand_before_or_behind(dosing, place, glucose):
    found = dosing.say(place.format(g=glucose, m=MEAL))
    assert found.status == "answered"
    assert found.data["dose"]["suggested_units"] == 5.0


def test_glucose_may_stand_in_the_middle(dosing):
    found = dosing.say("1.5 servings of the oat cereal, glucose 162, 200 ml milk")
    assert found.counted == Fraction("41.1")
    assert found.data["dose"]["suggested_units"] == 5.0


def test_without_any_number_a_meal_is_counted_and_no_dose_shown(counting):
    found = counting.say(MEAL)
    assert (found.status, found.counted) == ("answered", Fraction("41.1"))
    assert found.data["dose"] is None
    assert "count-only" in found.codes


def test_portions_come_to_the_count_by_each_measure(counting):
    # rye bread: 2 x 35 g x 48/100 = 33.6; apple 21 - 4 = 17; crackers 10/5 x (10 - 1) = 18
    for text, counted in (
        ("2 slices of rye bread", "33.6"),
        ("70 g of rye bread", "33.6"),
        ("rye bread 70 g", "33.6"),
        ("a medium apple", "17"),
        ("150 g apple", "17"),
        ("10 crackers", "18"),
        ("2 servings of crackers", "18"),
        ("half the pack of crackers", "36"),
        ("half a pack of crackers", "36"),
        ("a quarter of the pack of crackers", "18"),
        ("1 cup of oat cereal", "42"),
        ("80 g oat cereal", "42"),
        ("oat cereal, 2 servings", "42"),
        ("two servings of oat cereal", "42"),
        ("half a serving of oat cereal", "10.5"),
        ("2 dl milk", "9.6"),
        ("0.2 l of milk", "9.6"),
        ("I'm having 200 ml milk, thanks", "9.6"),
        ("two slices of rye bread and a medium apple", "50.6"),
        ("2 slices rye bread & 1 medium apple; 200 ml milk\n5 crackers", "69.2"),
    ):
        found = counting.try_out(text)
        assert (found.status, found.counted) == ("answered", Fraction(counted)), (text, found.text)


@pytest.mark.parametrize(
    ("policy", "counted"),
    [
        ("count total carbohydrate", "27"),
        ("count net carbohydrate", "21"),
        ("count fibre over 5 g halved", "24"),
    ],
)
def test_the_policy_decides_and_fibre_outside_is_never_taken_off(tmp_path, policy, counted):
    bread = "new food seed bread: EU label, per 100 g: carbohydrate 40 g, fibre 12 g"
    with talking(tmp_path, CEREAL, bread, policy) as talk:
        assert talk.say("1 serving of oat cereal").counted == Fraction(counted)
        assert talk.say("100 g of seed bread").counted == 40


# Missing settings


@pytest.mark.parametrize(
    "left_out", [RATIO, FACTOR, TARGET, DURATION, SHAPE, ACTIVE, PEN, CAP, WINDOW]
)
def test_each_missing_setting_is_named_and_no_dose_is_given(tmp_path, left_out):
    named = {
        RATIO: "insulin-to-carb ratio",
        FACTOR: "correction factor",
        TARGET: "glucose target",
        DURATION: "how long your insulin lasts",
        SHAPE: "the shape on which active insulin falls",
        ACTIVE: "what active insulin comes off",
        PEN: "the steps of your pen",
        CAP: "the most units at once",
        WINDOW: "the most units in some hours",
    }[left_out]
    others = [n for n in NUMBERS if n != left_out]
    with talking(tmp_path, *FOODS, *others) as talk:
        found = talk.say(f"{MEAL}, glucose 162 mg/dL")
        assert found.status == "refused"
        assert "settings-missing" in found.rules
        assert found.data["dose"] is None
        assert named in found.text
        assert found.data["counted_carbs_g"] == 41.1
        missing = next(h for h in found.data["rules"] if h["rule"] == "settings-missing")
        others_named = {"the correction factor", "the glucose target"} - {f"the {named}"}
        assert not any(o in missing["message"] for o in others_named)


def test_rounding_is_a_setting_of_its_own(tmp_path):
    numbers = [n for n in NUMBERS if n != PEN]
    with talking(tmp_path, *FOODS, *numbers, "my pen goes in half units") as talk:
        found = talk.say(f"{MEAL}, glucose 162")
        assert found.status == "refused"
        assert "how to round" in found.text
        talk.all("round down")
        assert talk.say(f"{MEAL}, glucose 162").data["dose"]["suggested_units"] == 5.0


# Rules


@pytest.mark.parametrize("glucose", ["69", "54", "3.8 mmol/L", "69.9 mg/dL"])
def test_low_glucose_is_treated_first(dosing, glucose):
    found = dosing.say(f"{MEAL}, glucose {glucose}")
    assert found.status == "refused"
    assert "glucose-low" in found.rules
    assert found.data["dose"] is None
    assert [c for c in found.codes if c.startswith("treat-low")] == [
        f"treat-low-{n}" for n in range(1, 6)
    ]
    assert found.data["counted_carbs_g"] == 41.1
    assert "unit" not in found.text.replace("Do not take insulin", "")


@pytest.mark.parametrize("glucose", ["70", "3.9 mmol/L"])
def test_the_edge_of_low_is_not_low(dosing, glucose):
    found = dosing.say(f"{MEAL}, glucose {glucose}")
    assert found.status == "answered"
    assert "glucose-below-target" in found.rules


def test_below_the_target_the_correction_is_negative(dosing):
    # 4.11 + (80 - 110)/45 = 3.4433..., half units down: 3
    found = dosing.say(f"{MEAL}, glucose 80")
    assert found.data["dose"]["exact_units"] == near(4.11 - 30 / 45)
    assert found.data["dose"]["suggested_units"] == 3.0


def test_below_zero_is_refused(dosing):
    # milk 10 ml: 0.48 g, 0.048 units, less 30/45
    found = dosing.say("10 ml milk, glucose 80")
    assert (found.status, found.rules[0]) == ("refused", "below-zero")
    assert found.data["dose"] is None
    assert not re.search(r"0\.6|0\.048", found.text)


def test_very_high_glucose_brings_a_caution(dosing):
    at_limit = dosing.say("200 ml milk, glucose 240")
    assert "glucose-very-high" not in at_limit.rules
    dosing.all("not taken")
    found = dosing.say("200 ml milk, glucose 241")
    assert found.status == "answered"
    assert "glucose-very-high" in found.rules


def test_the_cap_itself_is_allowed_and_one_step_more_is_not(dosing):
    # 80 g of milk sugar would be 1666 ml; use the cereal: 21 g a serving, ratio 10
    # glucose at target: correction 0. 3.81 servings: 80.01 g, 8.001 -> 8; 4.05: 85.05 -> 8.5
    found = dosing.say("3.81 servings of oat cereal, glucose 110")
    assert found.data["dose"]["suggested_units"] == 8.0
    dosing.all("not taken")
    found = dosing.say("4.05 servings of oat cereal, glucose 110")
    assert found.status == "refused"
    assert found.rules == ["over-dose-cap"]
    assert "8.5" not in found.text


def test_the_window_cap_counts_whole_doses_of_the_journal(dosing):
    dosing.all("took 7 units", "took 6 units")
    # 13 taken; 2.1 units down to 2 reaches 15: allowed. 2.5 would pass it.
    found = dosing.say("1 serving of oat cereal, glucose 110")
    assert found.data["dose"]["suggested_units"] == 2.0
    dosing.all("not taken")
    found = dosing.say("1.2 servings of oat cereal, glucose 110")
    assert (found.status, found.rules) == ("refused", ["over-window-cap"])
    assert "13 units" in found.text
    assert "2.5 unit" not in found.text
    # a dose exactly 4 hours old still counts; a minute later it does not
    assert dosing.say("1.2 servings of oat cereal, glucose 110", "11:30").status == "refused"
    assert dosing.say("1.2 servings of oat cereal, glucose 110", "11:31").status == "answered"


def test_the_meal_cap(dosing):
    dosing.all("never more than 40 g in a meal")
    found = dosing.say(f"{MEAL}, glucose 162")
    assert found.status == "refused"
    assert found.rules == ["over-meal-cap"]
    assert "41.1 grams" in found.text
    assert "5 units" not in found.text


# Glucose not given


def test_glucose_is_asked_and_the_figure_completes_the_meal(dosing):
    asked = dosing.say(MEAL)
    assert asked.status == "asked"
    assert asked.data["dose"] is None
    assert "units" not in asked.text
    found = dosing.say("162")
    assert found.status == "answered"
    assert found.data["dose"]["suggested_units"] == 5.0
    assert found.counted == Fraction("41.1")


@pytest.mark.parametrize("answer", ["glucose 162", "162 mg/dL", "it is 162", "bg 162"])
def test_the_glucose_answer_may_be_a_sentence(dosing, answer):
    dosing.say(MEAL)
    found = dosing.say(answer)
    if answer != "it is 162":
        assert found.data["dose"]["suggested_units"] == 5.0
    else:
        assert found.status == "asked"


def test_no_reading_gives_the_meal_part_with_a_caution(dosing):
    for answer in (None, "no reading"):
        text = f"{MEAL}, no reading" if answer is None else MEAL
        found = dosing.say(text)
        if answer:
            assert found.status == "asked"
            found = dosing.say(answer)
        assert found.status == "answered"
        assert "no-reading" in found.rules
        assert found.data["dose"]["exact_units"] == near(4.11)
        assert found.data["dose"]["suggested_units"] == 4.0
        assert found.data["dose"]["correction_units"] == 0
        dosing.all("not taken")


def test_the_last_reading_is_told_and_not_used(dosing):
    dosing.all("glucose 300 at 07:00")
    found = dosing.say(MEAL)
    assert found.status == "asked"
    assert "300" in found.text
    assert found.data["dose"] is None


@pytest.mark.parametrize("text", ["{m} please", "{m}.", "{m}!", "{m}, please.", "{m}\n"])
def test_the_glucose_answer_fits_any_ending(dosing, text):
    assert dosing.say(text.format(m=MEAL)).status == "asked"
    assert dosing.say("162").data["dose"]["suggested_units"] == 5.0


def test_a_large_meal_that_was_confirmed_can_be_completed_with_glucose(tmp_path):
    wide = ("never more than 40 units at once", "never more than 80 units in 4 hours")
    numbers = [n for n in NUMBERS if n not in {CAP, WINDOW}]
    with talking(tmp_path, *FOODS, *numbers, *wide) as talk:
        asked = talk.say("16 servings of oat cereal")  # 336 g in one portion
        assert "ask-implausible" in asked.codes
        assert "rule-glucose-not-given" in talk.say("yes").codes
        found = talk.say("110")
        assert found.status == "answered", found.text
        assert found.data["dose"]["suggested_units"] == 33.5


def test_two_glucose_figures_are_asked_about(dosing):
    found = dosing.say(f"{MEAL}, glucose 162, glucose 90")
    assert found.status == "asked"
    assert found.data["dose"] is None


# The open suggestion


def test_an_open_suggestion_blocks_the_next(dosing):
    dosing.all(f"{MEAL}, glucose 162")
    found = dosing.say("a medium apple, glucose 150", "08:00")
    assert found.status == "refused"
    assert found.rules[0] == "unconfirmed-suggestion"
    assert "5 units" in found.text
    assert "took 5 units" in found.text
    assert found.data["dose"] is None
    for settle in ("not taken",):
        dosing.all(settle)
    assert dosing.say("a medium apple, glucose 150").status == "answered"


@pytest.mark.parametrize(
    "text",
    [
        "not taken",
        "cancel",
        "took it",
        "I took it",
        "took 5 units",
        "took 4 units",
        "didn't take it",
    ],
)
def test_a_suggestion_is_settled_by(dosing, text):
    dosing.all(f"{MEAL}, glucose 162", text)
    taken = [d.units for d in dosing.events("dose-taken")]
    expected = {"took it": [5], "I took it": [5], "took 5 units": [5], "took 4 units": [4]}
    assert taken == expected.get(text, [])
    assert [x.code for x in dosing.opening().lines if x.code != "active-total"] == []
    if text == "took 4 units":
        assert dosing.say("today").text.count("4 units")


def test_the_opening_tells_the_open_suggestion(dosing):
    dosing.all(f"{MEAL}, glucose 162")
    assert [line.code for line in dosing.opening().lines] == ["open-suggestion", "next-type"]


def test_yes_to_a_suggestion_is_asked_in_words(dosing):
    dosing.all(f"{MEAL}, glucose 162")
    for text in ("yes", "ok", "no"):
        assert dosing.say(text).status == "asked"
    assert dosing.events("dose-taken") == []


def test_took_it_without_a_suggestion_asks_how_many(dosing):
    assert dosing.say("took it").status == "asked"
    assert dosing.events("dose-taken") == []


def test_a_dose_at_a_time_is_logged_at_that_time(dosing):
    found = dosing.say("took 4 units at 12:45", "13:00")
    assert found.status == "answered"
    (dose,) = dosing.events("dose-taken")
    assert (dose.units, dose.taken_at.isoformat()) == (4, "2026-03-02T12:45:00+01:00")


def test_a_dose_before_the_suggestion_is_not_the_suggested_one(dosing):
    dosing.all(f"{MEAL}, glucose 162")
    found = dosing.say("took 5 units at 06:00")
    assert found.status == "answered"
    assert "dose-before-suggestion" in found.codes


def test_a_time_later_than_now_asks_about_yesterday(dosing):
    found = dosing.say("took 4 units at 23:00")
    assert found.status == "asked"
    assert dosing.events("dose-taken") == []
    dosing.all("yesterday")
    (dose,) = dosing.events("dose-taken")
    assert dose.taken_at.isoformat() == "2026-03-01T23:00:00+01:00"
    assert dosing.say("glucose 143 at 23:00").status == "asked"
    dosing.all("1")
    assert dosing.events("glucose-read")[-1].taken_at.day == 1


def test_a_very_large_dose_is_doubted_and_then_kept(dosing):
    assert dosing.say("took 150 units").status == "asked"
    assert dosing.events("dose-taken") == []
    dosing.all("yes")
    assert [d.units for d in dosing.events("dose-taken")] == [150]


def test_a_very_large_dose_at_a_later_time_keeps_its_answers(dosing):
    dosing.say("took 150 units at 23:00")
    dosing.say("yes")
    dosing.all("yesterday")
    assert [d.units for d in dosing.events("dose-taken")] == [150]


def test_a_dose_over_the_cap_is_logged_with_a_caution(dosing):
    found = dosing.say("took 9 units")
    assert found.status == "asked"  # and kept all the same: it is in the body
    assert "dose-over-cap" in found.codes
    assert [d.units for d in dosing.events("dose-taken")] == [9]


def test_ten_times_the_suggestion_is_remarked(dosing):
    dosing.all(f"{MEAL}, glucose 162")
    found = dosing.say("took 50 units")
    assert "dose-ten-times" in found.codes
    assert [d.units for d in dosing.events("dose-taken")] == [50]


@pytest.mark.parametrize("text", ["took 4,5 units", "took -4 units", "took 0 units",
                                  "took 1/0 units", "took 4 units twice", "took 4 or 5 units",
                                  "took about 4 units", "took 4 units of long-acting insulin",
                                  "did not take 4 units",
                                  "I never took 4 units", "took 1000000 units"])  # fmt: skip
def test_a_dose_that_is_not_clear_is_not_logged(dosing, text):
    assert dosing.say(text).status == "asked"
    assert dosing.events("dose-taken") == []


# Active insulin


def test_active_insulin_comes_off_the_correction_only(dosing):
    dosing.all("took 4 units")
    # two hours later half is left: 2. Correction (290 - 110)/45 = 4, less 2 is 2; meal 2.1
    found = dosing.say("1 serving of oat cereal, glucose 290", "09:30")
    dose = found.data["dose"]
    assert dose["active_units"] == 2
    assert dose["correction_units"] == 4
    assert dose["exact_units"] == near(4.1)
    assert dose["suggested_units"] == 4.0
    dosing.all("not taken")
    # correction (155 - 110)/45 = 1, active 2: no correction is left, the meal part stays
    found = dosing.say("1 serving of oat cereal, glucose 155")
    assert found.data["dose"]["exact_units"] == near(2.1)
    assert "work-active-floored" in found.codes


def test_active_insulin_comes_off_the_whole_dose(dosing):
    dosing.all("active insulin comes off the whole dose", "took 4 units")
    found = dosing.say("1 serving of oat cereal, glucose 290", "09:30")
    assert found.data["dose"]["exact_units"] == near(2.1 + 4 - 2)
    dosing.all("not taken")
    found = dosing.say("1 serving of oat cereal, glucose 155")
    assert found.data["dose"]["exact_units"] == near(2.1 + 1 - 2)
    assert found.data["dose"]["suggested_units"] == 1.0


def test_a_negative_correction_is_not_made_smaller_by_active_insulin(dosing):
    dosing.all("took 4 units")
    found = dosing.say("2 servings of oat cereal, glucose 80", "09:30")
    assert found.data["dose"]["exact_units"] == near(4.2 - 30 / 45)


@pytest.mark.parametrize(
    ("clock", "left"), [("07:30", 4), ("08:30", 3), ("09:30", 2), ("10:30", 1), ("11:30", 0)]
)
def test_active_insulin_falls_on_a_straight_line(dosing, clock, left):
    dosing.all("took 4 units")
    found = dosing.say("what is active now", clock)
    assert found.data["facts"]["active_units"] == left


def test_a_dose_of_yesterday_evening_is_still_active_after_midnight(dosing):
    dosing.say("took 4 units", "23:00")
    found = dosing.say("what is active now", "01:00", day=1)
    assert found.data["facts"]["active_units"] == 2


# Undo


def test_undo_of_a_dose_asks_first(dosing):
    dosing.all("took 4 units")
    asked = dosing.say("undo")
    assert asked.status == "asked"
    assert "4 units" in asked.text
    assert dosing.say("what is active now").data["facts"]["active_units"] == 4
    dosing.say("undo")
    dosing.all("no")
    assert len(dosing.events("dose-taken")) == 1
    dosing.say("undo")
    dosing.all("yes")
    assert dosing.events("dose-taken") == []
    assert dosing.say("what is active now").data["facts"]["active_units"] == 0


def test_undo_of_a_dose_opens_its_suggestion_again(dosing):
    dosing.all(f"{MEAL}, glucose 162", "took it")
    dosing.say("undo")
    dosing.all("yes")
    assert dosing.say("200 ml milk, glucose 150").rules[0] == "unconfirmed-suggestion"


def test_undo_takes_back_a_meal_a_food_and_a_name(counting):
    counting.all("oat cereal is also called flakes", "undo")
    assert counting.say("1 serving of flakes").status == "asked"
    counting.say("cancel")
    counting.all("forget milk", "undo")
    assert counting.say("200 ml milk").status == "answered"
    counting.all("undo")
    assert counting.say("today").codes == ["today-nothing"]


def test_undo_leaves_settings_as_they_are(tmp_path):
    with talking(tmp_path, CEREAL) as talk:
        talk.say("1 serving of oat cereal")
        talk.all("2")
        talk.all("undo")
        # "Settings are changed by typing them again": the policy stands
        assert talk.settings().policy == "net"


def test_after_undo_the_question_that_is_told_open_is_the_open_one(dosing):
    dosing.say("1 serving of oat cereel")
    asked = dosing.say("1 always")
    assert "rule-glucose-not-given" in asked.codes
    undone = dosing.say("undo")
    opened = [line.code for line in dosing.opening().lines]
    still = {"rule-glucose-not-given", "ask-name"} & set(opened)
    assert still <= set(undone.codes)


def test_after_undo_of_a_completed_meal_no_question_is_open_unsaid(dosing):
    dosing.say(MEAL)
    dosing.all("162")
    undone = dosing.say("undo")
    opened = [line.code for line in dosing.opening().lines]
    assert ("rule-glucose-not-given" in opened) == ("rule-glucose-not-given" in undone.codes)


def test_nothing_to_undo(empty):
    assert empty.say("undo").codes == ["nothing-to-undo"]


# Questions about it


def test_why_shows_the_working_again(dosing):
    found = dosing.say(f"{MEAL}, glucose 162")
    why = dosing.say("why")
    for shown in ("41.1 grams", "1.1556 units", "5.2656 units"):
        assert shown in why.text
        assert shown in found.text
    dosing.all("not taken")
    dosing.say("10 servings of oat cereal, glucose 120")
    why = dosing.say("why")
    assert why.data["dose"] is None
    assert not re.search(r"21(\.\d+)? unit", why.text)


def test_today_sums_meals_and_doses(dosing):
    dosing.all(f"{MEAL}, glucose 162", "took it")
    data = dosing.say("today").data["facts"]["today"]
    assert data == {"meals": 1, "counted_carbs_g": 41.1, "units": 5}
    assert dosing.say("today", "07:00", day=1).codes == ["today-nothing"]


def test_glucose_at_a_time_is_logged(dosing):
    dosing.all("glucose 143 at 07:10")
    (event,) = dosing.events("glucose-read")
    assert (event.glucose.value, event.glucose.unit) == (143, "mg/dL")
    assert event.taken_at.strftime("%H:%M") == "07:10"
    low = dosing.say("glucose 65")
    assert "treat-low-1" in low.codes


def test_how_much_of_a_food_comes_to_a_count(counting):
    # milk 4.8 g in 100 ml: 45 g are 937.5 ml
    found = counting.say("how much milk is 45 g of carbohydrate")
    assert found.status == "answered"
    assert "937.5 millilitres" in found.text
    found = counting.say("how much oat cereal is 42 g")
    assert "2 servings" in found.text
    assert "80 grams" in found.text


@pytest.mark.parametrize("text", ["compare oat cereal and rye bread",
                                  "compare oat cereal to rye bread?"])  # fmt: skip
def test_two_foods_are_compared_on_a_hundred_grams(counting, text):
    found = counting.say(text)
    assert found.status == "answered"
    assert "52.5 grams" in found.text  # 21/40 x 100
    assert "48 grams" in found.text


@pytest.mark.parametrize(
    "text",
    [
        "what is net carbohydrate",
        "What is net carbohydrate?",
        "what are net carbs",
        "explain net carbohydrate",
        "what does net carbohydrate mean?",
        "define fibre",
        "what is the correction factor",
    ],
)
def test_a_term_is_explained(counting, text):
    found = counting.say(text)
    assert found.status == "answered", found.text
    assert found.codes[0].startswith("term-")


@pytest.mark.parametrize(
    "text",
    [
        "what does the label of oat cereal say",
        "show oat cereal",
        "show oat cereal?",
        "foods",
        "foods like oat",
        "show my numbers",
        "what is active now",
        "today",
        "help",
        "help labels",
        "help numbers",
        "?",
    ],
)
def test_a_question_about_what_is_known_is_answered(dosing, text):
    assert dosing.say(text).status == "answered"


def test_ate_only_half_of_it_is_understood(counting):
    counting.all("2 slices of rye bread")
    found = counting.say("ate only half of it")
    assert not {"not-understood", "ask-name", "ask-name-none"} & set(found.codes), found.text


def test_net_is_a_policy_and_not_a_default(tmp_path):
    with talking(tmp_path, CEREAL, *(n for n in NUMBERS if n != NET)) as talk:
        found = talk.say("1 serving of oat cereal, glucose 162")
        assert found.status == "asked"
        assert "ask-policy" in found.codes
        assert len(found.choices) == 3


def test_one_unit_is_typed_as_one_unit_and_understood(dosing):
    told = dosing.say("1 slice of rye bread, no reading")  # 16.8 g over 10 g is 1.68, down to 1.5
    assert "took 1.5 units" in told.text
    dosing.say("not taken")
    told = dosing.say("100 g of apple, no reading")  # 14 g less 2.67 g of fibre over 10 g: 1.13
    assert "took 1 unit," in told.text
    assert "1 unit taken" in dosing.say("took 1 unit").text

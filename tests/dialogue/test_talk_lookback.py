"""Looking back by sentence: figures worked by hand, what is left out, and that nothing changes."""

import pytest
from talk import at

BREAKFAST = "1 serving of oat cereal, glucose {}"


def days_of_breakfast(talk) -> None:
    """Five breakfasts of 21 g at 07:30; 100 to 140 at the start; 140, 150, 160, 190, 200 later.

    The rises are 40, 40, 40, 60, 60: mean 48, and 8 * 8 * 3 + 12 * 12 * 2 = 480, over 4 is 120,
    whose root is 10.954.
    """
    for day, (start, two) in enumerate(
        [(100, 140), (110, 150), (120, 160), (130, 190), (140, 200)]
    ):
        talk.say(BREAKFAST.format(start), "07:30", day)
        talk.say("took it")
        talk.say(f"glucose {two}", "09:30", day)


def test_what_happened_after_breakfast(dosing) -> None:
    days_of_breakfast(dosing)
    found = dosing.say("what happened after breakfast", "12:00", 4)
    data = found.data["facts"]["after"]
    assert (data["meals"], data["measured"], data["too_close"], data["unmeasured"]) == (5, 5, 0, 0)
    assert (data["rise"]["n"], data["rise"]["mean"]) == (5, 48)
    assert round(data["rise"]["sd"], 3) == 10.954
    assert (data["rise"]["low"], data["rise"]["high"]) == (40, 60)
    assert data["two_hours"]["mean"] == 168
    assert data["bands_two_hours"] == {
        "very-low": 0, "low": 0, "in-range": 3, "high": 2, "very-high": 0}  # fmt: skip
    assert data["four_hours"] is None
    assert "rose by a mean of 48 milligrams per decilitre in 2 hours" in found.text
    assert "only 5 meals" in found.text


def test_what_happened_after_a_food_names_other_foods(dosing) -> None:
    days_of_breakfast(dosing)
    dosing.say("2 slices of rye bread plus 200 ml milk, glucose 120", "13:00", 4)
    dosing.say("took it")
    dosing.say("glucose 180", "15:00", 4)
    cereal = dosing.say("what happened after oat cereal this week", "20:00", 4)
    assert cereal.data["facts"]["after"]["measured"] == 5
    assert "after-other-foods" not in cereal.codes
    milk = dosing.say("what happened after milk")
    assert milk.data["facts"]["after"]["rise"]["mean"] == 60
    assert "after-other-foods" in milk.codes
    assert "one meal only" in milk.text


def test_a_food_that_is_not_there_is_asked_about(dosing) -> None:
    found = dosing.say("what happened after oat cerial")
    assert found.status == "asked"
    assert any("oat cereal" in choice for choice in found.choices)
    assert dosing.say("1").codes[1] == "after-none"


def test_the_and_my_before_a_meal_or_a_food(dosing) -> None:
    days_of_breakfast(dosing)
    for what in ("my breakfast", "the oat cereal", "Oat cereal", "breakfasts"):
        found = dosing.say(f"what happened after {what}")
        assert found.data["facts"]["after"]["measured"] == 5


def test_meals_too_close_are_left_out_and_counted(dosing) -> None:
    days_of_breakfast(dosing)
    dosing.say("1 medium apple, glucose 190", "10:30", 4)
    dosing.say("took it")
    found = dosing.say("what happened after breakfast")
    assert found.data["facts"]["after"]["too_close"] == 2  # the apple is a breakfast by the clock
    assert found.data["facts"]["after"]["measured"] == 4
    assert "after-close" in found.codes


def test_a_correction_leaves_the_meal_out(dosing) -> None:
    days_of_breakfast(dosing)
    dosing.say("took 1 unit", "10:00", 4)
    assert dosing.say("what happened after breakfast").data["facts"]["after"]["too_close"] == 1


def test_a_meal_that_was_said_to_be_lunch_is_one_at_any_hour(dosing) -> None:
    dosing.say("1 medium apple for lunch, glucose 110", "10:00")
    dosing.say("took it")
    dosing.say("glucose 150", "12:00")
    assert dosing.say("what happened after lunch").data["facts"]["after"]["measured"] == 1
    assert dosing.say("what happened after breakfast").codes == ["after-none"]


def test_a_meal_that_was_taken_back_or_changed_counts_as_it_stands(counting) -> None:
    counting.say("1 medium apple", "07:00")
    counting.say("undo", "07:01")
    counting.say("glucose 100 mg/dL", "08:00")
    counting.say("1 serving of oat cereal", "08:01")
    counting.say("no, 2 servings of oat cereal", "08:20")
    counting.say("glucose 150 mg/dL", "10:00")
    found = counting.say("what happened after breakfast")
    data = found.data["facts"]["after"]
    assert (data["meals"], data["measured"], data["rise"]["mean"]) == (1, 1, 50)
    assert "42 grams" in found.text  # twice 27 g less 6 g, at the time at which it was first said


def test_the_time_of_a_meal_that_was_said_is_its_time(counting) -> None:
    counting.say("glucose 100 mg/dL", "08:00")
    counting.say("glucose 150 mg/dL", "10:00")
    counting.say("1 serving of oat cereal at 08:00", "10:30")
    assert counting.say("what happened after breakfast").data["facts"]["after"]["measured"] == 1


def test_how_was_my_glucose(dosing) -> None:
    days_of_breakfast(dosing)
    dosing.say("glucose 53", "18:00", 4)
    found = dosing.say("how was my glucose this week", "20:00", 4)
    data = found.data["facts"]["lookback"]
    # 100 110 120 130 140, 140 150 160 190 200, 53: 1493 over 11
    assert data["readings"] == 11
    assert data["glucose"]["mean"] == pytest.approx(1493 / 11, abs=1e-6)
    assert data["bands"] == {"very-low": 1, "low": 0, "in-range": 8, "high": 2, "very-high": 0}
    assert len(data["lows"]) == 1
    assert "not of time" in found.text
    assert "Low: 53 milligrams per decilitre, at 18:00 on 6 March 2026." in found.text
    assert "consensus" in found.text


def test_few_readings_say_so_and_one_has_no_deviation(dosing) -> None:
    dosing.say("glucose 120", "07:00")
    found = dosing.say("how was my glucose today")
    assert "few-readings" in found.codes
    assert "glucose-sd" not in found.codes


def test_no_readings(dosing) -> None:
    assert dosing.say("how was my glucose yesterday").codes[0] == "glucose-none"
    assert dosing.say("what happened after lunch").codes[0] == "after-none"
    assert dosing.say("report for the visit from 2026-02-02 to 2026-02-03").codes[0] == (
        "report-nothing"
    )


def test_lows_at_one_time_of_the_day_are_pointed_out_and_nothing_is_changed(dosing) -> None:
    before = dosing.settings()
    for day in range(3):
        dosing.say("glucose 60", "15:00", day)
    found = dosing.say("how was my glucose this week")
    assert "pattern-lows" in found.codes
    assert "care team" in found.text
    assert dosing.settings() == before


def test_high_readings_after_a_meal_are_pointed_out(dosing) -> None:
    for day in range(3):
        dosing.say(BREAKFAST.format(120), "07:30", day)
        dosing.say("took it")
        dosing.say("glucose 200", "09:30", day)
    assert "pattern-high" in dosing.say("how was my glucose this week").codes


SENTENCES = (
    "how was my glucose this week",
    "what happened after breakfast",
    "what happened after oat cereal",
    "report for the visit",
)


@pytest.mark.parametrize("text", SENTENCES)
def test_looking_back_leaves_nothing_but_the_turn(dosing, text) -> None:
    days_of_breakfast(dosing)
    kinds = ("setting-said", "dose-taken", "dose-suggested", "meal-counted", "glucose-read")
    before = dosing.events(*kinds)
    found = dosing.say(text)
    assert (found.status, found.data["dose"]) == ("answered", None)
    assert dosing.events(*kinds) == before


@pytest.mark.parametrize("text", SENTENCES)
def test_no_answer_names_a_ratio_or_a_dose_to_take(dosing, text) -> None:
    days_of_breakfast(dosing)
    lines = dosing.say(text).text.casefold()
    assert "per unit" not in lines
    assert "suggest" not in lines.replace("suggestions that the program refused", "")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("how was my glucose in the last 400 days", "period-too-long"),
        ("how was my glucose in the last 0 days", "period-too-long"),
        ("report from 2026-03-08 to 2026-03-02", "period-to-come"),
        ("report from 2026-03-02 to 2026-03-01", "period-backwards"),
        ("report from 2026-02-30 to 2026-03-01", "lookback-misread-report"),
        ("how was my glucose in the war", "lookback-misread-glucose"),
    ],
)
def test_days_that_are_none_are_asked_about(dosing, text, code) -> None:
    found = dosing.say(text)
    assert found.status == "asked"
    assert code in found.codes


def test_a_range_that_ends_in_days_to_come_says_where_it_ends(dosing) -> None:
    dosing.say("glucose 120", "07:00")
    found = dosing.say("how was my glucose from 2026-03-01 to 2026-03-09")
    assert found.data["facts"]["lookback"]["last"] == "2026-03-02"
    assert "period-until-today" in found.codes


def test_an_open_question_stays_open(dosing) -> None:
    dosing.say("2 slices of rye bread", "08:00")  # its glucose is asked for
    assert "question-waits" in dosing.say("how was my glucose today").codes
    assert dosing.say("110").status == "answered"


def test_mmol_is_told_where_it_is_the_users_unit(counting) -> None:
    counting.say("my glucose is in mmol/L")
    counting.say("glucose 5.6 mmol/L", "07:00")
    counting.say("glucose 70 mg/dL", "08:00")  # 3.8855 mmol/L, and yet no low for its meter
    data = counting.say("how was my glucose today").data["facts"]["lookback"]
    assert data["unit"] == "mmol/L"
    assert data["glucose"]["mean"] == pytest.approx((5.6 + 70 / 18.0156) / 2, abs=1e-6)
    assert data["bands"]["in-range"] == 2
    assert data["lows"] == []


def test_days_go_by_the_clock_of_each_entry(dosing) -> None:
    dosing.say("glucose 120", "23:50")
    dosing.say("glucose 130", "00:10", 1)
    assert dosing.say("how was my glucose today").data["facts"]["lookback"]["readings"] == 1
    assert dosing.now == at("00:10", 1)

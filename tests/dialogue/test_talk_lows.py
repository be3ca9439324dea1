"""Lows and untold doses stay known: whatever else is asked, dropped or undone in between."""

import pytest


def eats(talk, clock="08:30"):
    return talk.say("1 serving of oat cereal, no reading", clock)


def test_a_low_typed_with_a_meal_that_cannot_be_counted_is_kept(dosing):
    found = dosing.say("2-3 slices of rye bread, glucose 60", "08:00")
    assert found.status == "refused"
    assert found.data["dose"] is None
    assert "15 grams" in found.text
    assert eats(dosing).status == "refused"


def test_two_figures_of_which_one_is_low_are_a_low(dosing):
    assert dosing.say("1 serving of oat cereal, glucose 60, glucose 161", "08:00").rules == [
        "glucose-low"
    ]
    assert eats(dosing).status == "refused"


@pytest.mark.parametrize("words", ["I feel low", "glucose LO", "my sugar is low", "low",
                                   "glucose low, 1 serving of oat cereal"])  # fmt: skip
def test_a_felt_low_stands_until_a_reading(dosing, words):
    assert "15 grams" in dosing.say(words, "08:00").text
    assert "low-was-felt" in eats(dosing).rules
    assert dosing.say("1 serving of oat cereal, glucose 110", "08:40").status == "answered"


def test_a_low_as_the_answer_to_the_glucose_question_is_heard(dosing):
    dosing.say("1 serving of oat cereal", "08:00")
    assert "15 grams" in dosing.say("low").text
    assert dosing.say("no reading").status != "answered"


def test_undoing_a_low_meal_keeps_the_low(dosing):
    dosing.say("1 serving of oat cereal, glucose 60", "08:00")
    dosing.say("undo")
    assert "glucose-was-low" in eats(dosing).rules


def test_a_newer_reading_drops_a_meal_that_waits(dosing):
    dosing.say("2-3 slices of rye bread, glucose 110", "08:00")
    assert "question-dropped" in dosing.say("glucose 60", "08:20").codes
    assert dosing.say("2", "08:25").data["dose"] is None


def test_a_dose_whose_time_is_open_blocks_the_next(dosing):
    assert dosing.say("took 4 units at 7:30", "20:00").status == "asked"
    found = dosing.say("1 serving of oat cereal, glucose 162")
    assert found.rules == ["unsettled-dose"]
    assert "units" not in found.text.split("active insulin")[0].split("No dose")[0]
    assert dosing.say("pm").status == "answered"
    assert dosing.say("1 serving of oat cereal, glucose 162").status == "answered"


def test_a_dose_with_a_comma_blocks_the_next_until_it_is_clear(dosing):
    dosing.say("took 4,5 units", "08:00")
    assert dosing.say("1 serving of oat cereal, glucose 162").rules == ["unsettled-dose"]
    assert "4.5 units" in dosing.say("4.5").text


@pytest.mark.parametrize("told", ["took 4,5 units", "took it"])
@pytest.mark.parametrize("between", ["glucose 160", "glucose 60", "I feel low", "undo"])
def test_an_unclear_dose_is_not_dropped_by_what_tells_nothing_of_it(dosing, told, between):
    dosing.say("1 serving of oat cereal, glucose 162", "07:00")
    dosing.say("not taken")
    assert dosing.say(told, "08:00").status == "asked"
    dosing.say(between, "08:01")
    found = dosing.say("1 serving of oat cereal, glucose 162", "08:02")
    assert "unsettled-dose" in found.rules
    assert found.data["dose"] is None


def test_a_time_beside_an_unclear_dose_is_kept_with_its_answer(dosing):
    dosing.say("took 4,5 units at 07:40", "09:00")
    dosing.say("4.5")
    taken = dosing.events("dose-taken")[-1]
    assert (taken.units * 2, f"{taken.taken_at:%H:%M}") == (9, "07:40")


def test_a_time_just_after_midnight_is_asked(dosing):
    asked = dosing.say("took 4 units at 12:15", "00:30", 1)
    assert asked.status == "asked"
    assert "00:15" in dosing.say("am").text


def test_an_old_suggestion_is_not_confirmed_without_a_time(dosing):
    dosing.say("2 servings of oat cereal, glucose 110", "08:00")
    assert dosing.say("took it", "12:00").status == "asked"
    assert "08:00" in dosing.say("then").text


def test_a_yes_to_undo_does_not_outlive_a_new_dose(dosing):
    dosing.say("took 5 units", "08:00")
    dosing.say("undo", "08:05")
    dosing.say("took 3 units", "08:06")
    dosing.say("yes", "08:07")
    assert [e.units for e in dosing.events("dose-taken")] == [5, 3]


@pytest.mark.parametrize(
    "words",
    [
        "2 slices of rye bread, glucose 50",
        "I feel low",
        "took 5 units",
        "5 units",
        "what is net carbohydrate",
    ],
)
def test_a_sentence_is_not_taken_for_a_foods_name(dosing, words):
    dosing.say(
        "Nutrition Facts\nServing size 1 cup (40g)\nCalories 150\nTotal Carbohydrate 30g 10%"
    )
    before = dosing.events("food-saved")
    dosing.say(words)
    assert dosing.events("food-saved") == before

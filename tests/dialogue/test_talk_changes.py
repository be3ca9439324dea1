"""A few words about the last meal: what they refer to, and that no meal is dosed twice.

The rules are those of the project: a dose that was taken stands for its meal however often the
meal is changed; a low is kept whatever else is said; an old reading is not carried along.
Foods and numbers are those of talk.py: 60 g oat cereal is 31.5 g, 200 ml milk 9.6 g, a slice of rye
bread 16.8 g.
"""

from fractions import Fraction

import pytest
from talk import at

MEAL = "60 g oat cereal plus 200 ml milk, glucose 162"


def taken(dosing):
    assert dosing.say(MEAL, "12:00").data["dose"] is not None
    assert dosing.say("took it", "12:00").status == "answered"


@pytest.mark.parametrize(
    "changes",
    [
        ("make it 100 g oat cereal", "make it 120 g oat cereal"),
        ("left the milk", "left half of the oat cereal"),
        ("I only ate half", "I only ate half of it"),
        ("no milk after all", "and another 100 g oat cereal", "make it 2 slices rye bread"),
    ],
)
def test_a_meal_whose_dose_was_taken_gets_no_second_one(dosing, changes):
    taken(dosing)
    for words in changes:
        assert dosing.say(words, "12:02").data["dose"] is None, words


def test_a_retyped_plate_that_was_refused_is_not_changed_into_a_second_dose(dosing):
    dosing.say(MEAL, "12:00")
    again = "60 g oat cereal plus 200 ml milk plus 1 slice of rye bread, glucose 162"
    assert "unconfirmed-suggestion" in dosing.say(again, "12:01").rules
    dosing.say("took 5 units", "12:01")
    assert dosing.say("make it 2 slices", "12:02").data["dose"] is None


def test_a_changed_meal_is_one_meal_of_today(counting):
    counting.say("60 g oat cereal plus 200 ml milk")
    assert counting.say("no milk after all").counted == Fraction("31.5")
    assert counting.say("make it 80 g").counted == 42
    found = counting.say("today")
    assert "1 meal" in found.text
    assert "42 grams" in found.text


@pytest.mark.parametrize(
    "words", ["how many carbs in 60 g oat cereal, glucose 50", "change the last meal to: 60 g oat "
              "cereal, glucose 50"]
)  # fmt: skip
def test_a_low_in_a_count_is_told_and_stands(dosing, words):
    taken(dosing)
    assert "glucose-low" in dosing.say(words, "12:05").rules
    assert "glucose-was-low" in dosing.say("100 ml milk, no reading", "12:06").rules


@pytest.mark.parametrize("first", [MEAL, MEAL + " 2 minutes ago"])
def test_an_old_reading_is_not_carried_into_a_change(dosing, first):
    dosing.say("a reading counts for 15 minutes")
    dosing.say(first, "12:00")
    dosing.say("not taken", "12:00")
    found = dosing.say("make it 100 g oat cereal", "12:20")
    assert found.status == "asked"
    assert found.data["dose"] is None


@pytest.mark.parametrize(
    ("words", "counted"),
    [
        ("another 1/2 slice", Fraction("42")),
        ("another slice", Fraction("50.4")),
        ("one more slice", Fraction("50.4")),
        ("make that 3 slices", Fraction("50.4")),
        ("only ate half", Fraction("16.8")),
        ("left a quarter", Fraction("25.2")),
        ("plus 200 ml milk", Fraction("43.2")),
    ],
)
def test_the_words_refer_to_the_last_meal(counting, words, counted):
    assert counting.say("2 slices of rye bread").counted == Fraction("33.6")
    assert counting.say(words).counted == counted


@pytest.mark.parametrize("words", ["two more 1/2 slices", "make it two", "no, 2", "I meant cake"])
def test_what_could_be_two_things_is_asked(counting, words):
    counting.say("60 g oat cereal")
    found = counting.say(words)
    assert found.status == "asked"
    assert found.counted is None


def test_forget_right_after_a_meal_asks_before_the_library_loses_a_food(counting):
    counting.say("60 g oat cereal plus 200 ml milk")
    assert counting.say("forget milk").status == "asked"
    assert counting.say("1").counted == Fraction("31.5")
    assert counting.say("100 ml milk").counted == Fraction("4.8")


def test_the_same_again_asks_for_a_new_reading(dosing):
    taken(dosing)
    found = dosing.say("the same again", "18:00")
    assert found.status == "asked"
    assert found.data["dose"] is None


def test_no_change_after_half_an_hour(counting):
    counting.say("60 g oat cereal", "12:00")
    counting.now = at("12:31")
    assert counting.say("make it 80 g").counted is None


def test_a_name_that_begins_like_courtesy_is_asked(counting):
    counting.say("new food panda: EU label, per 100 g: carbohydrate 10 g")
    counting.say("new food hello panda: EU label, per 100 g: carbohydrate 60 g")
    found = counting.say("hello panda 50 g")
    assert found.status == "asked"
    assert counting.say("1").counted == 30


@pytest.mark.parametrize(
    "text",
    ["100 g rye bread then squash", "30% less sugar oat cereal 100 g", "60 g oat cereal 10% less",
     "100 g rye bread before gym bar 50 g", "for a snack bar 50 g"],
)  # fmt: skip
def test_words_that_may_be_food_are_not_taken_for_exercise_or_less_insulin(counting, text):
    assert counting.say(text).counted is None

"""The same meal a moment later, however it is told; caps raised and lowered; what a plate is.

From the rules: two equal entries within minutes are asked about (15 minutes: common practice, no
source); a raised cap is told in the next three doses; alcohol brings a caution by any name.
"""

from datetime import timedelta

import pytest

MEAL = "2 slices of rye bread, glucose 162"
SURE = ", confirmed with my care team"


def later(talk, minutes):
    talk.now += timedelta(minutes=minutes)


# A dose that may have been for this meal


@pytest.mark.parametrize(
    "told",
    [
        ("took 4 units 10 minutes ago",),
        ("cancel", "took 4 units"),
        ("not taken", "took 4 units"),
        ("cancel", "took 4 units 10 minutes ago"),
        ("took it",),
    ],
)
def test_a_meal_is_asked_about_after_any_dose_told_since(dosing, told):
    dosing.all(MEAL, *told)
    later(dosing, 3)
    asked = dosing.say(MEAL)
    assert asked.status == "asked"
    assert asked.data["dose"] is None
    assert "rule-same-meal-twice" in asked.codes
    found = dosing.say("yes")
    assert "same-meal-again" in found.rules


def test_the_dose_may_have_been_for_the_meal_and_no_other_is_worked_out(dosing):
    dosing.all(MEAL, "took 4 units 10 minutes ago")
    dosing.say(MEAL)
    assert dosing.say("no").data["dose"] is None
    assert len(dosing.events("dose-suggested")) == 1


@pytest.mark.parametrize("how", ["not taken", "cancel"])
def test_a_dose_told_before_the_meal_was_for_another(dosing, how):
    dosing.all("took 1 unit 30 minutes ago", MEAL, how)
    assert dosing.say(MEAL).status == "answered"


@pytest.mark.parametrize(
    "again",
    [
        "1 slice of rye bread, 1 slice of rye bread, glucose 162",
        "1 slice of rye bread and 1 slice of rye bread, glucose 150",
        "1.5 slices of rye bread, half a slice of rye bread, glucose 162",
        "70 g of rye bread, glucose 162",
    ],
)
def test_one_food_in_two_entries_is_the_same_meal(dosing, again):
    dosing.all(MEAL, "took it")
    later(dosing, 5)
    assert "rule-same-meal-twice" in dosing.say(again).codes


def test_the_sums_are_of_each_food(dosing):
    dosing.all("1 slice of rye bread, 100 ml milk, 1 slice of rye bread, glucose 162", "took it")
    later(dosing, 5)
    asked = dosing.say("50 ml milk, 2 slices of rye bread, 50 ml milk, glucose 162")
    assert "rule-same-meal-twice" in asked.codes
    dosing.say("no")
    assert dosing.say("2 slices of rye bread, 50 ml milk, glucose 162").status == "answered"


# Caps that were raised


def test_a_raised_cap_is_told_in_three_doses_however_many_were_refused(dosing):
    dosing.all(f"never more than 9 units at once{SURE}")
    for _ in range(4):
        assert "raised-cap_dose" in dosing.say("1 serving of oat cereal, glucose 60").rules
    for told in (True, True, True, False):
        dosing.now += timedelta(hours=1)
        found = dosing.say("1 serving of oat cereal, glucose 162")
        assert found.data["dose"] is not None
        assert ("raised-cap_dose" in found.rules) == told
        dosing.all("not taken")


def test_a_cap_that_was_lowered_again_is_not_told_as_raised(dosing):
    dosing.all(f"never more than 12 units at once{SURE}", "never more than 6 units at once")
    found = dosing.say("1 serving of oat cereal, glucose 162")
    assert "raised-cap_dose" not in found.rules
    assert "12 units" not in found.text


def test_a_cap_that_is_still_higher_is_told_as_it_is(dosing):
    dosing.all(f"never more than 12 units at once{SURE}", "never more than 9 units at once")
    found = dosing.say("1 serving of oat cereal, glucose 162")
    assert "raised from 8 units to 9 units" in found.text


# What a plate is


BEER = "carbohydrate 3 g"


@pytest.mark.parametrize(
    ("before", "said"),
    [
        ((f"new food pils: EU label, per 100 ml: {BEER}", "pils is also called beer"),
         "500 ml beer"),
        ((f"new food pils: EU label, per 100 ml: {BEER}", "pils is also called beer"),
         "500 ml pils"),
        ((f"new food house pour: EU label, per 100 ml: {BEER}",
          "house pour is also called red wine",
          "recipe stew serves 2: 200 ml house pour, 100 g rye bread"), "1 serving of stew"),
    ],
)  # fmt: skip
def test_alcohol_is_told_by_every_name(dosing, before, said):
    for sentence in before:
        dosing.say(sentence)
    found = dosing.say(f"{said}, glucose 162")
    assert found.data["dose"] is not None
    assert "alcohol" in found.rules


def test_no_alcohol_is_told_of_other_names(dosing):
    dosing.all("milk is also called white stuff")
    assert "alcohol" not in dosing.say("100 ml milk, glucose 162").rules


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        ("fat 45 g", "45 grams of fat"),
        ("protein 45 g", "45 grams of protein"),
        ("fat 45 g, protein 10 g", "45 grams of fat and 10 grams of protein"),
    ],
)
def test_what_no_label_states_is_not_told_as_nought(dosing, stated, told):
    dosing.all(f"new food pie: EU label, per 100 g: {stated}, carbohydrate 20 g")
    found = dosing.say("100 g pie, glucose 162")
    assert f"As far as their labels tell, these foods have {told}. " in found.text


@pytest.mark.parametrize(
    ("said", "weigh"),
    [
        ("340 g pasta, glucose 110", False),
        ("4 slices of pasta, glucose 110", False),
        ("about 250 g pasta, glucose 110", True),
    ],
)
def test_only_a_rough_amount_is_to_be_weighed(dosing, said, weigh):
    """A US label rounds to the gram (21 CFR 101.9(c)(6)): no scale narrows that."""
    dosing.all("new food pasta: US label, serving 1 slice (85 g), carbohydrate 9 g, fibre 0 g",
               "my ratio is 1 unit per 5 g", "never more than 60 units at once" + SURE,
               "never more than 90 units in 4 hours" + SURE)  # fmt: skip
    found = dosing.say(said)
    assert found.data["dose"] is not None
    assert ("Weigh it" in found.text) == weigh
    assert ("its label rounds its figures" in found.text) != weigh
    assert "Most of that range comes from pasta" in found.text

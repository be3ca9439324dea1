"""A meal that is changed to more after its dose: told, dosed for the rest alone, counted once."""

from fractions import Fraction

BREAD_MEAL = "2 slices rye bread, glucose 130"
# 1 slice is 35 g at 48 g in 100 g: 16.8 g; 2 are 33.6 g, 3 are 50.4 g (by hand)


def taken(talk, meal=BREAD_MEAL):
    assert talk.say(meal).data["dose"] is not None
    talk.all("took it")


def counted_today(talk):
    return talk.say("today").reply.facts["today"]["counted_carbs_g"]


def test_what_is_more_is_told_and_dosed_alone_and_the_day_counts_it_once(dosing):
    taken(dosing)
    found = dosing.say("no, 3 slices")
    assert "It was for 33.6 grams. The change has 16.8 grams more" in found.text
    assert "no dose yet" in found.text
    assert counted_today(dosing) == Fraction("33.6")
    dosed = dosing.say("130")
    assert dosed.counted == Fraction("16.8")
    assert dosed.data["dose"]["meal_units"] == 1.68
    dosing.say("took it")
    assert counted_today(dosing) == Fraction("50.4")


def test_a_food_that_is_more_is_counted_beside_the_meal(dosing):
    taken(dosing)
    found = dosing.say("change the last meal to: 2 slices rye bread, 200 ml milk")
    assert "The change has 9.6 grams more" in found.text
    dosing.say("130")
    assert counted_today(dosing) == Fraction("43.2")


def test_another_food_is_recorded_once_and_what_is_more_is_told(dosing):
    taken(dosing)
    found = dosing.say("no, 800 ml milk")  # 38.4 g
    assert "The change has 4.8 grams more" in found.text
    assert "it would count twice" in found.text
    assert found.data["dose"] is None
    assert counted_today(dosing) == Fraction("38.4")


def test_words_that_the_rest_would_lose_are_not_lost(dosing):
    """ "30% less" is of the whole plate: the rest is not worked out without it."""
    dosing.all("reductions up to 50%")
    taken(dosing, "2 slices rye bread, 30% less, glucose 130")
    found = dosing.say("change the last meal to: 3 slices rye bread, 30% less")
    assert found.data["dose"] is None
    assert "more-after-dose-recorded" in found.codes


def test_less_is_recorded_as_before(dosing):
    taken(dosing)
    found = dosing.say("no, 1 slice")
    assert "changed-after-dose" in found.codes
    assert counted_today(dosing) == Fraction("16.8")


def test_more_after_less_is_measured_from_what_the_dose_was_for(dosing):
    taken(dosing)
    dosing.say("no, 1 slice")
    found = dosing.say("no, 3 slices")
    assert "The change has 16.8 grams more" in found.text
    assert counted_today(dosing) == Fraction("50.4")


def test_a_low_with_the_change_comes_first(dosing):
    taken(dosing)
    found = dosing.say("change the last meal to: 3 slices rye bread, glucose 55")
    assert "treat-low-1" in found.codes
    assert found.data["dose"] is None


def test_of_two_foods_of_one_name_the_question_names_what_was_said(dosing):
    taken(dosing, "2 slices rye bread, 1 slice rye bread, glucose 130")
    found = dosing.say("no, 3 slices")
    assert "Which one do you mean by no, 3 slices?" in found.text
    assert "called" not in found.text

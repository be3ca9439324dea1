"""A second line of food while the first waits: asked, with both readings, and never dosed alone."""

import pytest

BREAD_LINE, MILK_LINE = "2 slices rye bread", "200 ml milk"
# 2 slices of 35 g at 48 g in 100 g: 33.6 g; 200 ml at 4.8 g in 100 ml: 9.6 g (by hand)


def test_two_lines_are_asked_about_with_both_readings(dosing):
    dosing.say(BREAD_LINE)
    found = dosing.say(MILK_LINE)
    assert found.codes[0] == "ask-same-meal"
    assert f"{BREAD_LINE}, 200 millilitres milk" in found.choices[0]
    assert found.choices[1] == "No, only 200 millilitres milk. The open meal is dropped."
    assert not dosing.events("meal-counted")


@pytest.mark.parametrize(("answer", "counted"), [("1", 43.2), ("yes", 43.2), ("2", 9.6)])
def test_each_answer_counts_what_it_says(dosing, answer, counted):
    dosing.say(BREAD_LINE)
    dosing.say(MILK_LINE)
    dosing.say(answer)
    found = dosing.say("130")
    assert float(found.counted) == counted
    assert found.data["dose"] is not None


def test_the_reading_of_the_second_line_stays_with_both(dosing):
    dosing.say(BREAD_LINE)
    dosing.say(f"{MILK_LINE}, glucose 130")
    found = dosing.say("1")
    assert float(found.counted) == 43.2
    assert found.data["dose"]["correction_units"] > 0


def test_a_reading_alone_is_logged_and_the_lines_go_on_waiting(dosing):
    dosing.say(BREAD_LINE)
    dosing.say(MILK_LINE)
    found = dosing.say("glucose 130")
    assert found.codes[0] == "glucose-logged"
    assert "ask-same-meal" in found.codes
    assert [float(e.glucose.value) for e in dosing.events("glucose-read")] == [130.0]
    dosing.say("1")
    assert float(dosing.say("130").counted) == 43.2


def test_a_third_line_is_asked_about_too_and_cancel_drops_all(dosing):
    for line in (BREAD_LINE, MILK_LINE):
        dosing.say(line)
    found = dosing.say("1 medium apple")
    assert f"{BREAD_LINE}, 200 millilitres milk, 1 medium apple" in found.choices[0]
    dropped = dosing.say("cancel")
    assert BREAD_LINE in dropped.text
    assert not dosing.events("meal-counted", "dose-suggested")


def test_a_second_line_with_a_slip_in_its_name_is_asked_about(dosing):
    dosing.say(BREAD_LINE)
    assert dosing.say("2 servings of oat cereel").codes[0] == "ask-same-meal"


@pytest.mark.parametrize(
    ("first", "again"),
    [(BREAD_LINE, f"{BREAD_LINE}, glucose 130"), ("2 slices rye bred", BREAD_LINE),
     ("rye bread", BREAD_LINE), (BREAD_LINE, f"{MILK_LINE}, {BREAD_LINE}")],
)  # fmt: skip
def test_the_waiting_meal_said_again_is_no_second_line(dosing, first, again):
    dosing.say(first)
    assert "ask-same-meal" not in dosing.say(again).codes


def test_an_amount_that_was_doubted_may_be_put_right(counting):
    assert counting.say("5000 g rye bread").status == "asked"
    assert counting.say("50 g rye bread").counted == 24


@pytest.mark.parametrize("other", ["how many carbs in 200 ml milk", "show milk", "today",
                                   "took 2 units", "what is active now"])  # fmt: skip
def test_what_is_no_food_to_be_eaten_is_no_second_line(dosing, other):
    dosing.say(BREAD_LINE)
    assert "ask-same-meal" not in dosing.say(other).codes


def test_a_low_comes_before_the_question(dosing):
    dosing.say(BREAD_LINE)
    found = dosing.say(f"{MILK_LINE}, glucose 55")
    assert found.status == "refused"
    assert "treat-low-1" in found.codes
    assert dosing.events("glucose-read")


@pytest.mark.parametrize(
    ("line", "name"),
    [(f"lunch: {MILK_LINE}", "for lunch"), (f"for lunch {MILK_LINE}", "for lunch"),
     (f"I'm having {MILK_LINE}", ""), (f"for my dinner I had {MILK_LINE}", "for dinner"),
     (f"{MILK_LINE} for lunch", "for lunch")],
)  # fmt: skip
def test_words_that_open_the_second_line_leave_both_as_one_meal(dosing, line, name):
    dosing.say(BREAD_LINE)
    assert "ask-same-meal" in dosing.say(line).codes
    dosing.say("1")
    assert float(dosing.say("130").counted) == 43.2
    assert name in dosing.events("meal-counted")[-1].said

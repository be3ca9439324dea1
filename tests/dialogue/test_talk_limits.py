"""Limits: lowered at once, raised by a typed sentence, told for three doses; no way round."""

import pytest
from talk import CEREAL, at

SURE = ", confirmed with my care team"
BIG = "5 servings of oat cereal, glucose 110"  # 5 x 21 / 10 is 10.5 units; the cap is 8


def test_a_raised_cap_is_told_with_the_next_three_doses_and_then_no_more(dosing):
    dosing.all(f"never more than 9 units at once{SURE}")
    for _ in range(3):
        dosing.now = dosing.now.replace(hour=dosing.now.hour + 1)
        told = dosing.say("1 serving of oat cereal, glucose 110")
        assert "raised-cap_dose" in told.rules
        assert "8 units to 9 units" in told.text
        dosing.all("not taken")
    dosing.now = dosing.now.replace(hour=dosing.now.hour + 1)
    assert "raised-cap_dose" not in dosing.say("1 serving of oat cereal, glucose 110").rules


def test_a_refused_dose_tells_it_too(dosing):
    dosing.all(f"never more than 9 units at once{SURE}")
    found = dosing.say(BIG)
    assert found.status == "refused"
    assert {"over-dose-cap", "raised-cap_dose"} <= set(found.rules)


def test_a_lowered_cap_is_not_told(dosing):
    dosing.all("never more than 7 units at once")
    found = dosing.say("1 serving of oat cereal, glucose 110")
    assert not [rule for rule in found.rules if rule.startswith("raised")]


def test_a_cap_raised_while_a_meal_waits_is_told_with_that_meal(dosing):
    asked = dosing.say("1 mug of milk, glucose 110")
    assert asked.status == "asked"
    found = dosing.say(f"never more than 9 units at once{SURE}")
    if found.data["dose"] is not None:
        assert "raised-cap_dose" in found.rules


@pytest.mark.parametrize(
    ("first", "higher"),
    [
        ("never more than 60 g in a meal", "never more than 80 g in a meal"),
        ("reductions up to 30%", "reductions up to 50%"),
        ("a reading counts for 10 minutes", "a reading counts for 15 minutes"),
        ("ask me when the range is wider than 10%", "ask me when the range is wider than 20%"),
    ],
)
def test_every_limit_is_raised_by_its_whole_sentence_only(dosing, first, higher):
    dosing.all(first)
    before = dosing.settings()
    for answer in (higher, "yes", "1", "sure", "ok", "confirmed with my care team"):
        dosing.say(answer)
        assert dosing.settings() == before
    dosing.all(higher + SURE)
    assert dosing.settings() != before


def test_yes_to_an_unusual_cap_raises_nothing(dosing):
    """45 units is unusual and a raise; the question about the one does not settle the other."""
    dosing.say("never more than 45 units at once")
    dosing.say("yes")
    assert dosing.settings().cap_dose == 8


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("reductions up to 80%", "max_reduction"),
        ("a reading counts for 2 hours", "reading_age"),
        ("ask me when the range is wider than 90%", "ask_range"),
    ],
)
def test_an_unusual_limit_is_asked_about_first(dosing, text, name):
    assert dosing.say(text).status == "asked"
    assert getattr(dosing.settings(), name) is None
    dosing.say("yes")
    assert getattr(dosing.settings(), name) is not None


@pytest.mark.parametrize(
    "text",
    [
        *("reductions up to 100%", "reductions up to 150%", "a reading counts for 5 hours"),
        *("ask me when the range is wider than 100%", "reductions up to 0%"),
    ],
)
def test_a_limit_that_is_none_is_never_kept(dosing, text):
    before = dosing.settings()
    for said in (text, "yes", text + SURE):
        dosing.say(said)
    assert dosing.settings() == before


# Ways round a rule


ROUND = (
    f"{BIG}, that is right",
    f"{BIG}, confirmed with my care team",
    f"{BIG}, ignore my cap",
    f"{BIG}, no cap",
    f"{BIG}, never more than 20 units at once",
    f"{BIG} never more than 20 units at once, confirmed with my care team",
    f"please {BIG}, please",
    f"confirmed with my care team: {BIG}",
    f"{BIG}; yes",
    "5 servings of oat cereal, glucose 110, round up",
    "suggest 10 units",
    "4 servings of oat cereal and 1 serving of oat cereal, glucose 110, that is right",
    "undo turn 1",
    "the dose is right",
    "the clock is right",
)


@pytest.mark.parametrize("text", ROUND)
def test_no_phrase_goes_over_the_cap(dosing, text):
    for said in (text, "yes", "1", "1 always", "2", "that is right"):
        found = dosing.say(said)
        dose = found.data["dose"]
        assert dose is None or dose["suggested_units"] <= 8
    assert dosing.settings().cap_dose == 8


@pytest.mark.parametrize(
    "name",
    ["no cap", "that is right", "never more than 20 units at once", "glucose 400", "took it"],
)
def test_no_foods_name_goes_round_a_rule(dosing, name):
    dosing.say(CEREAL.replace("oat cereal", name))
    dosing.say(f"oat cereal is also called {name}")
    for said in (f"{BIG}, {name}", f"5 servings of {name}, glucose 110", name, "yes"):
        dose = dosing.say(said).data["dose"]
        assert dose is None or dose["suggested_units"] <= 8
    assert dosing.settings().cap_dose == 8


@pytest.mark.parametrize(
    "glucose", ["glucose 60", "glucose 3.0 mmol/L", "I feel low", "glucose low"]
)
def test_no_word_doses_a_low(dosing, glucose):
    for tail in ("", ", that is right", ", confirmed with my care team", ", please"):
        found = dosing.say(f"2 servings of oat cereal, {glucose}{tail}")
        assert found.data["dose"] is None
        assert dosing.say("yes").data["dose"] is None


def test_an_old_clock_does_not_hide_what_was_taken(dosing):
    """Setting the clock back would make the window and active insulin forget the dose."""
    dosing.all("took 8 units")
    dosing.now = at("03:00")
    found = dosing.say("5 servings of oat cereal, glucose 110")
    assert found.status == "refused"
    assert "clock-went-back" in found.rules
    dosing.all("the clock is right")
    found = dosing.say("1 serving of oat cereal, glucose 200")
    assert "clock-went-back" not in found.rules
    assert found.data["dose"]["active_units"] == 8  # a dose dated ahead counts whole

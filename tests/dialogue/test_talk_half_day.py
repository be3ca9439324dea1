"""A time of day that may be of either half of the day is asked about once, and then settled.

10:45, 11:10 and 12:30 have no leading nought on either clock, so each answer has to say its half.
"""

import pytest
from talk import at


@pytest.mark.parametrize(
    ("said", "now", "answer", "taken"),
    [
        ("took 4 units at 10:45", "23:30", "am", "10:45"),
        ("took 4 units at 10:45", "23:30", "pm", "22:45"),
        ("took 4 units at 11:10", "23:30", "1", "11:10"),
        ("took 4 units at 12:30", "13:40", None, "12:30"),
        ("took 4 units at 12:30", "12:00", "am", "00:30"),
    ],
)
def test_each_half_is_logged_at_its_time(dosing, said, now, answer, taken):
    found = dosing.say(said, now)
    if answer is not None:
        assert found.codes[0] == "ask-half-day"
        dosing.say(answer)
    assert [f"{e.taken_at:%H:%M}" for e in dosing.events("dose-taken")] == [taken]


@pytest.mark.parametrize("yes", ["yes", "1", "yesterday"])
def test_an_afternoon_that_is_still_to_come_was_yesterdays(dosing, yes):
    dosing.now = at("12:00", day=1)
    dosing.say("took 4 units at 12:30")
    assert dosing.say("pm").codes[1] == "ask-later-today"
    assert dosing.say(yes).status == "answered"
    assert [e.taken_at for e in dosing.events("dose-taken")] == [at("12:30")]


def test_a_low_that_is_no_clear_figure_is_told_without_one(dosing):
    found = dosing.say("bg under 4 mmol/L")
    assert "low-was-felt" in found.rules
    assert "is low" not in found.text
    assert "unit" not in found.text.split("Take 15")[0]


@pytest.mark.parametrize("figure", ["1", "2", "3"])
def test_a_bare_figure_that_could_be_the_number_of_a_choice_is_never_one(dosing, figure):
    for _ in range(2):
        found = dosing.say(figure)
        assert found.status == "asked"
        assert not found.choices
    assert not dosing.events("dose-taken", "glucose-read")


def test_a_bare_figure_at_numbered_choices_is_no_choice_by_what_it_tells(dosing):
    dosing.say("9")
    assert dosing.say("9").status == "asked"
    assert not dosing.events("dose-taken", "glucose-read")

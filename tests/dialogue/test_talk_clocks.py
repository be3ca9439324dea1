"""Travel and summer time: which clock the times of day go by is asked once, and kept."""

from datetime import timedelta, timezone

import pytest
from talk import RATIO, at

TWO = "my ratio is 1 unit per 10 g from 06:00 and 1 per 20 g from 11:00"
MEAL = "1 serving of oat cereal, glucose 110"  # 21 g
SUMMER = timezone(timedelta(hours=2))


@pytest.fixture
def schedule(dosing):
    """Two ratios a day, said at +01:00."""
    dosing.all(TWO)
    return dosing


def moved(talk, hours=0, zone=SUMMER):
    talk.now = (talk.now + timedelta(hours=hours)).astimezone(zone)


def test_a_setting_of_one_value_needs_no_question(dosing):
    moved(dosing)
    assert dosing.say(MEAL).data["dose"]["suggested_units"] == 2


def test_without_a_move_nothing_is_asked(schedule):
    assert schedule.say(MEAL).data["dose"]["suggested_units"] == 2


def test_a_moved_clock_is_asked_about_before_a_dose(schedule):
    moved(schedule)
    found = schedule.say(MEAL)
    assert found.status == "asked"
    assert found.data["dose"] is None
    assert "plus 02:00" in found.choices[0]
    assert "plus 01:00" in found.choices[1]


@pytest.mark.parametrize(
    ("answer", "exact"), [("new", 1.05), ("1", 1.05), ("old", 2.1), ("2", 2.1)]
)
def test_the_answer_decides_which_ratio_holds(schedule, answer, exact):
    """At 10:30 by the old clock it is 11:30 by the new: 1 per 10 g there, 1 per 20 g here."""
    schedule.now = at("10:30")
    moved(schedule)
    schedule.say(MEAL)
    assert schedule.say(answer).data["dose"]["exact_units"] == exact


def test_the_answer_is_kept_and_asked_once(schedule):
    moved(schedule)
    schedule.say(MEAL)
    schedule.say("old")
    schedule.all("not taken")
    moved(schedule, hours=1)
    assert schedule.say(MEAL).status == "answered"
    (kept,) = schedule.events("clock-settled")
    assert (kept.seen, kept.goes_by) == (120, 60)


def test_the_way_back_is_asked_again_only_if_the_times_moved_along(schedule):
    moved(schedule)
    schedule.say(MEAL)
    schedule.say("new")
    schedule.all("not taken")
    moved(schedule, hours=1, zone=at("08:00").tzinfo)
    assert schedule.say(MEAL).status == "asked"


def test_times_that_stayed_by_the_old_clock_need_no_question_back_on_it(schedule):
    moved(schedule)
    schedule.say(MEAL)
    schedule.say("old")
    schedule.all("not taken")
    moved(schedule, hours=1, zone=at("08:00").tzinfo)
    assert schedule.say(MEAL).status == "answered"


def test_a_word_in_between_does_not_settle_the_clock(schedule):
    """Any turn on the new clock is in the journal; the schedule is still by the old one."""
    moved(schedule)
    schedule.all("help", "today")
    assert schedule.say(MEAL).status == "asked"


def test_a_schedule_said_anew_goes_by_the_clock_of_now(schedule):
    moved(schedule)
    schedule.all(TWO)
    assert schedule.say(MEAL).status == "answered"


def test_a_schedule_said_anew_while_another_goes_by_the_old_clock_is_asked(schedule):
    schedule.all("target 110 mg/dL from 06:00 and 120 mg/dL from 22:00")
    moved(schedule)
    schedule.all(TWO)
    assert schedule.say(MEAL).status == "asked"


def test_one_value_said_over_a_schedule_needs_no_question(schedule):
    moved(schedule)
    schedule.say(RATIO + ", confirmed with my care team")
    assert schedule.say(MEAL).status == "answered"


def test_a_clock_that_nobody_set_times_on_is_not_taken(schedule):
    found = schedule.say("my times of day go by the clock at +09:00")
    assert found.status == "asked"
    assert schedule.events("clock-settled") == []


def test_the_clock_in_use_is_told_in_the_working_and_with_the_numbers(schedule):
    moved(schedule)
    schedule.say(MEAL)
    assert "work-clock" in schedule.say("old").codes
    assert "clock-settled" in schedule.say("show my numbers").codes


def test_over_midnight_and_the_hour_that_is_lost(schedule):
    """29 March 2026, +01:00 to +02:00 at 02:00: the last entry of the day before holds."""
    schedule.now = at("01:30", 27)
    before = schedule.say(MEAL)
    assert before.data["dose"]["exact_units"] == 1.05
    schedule.all("not taken")
    schedule.now = schedule.now + timedelta(minutes=31)
    moved(schedule)
    assert schedule.now.hour == 3
    schedule.say(MEAL)
    assert schedule.say("new").data["dose"]["exact_units"] == 1.05

"""A time of day that was said after the clock's offset changed: it is asked by which clock."""

from datetime import datetime, timedelta

import pytest


def set_to(talk, text):
    talk.now = datetime.fromisoformat(text)


def on_clock_of(talk, text):
    """Turns on this clock, a day before and now: it is the only one that was used lately."""
    set_to(talk, text)
    talk.now -= timedelta(days=1)
    talk.all("help")
    set_to(talk, text)
    talk.all("help")


def utc(moment):
    return moment.astimezone(datetime.fromisoformat("2026-01-01T00:00+00:00").tzinfo).strftime(
        "%d %H:%M"
    )


CASES = [
    # A flight: 10:45 is 07:45Z by the clock of now, 10:45Z by the earlier one.
    ("2026-04-02T10:40+00:00", "2026-04-02T14:00+03:00", "took 6 units at 10:45",
     ("02 07:45", "02 10:45")),
    # Summer time begins, +01:00 to +02:00 at 02:00: 01:30 was before the change, 00:30Z.
    ("2027-03-27T22:00+01:00", "2027-03-28T03:30+02:00", "took 6 units at 01:30",
     ("27 23:30", "28 00:30")),
    ("2027-03-27T22:00+01:00", "2027-03-28T09:00+02:00", "took 6 units yesterday at 23:00",
     ("27 21:00", "27 22:00")),
    # An hour that is not there, 02:30, typed at 03:40: 00:30Z or 01:30Z.
    ("2027-03-28T01:30+01:00", "2027-03-28T03:40+02:00", "took 6 units at 02:30",
     ("28 00:30", "28 01:30")),
    # Autumn, +02:00 to +01:00 at 03:00: 02:05 was twice.
    ("2026-10-25T02:40+02:00", "2026-10-25T02:10+01:00", "took 6 units at 02:05",
     ("25 01:05", "25 00:05")),
]  # fmt: skip


@pytest.mark.parametrize(("before", "now", "text", "meant"), CASES)
@pytest.mark.parametrize(("answer", "which"), [("1", 0), ("2", 1), ("new", 0), ("old", 1)])
def test_both_times_are_choices_and_the_chosen_one_is_kept(
    dosing, before, now, text, meant, answer, which
):
    on_clock_of(dosing, before)
    set_to(dosing, now)
    asked = dosing.say(text)
    assert asked.status == "asked"
    assert len(asked.choices) == 2
    assert dosing.events("dose-taken") == []
    assert "unsettled-dose" in dosing.say("1 serving of oat cereal, glucose 162").rules
    dosing.all(answer)
    (dose,) = dosing.events("dose-taken")
    assert utc(dose.taken_at) == meant[which]


@pytest.mark.parametrize(("before", "now", "text", "meant"), CASES)
def test_a_reading_is_asked_about_as_well(dosing, before, now, text, meant):
    if "yesterday" in text:
        pytest.skip("a reading of yesterday is said alone, as the dose is")
    on_clock_of(dosing, before)
    dosing.all("a reading counts for 15 minutes")
    set_to(dosing, now)
    when = text.removeprefix("took 6 units ")
    assert dosing.say(f"glucose 162 {when}").status == "asked"
    dosing.all("2")
    reading = dosing.events("glucose-read")[-1]
    assert utc(reading.taken_at) == meant[1]
    beside = dosing.say(f"1 serving of oat cereal, glucose 162 {when}")
    assert beside.status == "asked"
    assert beside.data["dose"] is None
    by_now = dosing.say("1")
    by_old = None
    dosing.say("not taken")
    dosing.say(f"1 serving of oat cereal, glucose 162 {when}")
    by_old = dosing.say("2")
    for found, at in ((by_now, meant[0]), (by_old, meant[1])):
        age = dosing.now - datetime.fromisoformat(f"{dosing.now:%Y-%m}-{at[:2]}T{at[3:]}+00:00")
        assert ("glucose-old" in found.rules) == (age.total_seconds() > 15 * 60)


def test_the_example_with_how_long_ago_needs_no_clock(dosing):
    on_clock_of(dosing, "2026-04-02T10:40+00:00")
    set_to(dosing, "2026-04-02T14:00+03:00")
    asked = dosing.say("took 6 units at 10:45")
    assert "took 6 units 15 minutes ago" in asked.text
    dosing.all("took 6 units 15 minutes ago")
    (dose,) = dosing.events("dose-taken")
    assert utc(dose.taken_at) == "02 10:45"
    assert dosing.say("1 serving of oat cereal, glucose 162").data["dose"] is not None


@pytest.mark.parametrize("when", ["", " 2 hours ago", " just now"])
def test_no_clock_no_question(dosing, when):
    on_clock_of(dosing, "2026-04-02T10:40+00:00")
    set_to(dosing, "2026-04-02T14:00+03:00")
    dosing.all(f"took 6 units{when}")


@pytest.mark.parametrize("text", ["took 6 units at 13:30", "glucose 162 at 13:30"])
def test_a_time_to_come_by_the_earlier_clock_is_the_clocks_of_now(dosing, text):
    """13:30 by the clock at +00:00 would be 16:30 here: it cannot be meant of what happened."""
    on_clock_of(dosing, "2026-04-02T10:40+00:00")
    set_to(dosing, "2026-04-02T14:00+03:00")
    dosing.all(text)


def test_a_time_to_come_here_may_be_yesterdays_or_the_earlier_clocks(dosing):
    on_clock_of(dosing, "2026-04-02T12:00+03:00")
    set_to(dosing, "2026-04-02T11:00+00:00")
    assert len(dosing.say("took 6 units at 13:30").choices) == 2
    dosing.all("yesterday")
    (dose,) = dosing.events("dose-taken")
    assert utc(dose.taken_at) == "01 13:30"


def test_a_clock_that_changed_days_ago_is_not_asked_about(dosing):
    on_clock_of(dosing, "2026-04-02T10:40+00:00")
    for day in (3, 4):
        set_to(dosing, f"2026-04-0{day}T14:00+03:00")
        dosing.all("help")
    set_to(dosing, "2026-04-05T12:00+03:00")
    dosing.all("took 6 units at 10:45")


def test_a_clock_that_changed_in_days_without_a_word_is_asked_about(dosing):
    """Nobody knows when it changed: before the time that is meant, or after."""
    on_clock_of(dosing, "2026-04-02T10:40+03:00")
    set_to(dosing, "2026-04-05T12:00+00:00")
    dosing.all("help")
    assert dosing.say("took 6 units at 10:45").status == "asked"


def test_a_meals_time_is_asked_about(dosing):
    on_clock_of(dosing, "2026-04-02T10:40+00:00")
    set_to(dosing, "2026-04-02T13:55+03:00")
    asked = dosing.say("1 serving of oat cereal at 10:50, glucose 162")
    assert asked.status == "asked"
    assert asked.data["dose"] is None
    assert "meal-not-now" in dosing.say("1").rules  # 10:50 here is three hours ago
    dosing.say("1 serving of oat cereal at 10:50, glucose 162")
    assert dosing.say("2").data["dose"] is not None  # 10:50 there is 13:50 here


def test_on_one_clock_nothing_is_asked(dosing):
    dosing.all("took 4 units at 06:30", "glucose 162 at 07:00", "took 1 unit yesterday at 23:00")

"""What the report says of times, of meals that were refused, and of days to come."""

import re

import pytest
from life import CEREAL, NUMBERS, Life


@pytest.fixture
def autumn(tmp_path):
    """The clock goes back on 1 November: two entries that look alike an hour apart."""
    life = Life(tmp_path / "home", "2026-10-20T08:00-04:00", CEREAL, *NUMBERS)
    life.say("glucose 112", "2026-10-31T08:00-04:00")
    life.say("glucose 113", "2026-11-01T01:30-04:00")
    life.say("glucose 114", "2026-11-01T01:10-05:00")
    life.say("glucose 115", "2026-11-02T08:00-05:00")
    return life


@pytest.mark.parametrize("shape", ["markdown", "html"])
def test_times_have_their_offset_where_the_clock_changed(autumn, shape) -> None:
    text = autumn.report("2026-10-31", "2026-11-02", shape).replace("\\", "")
    first = text.index("1 November 2026, 01:30 (UTC-04:00)")
    assert first < text.index("1 November 2026, 01:10 (UTC-05:00)")
    assert "told by the clock on which it was said" in text


def test_times_of_one_clock_have_none(autumn) -> None:
    text = autumn.report("2026-11-02", "2026-11-02", "markdown")
    assert "2 November 2026, 08:00" in text
    assert "UTC" not in text.replace("\\", "").split("## All entries")[1]


# A refused meal may have been eaten


def meal_and_readings(tmp_path, *refused: str):
    life = Life(tmp_path / "home", "2026-10-20T08:00+00:00", CEREAL, *NUMBERS)
    life.say("1 serving of oat cereal, glucose 110", "2026-11-01T08:00+00:00")
    life.say("took it")
    for at in refused:  # 105 g, over the cap of 8 units
        assert life.say("5 servings of oat cereal, glucose 180",
                        f"2026-11-01T{at}+00:00").status == "refused"  # fmt: skip
    life.say("glucose 150", "2026-11-01T10:00+00:00")
    return life.visit("2026-11-01", "2026-11-01").figures.after


def test_a_refused_meal_two_hours_later_leaves_the_meal_out(tmp_path) -> None:
    after = meal_and_readings(tmp_path, "09:30")
    assert (len(after.paired.close), len(after.paired.measured)) == (1, 0)


def test_a_refused_meal_just_before_or_none_leaves_it_in(tmp_path) -> None:
    assert len(meal_and_readings(tmp_path / "a").paired.measured) == 1
    assert len(meal_and_readings(tmp_path / "b", "08:20").paired.measured) == 1


# In short, and the tables


def test_settings_of_the_past_tell_no_time_of_now(tmp_path) -> None:
    ratio = "my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00"
    numbers = (NUMBERS[0], ratio, *NUMBERS[2:])
    life = Life(tmp_path / "home", "2026-10-20T08:00-05:00", CEREAL, *numbers)
    life.say("1 serving of oat cereal, glucose 110", "2026-11-01T08:00-08:00")
    life.say("2", "2026-11-01T08:01-08:00")
    life.say("today", "2026-11-05T15:20-08:00")
    text = life.report("2026-11-01", "2026-11-01", "markdown")
    settings = text.split("## Settings in force")[1].split("\n## ")[0]
    assert "Times of day go by the clock" in settings
    assert not re.search(r"is now|15:20|13:20|18:20", settings)


def test_rules_are_said_to_overlap(tmp_path) -> None:
    life = Life(tmp_path / "home", "2026-10-20T08:00+00:00", CEREAL, *NUMBERS)
    life.say("1 serving of oat cereal, glucose 58", "2026-11-01T08:00+00:00")
    text = life.report("2026-11-01", "2026-11-01", "markdown")
    assert "several rules" in text

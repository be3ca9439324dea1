"""Days and weeks in the talk: the same days, meals and doses as in the report, and nothing unsaid.

Figures are worked out by hand beside each test.
"""

from datetime import datetime, timedelta, timezone

import pytest
from talk import DAY, at

from assistant.diary.entries import Days
from assistant.shell.report import visit_of


def figures(talk, first, last):
    """What the report has of these days (of March 2026)."""
    days = Days((DAY + timedelta(days=first)).date(), (DAY + timedelta(days=last)).date())
    with talk.store.reading() as (record, foods):
        return visit_of(record, foods, days, talk.now).figures


def by_day(found) -> dict[str, tuple[int, float]]:
    """Day -> meals and grams, of a week in the talk."""
    return {d["day"]: (d["meals"], d["counted_carbs_g"]) for d in found.data["facts"]["days"]}


# Whose day it is


def test_a_meal_of_before_midnight_is_of_that_day_everywhere(counting) -> None:
    counting.say("200 ml milk at 23:40", "00:10", day=1)
    assert counting.say("today").codes == ["today-nothing"]
    found = counting.say("yesterday")
    assert found.data["facts"]["yesterday"]["meals"] == 1
    assert "At 23:40: 9.6 grams" in found.text
    assert by_day(counting.say("last 7 days"))["2026-03-02"] == (1, 9.6)
    assert figures(counting, 0, 0).counted == figures(counting, 0, 1).counted
    counting.say("my goal is 100 g a day")
    assert counting.say("what is left").data["facts"]["left_g"] == 100


def test_an_entry_keeps_the_clock_on_which_it_was_said(counting) -> None:
    """Breakfast at 08:00, looked at from nine hours further west: still at 08:00."""
    counting.say("200 ml milk", "08:00")
    counting.now = datetime(2026, 3, 2, 9, tzinfo=timezone(timedelta(hours=-8)))
    found = counting.say("today")
    assert "At 08:00: 9.6 grams" in found.text
    assert "days-clocks" in found.codes
    assert "days-clocks" not in counting.try_out("yesterday").codes


def test_entries_of_one_clock_say_nothing_of_clocks(counting) -> None:
    counting.say("200 ml milk", "08:00")
    assert "days-clocks" not in counting.say("today").codes


# Which meal it is


def test_meals_go_by_name_or_clock_in_order_of_the_day_as_in_the_report(counting) -> None:
    counting.say("100 ml milk", "08:00")  # 4.8 g, breakfast by the clock
    counting.say("for breakfast 200 ml milk", "11:30")  # 9.6 g, by its name
    counting.say("300 ml milk", "12:00")  # 14.4 g, lunch
    counting.say("for dinner 100 ml milk", "15:00")  # 4.8 g
    found = counting.say("last 7 days")
    told = [t for t in found.text.splitlines() if t.strip().startswith("For ") and "meal" in t]
    assert [t.split(":")[0].strip() for t in told] == ["For breakfast", "For lunch", "For dinner"]
    assert "For breakfast: 2 meals, 14.4 grams in all, 7.2 grams on average." in found.text
    assert "span-by-clock" in found.codes
    report = [(m.name, m.meals) for m in figures(counting, 0, 0).by_meal]
    assert report == [("breakfast", 2), ("lunch", 1), ("dinner", 1)]


def test_doses_go_to_the_meal_beside_which_they_were_taken(dosing) -> None:
    dosing.say("2 slices of rye bread, glucose 110", "08:00")  # 33.6 g, 3.36 units: 3
    dosing.say("took 3 units", "08:30")  # half an hour is beside it still
    dosing.say("2 slices of rye bread, glucose 110", "13:00")
    dosing.say("took it", "13:20")
    dosing.say("took 1 unit", "16:01")
    found = dosing.say("last 7 days")
    assert "For breakfast: 1 meal, 33.6 grams in all, 33.6 grams on average. " \
           "Insulin within half an hour of them: 3 units." in found.text  # fmt: skip
    told = figures(dosing, 0, 0)
    assert [(m.name, m.doses, m.units) for m in told.by_meal] == [
        ("breakfast", 1, 3), ("lunch", 1, 3)]  # fmt: skip
    assert [d.units for d in told.apart] == [1]
    assert "Insulin beside none of these meals: 1 dose, 1 unit." in found.text


# What is in a day


def test_imported_readings_and_felt_lows_are_entries_of_a_day(dosing) -> None:
    from test_readings_import import bring, line

    dosing.say("I feel low", "06:00")
    bring(dosing, line(dosing, "07:00", "120"), line(dosing, "07:10", "HI"), clock="08:00")
    found = dosing.say("today")
    assert {"today-low-felt", "today-glucose", "today-high"} <= set(found.codes)
    assert "span-empty" not in [
        line.code for line in dosing.say("this week").reply.lines
        if "2 March" in str(line.args)
    ]  # fmt: skip
    assert "today-low-felt" in dosing.say("yesterday", "08:00", day=1).codes


REFUSED = "2 slices of rye bread, glucose 58"


@pytest.mark.parametrize(
    "text", ["today", "last 7 days", "what is left", "what can I have", "this week"]
)
def test_a_refused_meal_is_told_wherever_a_day_or_goal_is(dosing, text) -> None:
    dosing.say("my goal is 100 g a day", "08:00")
    assert "missing-refused" not in dosing.say(text).codes
    assert dosing.say(REFUSED).status == "refused"
    assert "missing-refused" in dosing.say(text).codes


def test_yesterday_tells_of_a_refused_meal_and_the_next_day_does_not(dosing) -> None:
    dosing.say(REFUSED, "08:00")
    assert "missing-refused" in dosing.say("yesterday", "08:00", day=1).codes
    assert "missing-refused" not in dosing.say("today").codes


def test_estimates_are_called_so_in_sums(counting) -> None:
    counting.say("estimate 2 slices of toast like rye bread", "08:00")
    for text in ("today", "last 7 days"):
        found = counting.say(text)
        assert "sum-has-estimates" in found.codes
        assert "toast" in found.text
    assert "sum-has-estimates" in counting.say("yesterday", "08:00", day=1).codes
    assert "sum-has-estimates" not in counting.say("today").codes


def test_a_sum_over_two_ways_of_counting_says_so(counting) -> None:
    counting.say("1 serving of oat cereal", "08:00")
    assert "ways-differ" not in counting.say("this week").codes
    counting.say("count total carbohydrate", "07:00", day=1)
    counting.say("1 serving of oat cereal", "08:00", day=1)
    assert "ways-differ" in counting.say("this week").codes
    assert "ways-differ" not in counting.say("today").codes


def test_carbohydrate_against_its_daily_value_is_total_whatever_is_counted(counting) -> None:
    """FDA: 275 g of total carbohydrate a day, fibre inside. 27 g is 9.8 per cent; net is 21 g."""
    counting.say("1 serving of oat cereal", "08:00")
    found = counting.say("today")
    assert "1 meal, 21 grams counted" in found.text
    assert "total carbohydrate: 27 grams, about 10 percent of the US daily value of 275 grams" in (
        found.text)  # fmt: skip


# A goal


def test_a_figure_for_a_goal_is_asked_for_and_can_be_typed(counting) -> None:
    asked = counting.say("my goal is 1200 g a day")
    assert asked.status == "asked"
    assert counting.events("goal-said") == []
    assert "goal-set" in counting.say("1200").codes  # the same again: it is meant
    counting.say("my goal is 1200 g a day")
    assert counting.say("1300").status == "asked"  # another one is looked at anew
    assert "goal-set" in counting.say("130 g").codes
    assert counting.events("goal-said")[-1].grams == 130
    assert counting.say("my goal is 0 g a day").status == "asked"
    assert "goal-set" in counting.say("150").codes


def test_a_goal_is_none_of_days_before_it_was_said(counting) -> None:
    counting.say("200 ml milk", "08:00")  # 9.6 g on the first day
    counting.say("my goal is 5 g a day", "08:00", day=1)
    assert not {"goal-left-then", "goal-passed-then"} & set(counting.say("yesterday").codes)
    counting.say("200 ml milk")
    counting.say("my goal is 100 g a day", "07:00", day=2)
    found = counting.say("yesterday")
    assert "goal-passed-then" in found.codes
    assert "5 grams" in found.text
    counting.say("200 ml milk")
    kept = [line for line in counting.say("last 7 days").reply.lines if line.code == "goal-days"]
    assert [(x.args["goal"].value, x.args["within"].value, x.args["days"].value) for x in kept] == [
        (5, 0, 1), (100, 1, 1)]  # fmt: skip


# Words for days


@pytest.mark.more
@pytest.mark.parametrize(
    ("text", "days"),
    [("week", 3), ("how was my week", 3), ("what did I eat this week", 3), ("last 14 days", 14),
     ("the last two weeks", 14), ("how was last week", 7), ("last month", 28), ("month", 4),
     ("what did I eat last week", 7), ("how many carbs this week", 3)],
)  # fmt: skip
def test_words_for_days(counting, text, days) -> None:
    """Wednesday 4 March 2026."""
    for day in range(-40, 3, 3):
        counting.say("100 ml milk", "08:00", day=day)
    counting.now = at("09:00", day=2)
    counting.say("200 ml milk")
    assert len(counting.say(text).data["facts"]["days"]) == days


def test_how_many_carbs_today(counting) -> None:
    counting.say("200 ml milk", "08:00")
    for text in ("how many carbs today", "how many carbs did I eat today", "how was today"):
        assert counting.say(text).data["facts"]["today"]["counted_carbs_g"] == 9.6
    assert "yesterday" in counting.say("how was yesterday", "08:00", day=1).data["facts"]


def test_too_many_days_are_asked_about_with_what_works(counting) -> None:
    found = counting.say("last 4000 days")
    assert found.status == "asked"
    (hint,) = [line for line in found.reply.lines if line.role == "next"]
    counting.say("200 ml milk")
    sentence = hint.args["sentences"].items[0].text
    assert len(counting.say(sentence).data["facts"]["days"]) == 14


def test_a_report_for_one_day(counting) -> None:
    counting.say("200 ml milk", "08:00")
    for text in ("report for 2026-03-02", "report of 2 March 2026", "report on 2026-03-02"):
        told = counting.say(text).data["facts"]["report"]
        assert (told["first"], told["last"]) == ("2026-03-02", "2026-03-02")


# A few words over midnight


def test_a_change_after_midnight_says_why_it_is_none_and_what_to_do(counting) -> None:
    counting.say("200 ml milk", "23:50")
    found = counting.say("make that 100 ml", "00:10", day=1)
    assert "meal-before-midnight" in found.codes
    counting.all("undo", "100 ml milk at 23:50")
    assert counting.say("yesterday").data["facts"]["yesterday"]["counted_carbs_g"] == 4.8

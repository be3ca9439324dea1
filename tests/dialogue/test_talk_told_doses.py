"""A dose that was told is in the body: it blocks the next one until it is settled or cancelled."""

import re
from datetime import timedelta
from fractions import Fraction

import pytest
from talk import at

MEAL = "1 serving of oat cereal, glucose 200"
"""21 g at 10 g a unit, and (200 - 110)/45 = 2: 4.1 units before active insulin."""


def taken(talk):
    return [(float(d.units), f"{d.taken_at:%H:%M}") for d in talk.events("dose-taken")]


def blocked(talk):
    found = talk.say(MEAL)
    refused = "unsettled-dose" in found.rules
    assert not refused or found.data["dose"] is None
    return refused


def free(talk):
    return talk.say(MEAL).data["dose"] is not None


UNREAD = (
    *("took 4 units before lunch", "I took 4 units with breakfast", "took 4 to 5 units"),
    *("took a unit", "took 2 units extra", "took 4 units twice", "took 5 units 0 minutes ago"),
    *("took 5 units 10,5 minutes ago", "took 4 units at 25:00", "took about 4 units"),
    *("took 4 units and 2 units", "injected 4 units and 1 apple", "took 4 before lunch"),
    "took 4 units at 05:00 and 2 units at 06:00",
)  # fmt: skip
EVERYDAY = (
    *("bolused 4 units", "insulin 4 units", "jabbed 4 units", "earlier I took 4 units"),
    *("I forgot: took 4 units at 06:00", "had 4 units", "4 units", "4u", "4 units of insulin"),
    *("I've just had my insulin, 4 units", "1 medium apple, glucose 120, took 4 units"),
    *("I had 4 units with breakfast", "yesterday I bolused 4 units", "bolused 4"),
    "1 serving of oat cereal, 4 units",
)  # fmt: skip


@pytest.mark.parametrize("text", [*UNREAD, *EVERYDAY])
def test_a_dose_in_other_words_is_asked_about_and_blocks(dosing, text):
    asked = dosing.say(text, "07:30")
    assert asked.status == "asked"
    assert dosing.events("dose-taken") == []  # nothing is guessed
    assert blocked(dosing)
    assert "rule-unsettled-dose" in dosing.say("what is active now").codes
    dosing.all("cancel")
    assert free(dosing)


@pytest.mark.more
@pytest.mark.parametrize("text", [*UNREAD, *EVERYDAY])
def test_what_the_question_names_settles_the_dose(dosing, text):
    """The first answer that the reply names, and then each that follows, until it is logged."""
    found = dosing.say(text, "07:30")
    for _ in range(4):
        if dosing.events("dose-taken"):
            break
        if "dose-told-number" in found.codes:
            found = dosing.say("4")
        elif "dose-told-sure" in found.codes:
            found = dosing.say("yes")
        elif "dose-told-whole" in found.codes:
            named = re.search(r"such as (took .+?)\. Type", found.text)[1]
            named = named.replace("blank minutes", "30 minutes").replace("at blank", "at 06:00")
            found = dosing.say(named.replace("blank units", "4 units"))
        else:
            assert {"dose-told-when", "dose-told-bare"} & set(found.codes), found.text
            found = dosing.say("30 minutes ago")
    if found.status == "asked":  # typed beside the first sentence: the same, or another?
        found = dosing.say("yes")
    assert found.status == "answered"
    assert len(dosing.events("dose-taken")) == 1
    assert dosing.say(MEAL).rules == []


@pytest.mark.parametrize(
    "text",
    ["should I take 4 units", "how many units for 1 apple?", "I did not take 4 units",
     "I never took 4 units", "took 2 slices of rye bread", "took 10 g of glucose tablets",
     "took a walk", "suggest 4 units", "4 units of bread", "I will take 4 units"],
)  # fmt: skip
def test_what_tells_no_dose_taken_does_not_block(dosing, text):
    dosing.say(text)
    dosing.say("cancel")
    dosing.say(text)
    assert "unsettled-dose" not in dosing.say(MEAL).rules


@pytest.mark.parametrize(
    ("words", "minutes"),
    [("2 hours 30 minutes ago", 150), ("2 hours and 30 minutes ago", 150),
     ("an hour and a half ago", 90), ("half an hour ago", 30), ("1.5 hours ago", 90)],
)  # fmt: skip
def test_spans_in_words_are_exact(dosing, words, minutes):
    dosing.all(f"took 4 units {words}")
    (dose,) = dosing.events("dose-taken")
    assert dosing.now - dose.taken_at == timedelta(minutes=minutes)


@pytest.mark.parametrize("text", ["took 4,5 units", "took 4 units at 7:30", "bolused 4 units"])
def test_midnight_does_not_lose_it(dosing, text):
    assert dosing.say(text, "23:55").status == "asked"
    dosing.say("help", "00:05", 1)
    assert blocked(dosing)
    dosing.now += timedelta(hours=20)
    assert blocked(dosing)
    dosing.all("cancel")
    assert free(dosing)


def test_an_answer_after_midnight_settles_it(dosing):
    dosing.say("took 4,5 units at 23:50", "23:55")
    dosing.say("4.5", "00:05", 1)
    if not dosing.events("dose-taken"):
        dosing.say("yesterday")
    assert [float(d.units) for d in dosing.events("dose-taken")] == [4.5]
    assert free(dosing)


def test_another_dose_does_not_drop_it(dosing):
    dosing.say("took 6,5 units at 07:00", "08:00")
    asked = dosing.say("took 1 unit at 07:10")
    assert asked.status == "asked"
    assert taken(dosing) == [(1, "07:10")]  # it is in the body, whatever is asked
    assert blocked(dosing)
    again = dosing.say("no")
    assert "6,5" in again.text or "6 comma 5" in again.text
    assert blocked(dosing)
    dosing.all("6.5")
    assert taken(dosing) == [(1, "07:10"), (6.5, "07:00")]
    # at 08:00: 1 x 190/240 and 6.5 x 180/240
    found = dosing.say(MEAL)
    assert found.data["dose"]["active_units"] == pytest.approx(
        float(Fraction(190, 240) + Fraction(13, 2) * Fraction(3, 4)), abs=1e-6
    )


def test_the_same_dose_typed_otherwise_is_counted_once(dosing):
    dosing.say("took 4 units before breakfast", "08:00")
    dosing.say("took 4.5 units at 07:10")
    dosing.all("yes")
    assert taken(dosing) == [(4.5, "07:10")]
    assert free(dosing)


@pytest.mark.parametrize(
    ("told", "typed", "kept"),
    [
        ("took 6,5 units at 07:00", "took 6.5 units at 07:00", (6.5, "07:00")),
        ("took 6,5 units", "I took 6.5 units", (6.5, "08:00")),
        ("took 4 units before breakfast", "took 4 units at 07:10", (4, "07:10")),
        ("bolused 4 units", "took 4 units 30 minutes ago", (4, "07:30")),
    ],
)
def test_the_dose_typed_in_full_is_the_answer(dosing, told, typed, kept):
    assert dosing.say(told, "08:00").status == "asked"
    dosing.all(typed)
    assert taken(dosing) == [kept]
    assert free(dosing)


@pytest.mark.parametrize("typed", ["took 1 unit", "took 6 units", "took 6.5 units at 07:20"])
def test_another_figure_or_time_is_never_taken_for_the_answer(dosing, typed):
    dosing.say("took 6,5 units", "08:00")
    assert "ask-same-dose" in dosing.say(typed).codes
    assert blocked(dosing)


def test_two_doses_that_are_not_clear_are_both_asked(dosing):
    dosing.say("took 6,5 units at 07:00", "08:00")
    dosing.say("took 3,5 units at 07:30")
    dosing.all("3.5")
    assert blocked(dosing)
    dosing.all("6.5")
    assert taken(dosing) == [(3.5, "07:30"), (6.5, "07:00")]
    assert free(dosing)


@pytest.mark.parametrize("between", ["glucose 160", "not taken", "help", "show my numbers", "undo"])
def test_nothing_else_drops_it(dosing, between):
    dosing.say("jabbed 4 units", "08:00")
    dosing.say(between)
    assert blocked(dosing)
    dosing.all("just now")
    assert taken(dosing) == [(4, "08:00")]


# The clock is behind the journal


@pytest.mark.parametrize(
    "text", ["took 4 units", "took 4 units at 08:30", "took 4 units 10 minutes ago", "took it",
             "took 4 units yesterday at 22:00", "bolused 4 units"],
)  # fmt: skip
def test_a_dose_on_a_clock_that_is_behind_waits_for_the_clock(dosing, text):
    """At 12:00 a meal; then the clock says 09:00: when the dose was is not known."""
    dosing.say(MEAL, "12:00")
    if text != "took it":
        dosing.all("not taken")
    dosing.now = at("09:00")
    found = dosing.say(text)
    if "dose-told-bare" in found.codes:
        found = dosing.say("just now")
    assert "took-clock-back" in found.codes
    assert "12:00" in found.text
    assert dosing.events("dose-taken") == []
    dosing.now = at("12:10")
    assert blocked(dosing)


def test_after_the_clock_is_set_the_named_sentence_settles_the_dose(dosing):
    dosing.all("glucose 120", "help")
    dosing.now = at("12:00")
    dosing.all("help")
    dosing.now = at("09:00")
    named = re.search(r"such as (took [\w ]+)\.", dosing.say("took 4 units").text)[1]
    named = named.replace("blank", "10")
    assert dosing.say(named).status == "asked"  # the clock is as it was
    dosing.now = at("12:10")
    dosing.all(named)
    assert taken(dosing) == [(4, "12:00")]
    # 10 of 240 minutes are gone
    assert dosing.say("what is active now").data["facts"]["active_units"] == pytest.approx(
        4 * 230 / 240
    )


@pytest.mark.parametrize("answer", ["1", "the clock is right"])
def test_a_clock_that_is_right_logs_it_at_its_time(dosing, answer):
    dosing.now = at("12:00")
    dosing.all("help")
    dosing.now = at("09:00")
    dosing.say("took 4 units")
    dosing.all(answer)
    assert taken(dosing) == [(4, "09:00")]
    assert not blocked(dosing)


def test_a_clock_that_was_put_right_by_two_minutes_is_not_behind(dosing):
    dosing.now = at("12:00")
    dosing.all("help")
    dosing.now = at("11:58")
    dosing.all("took 4 units")


@pytest.mark.parametrize("text", ["glucose 60", "glucose 60 at 08:30", f"{MEAL[:-3]}60"])
def test_a_low_on_a_clock_that_is_behind_is_not_left_behind(dosing, text):
    dosing.now = at("12:00")
    dosing.all("glucose 160")
    dosing.now = at("09:00")
    dosing.say(text)
    dosing.now = at("12:10")
    assert "glucose-was-low" in dosing.say("1 serving of oat cereal, no reading").rules

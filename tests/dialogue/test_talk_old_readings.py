"""A reading is of the moment at which it was taken: an older one lifts no low, and a sentence that
waited for an answer keeps the times at which it was said.

From the rule (no source): a low stands until a reading of after it says otherwise; "now", "10
minutes ago", "in 10 minutes" and no time at all are of the moment at which they were said.
"""

import pytest

from assistant.dialogue.events import QuestionClosed
from assistant.dialogue.turn import turn
from assistant.shell.session import OwnQuestions
from assistant.store.codec import event_of

LIMIT = "a reading counts for 15 minutes"
MEAL = "1 serving of oat cereal"
OPEN = "oat cereal, glucose 162"  # the amount is asked


@pytest.fixture
def aged(dosing):
    dosing.all(LIMIT, "reductions up to 50%")
    return dosing


def taken_at(talk):
    return [f"{read.taken_at:%H:%M}" for read in talk.events("glucose-read")]


# A reading older than a low


@pytest.mark.parametrize(
    ("low", "rule"),
    [
        ("glucose 60", "glucose-was-low"),
        ("glucose 3.3 mmol/L", "glucose-was-low"),
        ("I feel low", "low-was-felt"),
        ("my sugar is low", "low-was-felt"),
        (f"{MEAL}, glucose 60", "glucose-was-low"),
        (f"{MEAL}, glucose 60 1 minute ago", "glucose-was-low"),
    ],
)
@pytest.mark.parametrize("when", ["at 11:50", "10 minutes ago", "at 11:59"])
def test_a_reading_of_before_a_low_does_not_lift_it(aged, low, rule, when):
    aged.say(low, "12:00")
    found = aged.say(f"2 servings of oat cereal, glucose 162 {when}", "12:00")
    assert rule in found.rules
    assert found.status == "refused"
    assert found.data["dose"] is None
    assert "treat-low-1" in found.codes


@pytest.mark.parametrize("low", ["glucose 60 at 11:50", "glucose 60 10 minutes ago"])
def test_two_readings_of_one_minute_of_which_one_is_low_are_a_low(aged, low):
    aged.say(low, "12:00")
    assert "glucose-was-low" in aged.say(f"{MEAL}, glucose 162 at 11:50", "12:01").rules


@pytest.mark.parametrize("low", ["glucose 60", "I feel low"])
def test_a_reading_of_after_the_low_lifts_it(aged, low):
    aged.say(low, "12:00")
    assert aged.say(f"{MEAL}, glucose 162 at 12:14", "12:15").data["dose"] is not None


@pytest.mark.parametrize(
    ("low", "rule"), [("glucose 60", "glucose-was-low"), ("I feel low", "low-was-felt")]
)
def test_a_low_told_in_another_chat_stands_above_a_meal_that_waits(aged, low, rule):
    """The other chat does not see this one's question, so it does not drop it."""
    aged.say(OPEN, "12:00")
    aged.now = aged.now.replace(minute=2)
    with aged.store.turn() as tx:
        outcome = turn(OwnQuestions(tx.record, 0), tx.foods, low, aged.now)
        tx.keep(aged.now, low, outcome.reply.status, "{}", outcome.events)
    assert rule in aged.say("1 serving", "12:03").rules


# A reading older than another one


def test_a_newer_reading_is_asked_about_and_the_older_one_gives_no_dose(aged):
    aged.say("glucose 75", "12:00")
    asked = aged.say(f"{MEAL}, glucose 216 5 minutes ago", "12:00")
    assert asked.status == "asked"
    assert "75 milligrams" in asked.text
    found = aged.say("newer", "12:02")
    # 21 g at 10 g per unit, and (75 - 110) / 45 of correction, rounded down to halves
    assert found.data["dose"]["suggested_units"] == 1
    assert len(aged.events("glucose-read")) == 1  # the same reading is not kept twice


@pytest.mark.parametrize("figure", ["155", "glucose 155", "155 mg/dL"])
def test_a_figure_measured_now_answers_it(aged, figure):
    aged.say("glucose 75", "12:00")
    aged.say(f"{MEAL}, glucose 216 at 11:55", "12:00")
    found = aged.say(figure, "12:01")
    assert found.data["dose"]["suggested_units"] == 3  # 2.1 and (155 - 110) / 45
    assert taken_at(aged) == ["12:00", "12:01"]


def test_it_can_be_dropped(aged):
    aged.say("glucose 75", "12:00")
    aged.say(f"{MEAL}, glucose 216 at 11:55", "12:00")
    assert aged.say("no").status == "answered"
    assert aged.events("meal-counted") == []


@pytest.mark.parametrize("when", ["at 12:00", "2 minutes ago", "at 12:01"])
def test_the_reading_of_the_journal_said_again_is_no_older_one(aged, when):
    aged.say("glucose 162", "12:00")
    assert aged.say(f"{MEAL}, glucose 162 {when}", "12:02").data["dose"] is not None


# A sentence that waited


@pytest.mark.parametrize(
    ("said", "answer"),
    [
        (OPEN, "1 serving"),
        ("1 serving of oat cereal, glucose 162, I'm going for a run", "no reduction"),
        ("1,0 servings of oat cereal, glucose 162", "yes"),
        ("1 serving of oat ceral, glucose 162", "1"),
        ("1 serving of oat cereal, glucose 162 now, I'm going for a run", "no reduction"),
        ("1 serving of oat cereal, glucose 162 just now, I'm going for a run", "no reduction"),
    ],
)
def test_the_reading_of_a_waiting_sentence_grows_old(aged, said, answer):
    assert aged.say(said, "12:00").status == "asked"
    found = aged.say(answer, "12:28")
    assert "glucose-old" in found.rules
    assert "28 minutes old" in found.text
    assert found.data["dose"] is None


def test_within_the_limit_the_age_is_told_and_the_time_is_kept(aged):
    aged.say(OPEN, "12:00")
    found = aged.say("1 serving", "12:10")
    assert found.data["dose"] is not None
    assert "10 minutes old" in found.text
    assert taken_at(aged) == ["12:00"]


def test_minutes_ago_are_seen_from_when_they_were_said(aged):
    aged.say(f"{MEAL}, glucose 162 10 minutes ago, I'm going for a run", "12:00")
    assert "15 minutes old" in aged.say("no reduction", "12:05").text
    aged.all("not taken")
    aged.say(f"{MEAL}, glucose 162 10 minutes ago, I'm going for a run", "13:00")
    found = aged.say("no reduction", "13:06")
    assert "glucose-old" in found.rules
    assert "16 minutes old" in found.text


def test_two_questions_do_not_make_a_reading_young_again(aged):
    aged.say("oat cereal, glucose 162, I'm going for a run", "12:00")
    assert aged.say("1 serving", "12:08").status == "asked"
    assert "16 minutes old" in aged.say("no reduction", "12:16").text


def test_nor_does_a_change_of_the_waiting_sentence(aged):
    aged.say("2-3 slices of rye bread and 1 serving of oat cereal, glucose 162", "12:00")
    assert aged.say("no oat cereal after all", "12:04").status == "asked"
    assert aged.say("2", "12:15").data["dose"] is not None
    aged.all("not taken")
    aged.say("2-3 slices of rye bread and 1 serving of oat cereal, glucose 162", "13:00")
    aged.say("no oat cereal after all", "13:04")
    assert "glucose-old" in aged.say("2", "13:16").rules


def test_nor_does_a_setting_that_frees_the_sentence(aged):
    assert aged.say("1 mug of milk, glucose 162", "12:00").status == "asked"
    assert "glucose-old" in aged.say("my mug is 300 ml", "12:16").rules


def test_a_figure_that_answers_is_of_the_answer(aged):
    aged.say(f"{MEAL}, I'm going for a run", "12:00")
    assert aged.say("162", "12:10").status == "asked"
    found = aged.say("no reduction", "12:14")
    assert found.data["dose"] is not None
    assert "4 minutes old" in found.text
    assert taken_at(aged) == ["12:10"]


def test_without_a_limit_a_reading_waits_five_minutes_and_no_longer(dosing):
    """5 minutes: common practice, no source."""
    dosing.say(OPEN, "12:00")
    assert dosing.say("1 serving", "12:05").data["dose"] is not None
    dosing.all("not taken")
    dosing.say(OPEN, "13:00")
    found = dosing.say("1 serving", "13:06")
    assert "reading-age-missing" in found.rules
    assert "6 minutes old" in found.text
    assert dosing.say(f"{MEAL}, glucose 162 1 minute ago", "14:00").status == "refused"


@pytest.mark.parametrize("when", ["", ", at 12:00", ", now", ", in 5 minutes", ", 10 minutes ago"])
def test_the_meal_of_a_waiting_sentence_is_of_then(aged, when):
    """A dose is for a meal within 15 minutes of now (common practice, no source)."""
    aged.say(f"oat cereal, no reading{when}", "12:00")
    found = aged.say("1 serving", "12:25")
    assert "meal-not-now" in found.rules
    assert "type the whole meal again" in found.text
    assert aged.say(f"{MEAL}, no reading", "12:26").data["dose"] is not None


def test_a_meal_to_come_is_of_when_it_was_said(aged):
    aged.say("oat cereal, no reading, in 15 minutes", "12:00")
    assert aged.say("1 serving", "12:25").data["dose"] is not None


def test_a_time_still_to_come_does_not_become_right_by_waiting(aged):
    aged.say("oat cereal, glucose 162 at 12:10", "12:00")
    found = aged.say("1 serving", "12:12")
    assert found.status == "asked"
    assert found.data["dose"] is None


def test_a_dose_that_waited_is_of_when_it_was_told(dosing):
    dosing.say("took 4,5 units 10 minutes ago", "12:00")
    assert "11:50" in dosing.say("4.5", "12:20").text
    dosing.say("took 4,5 units", "13:00")
    assert "13:00" in dosing.say("4.5", "15:00").text


def test_an_old_suggestion_taken_then_or_just_now(dosing):
    """ "Then" is the suggestion's time, however long the question waited; "now" is the answer's."""
    dosing.say(f"{MEAL}, glucose 162", "08:00")
    dosing.say("took it", "09:00")
    assert "08:00" in dosing.say("then", "09:20").text
    dosing.say(f"{MEAL}, glucose 162", "14:00")
    dosing.say("took it", "15:00")
    assert "15:20" in dosing.say("now", "15:20").text


def test_a_reading_that_waited_is_of_when_it_was_told(dosing):
    dosing.say("glucose 31", "12:00")
    dosing.say("mmol/L", "12:20")
    assert taken_at(dosing) == ["12:00"]


# A figure that is not settled


@pytest.mark.parametrize("said", ["about 60", "around 60", "~60", "roughly 60", "under 70", "< 72",
                                  "just under 70", "is about 60", "nearly 60"])  # fmt: skip
def test_a_rough_low_is_a_low(dosing, said):
    found = dosing.say(f"{MEAL}, glucose {said}", "12:00")
    assert "treat-low-1" in found.codes
    assert dosing.events("glucose-read") == []  # no figure is made up
    assert "low-was-felt" in dosing.say(f"{MEAL}, no reading", "12:05").rules


@pytest.mark.parametrize("said", ["about 160", "over 90", "under 100"])
def test_a_rough_figure_that_is_no_low_is_asked(dosing, said):
    assert dosing.say(f"{MEAL}, glucose {said}", "12:00").status == "asked"
    assert dosing.say(f"{MEAL}, no reading", "12:05").status == "answered"


@pytest.mark.parametrize("first", [f"{MEAL}, glucose 31", "glucose 31"])
@pytest.mark.parametrize("between", [None, "cancel", "today"])
@pytest.mark.parametrize("then", ["no reading", "glucose 162 at 11:55"])
def test_a_figure_that_may_be_low_is_not_left_unsettled(aged, first, between, then):
    """31 is a low in mg/dL and very high in mmol/L."""
    assert aged.say(first, "12:00").status == "asked"
    if between:
        aged.say(between)
    found = aged.say(f"{MEAL}, {then}", "12:05")
    assert "glucose-doubted" in found.rules
    assert "treat-low-1" not in found.codes  # it may be very high as well
    aged.all("glucose 9 mmol/L")
    assert aged.say(f"{MEAL}, no reading", "12:06").data["dose"] is not None


def test_an_answer_settles_it(aged):
    aged.say(f"{MEAL}, glucose 21, I'm going for a run", "12:00")
    assert aged.say("mmol/L", "12:01").status == "asked"
    found = aged.say("50% less", "12:02")
    assert found.data["dose"] is not None
    aged.all("not taken")
    assert aged.say(f"{MEAL}, no reading", "12:40").data["dose"] is not None


@pytest.mark.parametrize("figure", ["3.2 mg/dL", "15 mg/dL", "0.5", "60 mmol/L"])
def test_a_figure_that_no_meter_shows_in_its_unit_may_be_a_low(dosing, figure):
    dosing.say(f"{MEAL}, glucose {figure}", "12:00")
    found = dosing.say(f"{MEAL}, no reading", "12:05")
    assert "low-was-felt" in found.rules
    assert dosing.say(f"{MEAL}, glucose 162", "12:06").status == "answered"


def test_events_of_before_these_times_were_kept_are_read():
    """Events are facts: older ones have no said_at, read_at or answered."""
    closed = event_of("question-closed", '{"closes":7,"kind":"question-closed"}')
    assert closed == QuestionClosed(7, answered=False)
    question = '{"kind":"amount","asked":{"role":"question","code":"ask-how-much"}}'
    data = '{"kind":"question-asked","text":"milk","question":' + question + "}"
    asked = event_of("question-asked", data)
    assert (asked.said_at, asked.read_at) == (None, None)

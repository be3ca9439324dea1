"""A reading that is carried into a changed meal, a low inside any sentence, a dose told elsewhere.

Rules of our own (common practice, no source): an old figure never stands for now where a newer
reading or a low was told; a low is kept whatever else its sentence needs; what is in the body is
settled before any chat works out a dose.
"""

from datetime import datetime, timedelta

import pytest

from assistant.shell.demo import DEMO_LINES
from assistant.shell.session import Session
from assistant.store.store import Store


class Kitchen:
    """Two chats on one folder, with one clock."""

    def __init__(self, folder) -> None:
        self.at = datetime.fromisoformat("2026-03-02T12:00:00+01:00")
        self.store = Store.open(folder, self.at)
        self.one = Session(self.store, lambda: self.at)
        self.other = Session(self.store, lambda: self.at)
        for line in DEMO_LINES:
            assert self.one.say(line).status == "answered"

    def say(self, *lines: str):
        """The reply to the last; "+4 x" moves the clock, "other: x" is said in the other chat."""
        reply = None
        for said in lines:
            minutes, line = said[1:].split(" ", 1) if said.startswith("+") else ("0", said)
            self.at += timedelta(minutes=int(minutes))
            who = self.other if line.startswith("other: ") else self.one
            reply = who.say(line.removeprefix("other: "))
        return reply


@pytest.fixture
def kitchen(tmp_path):
    made = Kitchen(tmp_path / "home")
    yield made
    made.store.close()


HIGH = "2 slices of rye bread, glucose 250"


@pytest.mark.parametrize(
    "lines",
    [
        (HIGH, "+1 glucose 62", "make that three slices", "not taken"),
        (HIGH, "+1 I feel low", "make that three slices", "not taken"),
        ("3 slices of rye bread and 200 g cooked rice, glucose 250", "+1 glucose 65",
         "+1 no cooked rice after all"),
        (HIGH, "+2 glucose 120", "make that three slices", "not taken"),
        ("1 medium apple, glucose 155", "make that 2 medium", "other: glucose 62", "1"),
        (HIGH, "+1 glucose 62",
         "change the last meal to: three slices 'rye bread', glucose 250"),
        (HIGH, "+4 no, 3 slices", "1", "+4 no, 2 slices", "1"),
        (HIGH, "not taken", "no, 3 slices, glucose 62", "make that 3 slices", "1"),
    ],
)  # fmt: skip
def test_an_old_figure_doses_no_changed_meal(kitchen, lines) -> None:
    assert kitchen.say(*lines).dose is None


def test_a_figure_of_now_is_carried_for_five_minutes(kitchen) -> None:
    """3 slices of 35 g with 42 g in 100 g are 44.1 g: 4.41 + 140/45 = 7.52, rounded down 7.5."""
    assert kitchen.say(HIGH, "+4 no, 3 slices", "1").dose.suggested == 7.5


def test_a_new_figure_with_the_change_is_of_now(kitchen) -> None:
    reply = kitchen.say(
        HIGH, "not taken", "+20 change the last meal to: 3 slices of rye bread, glucose 120"
    )
    assert reply.dose is not None
    assert reply.dose.correction * 45 == 10


LOWS = (
    "make that 3 slices, glucose 62", "I meant glucose 62", "I meant 3 slices, glucose 62",
    "1 bowl of it, glucose 62", "2 slices of rye bread, half of it, glucose 62",
    "2 slices of rye bread, glucose 62 plus how much milk makes 60 g",
    "recipe bk serves 4: 100 g apple, glucose 62", "glucose 3.2", "1 medium apple, glucose 3.2",
    "1 medium apple, glucose 3,2", "1 of something, bg 61", "blorp, blood sugar is 62",
)  # fmt: skip


@pytest.mark.parametrize("text", LOWS)
def test_a_low_in_any_sentence_is_told_and_kept(kitchen, text) -> None:
    first = kitchen.say(text)
    assert first.status == "refused"
    assert any(line.code == "treat-low-1" for line in first.lines)
    assert kitchen.say("1 slice of rye bread, no reading").dose is None


@pytest.mark.parametrize(
    "text",
    ["3 glucose tablets", "glucose 4 g", "new food glucose gel: EU label, per 100 g: "
     "carbohydrate 60 g, fibre 0 g", "what happened after glucose 62", "target 65 mg/dL",
     "glucose 25", "I meant glucose 162"],
)  # fmt: skip
def test_what_tells_no_low_is_not_taken_for_one(kitchen, text) -> None:
    reply = kitchen.say(text)
    assert not any(line.code == "treat-low-1" for line in reply.lines)


@pytest.mark.parametrize("between", [(), ("1 medium apple",), ("1 bowl of milk",)])
def test_a_dose_that_is_not_clear_stops_every_chat(kitchen, between) -> None:
    kitchen.say("help", "other: help", "other: took 4,5 units")
    reply = kitchen.say(*between, "1 medium apple, glucose 155")
    assert "unsettled-dose" in [hit.rule for hit in reply.rules]
    assert reply.dose is None
    settled = kitchen.say("other: 1")  # 4.5 units, the first reading of the comma
    assert settled.status == "answered"
    reply = kitchen.say("+1 1 medium apple, glucose 155")
    if between == ("1 bowl of milk",):  # it waits still, so the apple could be of the same meal
        reply = kitchen.say("2")
    assert reply.dose is not None
    assert reply.dose.active > 0


def test_an_answer_in_one_chat_closes_no_question_of_another(kitchen) -> None:
    kitchen.say("help", "other: help", "other: 1 bowl of milk", "1 bowl of cooked rice", "160 g")
    assert kitchen.say("other: 250 ml").lines[0].code == "read-as"

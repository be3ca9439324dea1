"""Sentences that save a talk: every word has a place, or the sentence is not understood."""

import pytest

from grammar.saving import Replacing, SaveMisread, SaveSentence, read_save


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("save this session as breakfast", SaveSentence("session", "breakfast")),
        ("please save the talk as Tuesday lunch.", SaveSentence("session", "Tuesday lunch")),
        ("save yesterday", SaveSentence("yesterday")),
        ("save today for sharing as lunch", SaveSentence("today", "lunch", sharing=True)),
        ("save today as lunch for sharing", SaveSentence("today", "lunch", sharing=True)),
        ("save from 08:00 to 12:00 as morning",
         SaveSentence("between", "morning", start="08:00", end="12:00")),
        ("save from 8.30 to 12.00 yesterday as morning",
         SaveSentence("between", "morning", day="yesterday", start="8:30", end="12:00")),
        ("save 2026-03-02 as x", SaveSentence("day", "x", day="2026-03-02")),
        ("save from 2026-03-02 to 2026-03-04 as x",
         SaveSentence("day", "x", day="2026-03-02", end_day="2026-03-04")),
        ("save from 2026-03-02 22:00 to 2026-03-03 06:00 as night",
         SaveSentence("between", "night", day="2026-03-02", end_day="2026-03-03", start="22:00",
                      end="06:00")),
        ("save the last 3 days as x", SaveSentence("last", "x", count=3, unit="day")),
        ("save last hour as x", SaveSentence("last", "x", count=1, unit="hour")),
        ("save the last 12 turns as x", SaveSentence("last", "x", count=12, unit="turn")),
        ("save today for sharing as x without Vela, Oak Street and Tin Kettle",
         SaveSentence("today", "x", sharing=True, without=(
             Replacing("Vela"), Replacing("Oak Street"), Replacing("Tin Kettle")))),
        ("save today for sharing as x without Vela, keeping Hillmoor and the rest",
         SaveSentence("today", "x", sharing=True, without=(Replacing("Vela"),),
                      keeping=("Hillmoor",), rest=True)),
        ("save today for sharing as x replacing Vela with Anna and Oak with Elm",
         SaveSentence("today", "x", sharing=True,
                      without=(Replacing("Vela", "Anna"), Replacing("Oak", "Elm")))),
    ],
)  # fmt: skip
def test_forms(text, expected) -> None:
    assert read_save(text) == expected


@pytest.mark.parametrize(
    "text",
    ["save this session quickly as x", "save yesterday's lunch as x", "save my day as x",
     "save this session as x, please and thank you", "save the last few turns as x",
     "save from breakfast to lunch as x", "save this", "save the oat cereal as porridge",
     "save today as x replacing Vela", "save tomorrow as x", "save from 8 to 12 as x"],
)  # fmt: skip
def test_what_is_not_understood_is_told(text) -> None:
    assert isinstance(read_save(text), SaveMisread)


@pytest.mark.parametrize("text", ["milk", "savoury crackers", "save milk", "keep no history",
                                  "2 slices of bread as lunch", "saved", ""])  # fmt: skip
def test_other_sentences_are_left_alone(text) -> None:
    assert read_save(text) is None

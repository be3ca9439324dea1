"""The JSON object: exactly the contract's keys, plain numbers, one valid line."""

import json
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace
from sample_replies import MEAL, QUESTION, REFUSED, TEXTS

from assistant.render.as_json import as_json, failed_json, number, one_line_json, plain_json
from assistant.render.spoken import spoken
from assistant.values import Ranged

KEYS = [
    "status",
    "text",
    "portions",
    "counted_carbs_g",
    "range_g",
    "dose",
    "rules",
    "question",
    "unread",
    "facts",
]


def test_as_json__meal() -> None:
    made = as_json(MEAL, TEXTS)
    assert list(made) == KEYS
    assert made["text"] == spoken(MEAL, TEXTS)
    assert made["portions"] == [
        {
            "said": "1.5 servings of the oat cereal",
            "food": "oat cereal",
            "quantity": 1.5,
            "unit": "serving",
            "grams": 60,
            "millilitres": None,
            "counted_carbs_g": 41.1,
            "range_g": [39.5, 42.7],
        }
    ]
    assert (made["counted_carbs_g"], made["range_g"]) == (41.1, [39.5, 42.7])
    assert made["dose"] == {
        "suggested_units": 5.0,
        "exact_units": 5.266667,
        "meal_units": 4.11,
        "correction_units": 1.155556,
        "active_units": 0.0,
        "settings": {"grams_per_unit": 10},
    }
    assert isinstance(made["dose"]["suggested_units"], float)
    assert (made["rules"], made["question"], made["unread"], made["facts"]) == ([], None, [], {})


def test_as_json__question_and_refusal() -> None:
    asked = as_json(QUESTION, TEXTS)
    assert asked["question"] == {
        "text": "Which milk is meant?",
        "choices": ["2 percent milk, 5 grams.", "yes, go on."],
    }
    refused = as_json(REFUSED, TEXTS)
    assert refused["dose"] is None
    assert refused["rules"] == [
        {"rule": "over-dose-cap", "message": "No dose: 9.5 units is over 8 units."}
    ]
    assert list(failed_json("x")) == KEYS


def test_plain_json__all_the_way_down() -> None:
    at = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
    value = {
        "a": (Fraction(1, 3), Decimal("0.5")),
        "at": at,
        "r": Ranged(Fraction(1), Fraction(0), Fraction(2)),
        "s": {"x"},
    }
    assert plain_json(value) == {
        "a": [0.333333, 0.5],
        "at": "2026-03-02T08:00:00+00:00",
        "r": {"value": 1, "low": 0, "high": 2},
        "s": ["x"],
    }
    assert number(Fraction(2, 3)) == 0.666667


def test_one_line_json__odd_characters() -> None:
    reply = replace(MEAL, unread=("a\udcff\nb\u2028c\x85d é",))
    line = one_line_json(as_json(reply, TEXTS))
    assert len(line.splitlines()) == 1
    assert "é" in line
    assert json.loads(line.encode("utf-8"))["unread"] == ["a\udcff\nb\u2028c\x85d é"]

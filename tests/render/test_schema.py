"""The published schema: what it allows, and that replies of every kind fit it.

Every reply of every talk in tests/dialogue is checked against it too (talk.py).
"""

import json

import pytest
from pydantic import ValidationError
from sample_replies import MEAL, QUESTION, REFUSED, TEXTS

from assistant.dialogue.reading import read_reply
from assistant.render.as_json import as_json, failed_json, one_line_json, plain_object
from assistant.render.schema import MODELS, ReadObject, ReplyObject, schema_of


@pytest.mark.parametrize("reply", [MEAL, QUESTION, REFUSED], ids=["meal", "question", "refused"])
def test_replies_fit(reply) -> None:
    ReplyObject.model_validate(json.loads(one_line_json(as_json(reply, TEXTS))))


def test_a_failure_outside_a_turn_fits() -> None:
    ReplyObject.model_validate(failed_json("Something."))


@pytest.mark.parametrize(
    "text",
    ["1.5 servings of oat cereal plus 200 ml milk, glucose 162", "2-3 slices", "", "milk", "1,5 g",
     "§§", "half a pack of crackers", "x" * 3000],
)  # fmt: skip
def test_readings_fit(text) -> None:
    ReadObject.model_validate(json.loads(one_line_json(plain_object(read_reply(text).facts))))


@pytest.mark.parametrize(
    "change",
    [
        {"status": "fine"}, {"dose": 5}, {"counted_carbs_g": "41.1"}, {"range_g": [1]},
        {"more": True}, {"rules": [{"rule": "x"}]}, {"question": {"text": "x"}}, {"text": None},
    ],
)  # fmt: skip
def test_the_schema_refuses_what_is_not_the_contract(change) -> None:
    good = json.loads(one_line_json(as_json(MEAL, TEXTS)))
    with pytest.raises(ValidationError):
        ReplyObject.model_validate({**good, **change})


def test_the_schema_names_every_key_of_the_contract() -> None:
    schema = schema_of("reply")
    assert schema["$schema"].startswith("https://json-schema.org/")
    assert set(schema["required"]) == {
        "status", "text", "portions", "counted_carbs_g", "range_g", "dose", "rules", "question",
        "unread", "facts",
    }  # fmt: skip
    assert set(MODELS) == {"reply", "read"}

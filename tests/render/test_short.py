"""Short answers: only the steps of the working may go."""

from msgspec.structs import replace
from sample_replies import MEAL, QUESTION, REFUSED, TEXTS

from assistant.render.short import shortened
from assistant.render.spoken import spoken


def test_short__leaves_out_working_alone() -> None:
    assert spoken(shortened(MEAL), TEXTS).splitlines() == [
        "oat cereal: 41.1 grams, 39.5 to 42.7 grams.",
        "In all 41.1 grams.",
        "Caution: Check this equals that.",
        "5 units suggested.",
        "Type took 5 units.",
    ]
    assert shortened(QUESTION) == QUESTION
    assert shortened(REFUSED) == REFUSED


def test_short__the_answer_to_why_is_whole() -> None:
    why = replace(MEAL, facts={"explained": "x"})
    assert shortened(why) == why


def test_short__never_leaves_nothing() -> None:
    only = replace(MEAL, lines=tuple(x for x in MEAL.lines if x.role == "working"))
    assert shortened(only) == only

"""Words that forget: nothing that is only like what was said is forgotten, by any number."""

import pytest
from talk import BREAD


@pytest.mark.parametrize(
    "text",
    [
        "forget everything, yes I am sure",
        "delete all my readings",
        "delete my readings",
        "erase all of it",
        "forget everything about me, I mean it",
        "wipe all my meals and doses",
        "remove everything please now",
        "clear my data",
    ],
)
def test_everything_leads_to_the_sentence_that_has_to_be_typed_in_full(counting, text) -> None:
    before = counting.say("foods").text
    found = counting.say(text)
    assert found.status == "asked"
    assert found.reply.question.asked.code == "forget-all-spelled"
    assert found.choices == []
    for word in ("yes", "1"):
        counting.say(word)
        counting.say("cancel")
    assert counting.say("foods").text == before
    assert counting.events("food-forgotten") == []


@pytest.mark.parametrize("text", ["forget rye", "delete rye", "forget cereal", "forget recipe rye"])
def test_a_name_that_is_only_near_is_told_and_no_number_forgets_it(counting, text) -> None:
    found = counting.say(text)
    assert found.status == "asked"
    assert found.choices == []
    assert "none is forgotten" in found.text
    counting.say("1")
    assert counting.events("food-forgotten") == []
    # what it says to type works
    (hint,) = [line for line in found.reply.lines if line.role == "next"]
    sentence = hint.args["sentences"].items[0].text
    assert "food-forgotten" in counting.say(sentence).codes


def test_a_food_whose_name_begins_so_can_be_forgotten(counting) -> None:
    counting.say(BREAD.replace("rye bread", "everything bagel"))
    counting.say("the weather")  # no meal is just said
    assert "food-forgotten" in counting.say("forget everything bagel").codes


def test_the_sentence_of_an_estimate_says_that_it_was_eaten(counting) -> None:
    found = counting.say("estimate 2 slices of toast like rye bread")
    assert "estimate-eaten" in found.codes
    assert "1 meal" in counting.say("today").text
    counting.say("undo")
    assert counting.say("today").codes == ["today-nothing"]


def test_an_estimate_alone_is_no_meal(counting) -> None:
    found = counting.say("estimate toast like rye bread")
    assert "estimate-eaten" not in found.codes
    assert counting.events("meal-counted") == []

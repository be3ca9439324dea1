"""A session file holds all that its replies depend on: it is verified without the journal."""

import json
from datetime import timedelta, timezone

import pytest

from assistant.teaching.session_file import Damage, Header, read
from assistant.teaching.verify import verified

LIFE = (
    "1.5 servings of the oat cereal plus 200 ml milk, glucose 162", "took it", "why",
    "oat cereal is also called morning oats", "what is active now",
    "1 slice of rye bread weighs 40 g", "undo", "2 slices of rye bread, glucose 120",
    "make that 3 slices", "not taken", "took it", "I feel low", "glucose 70", "glucose 105",
    "a bowl of milk, glucose 110", "my bowl holds 300 ml", "not taken", "the same again", "cancel",
    "2 servings of oat ceral, glucose 110", "1", "took 40 units", "no that was wrong", "2", "yes",
    "took 4 units", "foods", "show oat cereal", "new label for oat cereal: US label, serving 1/2 "
    "cup (40 g), 9 servings, carbohydrate 28 g, fibre 6 g", "yes", "show oat cereal",
    "forget milk", "yes", "200 ml milk, glucose 110", "never more than 9 units at once",
    "never more than 9 units at once, confirmed with my care team", "short answers", "today",
    "1 serving of morning oats, glucose 130", "cancel", "show my numbers", "nonsense words here",
    "speak plainly", "1,5 servings of oat cereal", "yes", "undo", "today",
)  # fmt: skip


def whole(text: str) -> list:
    header, turns = read(text.splitlines())
    assert isinstance(header, Header), header
    return list(verified(header, turns))


def same(text: str) -> int:
    found = whole(text)
    assert not [item for item in found if isinstance(item, Damage)]
    assert not [(item.turn.say, item.parts) for item in found if item.parts]
    return len(found)


@pytest.mark.more
def test_a_life_is_verified_from_wherever_it_is_cut(ready) -> None:
    """The law: what the turns read is inside, whatever was said before them."""
    for text in LIFE:
        ready.say(text, 7)
    total = 13 + len(LIFE)
    for first in (0, 5, 13, *range(14, total, 3)):
        assert same(ready.file(first)) == total - first
        assert same(ready.file(first, first + 4)) == min(4, total - first)


def test_a_clock_that_travelled_is_inside(ready) -> None:
    ready.say("1 serving of oat cereal, glucose 120")
    ready.say("took it")
    ready.at = (ready.at + timedelta(hours=9)).astimezone(timezone(timedelta(hours=-5)))
    reply = ready.say("1 serving of oat cereal, glucose 120")
    assert reply["question"]
    ready.say("1")
    assert same(ready.file(15)) == 2
    assert same(ready.file(16)) == 1


def test_a_clock_that_went_back_is_inside(ready) -> None:
    ready.say("glucose 120", 600)
    ready.at -= timedelta(hours=8)
    assert ready.say("1 serving of oat cereal, glucose 120")["status"] == "refused"
    assert same(ready.file(14)) == 1


def test_the_header_tells_units_region_policy_clock_settings_and_labels(ready) -> None:
    ready.say("my labels are EU labels")
    ready.say("1 serving of oat cereal, glucose 120")
    header, _ = read(ready.file(14).splitlines())
    assert isinstance(header, Header)
    assert (header.glucose_unit, header.region, header.policy) == ("mg/dL", "EU", "net")
    assert header.clock == "+01:00"
    assert {row.say for row in header.settings} >= {"target 110 mg/dL", "my insulin lasts 4 hours"}
    assert [row.facts.name for row in header.foods] == ["oat cereal"]
    assert header.foods[0].facts.nutrients["fibre"].value == 6


def test_only_what_was_read_is_inside(ready) -> None:
    ready.say("glucose 155")
    ready.say("my dog is called Rex")
    ready.say("1 serving of oat cereal", 600)
    text = ready.file(15)
    assert "Rex" not in text
    assert "rye bread" not in text


def test_an_answer_that_is_made_otherwise_now_is_kept_and_told(ready) -> None:
    """Another version of the program may answer otherwise: the file keeps what was said."""
    ready.say("1 serving of oat cereal, glucose 120")
    lines = ready.file(13).splitlines()
    row = json.loads(lines[1])
    row["reply"]["counted_carbs_g"] = 22
    row["reply"]["text"] = row["reply"]["text"].replace("21 grams", "22 grams")
    checked = whole("\n".join([lines[0], json.dumps(row), lines[2]]))
    assert [part.key for part in checked[0].parts][:2] == ["text, line 3", "counted_carbs_g"]
    part = next(p for p in checked[0].parts if p.key == "counted_carbs_g")
    assert (part.was, part.now) == ("22", "21")


@pytest.mark.parametrize("change", ["facts", "missing", "numbers"])
def test_a_header_that_does_not_fit_together_is_told(ready, change) -> None:
    ready.say("1 serving of oat cereal, glucose 120")
    lines = ready.file(13).splitlines()
    header = json.loads(lines[0])
    if change == "facts":
        header["foods"][0]["facts"]["nutrients"]["fibre"]["value"] = "7"
    elif change == "missing":
        header["earlier"] = []
    else:
        header["settings"][0]["turn"] = 900
    found = whole("\n".join([json.dumps(header), *lines[1:]]))
    assert isinstance(found[-1], Damage)

"""Reading files: whole, old, later, cut off, and damaged at every place."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.teaching.schema import schema_of
from assistant.teaching.session_file import Damage, Header, Turn, read
from assistant.teaching.verify import Checked, verified

OLD = Path(__file__).parent / "version_1.jsonl"


@pytest.fixture
def lines(ready) -> list[str]:
    ready.say("1 serving of oat cereal, glucose 120")
    ready.say("took it")
    ready.say("what is active now")
    return ready.file(13).splitlines()


def test_a_file_of_version_1_is_read_and_its_figures_compared() -> None:
    header, turns = read(OLD.read_text(encoding="utf-8").splitlines())
    assert isinstance(header, Header)
    found = list(verified(header, turns))
    assert len(found) == 24
    assert all(isinstance(item, Checked) and not item.parts for item in found)


def test_a_wrong_figure_in_version_1_is_found() -> None:
    text = OLD.read_text(encoding="utf-8").replace('"counted_carbs_g": 42', '"counted_carbs_g": 41')
    found = list(verified(*read(text.splitlines())))
    assert [(p.key, p.was, p.now) for p in found[-1].parts] == [("counted_carbs_g", "41", "42")]


def test_a_later_version_is_refused_by_name(lines) -> None:
    found, turns = read([lines[0].replace('"version": 2', '"version": 3'), *lines[1:]])
    assert found == Damage("later-version", 1, "3")
    assert not list(turns)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"), ("\n", "empty"), ("{}", "not-session"), ("[1]", "not-session"),
        ("hello", "not-session"), ('{"format": "something else", "version": 2}', "not-session"),
        ('{"format": "countaloud session", "version": 2}', "bad-line"),
        ('{"format": "countaloud session", "version": "two"}', "bad-line"),
        ('{"format": "countaloud session"}', "bad-line"),
    ],
)  # fmt: skip
def test_what_is_no_session_is_told(text, code) -> None:
    found, turns = read(text.splitlines())
    assert isinstance(found, Damage)
    assert found.code == code
    assert not list(turns)


def test_a_cut_file_replays_up_to_the_cut_and_says_so(lines) -> None:
    whole = "\n".join(lines)
    places = range(len(lines[0]) + 1, len(whole), 97)
    for place in places:
        text = whole[:place]
        header, turns = read(text.splitlines())
        found = list(verified(header, turns))
        complete = text.count("\n") - 1
        last = found[-1] if found else Damage("no-end", 1)
        if complete + 1 < len(lines) - 1 or not text.endswith(lines[-1]):
            assert isinstance(last, Damage), place
        same = [item for item in found if isinstance(item, Checked)]
        assert len(same) in (complete, complete + 1)
        assert not [part for item in same for part in item.parts]


def test_lines_that_were_taken_out_are_missed(lines) -> None:
    _, turns = read([*lines[:2], *lines[3:]])
    assert [x.code for x in turns if isinstance(x, Damage)] == ["wrong-count"]
    _, turns = read([*lines, lines[1]])
    assert [x.code for x in turns if isinstance(x, Damage)] == ["after-end"]


def test_a_turn_with_an_unknown_key_or_event_is_not_guessed_at(lines) -> None:
    for change in ({"mood": "fine"}, {"events": [{"kind": "party"}]}, {"at": "2026-03-02T08:00"}):
        row = json.dumps({**json.loads(lines[1]), **change})
        _, turns = read([lines[0], row, *lines[2:]])
        found = list(turns)
        assert [type(item) for item in found] == [Damage]
        assert found[0].line == 2


@given(st.lists(st.text(max_size=80), max_size=5))
@settings(max_examples=200, deadline=None)
def test_no_text_breaks_the_reader(lines) -> None:
    header, turns = read(lines)
    assert isinstance(header, Header | Damage)
    assert all(isinstance(item, Turn | Damage) for item in turns)


def test_the_published_schema_names_every_kind_of_line() -> None:
    schema = schema_of("session")
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    named = {ref["$ref"].rsplit("/", 1)[-1] for ref in schema["anyOf"]}
    assert named == {"Header", "SessionTurn", "EndRow"}
    turn = schema["$defs"]["SessionTurn"]
    assert turn["additionalProperties"] is False
    assert set(turn["required"]) == {"turn", "at", "say"}
    header = schema["$defs"]["Header"]["properties"]
    assert {"version", "glucose_unit", "region", "policy", "settings", "foods", "clock"} <= set(
        header
    )


@pytest.mark.parametrize(
    "change",
    [{"at": "0001-01-01T00:00:00+14:00"}, {"at": "9999-12-31T23:59:00-12:00"}, {"turn": 10**23},
     {"turn": -3}, {"turn": 0}],
)  # fmt: skip
def test_figures_beyond_all_bounds_are_damage_of_their_line(lines, change) -> None:
    row = json.dumps({**json.loads(lines[2]), **change})
    found = list(verified(*read([*lines[:2], row, *lines[3:]])))
    assert isinstance(found[0], Checked)
    assert isinstance(found[-1], Damage)
    assert found[-1].line == 3


def test_a_number_that_is_there_already_is_damage_of_its_line(lines) -> None:
    row = json.dumps({**json.loads(lines[2]), "turn": json.loads(lines[1])["turn"]})
    found = list(verified(*read([*lines[:2], row, *lines[3:]])))
    assert (found[-1].code, found[-1].line) == ("bad-line", 3)


def test_a_header_without_end_of_brackets_is_no_session() -> None:
    found, _ = read(["[" * 200_000])
    assert isinstance(found, Damage)


def test_empty_lines_are_no_turns(lines) -> None:
    found = list(verified(*read([*lines[:2], "", *lines[2:], "", ""])))
    assert len(found) == 3
    assert not [item for item in found if isinstance(item, Damage)]


def test_an_event_that_differs_is_told_by_its_figure(lines) -> None:
    row = json.loads(lines[1])
    glucose = next(e for e in row["events"] if e["kind"] == "glucose-read")
    glucose["glucose"]["value"] = "999"
    found = list(verified(*read([lines[0], json.dumps(row), *lines[2:]])))
    part = found[0].parts[0]
    assert part.key.endswith("glucose, value")
    assert (part.was, part.now) == ('"999"', '"120"')


def test_a_field_that_was_added_to_an_event_later_is_no_difference(lines) -> None:
    row = json.loads(lines[1])
    meal = next(e for e in row["events"] if e["kind"] == "meal-counted")
    del meal["replaces"]
    found = list(verified(*read([lines[0], json.dumps(row), *lines[2:]])))
    assert not found[0].parts

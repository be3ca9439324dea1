"""A shared file tells neither who nor where nor when, and its counts and doses are as they were."""

import json
import re
from datetime import datetime, timedelta

import pytest

from assistant.shell.session import Session
from assistant.teaching.saving import _known, path_of
from assistant.teaching.session_file import Header, read
from assistant.teaching.sharing import possible_names
from assistant.teaching.verify import verified
from grammar.words import name_key

LASAGNE = (
    "new food Vela's lasagne: EU label, per 100 g: carbohydrate 14 g, fibre 1.2 g, "
    "ingredients: pasta, Tin Kettle sauce, barcode 4006381333931"
)
TALK = ("250 g of Vela's lasagne, glucose 150", "took it", "2 slices of rye bread", "cancel",
        "Vela's lasagne is also called supper at Oak Street", "foods like vela")  # fmt: skip


@pytest.fixture
def shared(ready):
    """Says a talk, saves it for sharing with these words, and gives (reply, lines of the file)."""

    def run(how: str):
        ready.say(LASAGNE)
        for text in TALK:
            ready.say(text)
        session = Session(ready.store, lambda: ready.at + timedelta(minutes=1))
        reply = session.say(f"save today for sharing as one {how}")
        path = path_of(ready.store.home, "one")
        return reply, path.read_text(encoding="utf-8").splitlines() if path.exists() else []

    return run


def test_words_that_may_be_names_are_asked_about_and_nothing_is_written(shared) -> None:
    reply, lines = shared("")
    assert reply.status == "asked"
    assert not lines
    assert set(reply.facts["words"]) == {"Vela", "Oak", "Street", "Kettle"}  # a tin is a pack
    assert reply.question is None  # no "yes" can answer it


def test_names_dates_barcodes_and_the_clock_are_gone(shared, ready) -> None:
    reply, lines = shared("without Vela, Oak Street, Tin Kettle")
    assert reply.status == "answered", reply
    text = "\n".join(lines)
    for gone in ("vela", "oak street", "tin kettle"):
        assert gone not in text.casefold()
    assert "4006381333931" not in text
    assert "2026" not in text  # the day of the talk, in any form
    assert not re.search(r"[+]01:00", text)
    told = {line.code for line in reply.lines}
    assert {"share-removed-words", "share-removed-barcodes", "share-moved", "share-clock",
            "share-checked", "share-read"} <= told  # fmt: skip


def test_counts_glucose_and_doses_are_as_they_were(shared, ready) -> None:
    _, lines = shared("without Vela, Oak Street, Tin Kettle")
    kept = [row for row in ready.store.turns() if row.text.startswith("250 g")]
    old = json.loads(kept[0].reply)
    new = next(json.loads(x)["reply"] for x in lines[1:-1] if "250 g" in json.loads(x)["say"])
    for key in ("counted_carbs_g", "range_g", "status"):
        assert new[key] == old[key]
    assert new["dose"]["suggested_units"] == old["dose"]["suggested_units"] == 4
    assert any("glucose 150" in json.loads(line)["say"] for line in lines[1:-1])


def test_all_times_are_moved_by_one_span_of_whole_weeks(shared, ready) -> None:
    _, lines = shared("without Vela, Oak Street, Tin Kettle")
    old = {row.id: row.said_at for row in ready.store.turns()}
    rows = [json.loads(line) for line in lines[1:-1]]
    moved = {old[row["turn"]].replace(tzinfo=None)
             - datetime.fromisoformat(row["at"]).replace(tzinfo=None) for row in rows}  # fmt: skip
    assert len(moved) == 1
    span = moved.pop()
    assert span > timedelta(weeks=19)
    assert span % timedelta(weeks=1) == timedelta(0)


def test_a_shared_file_verifies(shared) -> None:
    _, lines = shared("without Vela, Oak Street, Tin Kettle")
    header, turns = read(lines)
    assert isinstance(header, Header)
    assert set(header.changed_for_sharing) == {"names", "barcodes", "times"}
    assert not [part for item in verified(header, turns) for part in item.parts]


def test_words_that_stay_are_named_by_the_person(shared) -> None:
    reply, lines = shared("without Vela, keeping Oak, Street, Tin and Kettle")
    assert reply.status == "answered"
    assert "Tin Kettle" in "\n".join(lines)
    assert "vela" not in "\n".join(lines).casefold()


def test_a_word_of_the_persons_choice_stands_for_a_name(shared) -> None:
    reply, lines = shared("replacing Vela with Anna, keeping the rest")
    assert reply.status == "answered"
    said = [json.loads(line)["say"] for line in lines[1:-1]]
    assert "250 g of Anna's lasagne, glucose 150" in said


@pytest.mark.parametrize("how", ["without Velaa, keeping the rest", "without Vela, keeping Oka",
                                 "replacing Vela with 3 g, keeping the rest"])  # fmt: skip
def test_a_slip_in_the_words_saves_nothing(shared, how) -> None:
    reply, lines = shared(how)
    assert reply.status == "asked"
    assert not lines


def test_a_word_that_changes_an_answer_is_refused(shared) -> None:
    """Without its "glucose" the meal has no reading."""
    reply, lines = shared("replacing glucose with supper, keeping the rest")
    assert reply.status == "asked"
    assert reply.lines[0].code == "share-differs"
    assert not lines


def test_a_name_in_the_files_own_name_is_found(ready) -> None:
    ready.say(LASAGNE)
    ready.say(TALK[0])
    session = Session(ready.store, lambda: ready.at)
    reply = session.say("save today for sharing as lunch at Vela without Vela, keeping the rest")
    assert reply.lines[0].code == "share-left"
    assert not path_of(ready.store.home, "lunch at Vela").exists()


def test_foods_of_before_the_talk_lose_their_names_too(ready) -> None:
    ready.say(LASAGNE)
    ready.say("Vela's lasagne is also called 4006381333931")
    ready.at += timedelta(days=1)
    session = Session(ready.store, lambda: ready.at)
    session.say("250 g of Vela's lasagne, glucose 150")
    reply = session.say("save this session for sharing as x without Vela, keeping the rest")
    assert reply.status == "answered", reply
    text = path_of(ready.store.home, "x").read_text(encoding="utf-8")
    assert "vela" not in text.casefold()
    assert "4006381333931" not in text
    header, turns = read(text.splitlines())
    assert header.foods[0].food_id == name_key("Namea's lasagne")
    assert not [part for item in verified(header, turns) for part in item.parts]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("200 g of vela's stew", ("vela",)),
        ("Soup from Hillmoor Mill", ("Soup", "Hillmoor", "Mill")),
        ("see vela@mill.example or www.mill.example/vela", ("vela@mill.example",
                                                            "www.mill.example/vela")),
        ("what's in today's soup, US label, 200 mL, 5 kJ, mg/dL", ()),
        ("2 slices of rye bread plus 200 ml milk", ()),
        ("ÉLODIE's crème", ("ÉLODIE",)),
        ("40 g at 12:30 on 02.03.2026 or 3/2/26 or 2 may 2025 or May 3rd",
         ("02.03.2026", "3/2/26", "2 may 2025", "May 3rd")),
        ("call 0171-555-1234 or +44 20 7946 0000, card AB123456",
         ("0171-555-1234", "+44 20 7946 0000", "AB123456")),
        ("new food 田中 rice", ("田中",)), ("بيت soup", ("بيت",)),
        ("stew of Rene\u0301e", ("Renée",)),
        ("1/2 cup at 7:30, 1.500 g, 40-50 g, 21 CFR 101, 1000 mg", ("CFR",)),
    ],
)  # fmt: skip
def test_what_may_be_a_name(typed, found) -> None:
    assert possible_names([typed], _known) == found


def test_a_part_of_a_name_that_stands_alone_is_asked_about(ready) -> None:
    """ "without Mira Vela" settles the two words together, not each of them."""
    ready.say("30 g Mira Vela")
    ready.say("Mira wants 40 g oat cereal")
    session = Session(ready.store, lambda: ready.at)
    reply = session.say("save today for sharing as x without Mira Vela")
    assert reply.status == "asked"
    assert reply.facts["words"] == ["Mira"]
    reply = session.say("save today for sharing as x without Mira Vela, Mira")
    assert reply.status == "answered"
    text = path_of(ready.store.home, "x").read_text(encoding="utf-8").casefold()
    assert "mira" not in text
    assert "vela" not in text


def test_the_name_of_the_file_is_looked_at_too(ready) -> None:
    ready.say("40 g oat cereal, glucose 120")
    session = Session(ready.store, lambda: ready.at)
    reply = session.say("save today for sharing as Rosa Berg")
    assert reply.status == "asked"
    assert set(reply.facts["words"]) == {"Rosa", "Berg"}

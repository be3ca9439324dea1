"""Undoing brings no setting back and takes none away: a cap is changed by typing it, and raising
it takes a spelled-out confirmation. Undoing a dose asks first, whatever way it is typed."""

import re

import pytest
from talk import CEREAL, MILK, talking

BIG = "4 servings of oat cereal, glucose 110"
"""4 x 21 g at 10 g a unit: 8.4 units, 8 after rounding down; the cap is 8."""


def turn_of(talk, text):
    """The number of the turn in which this was said."""
    with talk.store.reading() as (record, _):
        kinds = ("setting-said", "dose-taken", "meal-counted", "glucose-read")
        return next(k.turn for k in record.events(kinds) if k.text == text)


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("never more than 8 units at once", "never more than 3 units at once", "cap_dose"),
        ("never more than 15 units in 4 hours", "never more than 2 units in 4 hours", "cap_window"),
        ("reductions up to 50%", "reductions up to 10%", "max_reduction"),
        ("a reading counts for 15 minutes", "a reading counts for 5 minutes", "reading_age"),
        ("count net carbohydrate", "count total carbohydrate", "policy"),
    ],
)
@pytest.mark.parametrize("words", ["undo turn {}", "undo turn {}, that is right"])
def test_undoing_an_older_setting_leaves_the_later_one(dosing, old, new, name, words):
    if name in {"max_reduction", "reading_age"}:
        dosing.all(old)
    dosing.all(new)
    held = getattr(dosing.settings(), name)
    before = len(dosing.events("setting-said"))
    found = dosing.say(words.format(turn_of(dosing, old)))
    assert getattr(dosing.settings(), name) == held
    assert len(dosing.events("setting-said")) == before  # none was said anew
    assert old in found.text.replace(" percent", "%")
    assert new in found.text.replace(" percent", "%")  # what holds is told
    assert found.codes[0] == "setting-not-undone"


def test_a_lower_cap_holds_after_the_higher_one_was_undone(dosing):
    dosing.all("never more than 3 units at once")
    dosing.say(f"undo turn {turn_of(dosing, 'never more than 8 units at once')}")
    assert "over-dose-cap" in dosing.say(BIG).rules


def test_the_sentence_named_for_a_setting_sets_it(dosing):
    """The lower cap was a slip: the sentence before it is named; typed, it asks as raising does,
    and what that names, typed, sets the cap."""
    dosing.all("never more than 3 units at once")
    found = dosing.say("undo")
    assert "never more than 8 units at once" in found.text
    asked = dosing.say("never more than 8 units at once")
    spelled = re.search(r"never more than 8 units at once, confirmed[\w ]+", asked.text)[0]
    dosing.all(spelled)
    assert dosing.settings().cap_dose == 8


def test_a_setting_in_the_turn_of_a_meal_stays_where_it_was(tmp_path):
    """The policy was an answer, in one turn with its meal; a later policy overrules it."""
    with talking(tmp_path, CEREAL, MILK) as talk:
        talk.say("1 serving of oat cereal")
        talk.all("2")  # net
        assert talk.settings().policy == "net"
        talk.all("count total carbohydrate")
        turn = next(
            k.turn for k in _kept(talk, "meal-counted") if k.event.said == "1 serving of oat cereal"
        )
        found = talk.say(f"undo turn {turn}")
        assert found.status == "answered"
        assert talk.settings().policy == "total"
        assert talk.events("meal-counted") == []
        assert "count net carbohydrate" in found.text  # the setting is mentioned
        assert talk.say("1 serving of oat cereal").counted == 27


def _kept(talk, kind):
    with talk.store.reading() as (record, _):
        return record.events((kind,))


def test_a_raise_is_told_though_the_lower_cap_was_undone(dosing):
    """8, then 3, then 6 confirmed: the raise from 3 to 6 is told whatever is typed of the 3."""
    dosing.all("never more than 3 units at once")
    dosing.all("never more than 6 units at once, confirmed with my care team")
    dosing.say(f"undo turn {turn_of(dosing, 'never more than 3 units at once')}")
    assert "raised-cap_dose" in dosing.say("1 serving of oat cereal, glucose 110").rules


@pytest.mark.parametrize("words", ["undo", "undo turn {}"])
def test_undoing_a_dose_asks_whatever_way_it_is_typed(dosing, words):
    dosing.all("took 4 units")
    asked = dosing.say(words.format(turn_of(dosing, "took 4 units")))
    assert asked.status == "asked"
    assert len(dosing.events("dose-taken")) == 1
    dosing.say("no")
    assert len(dosing.events("dose-taken")) == 1
    dosing.say(words.format(turn_of(dosing, "took 4 units")))
    dosing.all("yes")
    assert dosing.events("dose-taken") == []


def test_an_undone_answer_about_a_dose_is_not_asked_again(dosing):
    dosing.say("took 4,5 units")
    dosing.all("4.5")
    dosing.say("undo")
    dosing.all("yes")
    assert dosing.events("dose-taken") == []
    assert dosing.say("1 serving of oat cereal, glucose 162").status == "answered"

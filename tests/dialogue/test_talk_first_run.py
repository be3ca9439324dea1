"""The first talk: from nothing to a dose in few lines, each part skippable, and resumable."""

from fractions import Fraction

import pytest
from talk import CEREAL, Talk

from assistant.dialogue.first_run import OWN
from assistant.dosing.settings import Settings

LINES = (
    *("set up", "mg/dL", "US", "net", "10", "45", "110", "4", "line", "correction", "half", "down"),
    *("8", "15 in 4 hours"),
)


@pytest.fixture
def new(tmp_path):
    """A talk on an empty folder."""
    talk = Talk(tmp_path / "home")
    yield talk
    talk.close()


def test_a_new_user_has_a_first_dose_in_under_20_lines(new):
    typed = 0
    for text in (
        *LINES,
        "new food oat cereal: serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, fibre 6 g",
        "2 servings of oat cereal, glucose 155",
    ):
        found = new.say(text)
        typed += 1
        assert "setup-unfit" not in found.codes, text
    assert typed < 20
    # By hand: 27 - 6 = 21 g; two are 42 g; 42 / 10 = 4.2; (155 - 110) / 45 = 1; 5.2 down to 5.
    assert found.status == "answered"
    assert found.counted == 42
    assert found.reply.dose.suggested == 5


def test_each_setting_is_the_one_that_its_sentence_makes(new, tmp_path):
    for text in LINES:
        new.say(text)
    other = Talk(tmp_path / "other")
    other.all(
        "my glucose is in mg/dL", "my labels are US labels", "count net carbohydrate",
        "my ratio is 1 unit per 10 g", "correction factor 45 mg/dL per unit", "target 110 mg/dL",
        "my insulin lasts 4 hours", "active insulin falls in a straight line",
        "active insulin comes off the correction only", "my pen goes in half units", "round down",
        "never more than 8 units at once", "never more than 15 units in 4 hours",
    )  # fmt: skip
    mine, theirs = new.settings(), other.settings()
    other.close()
    assert mine.missing() == ()
    for name in (*OWN, *Settings.NEEDED):
        assert getattr(mine, name) == getattr(theirs, name), name


def test_every_needed_setting_has_a_question(new):
    """Also one that is added later: the talk asks for whatever a dose needs."""
    new.say("set up")
    asked = []
    for _ in range(40):
        found = new.say("skip")
        if found.status != "asked":
            break
        asked.append(found.reply.question.asked.code)
    assert len(asked) == len((*OWN, *Settings.NEEDED)) - 1
    assert found.codes[0] == "setup-count-only"
    assert new.settings().untouched


def test_the_caution_is_told_once(new):
    assert [c for c in new.say("set up").codes if c.startswith("setup-")] == [
        "setup-intro", "setup-care", "setup-glucose_unit",
    ]  # fmt: skip
    assert "setup-care" not in new.say("mmol/L").codes
    assert "setup-care" not in new.say("set up").codes


def test_count_only_use_needs_none_of_the_care_teams_numbers(new):
    for text in ("set up", "skip", "US", "total"):
        new.say(text)
    found = new.say("count only")
    assert found.codes[0] == "setup-count-only"
    new.say(CEREAL)
    found = new.say("1 serving of oat cereal")
    assert (found.status, found.counted, found.reply.dose) == ("answered", Fraction(27), None)


def test_it_goes_on_where_it_was_left(new):
    for text in LINES[:5]:
        new.say(text)
    found = new.say("today")
    assert found.status == "answered"
    new.say("cancel")
    found = new.say("set up")
    assert found.reply.question.asked.code == "setup-factor"


def test_the_open_question_is_told_as_the_chat_opens(new):
    new.say("set up")
    new.say("mg/dL")
    codes = [line.code for line in new.opening().lines]
    assert "setup-label_region" in codes


def test_a_full_sentence_is_an_answer_too(new):
    for text in LINES[:4]:
        new.say(text)
    found = new.say("my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00")
    assert found.reply.question.asked.code == "setup-factor"
    assert len(new.settings().ratio.entries) == 2


def test_an_unusual_figure_is_asked_about_and_the_talk_goes_on(new):
    for text in LINES[:4]:
        new.say(text)
    assert new.say("200").reply.question.kind == "unusual"
    assert new.say("no").reply.question.asked.code == "setup-ratio"
    assert new.settings().ratio is None
    new.say("200")
    assert new.say("yes").reply.question.asked.code == "setup-factor"
    assert new.settings().ratio.entries[0][1] == 200


def test_a_reading_is_no_answer_to_the_question_on_the_target(new):
    for text in LINES[:6]:
        new.say(text)
    found = new.say("glucose 143")
    assert found.codes[0] == "glucose-logged"
    assert new.settings().target is None
    new.say("110 mg/dL")
    assert new.settings().target is not None


@pytest.mark.parametrize(
    ("at", "text"),
    [(4, "ten or so"), (4, "1,5"), (4, "2-3"), (5, "lots"), (7, "a while"), (10, "tiny"),
     (12, "15 units in 4 hours"), (13, "15"), (13, "8 units at once")],
)  # fmt: skip
def test_what_is_no_answer_changes_nothing_and_is_asked_again(new, at, text):
    for line in LINES[:at]:
        new.say(line)
    before, asked = new.settings(), new.say("question").reply.question.asked.code
    found = new.say(text)
    assert "setup-unfit" in found.codes
    assert found.reply.question.asked.code == asked
    assert new.settings() == before


def test_a_meal_in_the_middle_is_a_meal(new):
    new.all(CEREAL)
    for text in LINES[:4]:
        new.say(text)
    found = new.say("1 serving of oat cereal")
    assert found.counted == 21
    assert "question-dropped" in found.codes


def test_the_kind_of_labels_is_used_and_told_only_where_a_label_is_silent(new):
    new.all("my labels are US labels")
    silent = new.say("new food a: serving 40 g, carbohydrate 27 g, fibre 6 g")
    assert "region-as-set" in silent.codes
    assert "food-fibre-inside" in silent.codes
    own = new.say("new food b: EU label, per 100 g: carbohydrate 27 g, fibre 6 g")
    assert "region-as-set" not in own.codes
    assert "food-fibre-outside" in own.codes
    assert "US label" in new.say("show my numbers").text


def test_without_the_setting_a_silent_label_is_asked_about(new):
    found = new.say("new food a: serving 40 g, carbohydrate 27 g, fibre 6 g")
    assert found.reply.question.kind == "region"

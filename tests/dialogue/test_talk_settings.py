"""The numbers from the care team: kept as said, asked about where unusual, never guessed."""

import pytest
from talk import CEREAL, NET, NUMBERS, RATIO, SHAPE, talking


def test_each_number_is_kept_and_shown(dosing):
    found = dosing.say("show my numbers")
    for shown in ("10 grams per unit", "45 milligrams per decilitre per unit", "4 hours",
                  "110 milligrams per decilitre", "correction only", "0.5 units", "8 units",
                  "15 units", "net carbohydrate"):  # fmt: skip
        assert shown in found.text, shown


def test_nothing_is_set_at_the_start(empty):
    found = empty.say("show my numbers")
    assert found.status == "answered"
    assert "numbers-missing" in found.codes
    assert len(empty.settings().missing()) == 10


UNUSUAL = (
    ("my ratio is 1 unit per 90 g", "ratio"),
    ("my ratio is 1 unit per 1 g", "ratio"),
    ("my ratio is 10:1", "ratio"),
    ("correction factor 500 mg/dL per unit", "factor"),
    ("correction factor 5 mg/dL per unit", "factor"),
    ("correction factor 45 mmol/L per unit", "factor"),
    ("target 60 mg/dL", "target"),
    ("target 220 mg/dL", "target"),
    ("my insulin lasts 30 minutes", "duration"),
    ("my insulin lasts 12 hours", "duration"),
    ("never more than 50 units at once", "cap_dose"),
    ("never more than 100 units in 4 hours", "cap_window"),
    ("never more than 500 g in a meal", "cap_meal"),
    ("my pen goes in steps of 5 units", "pen_step"),
)


@pytest.mark.parametrize(("text", "name"), UNUSUAL)
def test_an_unusual_number_is_asked_and_yes_keeps_it(empty, text, name):
    asked = empty.say(text)
    assert asked.status == "asked", asked.text
    assert getattr(empty.settings(), name) is None
    kept = empty.say("yes")
    assert kept.status == "answered", kept.text
    assert getattr(empty.settings(), name) is not None


@pytest.mark.parametrize(("text", "name"), UNUSUAL)
def test_no_keeps_nothing(empty, text, name):
    empty.say(text)
    empty.all("no")
    assert getattr(empty.settings(), name) is None


@pytest.mark.parametrize(("text", "name"), [*UNUSUAL[:3], ("target 60 mg/dL", "target")])
@pytest.mark.parametrize("ending", [".", "!", " "])
def test_an_unusual_number_may_end_in_a_mark(empty, text, name, ending):
    assert empty.say(text + ending).status == "asked"
    assert empty.say("yes").status == "answered"
    assert getattr(empty.settings(), name) is not None


def test_a_duration_over_a_day_is_never_kept(empty):
    assert empty.say("my insulin lasts 25 hours").status == "asked"
    empty.say("yes")
    empty.say("my insulin lasts 25 hours, confirmed with my care team")
    assert empty.settings().duration is None


@pytest.mark.parametrize(
    "text",
    [
        "never more than 9 units at once",
        "never more than 16 units in 4 hours",
        "never more than 15 units in 3 hours",
        "never more than 10 units in 1 hour",
    ],
)
def test_raising_a_cap_asks(dosing, text):
    before = dosing.settings()
    assert dosing.say(text).status == "asked"
    assert dosing.settings() == before
    for answer in ("yes", "1", "ok", "the dose is right"):
        dosing.say(answer)
        assert dosing.settings() == before
    assert dosing.say(f"{text}, confirmed with my care team").status == "answered"
    assert dosing.settings() != before


@pytest.mark.parametrize(
    "text",
    [
        "never more than 7 units at once",
        "never more than 8 units at once",
        "never more than 14 units in 4 hours",
        "never more than 15 units in 5 hours",
    ],
)
def test_lowering_a_cap_does_not_ask(dosing, text):
    assert dosing.say(text).status == "answered"


def test_raising_the_meal_cap_asks(dosing):
    dosing.all("never more than 60 g in a meal")
    assert dosing.say("never more than 80 g in a meal").status == "asked"
    dosing.say("cancel")
    dosing.all("never more than 50 g in a meal")
    assert dosing.settings().cap_meal == 50


SCHEDULE = "my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00"


@pytest.mark.parametrize(
    ("clock", "day", "grams"),
    [
        ("05:59", 1, 12),
        ("06:00", 1, 10),
        ("06:01", 1, 10),
        ("10:59", 1, 10),
        ("11:00", 1, 12),
        ("23:59", 1, 12),
        ("00:00", 2, 12),
    ],
)
def test_the_ratio_of_the_hour_is_used(tmp_path, clock, day, grams):
    numbers = [SCHEDULE if n == RATIO else n for n in NUMBERS]
    with talking(tmp_path, CEREAL, *numbers) as talk:
        found = talk.say("2 servings of oat cereal, glucose 110", clock, day=day)
        assert found.data["dose"]["settings"]["grams_per_unit"] == grams
        assert found.data["dose"]["exact_units"] == 42 / grams


def test_part_of_a_day_beside_a_value_asks(dosing):
    asked = dosing.say("my ratio is 1 per 8 g from 18:00")
    assert asked.status == "asked"
    assert len(asked.choices) == 2
    assert dosing.settings().ratio.entries == ((0, 10),)
    dosing.all("1")
    assert dosing.settings().ratio.entries == ((0, 10), (1080, 8))


def test_part_of_a_day_beside_a_schedule_asks(dosing):
    dosing.all(SCHEDULE)
    asked = dosing.say("my ratio is 1 per 8 g from 18:00")
    assert asked.status == "asked"
    dosing.all("1")
    assert dosing.settings().ratio.entries == ((360, 10), (660, 12), (1080, 8))
    assert dosing.say("my ratio is 1 per 8 g from 18:00").status == "asked"
    dosing.all("2")
    assert dosing.settings().ratio.entries == ((0, 8),)


def test_part_of_a_day_in_the_other_unit_does_not_replace_the_whole_day(dosing):
    found = dosing.say("target 6 mmol/L from 22:00")
    assert found.status == "asked", found.text
    assert dosing.settings().target.unit == "mg/dL"


def test_a_first_value_for_part_of_a_day_is_not_taken_for_the_whole_day(empty):
    found = empty.say("my ratio is 1 unit per 8 g from 18:00")
    assert found.status == "asked" or "all day" in found.text


@pytest.mark.parametrize(
    "text",
    [
        "my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 06:00",
        "my ratio is 1 unit per 10 g and 1 per 12 g",
        "my ratio is 1 unit per 10 g and 1 per 12 g from 11:00",
        "target 6 mmol/L from 06:00 and 110 mg/dL from 11:00",
        "my ratio is 1 unit per 10 g from 25:00",
    ],
)
def test_a_schedule_that_is_not_clear_is_asked(empty, text):
    assert empty.say(text).status == "asked"
    assert len(empty.settings().missing()) == 10


def test_a_glucose_figure_without_a_unit_is_asked_once(empty):
    asked = empty.say("target 6")
    assert asked.status == "asked"
    empty.all("mmol/L")
    assert (empty.settings().target.unit, empty.settings().target.schedule.entries) == (
        *("mmol/L", ((0, 6),)),
    )
    empty.all("correction factor 2.5")
    assert empty.settings().factor.unit == "mmol/L"


def test_a_glucose_unit_may_be_a_setting(empty):
    empty.all("my glucose is in mmol/L", "target 6", "correction factor 2.5 mmol/L per unit")
    assert empty.settings().target.unit == "mmol/L"
    # 110 in mmol/L is far from usual
    assert empty.say("target 110").status == "asked"


@pytest.mark.parametrize("text", ["round up", "I round up", "my pen goes in half units, round up"])
def test_rounding_up_is_not_accepted(empty, text):
    assert empty.say(text).status == "asked"
    assert empty.settings().rounding is None
    assert empty.settings().pen_step is None


@pytest.mark.parametrize(
    "text",
    [
        "my ratio is 1 unit per 12,5 g",
        "my ratio is 1,5 units per 10 g",
        "correction factor 2,5 mmol/L per unit",
        "target 6,5 mmol/L",
        "my insulin lasts 4,5 hours",
        "never more than 8,5 units at once",
        "never more than 15 units in 4,5 hours",
        "my pen goes in 0,5 units",
        "my cup is 2,5 dl",
        "my ratio is 1 unit per 0 g",
        "my ratio is 1 unit per -10 g",
        "my ratio is 1 unit per 1/0 g",
        "my ratio is 1 unit per 10 to 12 g",
        "my insulin lasts 4 to 5 hours",
        "target 100-120 mg/dL",
        "my ratio is 1 unit per 10 g, maybe",
        "my ratio is not 1 unit per 10 g",
    ],
)
def test_a_figure_that_is_not_clear_is_not_accepted(empty, text):
    before = empty.settings()
    assert empty.say(text).status == "asked"
    assert empty.settings() == before


def test_the_history_of_a_number_is_kept(empty):
    empty.all("my ratio is 1 unit per 10 g", "my ratio is 1 unit per 12 g")
    said = [e.said for e in empty.events("setting-said")]
    assert said == ["my ratio is 1 unit per 10 g", "my ratio is 1 unit per 12 g"]
    assert empty.settings().ratio.entries == ((0, 12),)


def test_the_confirmation_stands_in_the_history(empty):
    empty.say("my ratio is 1 unit per 90 g")
    empty.all("yes")
    (event,) = empty.events("setting-said")
    assert event.said.endswith("confirmed with my care team")


def test_numbers_said_at_a_time_hold_from_then(tmp_path):
    with talking(tmp_path, CEREAL, *NUMBERS) as talk:
        first = talk.say("2 servings of oat cereal, glucose 110")
        assert first.data["dose"]["exact_units"] == 4.2
        talk.all("not taken", "my ratio is 1 unit per 12 g")
        assert talk.say("2 servings of oat cereal, glucose 110").data["dose"]["exact_units"] == 3.5
        assert "4.2 units" in first.text


@pytest.mark.parametrize(
    "text",
    [
        "my ratio is 10",
        "correction factor",
        "target",
        "my insulin lasts",
        "never more than 8 units",
        "my pen goes",
        "round",
        "count net carbohydrate except fruit",
        "my cup is 250",
        "my glucose is in grams",
        "active insulin comes off",
    ],
)
def test_a_sentence_that_goes_wrong_changes_nothing(dosing, text):
    before = dosing.settings()
    found = dosing.say(text)
    assert found.status == "asked"
    assert dosing.settings() == before


def test_in_mmol_the_whole_talk_works(tmp_path):
    numbers = (
        *(NET, "my ratio is 1 unit per 10 g", "correction factor 2.5 mmol/L per unit"),
        *(
            "target 6",
            "my insulin lasts 4 hours",
            SHAPE,
            "active insulin comes off the correction only",
        ),
        *("my pen goes in half units, round down", "never more than 8 units at once"),
        "never more than 15 units in 4 hours",
    )
    with talking(tmp_path, CEREAL, *numbers) as talk:
        # 2.1 + (9.1 - 6)/2.5 = 3.34 -> 3
        dose = talk.say("1 serving of oat cereal, glucose 9.1").data["dose"]
        assert dose["exact_units"] == 3.34
        assert dose["suggested_units"] == 3.0

"""An import can bring a low and can never take one away, nor stand for the reading of now."""

from datetime import timedelta

import pytest
from talk import told

from assistant.dialogue.readings_import import imported, said
from assistant.dialogue.state import context
from assistant.diary.readings_file import Sheet, read_sheet
from assistant.render.as_json import as_json, one_line_json

MEAL = "1 serving of oat cereal"


def bring(talk, *lines: str, clock: str | None = None):
    """Imports these lines, as the shell does."""
    if clock is not None:
        hour, minute = clock.split(":")
        talk.now = talk.now.replace(hour=int(hour), minute=int(minute))
    sheet = read_sheet("time,value,unit\n" + "\n".join(lines), talk.now)
    assert isinstance(sheet, Sheet)
    with talk.store.turn() as tx:
        outcome = imported(context(tx.record, tx.foods, "", talk.now), "meter.csv", sheet)
        found = told(outcome.reply)
        kept = one_line_json(as_json(outcome.reply))
        tx.keep(talk.now, said("meter.csv"), outcome.reply.status, kept, outcome.events)
    return found


def line(talk, clock: str, value: str, unit: str = "mg/dL", days: int = 0) -> str:
    hour, minute = clock.split(":")
    day = talk.now - timedelta(days=days)
    at = day.replace(hour=int(hour), minute=int(minute), second=0)
    return f"{at.isoformat()},{value},{unit}"


def test_readings_are_in_the_journal_in_one_turn_and_once(dosing) -> None:
    lines = [line(dosing, "06:00", "112"), line(dosing, "07:00", "6.2", "mmol/L")]
    first = bring(dosing, *lines, clock="08:00")
    assert first.data["facts"]["import"]["new"] == 2
    again = bring(dosing, *lines)
    assert again.data["facts"]["import"] | {"file": ""} == {
        "file": "", "new": 0, "known": 2, "twice": 0, "left_out": [], "lows": 0}  # fmt: skip
    (event,) = dosing.events("readings-imported")
    assert len(event.readings) == 2


def test_a_reading_that_was_typed_is_known(dosing) -> None:
    dosing.say("glucose 112", "07:00")
    again = bring(dosing, line(dosing, "07:00", "112"), clock="08:00")
    assert again.data["facts"]["import"]["known"] == 1
    assert again.data["facts"]["import"]["new"] == 0


# A low


def test_a_newer_low_of_the_file_counts_as_a_low(dosing) -> None:
    dosing.say("glucose 112", "06:00")
    found = bring(dosing, line(dosing, "07:00", "61"), clock="08:00")
    assert "import-low" in found.codes
    assert "glucose-was-low" in dosing.say(f"{MEAL}, no reading").rules


def test_a_low_of_the_last_hour_brings_the_steps(dosing) -> None:
    assert "treat-low-1" in bring(dosing, line(dosing, "07:30", "61"), clock="08:00").codes


def test_a_later_normal_reading_of_the_file_does_not_lift_a_low(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "61"), line(dosing, "07:00", "120"), clock="08:00")
    assert "glucose-was-low" in dosing.say(f"{MEAL}, no reading").rules


def test_an_imported_reading_does_not_lift_a_typed_low(dosing) -> None:
    dosing.say("glucose 61", "06:00")
    bring(dosing, line(dosing, "07:00", "120"), clock="08:00")
    assert "glucose-was-low" in dosing.say(f"{MEAL}, no reading").rules


def test_an_imported_reading_does_not_lift_a_felt_low(dosing) -> None:
    dosing.say("I feel low", "06:00")
    bring(dosing, line(dosing, "07:00", "120"), clock="08:00")
    assert "low-was-felt" in dosing.say(f"{MEAL}, no reading").rules


def test_an_imported_low_does_not_make_a_felt_low_forgotten(dosing) -> None:
    dosing.say("I feel low", "06:00")
    bring(dosing, line(dosing, "07:00", "61"), clock="08:00")
    assert dosing.say(f"{MEAL}, no reading").status == "refused"


def test_an_older_low_than_the_newest_typed_reading_changes_nothing(dosing) -> None:
    dosing.say("glucose 112", "07:30")
    found = bring(dosing, line(dosing, "06:00", "61"), clock="08:00")
    assert "import-low" not in found.codes
    assert dosing.say(f"{MEAL}, no reading").status == "answered"


def test_a_typed_reading_lifts_an_imported_low(dosing) -> None:
    bring(dosing, line(dosing, "07:00", "61"), clock="08:00")
    assert dosing.say(f"{MEAL}, glucose 110", "08:30").status == "answered"


@pytest.mark.parametrize(
    ("value", "unit"), [("LO", "mg/dL"), ("3.2", "mg/dL"), ("61", ""), ('"3,2"', "mmol/L")]
)
def test_a_line_that_may_be_a_low_refuses_until_a_reading(dosing, value, unit) -> None:
    found = bring(dosing, line(dosing, "07:00", value, unit), clock="08:00")
    assert {"import-maybe-low", "import-low-shown"} & set(found.codes)
    assert "low-was-felt" in dosing.say(f"{MEAL}, no reading").rules
    assert dosing.say(f"{MEAL}, glucose 110", "08:30").status == "answered"


def test_two_figures_at_one_time_of_which_one_is_low_refuse(dosing) -> None:
    dosing.say("glucose 112", "07:00")
    bring(dosing, line(dosing, "07:00", "61"), clock="08:00")
    assert "low-was-felt" in dosing.say(f"{MEAL}, no reading").rules


def test_the_same_file_again_leaves_no_second_felt_low(dosing) -> None:
    for _ in range(3):
        bring(dosing, line(dosing, "07:00", "LO"), clock="08:00")
    assert len(dosing.events("low-felt")) == 1


def test_a_low_drops_a_meal_that_waits(dosing) -> None:
    dosing.say("2-3 slices of rye bread, glucose 110", "08:00")
    found = bring(dosing, line(dosing, "08:05", "61"), clock="08:10")
    assert "question-dropped" in found.codes
    assert dosing.say("2").data["dose"] is None


def test_a_dose_that_is_not_settled_is_not_dropped(dosing) -> None:
    dosing.say("took 4,5 units", "08:00")
    bring(dosing, line(dosing, "08:05", "61"), clock="08:10")
    assert "unsettled-dose" in dosing.say(f"{MEAL}, glucose 110").rules


# Not the reading of now


def test_a_meal_still_asks_for_its_reading(dosing) -> None:
    bring(dosing, line(dosing, "08:00", "162"), clock="08:00")
    found = dosing.say(MEAL)
    assert found.status == "asked"
    assert found.data["dose"] is None
    assert "162" not in found.text  # nor is it offered as the last one


@pytest.mark.parametrize("values", [["162"], ["90"], ["300"], ["61", "162"], ["LO"]])
def test_a_dose_is_the_same_or_none_after_an_import(dosing, values) -> None:
    """Whatever a file holds, the dose for a meal with its own reading does not change."""
    said_with_reading = f"{MEAL}, glucose 180"
    before = dosing.try_out(said_with_reading)
    lines = [line(dosing, f"06:{10 + n}", value) for n, value in enumerate(values)]
    bring(dosing, *lines)
    after = dosing.try_out(said_with_reading)
    assert after.data["dose"] == before.data["dose"]
    without = dosing.try_out(f"{MEAL}, no reading")
    assert without.data["dose"] is None or "correction_units" in without.data["dose"]
    if without.data["dose"] is not None:
        assert without.data["dose"]["correction_units"] == 0


def test_a_reading_to_come_is_left_out(dosing) -> None:
    found = bring(dosing, line(dosing, "09:00", "162"), clock="08:00")
    assert found.data["facts"]["import"]["left_out"][0]["reason"] == "to-come"
    assert dosing.events("readings-imported") == []


# Undo


def test_undo_takes_the_whole_import_back(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "112"), line(dosing, "07:00", "120"), clock="08:00")
    found = dosing.say("undo")
    assert "undone-import" in found.codes
    assert dosing.events("readings-imported") == []


def test_undo_of_an_import_keeps_its_low(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "112"), line(dosing, "07:00", "61"), clock="08:00")
    dosing.say("undo")
    assert "glucose-was-low" in dosing.say(f"{MEAL}, no reading").rules


def test_undo_of_an_import_keeps_what_may_be_a_low(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "112"), line(dosing, "07:00", "LO"), clock="08:00")
    dosing.say("undo")
    assert "low-was-felt" in dosing.say(f"{MEAL}, no reading").rules


def test_many_wrong_lines_are_all_in_json_and_twenty_are_told(dosing) -> None:
    lines = [line(dosing, f"06:{n:02d}", "6.2") for n in range(30)]
    found = bring(dosing, *lines, clock="08:00")
    assert found.codes.count("import-left") == 20
    assert "import-left-more" in found.codes
    assert len(found.data["facts"]["import"]["left_out"]) == 30

"""What a file may hold that is no reading: a low is never missed, and nothing vanishes unsaid."""

from datetime import timedelta

import pytest
from test_readings_import import MEAL, bring, line

from assistant.dialogue.diary_of import diary_of
from assistant.diary.entries import Days
from assistant.shell.report import visit_of


def diary(talk):
    with talk.store.reading() as (record, _):
        return diary_of(record)


@pytest.mark.parametrize(
    "raw",
    [
        "{t}+01:00,<40,mg/dL",
        "{t}+01:00,45 mg/dL,mg/dL",
        "{t}+01:00,LO (<20),mg/dL",
        "{t}+01:00,2.9*,mmol/L",
        "{t}+01:00,3,1,mmol/L",
        "{t},41,mg/dL",
        "2/3/2026 07:00,41,mg/dL",
        ",41,mg/dL",
    ],
)
def test_a_line_that_may_be_a_low_of_the_last_day_refuses(dosing, raw) -> None:
    found = bring(dosing, raw.format(t="2026-03-02T07:00"), clock="08:00")
    assert {"import-maybe-low", "import-low-shown"} & set(found.codes)
    refused = dosing.say(f"{MEAL}, no reading")
    assert refused.status == "refused"
    assert "low-was-felt" in refused.rules
    assert dosing.say(f"{MEAL}, glucose 110", "08:10").status == "answered"


def test_a_file_in_the_wrong_unit_brings_no_figure_and_no_dose(dosing) -> None:
    lines = [line(dosing, f"0{n}:00", v) for n, v in enumerate(("5.5", "22.1", "7.2", "20.4"), 3)]
    found = bring(dosing, *lines, clock="08:00")
    assert dosing.events("glucose-read") == []
    assert found.data["facts"]["import"]["new"] == 0
    assert dosing.say(f"{MEAL}, no reading").status == "refused"


def test_the_same_file_after_a_reading_brings_no_refusal_again(dosing) -> None:
    """The time without an offset may be later than the reading; but the line is known by then."""
    raw = ("2026-03-02T07:00,41,mg/dL", "2026-03-02T06:00,42,mg/dL")
    bring(dosing, *raw, clock="08:00")
    dosing.say("glucose 120", "08:05")
    found = bring(dosing, *raw, clock="08:10")
    assert "import-maybe-low" not in found.codes
    assert dosing.say(f"{MEAL}, no reading").status == "answered"


def test_an_import_after_a_reading_asks_about_a_time_that_may_be_later(dosing) -> None:
    dosing.say("glucose 120", "08:00")
    bring(dosing, "2026-03-02T07:00,41,mg/dL", clock="08:10")
    assert dosing.say(f"{MEAL}, no reading").status == "refused"


# Typed and imported


def test_a_reading_typed_with_seconds_and_imported_is_one(dosing) -> None:
    dosing.now = dosing.now.replace(hour=8, minute=0, second=10)
    dosing.say("glucose 162")
    again = bring(dosing, line(dosing, "08:00", "162"), clock="09:00")
    assert again.data["facts"]["import"]["known"] == 1
    assert len(diary(dosing).readings) == 1


def test_a_record_that_has_it_twice_already_counts_it_once(dosing) -> None:
    """As an older version kept it: imported to the minute, and typed with seconds."""
    bring(dosing, line(dosing, "08:00", "162"), clock="08:00")
    dosing.now = dosing.now.replace(hour=8, minute=0, second=10)
    dosing.say("glucose 162")
    assert len(diary(dosing).readings) == 1


def test_perhaps_the_same_reading_some_minutes_apart_is_told(dosing) -> None:
    dosing.say("glucose 162", "08:07")
    found = bring(dosing, line(dosing, "08:00", "162"), line(dosing, "07:00", "162"), clock="09:00")
    assert found.codes.count("import-twin") == 1
    assert "162 milligrams" in found.text
    assert "undo" in found.text
    assert len(diary(dosing).readings) == 3
    assert "missing-twins" in [x.code for x in report(dosing).missing]
    # what the sentence says to do works
    dosing.say("undo")
    bring(dosing, line(dosing, "07:00", "162"))
    assert len(diary(dosing).readings) == 2


# LO and HI


def report(talk):
    with talk.store.reading() as (record, foods):
        day = talk.now.date()
        return visit_of(record, foods, Days(day - timedelta(days=6), day), talk.now)


def test_an_old_lo_is_a_low_without_a_figure_in_the_report(dosing) -> None:
    dosing.say("glucose 112", "07:00")
    bring(dosing, line(dosing, "06:00", "LO", days=3), line(dosing, "06:30", "LO (<20)"),
          clock="08:00")  # fmt: skip
    found = report(dosing).figures
    assert [(low.at.day, low.at.hour, low.reading) for low in found.lows] == [
        (27, 6, None), (2, 6, None)]  # fmt: skip
    assert dosing.say("how was my glucose this week").codes.count("low-felt-at") == 1
    assert dosing.say(f"{MEAL}, no reading").status == "answered"  # both are before the reading


def test_a_lo_of_the_last_day_is_one_low_at_its_own_time(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "LO"), clock="08:00")
    (low,) = report(dosing).figures.lows
    assert (low.at.hour, low.at.minute) == (6, 0)
    dosing.say("undo", "08:01")  # what may hurt stays, and stays one of a file
    (low,) = report(dosing).figures.lows
    assert (low.at.hour, low.at.minute) == (6, 0)
    bring(dosing, line(dosing, "06:00", "LO"), clock="08:02")
    assert len(report(dosing).figures.lows) == 1


def test_a_lo_of_the_last_hour_brings_the_steps(dosing) -> None:
    assert "treat-low-1" in bring(dosing, line(dosing, "07:30", "LO"), clock="08:00").codes


def test_a_hi_is_told_as_missing(dosing) -> None:
    for _ in range(2):  # the second time it is known
        bring(dosing, line(dosing, "06:00", "HI", days=1), line(dosing, "06:30", "HI (>600)"),
              clock="08:00")  # fmt: skip
    found = report(dosing)
    assert len(found.figures.diary.highs) == 2
    assert "missing-highs" in [x.code for x in found.missing]


def test_a_line_that_may_be_a_low_is_told_as_missing_on_its_day(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "45 mg", days=3), clock="08:00")
    (at,) = report(dosing).figures.diary.unread
    assert at.day == 27
    assert "missing-unread" in [x.code for x in report(dosing).missing]


# Undo


def test_undo_of_an_import_with_a_low_does_not_say_that_the_low_is_gone(dosing) -> None:
    bring(dosing, line(dosing, "06:00", "112"), line(dosing, "07:00", "65"), clock="08:00")
    found = dosing.say("undo")
    assert "undone-glucose" not in found.codes
    assert "low-stays" in found.codes
    (kept,) = diary(dosing).readings
    assert kept.imported


def test_undo_of_an_import_of_nothing_but_a_low_keeps_it(dosing) -> None:
    bring(dosing, line(dosing, "07:00", "65"), clock="08:00")
    assert "low-stays" in dosing.say("undo").codes
    assert dosing.say(f"{MEAL}, no reading").status == "refused"


def test_undo_of_a_meal_with_a_low_does_not_say_that_the_low_is_gone(dosing) -> None:
    dosing.say(f"{MEAL}, glucose 61", "08:00")
    found = dosing.say("undo")
    assert "undone-glucose" not in found.codes
    assert "low-stays" in found.codes


def test_undo_of_a_typed_low_alone_takes_it_back(dosing) -> None:
    dosing.say("glucose 61", "08:00")
    assert "undone-glucose" in dosing.say("undo").codes
    assert diary(dosing).readings == ()

"""The numbers from the care team: the last said holds, and each hour has its own."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from assistant.dosing.settings import GlucoseSchedule, Schedule, Settings, WindowCap, fold
from assistant.values import Glucose

DAYS = [datetime(2026, 3, day, 8, 0, tzinfo=UTC) for day in range(1, 10)]

TWO = Schedule(((6 * 60, Fraction(10)), (11 * 60, Fraction(12))))


@pytest.mark.parametrize(
    ("clock", "start", "value"),
    [
        ("05:59:59", 660, 12), ("06:00:00", 360, 10), ("06:00:01", 360, 10),
        ("10:59:59", 360, 10), ("11:00:00", 660, 12), ("23:59:59", 660, 12),
        ("00:00:00", 660, 12), ("00:00:01", 660, 12),
    ],
)  # fmt: skip
def test_an_entry_holds_from_its_minute_to_the_next_over_midnight(clock, start, value):
    moment = datetime.fromisoformat(f"2026-03-02T{clock}+02:00")
    assert TWO.at(moment) == (start, value)


def test_an_entry_from_midnight_holds_from_midnight():
    schedule = Schedule(((0, Fraction(8)), (6 * 60, Fraction(10))))
    assert schedule.at(datetime(2026, 3, 2, 0, 0, tzinfo=UTC)) == (0, 8)
    assert schedule.at(datetime(2026, 3, 2, 5, 59, tzinfo=UTC)) == (0, 8)
    assert schedule.at(datetime(2026, 3, 1, 23, 59, 59, 999_999, tzinfo=UTC)) == (360, 10)


def test_the_clock_is_the_local_one_of_the_moment():
    """07:00 at +09:00 is 22:00 the day before at UTC: the wall clock decides."""
    assert TWO.at(datetime.fromisoformat("2026-03-02T07:00+09:00")) == (360, 10)


def test_a_glucose_schedule_gives_the_figure_in_the_unit_in_which_it_was_said():
    schedule = GlucoseSchedule("mmol/L", Schedule(((0, Fraction("2.5")),)))
    assert schedule.at(DAYS[0]) == Glucose(Fraction("2.5"), "mmol/L")


SAID = [
    ("policy", {"policy": "net"}, "policy", "net"),
    ("glucose_unit", {"unit": "mmol/L"}, "glucose_unit", "mmol/L"),
    ("ratio", {"from": [[360, "10"], [660, "12"]]}, "ratio", TWO),
    (
        "factor", {"unit": "mmol/L", "from": [[0, "5/2"]]}, "factor",
        GlucoseSchedule("mmol/L", Schedule(((0, Fraction(5, 2)),))),
    ),
    (
        "target", {"unit": "mg/dL", "from": [[0, "120"]]}, "target",
        GlucoseSchedule("mg/dL", Schedule(((0, Fraction(120)),))),
    ),
    ("duration", {"minutes": "270"}, "duration", timedelta(hours=4, minutes=30)),
    ("active_rule", {"off": "whole"}, "active_rule", "whole"),
    ("pen_step", {"units": "1/2"}, "pen_step", Fraction(1, 2)),
    ("rounding", {"rule": "nearest"}, "rounding", "nearest"),
    ("cap_dose", {"units": "8"}, "cap_dose", Fraction(8)),
    (
        "cap_window", {"units": "15", "minutes": "240"}, "cap_window",
        WindowCap(Fraction(15), timedelta(hours=4)),
    ),
    ("cap_meal", {"grams": "90.5"}, "cap_meal", Fraction("90.5")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value", "field", "held"), SAID, ids=[s[0] for s in SAID])
def test_each_setting_is_kept_exactly_with_since_when(name, value, field, held):
    settings = fold([(name, value, DAYS[0])])
    assert getattr(settings, field) == held
    assert settings.since == {name: DAYS[0]}
    untouched = Settings()
    others = [n for n in (*Settings.NEEDED, "policy", "glucose_unit", "cap_meal") if n != field]
    assert all(getattr(settings, n) == getattr(untouched, n) for n in others)


def test_the_last_of_each_name_holds_and_the_others_stay():
    said = [
        ("cap_dose", {"units": "8"}, DAYS[0]),
        ("pen_step", {"units": "1"}, DAYS[1]),
        ("cap_dose", {"units": "6"}, DAYS[2]),
        ("ratio", {"from": [[0, "10"]]}, DAYS[3]),
        ("ratio", {"from": [[0, "9"], [720, "11"]]}, DAYS[4]),
    ]
    settings = fold(said)
    assert settings.cap_dose == 6
    assert settings.pen_step == 1
    assert settings.ratio == Schedule(((0, Fraction(9)), (720, Fraction(11))))
    assert settings.since == {"cap_dose": DAYS[2], "pen_step": DAYS[1], "ratio": DAYS[4]}


def test_what_held_at_an_earlier_time_is_the_fold_up_to_it():
    said = [("cap_dose", {"units": str(n)}, DAYS[n]) for n in range(1, 6)]
    for n in range(1, 6):
        assert fold(said[:n]).cap_dose == n
        assert fold(said[:n]).since == {"cap_dose": DAYS[n]}


def test_each_kitchen_measure_keeps_its_own_last_figure():
    settings = fold(
        [
            ("kitchen", {"unit": "cup", "millilitres": "240"}, DAYS[0]),
            ("kitchen", {"unit": "tablespoon", "millilitres": "20"}, DAYS[1]),
            ("kitchen", {"unit": "cup", "millilitres": "250"}, DAYS[2]),
        ]
    )
    assert settings.kitchen == {"cup": 250, "tablespoon": 20}


def test_nothing_said_is_nothing_known():
    settings = fold([])
    assert settings == Settings()
    assert settings.missing() == Settings.NEEDED
    assert settings.untouched


def test_one_number_said_is_no_longer_untouched():
    assert not fold([("pen_step", {"units": "1"}, DAYS[0])]).untouched
    assert fold([("policy", {"policy": "total"}, DAYS[0])]).untouched


def test_a_setting_of_another_name_is_a_bug_not_a_silence():
    with pytest.raises(ValueError, match="no setting"):
        fold([("ratoi", {"from": [[0, "10"]]}, DAYS[0])])


def test_folding_one_history_does_not_touch_another():
    first = fold([("kitchen", {"unit": "cup", "millilitres": "240"}, DAYS[0])])
    second = fold([("kitchen", {"unit": "cup", "millilitres": "250"}, DAYS[0])])
    assert (first.kitchen["cup"], second.kitchen["cup"]) == (240, 250)
    assert fold([]).kitchen == {}

"""The numbers from the care team: the last said holds, and each hour has its own."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from assistant.dosing.settings import (
    GlucoseSchedule,
    Schedule,
    Settings,
    WindowCap,
    fold,
    span_of,
    topic,
)
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


# Settings whose journal value has a key of its own, and those that only counting needs.

MORE = [
    ("label_region", {"region": "EU"}, "label_region", "EU"),
    ("active_shape", {"shape": "curve"}, "active_shape", "curve"),
    ("couple", {"number": "3"}, "couple", Fraction(3)),
    ("max_reduction", {"share": "2/5"}, "max_reduction", Fraction(2, 5)),
    ("ask_range", {"share": "1/8"}, "ask_range", Fraction(1, 8)),
    ("reading_age", {"minutes": "45/2"}, "reading_age", timedelta(minutes=22, seconds=30)),
    ("avoid", {"words": ["peanut", "milk"]}, "avoid", ("peanut", "milk")),
]


@pytest.mark.parametrize(("name", "value", "field", "held"), MORE, ids=[s[0] for s in MORE])
def test_each_other_setting_is_kept_exactly_too(name, value, field, held):
    assert getattr(fold([(name, value, DAYS[0])]), field) == held


def test_each_sugar_alcohol_keeps_its_own_last_share_with_since_when():
    settings = fold(
        [
            ("polyols", {"name": "erythritol", "counts": "0"}, DAYS[0]),
            ("polyols", {"name": "maltitol", "counts": "3/4"}, DAYS[1]),
            ("polyols", {"name": "erythritol", "counts": "1/10"}, DAYS[2]),
            ("kitchen", {"unit": "cup", "millilitres": "250"}, DAYS[3]),
        ]
    )
    assert settings.polyols == {"erythritol": Fraction(1, 10), "maltitol": Fraction(3, 4)}
    assert settings.kitchen == {"cup": 250}
    assert settings.since == {"polyols": DAYS[2], "kitchen": DAYS[3]}


def test_the_numbers_that_a_dose_needs_are_these():
    """The first talk and the README name them: without any one of them there is no dose."""
    assert set(Settings.NEEDED) == {
        "ratio", "factor", "target", "duration", "active_shape", "active_rule", "pen_step",
        "rounding", "cap_dose", "cap_window",
    }  # fmt: skip


def glucose(schedule: Schedule) -> GlucoseSchedule:
    return GlucoseSchedule("mg/dL", schedule)


ONE = Schedule(((0, Fraction(10)),))
OTHER = Schedule(((0, Fraction(10)), (360, Fraction(11)), (720, Fraction(12))))


@pytest.mark.parametrize(
    ("settings", "names"),
    [
        (Settings(), ()),
        (Settings(ratio=ONE, factor=glucose(ONE), target=glucose(ONE)), ()),
        (Settings(ratio=TWO, factor=glucose(ONE), target=glucose(ONE)), ("ratio",)),
        (Settings(ratio=ONE, factor=glucose(TWO), target=glucose(ONE)), ("factor",)),
        (Settings(ratio=ONE, factor=glucose(ONE), target=glucose(OTHER)), ("target",)),
        (Settings(factor=glucose(TWO)), ("factor",)),
        (
            Settings(ratio=OTHER, factor=glucose(TWO), target=glucose(TWO)),
            ("ratio", "factor", "target"),
        ),
    ],
)
def test_settings_by_time_of_day_are_those_with_more_than_one_value(settings, names):
    assert settings.by_time_of_day() == names


@pytest.mark.parametrize(
    ("name", "value", "of"),
    [
        ("ratio", {"from": [[0, "10"]]}, "ratio"),
        ("cap_dose", {"units": "8", "name": "x", "unit": "y"}, "cap_dose"),
        ("kitchen", {"unit": "cup", "millilitres": "250"}, "kitchen cup"),
        ("kitchen", {"unit": "mug", "millilitres": "300"}, "kitchen mug"),
        ("polyols", {"name": "maltitol", "counts": "1"}, "polyols maltitol"),
    ],
)
def test_what_a_setting_replaces(name, value, of):
    """One name is one topic; each kitchen measure and each sugar alcohol has its own."""
    assert topic(name, value) == of


@pytest.mark.parametrize(
    ("minutes", "span"),
    [
        ("0", timedelta(0)), ("1", timedelta(minutes=1)), ("1440", timedelta(days=1)),
        ("1/60", timedelta(seconds=1)), ("1/60000000", timedelta(microseconds=1)),
        # a third of a second, to the nearest microsecond
        ("1/180", timedelta(microseconds=333_333)),
    ],
)  # fmt: skip
def test_a_span_of_minutes_is_exact_to_the_microsecond(minutes, span):
    assert span_of(Fraction(minutes)) == span


def test_the_last_entry_of_several_holds_over_midnight():
    for clock in ("00:00", "05:59"):
        moment = datetime.fromisoformat(f"2026-03-02T{clock}+00:00")
        three = Schedule(((360, Fraction(1)), (720, Fraction(2)), (1080, Fraction(3))))
        assert three.at(moment) == (1080, 3)


def test_the_minutes_of_the_hour_count_forward():
    """An entry from 7:30 does not hold at 7:29, and does at 7:31."""
    half_past = Schedule(((0, Fraction(1)), (450, Fraction(2))))
    for clock, value in (("06:31", 1), ("07:29", 1), ("07:30", 2), ("07:31", 2), ("08:01", 2)):
        moment = datetime.fromisoformat(f"2026-03-02T{clock}+00:00")
        assert half_past.at(moment)[1] == value


def test_whether_only_counting_was_ever_said():
    assert Settings(policy="net", cap_meal=Fraction(90)).untouched is True
    assert Settings(rounding="down").untouched is False

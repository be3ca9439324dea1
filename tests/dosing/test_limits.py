"""The user's limits: what raises one, and what does not. A larger figure allows more.

The rule: a limit is lowered at once, and a higher one is told with the next doses. A cap over hours
also allows more when its hours are fewer. Figures are invented.
"""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from assistant.dosing.limits import LIMITS, raised, raises
from assistant.dosing.settings import Settings, WindowCap
from assistant.dosing.working import Raised

AT = [datetime(2026, 3, day, 8, 0, tzinfo=UTC) for day in range(1, 12)]
SAID = {
    "cap_dose": ({"units": "8"}, {"units": "17/2"}, Fraction(8), Fraction(17, 2)),
    "cap_meal": ({"grams": "80"}, {"grams": "80.5"}, Fraction(80), Fraction("80.5")),
    "max_reduction": ({"share": "1/5"}, {"share": "1/4"}, Fraction(1, 5), Fraction(1, 4)),
    "reading_age": ({"minutes": "15"}, {"minutes": "90"}, Fraction(15), Fraction(90)),
    "ask_range": ({"share": "1/10"}, {"share": "1/5"}, Fraction(1, 10), Fraction(1, 5)),
}


def window(units: str, **span: float) -> Settings:
    return Settings(cap_window=WindowCap(Fraction(units), timedelta(**span)))


def said_window(units: str, minutes: int) -> dict[str, str]:
    return {"units": units, "minutes": str(minutes)}


def test_the_limits_are_the_settings_that_only_forbid_or_ask():
    assert set(LIMITS) == {*SAID, "cap_window"}
    assert len(LIMITS) == 6


@pytest.mark.parametrize("name", SAID)
def test_a_higher_figure_raises_and_tells_both(name):
    low, high, old, new = SAID[name]
    said = [(name, low, AT[0]), (name, high, AT[1])]
    assert raises(said) == ((1, Raised(name, old, new, AT[1])),)


@pytest.mark.parametrize("name", SAID)
def test_a_lower_figure_or_the_same_again_raises_nothing(name):
    low, high, _, _ = SAID[name]
    assert raises([(name, high, AT[0]), (name, low, AT[1])]) == ()
    assert raises([(name, low, AT[0]), (name, low, AT[1])]) == ()


@pytest.mark.parametrize("name", LIMITS)
def test_a_first_figure_raises_nothing(name):
    value = said_window("10", 240) if name == "cap_window" else SAID[name][0]
    assert raises([(name, value, AT[0])]) == ()
    assert raised(name, Settings(), Settings(), AT[0]) is None


@pytest.mark.parametrize(
    ("old", "new", "rises"),
    [
        (("10", 4), ("10", 4), False), (("10", 4), ("9", 4), False), (("10", 4), ("10", 5), False),
        (("10", 4), ("9", 5), False), (("10", 4), ("11", 4), True), (("10", 4), ("10", 3), True),
        # less units in fewer hours, more units in more hours: both may allow more in a day
        (("10", 4), ("9", 3), True), (("10", 4), ("11", 5), True),
    ],
)  # fmt: skip
def test_a_window_allows_more_with_more_units_or_fewer_hours(old, new, rises):
    before, after = (window(units, hours=hours) for units, hours in (old, new))
    told = Raised(
        "cap_window", Fraction(old[0]), Fraction(new[0]), AT[0], Fraction(old[1]), Fraction(new[1])
    )
    assert raised("cap_window", before, after, AT[0]) == (told if rises else None)


def test_the_hours_of_a_window_are_told_exactly():
    before = window("10", days=1, minutes=90)
    after = window("10", minutes=20, microseconds=1)
    told = raised("cap_window", before, after, AT[0])
    assert told is not None
    assert told.old_hours == Fraction(51, 2)
    assert told.hours == Fraction(1, 3) + Fraction(1, 3_600_000_000)


def test_a_cap_taken_away_or_new_is_no_raising_by_itself():
    """No sentence takes a cap away; where one side has no figure there is nothing to compare."""
    with_cap = window("10", hours=4)
    assert raised("cap_window", with_cap, Settings(), AT[0]) is None
    assert raised("cap_window", Settings(), with_cap, AT[0]) is None
    dose = Settings(cap_dose=Fraction(8))
    assert raised("cap_dose", dose, Settings(), AT[0]) is None
    assert raised("cap_dose", Settings(), dose, AT[0]) is None


def test_each_raising_has_its_place_among_all_that_was_said():
    """Other settings count for the place and are passed over; each limit is compared with its own
    last figure, raised or lowered."""
    said = [
        ("ratio", {"from": [[0, "10"]]}, AT[0]),
        ("cap_dose", {"units": "8"}, AT[1]),
        ("cap_meal", {"grams": "80"}, AT[2]),
        ("cap_dose", {"units": "6"}, AT[3]),
        ("pen_step", {"units": "1"}, AT[4]),
        ("cap_dose", {"units": "7"}, AT[5]),
        ("cap_meal", {"grams": "90"}, AT[6]),
        ("cap_dose", {"units": "9"}, AT[7]),
    ]
    assert raises(said) == (
        (5, Raised("cap_dose", Fraction(6), Fraction(7), AT[5])),
        (6, Raised("cap_meal", Fraction(80), Fraction(90), AT[6])),
        (7, Raised("cap_dose", Fraction(7), Fraction(9), AT[7])),
    )


def test_a_window_said_again_is_compared_as_a_window():
    said = [
        ("cap_window", said_window("10", 240), AT[0]),
        ("cap_window", said_window("10", 180), AT[1]),
    ]
    step = Raised("cap_window", Fraction(10), Fraction(10), AT[1], Fraction(4), Fraction(3))
    assert raises(said) == ((1, step),)


def test_a_setting_that_is_no_limit_is_never_a_raising():
    said = [
        (name, value, AT[day])
        for day in (0, 1)
        for name, value in (
            ("pen_step", {"units": str(day + 1)}), ("ratio", {"from": [[0, str(10 + day)]]}),
            ("duration", {"minutes": str(240 + day)}), ("couple", {"number": str(2 + day)}),
        )
    ]  # fmt: skip
    assert raises(said) == ()


def test_what_was_lowered_again_is_told_as_far_as_it_is_still_higher():
    """Raised from 8 to 12 and lowered to 9 is raised from 8 to 9, since the raising; from 8 down
    to 8 or below nothing is raised any more. Other limits are left as they are."""
    start = [
        ("cap_meal", {"grams": "80"}, AT[0]),
        ("cap_dose", {"units": "8"}, AT[1]),
        ("cap_meal", {"grams": "90"}, AT[2]),
        ("cap_dose", {"units": "12"}, AT[3]),
    ]
    meal = (2, Raised("cap_meal", Fraction(80), Fraction(90), AT[2]))
    nine = (3, Raised("cap_dose", Fraction(8), Fraction(9), AT[3]))
    assert raises([*start, ("cap_dose", {"units": "9"}, AT[4])]) == (meal, nine)
    for low in ("8", "6"):
        assert raises([*start, ("cap_dose", {"units": low}, AT[4])]) == (meal,)
    lowered = [*start, ("cap_dose", {"units": "9"}, AT[4]), ("cap_meal", {"grams": "70"}, AT[5])]
    assert raises(lowered) == (nine,)
    again = [*start, ("cap_dose", {"units": "10"}, AT[4]), ("cap_dose", {"units": "9"}, AT[5])]
    assert raises(again) == (meal, nine)


def test_a_longer_window_takes_a_raising_back():
    said = [("cap_window", said_window("10", minutes), AT[n]) for n, minutes in
            enumerate((240, 180, 240))]  # fmt: skip
    assert raises(said) == ()
    wider = [*said[:2], ("cap_window", said_window("10", 200), AT[2])]
    step = Raised("cap_window", Fraction(10), Fraction(10), AT[1], Fraction(4), Fraction(10, 3))
    assert raises(wider) == ((1, step),)

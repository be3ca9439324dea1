"""Entries of a day, one walk for all days: the same as a range of that one day gives."""

from datetime import date, datetime, timedelta, timezone
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from assistant.diary.entries import Days, Declined, Diary, Dose, Meal, Reading, Refusal
from assistant.values import Glucose, Ranged

OFFSETS = st.sampled_from([-8, -3, 0, 1, 5, 12]).map(lambda h: timezone(timedelta(hours=h)))
TIMES = st.builds(
    lambda minute, zone: datetime(2026, 3, 1, tzinfo=zone) + timedelta(minutes=minute),
    st.integers(0, 6 * 1440), OFFSETS,
)  # fmt: skip


def several(make):
    return st.lists(TIMES, max_size=6).map(lambda times: tuple(make(at) for at in sorted(times)))


DIARIES = st.builds(
    Diary,
    readings=several(lambda at: Reading(Glucose(Fraction(100), "mg/dL"), at)),
    meals=several(lambda at: Meal(at, "x", (), Ranged.exactly(Fraction(10)))),
    doses=several(lambda at: Dose(Fraction(1), at)),
    refusals=several(lambda at: Refusal(at, "x", ())),
    declined=several(lambda at: Declined(Fraction(1), at)),
    felt=several(lambda at: at),
    highs=several(lambda at: at),
)


@given(DIARIES)
def test_each_day_has_what_a_range_of_that_day_has(diary):
    found = diary.by_day()
    first = date(2026, 2, 27)
    for day in Days(first, first + timedelta(days=12)):
        assert found.get(day, Diary()) == diary.within(Days(day, day))
    assert all(each != Diary() for each in found.values())


@given(DIARIES, st.lists(TIMES, max_size=2))
def test_clocks_differ_where_two_offsets_are_carried(diary, more):
    offsets = {at.utcoffset() for at in diary.times()} | {at.utcoffset() for at in more}
    assert diary.clocks_differ(*more) == (len(offsets) > 1)

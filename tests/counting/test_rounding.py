"""The range behind a printed figure holds every true amount that the law lets print so.

The law is written here a second time, from its text, the other way round: from a true amount to
what may be printed. True amounts are laid finely, on and beside each breakpoint.
"""

from collections.abc import Iterator
from fractions import Fraction

import pytest

from assistant.counting.facts import Nutrient
from assistant.counting.rounding import printed_range

FINE = Fraction(1, 400)
HALF = Fraction(1, 2)


def true_amounts(until: int) -> Iterator[Fraction]:
    """Every FINE step from nought, with a hair to each side."""
    for n in range(until * 400 + 1):
        at = n * FINE
        yield at
        yield at + Fraction(1, 100_000)
        if n:
            yield at - Fraction(1, 100_000)


def nearest(true: Fraction, step: Fraction) -> set[Fraction]:
    """The nearest multiple; both where there are two, since the laws do not settle ties."""
    below = true - true % step
    above = below + step
    if true - below == above - true:
        return {below, above}
    return {below} if true - below < above - true else {above}


def us_prints(true: Fraction) -> set[Nutrient]:
    """21 CFR 101.9(c)(6) and (c)(7), FDA labelling guide, appendix H.

    Carbohydrate, fibre, sugars, sugar alcohol, protein: under 0.5 g may be 0; under 1 g may be
    "less than 1 g", and from 0.5 g also 1 g; from 1 g the nearest gram.
    """
    less_than_one = Nutrient(Fraction(1), "g", below=True)
    if true < HALF:
        return {Nutrient(Fraction(0), "g"), less_than_one}
    if true < 1:
        return {Nutrient(Fraction(1), "g"), less_than_one}
    return {Nutrient(g, "g") for g in nearest(true, Fraction(1))}


def eu_prints(true: Fraction) -> set[Nutrient]:
    """Commission guidance on tolerances, December 2012, section 6, table 4.

    Carbohydrate, sugars, protein, fibre, polyols: from 10 g the nearest gram; between 0.5 and
    10 g the nearest 0.1 g; up to 0.5 g "0 g" or "<0.5 g". A tenth of nought may be left unprinted.
    """
    if true <= HALF:
        return {Nutrient(Fraction(0), "g"), Nutrient(HALF, "g", below=True, decimals=1)}
    if true >= 10:
        return {Nutrient(g, "g") for g in nearest(true, Fraction(1))}
    tenths = nearest(true, Fraction(1, 10))
    short = {Nutrient(g, "g") for g in tenths if g.denominator == 1}
    return short | {Nutrient(g, "g", decimals=1) for g in tenths}


@pytest.mark.parametrize("region", ["US", "CA", "JP"])
def test_the_us_range_holds_every_true_amount_that_prints_so(region):
    """US rule by its source; Canada and Japan read as it (common practice, no source)."""
    for true in true_amounts(12):
        for printed in us_prints(true):
            found = printed_range(printed, region)
            assert found.low <= true <= found.high, (true, printed, found)


@pytest.mark.more
@pytest.mark.parametrize("region", ["EU", "UK", "AU", "NZ"])
def test_the_eu_range_holds_every_true_amount_that_prints_so(region):
    """EU rule by its source; UK, Australia and New Zealand as it (common practice, no source)."""
    for true in true_amounts(12):
        for printed in eu_prints(true):
            found = printed_range(printed, region)
            assert found.low <= true <= found.high, (true, printed, found)


def test_less_than_one_gram_may_stand_for_any_amount_under_one():
    """101.9(c)(6): "less than 1 gram" is open to every amount under 1 g; 0 is only an option.

    The wording "may be expressed as zero" is from memory; appendix H as read allows "less than
    1 g" for any amount under 1 g.
    """
    found = printed_range(Nutrient(Fraction(1), "g", below=True), "US")
    for true in (Fraction(0), Fraction(1, 10), Fraction(49, 100), Fraction(99, 100)):
        assert found.low <= true <= found.high


@pytest.mark.parametrize(
    ("printed", "region", "low", "high"),
    [
        # US: nearest gram from 1 g; 1 g also for 0.5 g and more; 0 for less than 0.5 g.
        (Nutrient(Fraction(0), "g"), "US", "0", "0.5"),
        (Nutrient(Fraction(1), "g"), "US", "0.5", "1.5"),
        (Nutrient(Fraction(2), "g"), "US", "1.5", "2.5"),
        (Nutrient(Fraction(27), "g"), "US", "26.5", "27.5"),
        (Nutrient(Fraction(120), "g"), "CA", "119.5", "120.5"),
        # Printed finer than the law asks: the last printed digit, but nought still hides 0.5 g.
        (Nutrient(Fraction("12.5"), "g", decimals=1), "US", "12.45", "12.55"),
        (Nutrient(Fraction("0.3"), "g", decimals=1), "US", "0.25", "0.35"),
        (Nutrient(Fraction(0), "g", decimals=1), "US", "0", "0.5"),
        (Nutrient(Fraction(0), "g", decimals=1), "EU", "0", "0.5"),
        # EU: 0 and "<0.5 g" for up to 0.5 g; nearest tenth to 10 g; nearest gram from there.
        (Nutrient(Fraction(0), "g"), "EU", "0", "0.5"),
        (Nutrient(HALF, "g", below=True, decimals=1), "EU", "0", "0.5"),
        (Nutrient(Fraction("4.7"), "g", decimals=1), "EU", "4.65", "4.75"),
        (Nutrient(Fraction(5), "g"), "EU", "4.95", "5.05"),
        (Nutrient(Fraction(60), "g"), "EU", "59.5", "60.5"),
        (Nutrient(Fraction("60.4"), "g", decimals=1), "UK", "60.35", "60.45"),
        (Nutrient(Fraction("4.80"), "g", decimals=2), "AU", "4.795", "4.805"),
    ],
)
def test_the_range_is_the_laws_own(printed, region, low, high):
    found = printed_range(printed, region)
    assert (found.low, found.value, found.high) == (Fraction(low), printed.value, Fraction(high))


def test_the_us_range_is_not_wider_than_the_law_allows():
    """Every amount inside the range, its ends apart, does print so."""
    printed = {p for true in true_amounts(12) for p in us_prints(true)}
    for figure in printed:
        found = printed_range(figure, "US")
        for part in range(1, 100):
            true = found.low + found.width * part / 100
            assert figure in us_prints(true), (true, figure)


def test_the_eu_range_is_not_wider_than_the_law_allows():
    """The same; 0.5 and 10, where one row of the table ends, may borrow from the row beside."""
    printed = {p for true in true_amounts(12) for p in eu_prints(true)}
    for figure in printed:
        found = printed_range(figure, "EU")
        if figure.value in {HALF, Fraction(10)}:
            assert found.width <= (1 if figure.value == 10 else HALF)
            continue
        for part in range(1, 100):
            true = found.low + found.width * part / 100
            assert figure in eu_prints(true), (true, figure)


@pytest.mark.parametrize("region", ["US", "CA", "JP", "EU", "UK", "AU", "NZ"])
def test_the_printed_figure_is_in_its_own_range_and_nothing_is_negative(region):
    for tenths in range(400):
        for decimals in (0, 1, 2):
            for below in (False, True):
                value = Fraction(tenths, 10) if decimals else Fraction(tenths)
                found = printed_range(Nutrient(value, "g", below, decimals), region)
                assert 0 <= found.low <= found.value <= found.high


# A table of food composition: no law of labels, so its last digit, or what it says of itself.


@pytest.mark.parametrize("region", ["table-total", "table-available"])
@pytest.mark.parametrize(
    ("figure", "low", "high"),
    [
        (Nutrient(Fraction("28.17"), "g", decimals=2), "28.165", "28.175"),
        (Nutrient(Fraction("4.7"), "g", decimals=1), "4.65", "4.75"),
        (Nutrient(Fraction(27), "g"), "26.5", "27.5"),
        # no law lets a table print nought for half a gram: its last digit alone; nothing below 0
        (Nutrient(Fraction("0.0"), "g", decimals=1), "0", "0.05"),
        (Nutrient(Fraction(0), "g"), "0", "0.5"),
        # worked out from a figure that was rounded a serving: off by what it says
        (Nutrient(Fraction("12.5"), "g", decimals=1, off_by=Fraction(2)), "10.5", "14.5"),
        (Nutrient(Fraction(1), "g", off_by=Fraction(3, 2)), "0", "2.5"),
        (Nutrient(Fraction(1), "g", off_by=Fraction(0)), "1", "1"),
        # "<0.05"
        (Nutrient(Fraction("0.05"), "g", below=True, decimals=2), "0", "0.05"),
        (Nutrient(Fraction("0.05"), "g", below=True, off_by=Fraction(1)), "0", "0.05"),
    ],
)
def test_a_figure_of_a_table_is_off_by_its_last_digit_or_as_it_says(region, figure, low, high):
    found = printed_range(figure, region)
    assert (found.low, found.value, found.high) == (Fraction(low), figure.value, Fraction(high))

"""Bands against the consensus; spreads against the standard library's statistics module."""

import statistics
from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.diary.bands import BANDS, STABLE_CV, band, counted, share
from assistant.diary.entries import Reading
from assistant.diary.spread import quantile, root, spread
from assistant.values import Glucose

# Battelino et al., Diabetes Care 2019;42:1593: <54, 54-69, 70-180, 181-250, >250 mg/dL;
# <3.0, 3.0-3.8, 3.9-10.0, 10.1-13.9, >13.9 mmol/L. Both ends of each printed band.
EDGES = [
    ("mg/dL", "very-low", ["20", "53"]),
    ("mg/dL", "low", ["54", "69"]),
    ("mg/dL", "in-range", ["70", "180"]),
    ("mg/dL", "high", ["181", "250"]),
    ("mg/dL", "very-high", ["251", "600"]),
    ("mmol/L", "very-low", ["1.1", "2.9"]),
    ("mmol/L", "low", ["3.0", "3.8"]),
    ("mmol/L", "in-range", ["3.9", "10.0"]),
    ("mmol/L", "high", ["10.1", "13.9"]),
    ("mmol/L", "very-high", ["14.0", "33.3"]),
]


@pytest.mark.parametrize(("unit", "name", "values"), EDGES)
def test_bands_of_the_consensus(unit, name, values) -> None:
    assert [band(Glucose(Fraction(v), unit)) for v in values] == [name, name]


def test_every_reading_is_in_one_band_and_shares_come_to_the_whole() -> None:
    at = datetime(2026, 3, 2, tzinfo=UTC)
    readings = [Reading(Glucose(Fraction(v), "mg/dL"), at) for v in range(20, 601, 7)]
    found = counted(readings)
    assert tuple(found) == BANDS
    assert sum(found.values()) == len(readings)
    assert sum(share(n, len(readings)) for n in found.values()) == 100


def test_the_stable_coefficient_of_variation_is_the_published_one() -> None:
    assert STABLE_CV == 36  # Battelino et al. 2019, table of standardised sensor metrics


levels = st.lists(st.fractions(20, 600, max_denominator=10), min_size=1, max_size=60)


@given(levels)
def test_mean_and_median_are_exact(values) -> None:
    found = spread(values)
    assert found.mean == statistics.mean(values)
    assert found.median == statistics.median(values)
    assert (found.n, found.low, found.high) == (len(values), min(values), max(values))


@given(levels.filter(lambda v: len(v) > 1))
def test_standard_deviation_and_cv_as_the_statistics_module_has_them(values) -> None:
    found = spread(values)
    expected = statistics.stdev(values)
    assert float(found.sd) == pytest.approx(expected, rel=1e-9, abs=1e-12)
    assert float(found.cv) == pytest.approx(100 * expected / float(statistics.mean(values)),
                                            rel=1e-9, abs=1e-12)  # fmt: skip
    # to 20 decimals: half a unit of the last one, squared error below 2 * sd * 0.5e-20 + ...
    assert abs(found.sd**2 - statistics.variance(values)) <= (2 * found.sd + 1) * Fraction(
        1, 10**20
    )


@given(levels.filter(lambda v: len(v) > 1))
def test_quartiles_as_the_statistics_module_has_them(values) -> None:
    expected = statistics.quantiles(values, n=4, method="inclusive")
    assert [quantile(values, Fraction(n, 4)) for n in (1, 2, 3)] == expected


def test_by_hand() -> None:
    # 100, 110, 150: mean 120; squares 400 + 100 + 900 = 1400, over 2 is 700; root 26.4575131106...
    found = spread([Fraction(100), Fraction(110), Fraction(150)])
    assert found.mean == 120
    assert str(float(round(found.sd, 10))) == "26.4575131106"
    assert float(round(found.cv, 4)) == 22.0479


def test_root_of_two_to_twenty_decimals() -> None:
    # 1.41421356237309504880168872... (any table of square roots)
    assert root(Fraction(2)) == Fraction("1.41421356237309504880")


def test_one_figure_has_no_deviation_and_none_has_no_spread() -> None:
    assert spread([Fraction(5)]).sd is None
    assert spread([Fraction(5)]).cv is None
    assert spread([]) is None

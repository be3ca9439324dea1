"""Glucose in both units, ranges, and decimals as text."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import fractions, ranged

from assistant.values import Glucose, Ranged, decimal_text


@pytest.mark.parametrize(
    ("mg_dl", "mmol_l", "places"),
    [
        # Molar mass 180.156 g/mol, so 18.0156 mg/dL are 1 mmol/L; printed conversions.
        ("70", "3.886", 3), ("54", "2.997", 3), ("180", "9.991", 3), ("250", "13.877", 3),
        ("240", "13.32", 2),
        # The same, as the one-decimal figures of glucose guidelines.
        ("70", "3.9", 1), ("54", "3.0", 1), ("180", "10.0", 1), ("250", "13.9", 1),
    ],
)  # fmt: skip
def test_mg_dl_become_the_published_mmol_l(mg_dl, mmol_l, places):
    found = Glucose(Fraction(mg_dl), "mg/dL").as_unit("mmol/L")
    assert abs(found - Fraction(mmol_l)) <= Fraction(1, 2 * 10**places)


def test_mmol_l_become_the_published_mg_dl():
    """14 mmol/L is 252.2 mg/dL; 7 mmol/L is exactly 126.1092 by the arithmetic shown there."""
    assert abs(Glucose(Fraction(14), "mmol/L").mg_dl - Fraction("252.2")) <= Fraction("0.05")
    assert Glucose(Fraction(7), "mmol/L").mg_dl == Fraction("126.1092")


def test_neither_the_teaching_sheets_eighteen_nor_a_wrong_molar_mass_is_used():
    """Sheets divide by 18; some sites print 18.0182, from a mass of 180.182."""
    one = Glucose(Fraction(1), "mmol/L").mg_dl
    assert one == Fraction("18.0156")
    assert one not in {Fraction(18), Fraction("18.0182")}


@given(fractions("0", "600"))
def test_there_and_back_is_exactly_the_same(value):
    there = Glucose(value, "mg/dL").as_unit("mmol/L")
    assert Glucose(there, "mmol/L").as_unit("mg/dL") == value
    assert Glucose(value, "mg/dL").mg_dl == value
    assert Glucose(value, "mmol/L").as_unit("mmol/L") == value


@st.composite
def within(draw: st.DrawFn) -> tuple[Ranged, Fraction]:
    """A range and a true figure inside it."""
    whole = draw(ranged("100"))
    return whole, whole.low + whole.width * draw(fractions("0", "1"))


@given(within(), within())
def test_the_sum_and_the_difference_hold_every_pair_of_true_figures(one, other):
    (a, x), (b, y) = one, other
    total = a + b
    assert total.low <= x + y <= total.high
    assert total.value == a.value + b.value
    less = a.minus(b)
    assert less.low <= max(Fraction(0), x - y)
    assert x - y <= less.high
    assert less.value == a.value - b.value
    assert less.low >= 0


@given(within(), fractions("0", "20"))
def test_scaling_holds_every_true_figure(one, factor):
    a, x = one
    assert a.times(factor).low <= x * factor <= a.times(factor).high
    assert a.times(factor).width == a.width * factor


@given(ranged(), ranged(), ranged())
def test_adding_has_no_order(a, b, c):
    assert a + b == b + a
    assert (a + b) + c == a + (b + c)
    assert a + Ranged.exactly(Fraction(0)) == a
    assert (a + b).width == a.width + b.width


@given(ranged(), ranged(), fractions("0", "9"))
def test_scaling_a_sum_is_summing_what_was_scaled(a, b, factor):
    assert (a + b).times(factor) == a.times(factor) + b.times(factor)


@given(fractions("0", "100"))
def test_a_figure_without_doubt_has_no_width(value):
    assert Ranged.exactly(value) == Ranged(value, value, value)
    assert Ranged.exactly(value).width == 0


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("4.5", "4.5"), ("4", "4"), ("0", "0"), ("100", "100"), ("0.05", "0.05"), ("-0.5", "-0.5"),
        ("-12", "-12"), ("1/8", "0.125"), ("1/3", "1/3"), ("-1/3", "-1/3"), ("22/15", "22/15"),
        ("10.25", "10.25"), ("0.000000001", "0.000000001"), ("1200.10", "1200.1"),
    ],
)  # fmt: skip
def test_a_decimal_is_written_as_it_would_be_typed(value, text):
    assert decimal_text(Fraction(value)) == text


@given(st.fractions(-1000, 1000))
def test_the_text_reads_back_as_exactly_the_figure(value):
    assert Fraction(decimal_text(value)) == value

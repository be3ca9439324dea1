"""Figures, names, barcodes and measures as tables write them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.counting.facts import Nutrient
from assistant.importing import figures, measures, names


@pytest.mark.parametrize(
    ("text", "comma", "value", "decimals", "below"),
    [
        ("1.50", False, "1.5", 2, False),
        (" 27 ", False, "27", 0, False),
        (".5", False, "0.5", 1, False),
        ("1,50", True, "1.5", 2, False),
        ("< 0,05", True, "0.05", 2, True),
        ("<0.5", False, "0.5", 1, True),
        ("0", False, "0", 0, False),
        ("1E+1", False, "10", 0, False),
        ("2.5e-3", False, "0.0025", 4, False),
    ],
)
def test_a_figure_is_exact(text, comma, value, decimals, below):
    assert figures.read(text, "g", comma=comma) == Nutrient(Fraction(value), "g", below, decimals)


@pytest.mark.parametrize("text", ["", "-", " - ", None, "N", "n/a"])
def test_a_missing_figure_is_a_state(text):
    assert figures.read(text, "g") == figures.NoFigure("missing")


@pytest.mark.parametrize("text", ["tr", "Traces", "trace"])
def test_a_trace_is_a_state(text):
    assert figures.read(text, "g") == figures.NoFigure("trace")


@pytest.mark.parametrize(
    "text", ["1,5", "-3", "1.2.3", "12 g", "1 000", "NaN", "inf", "1e999", "½"]
)
def test_what_is_no_figure_is_odd(text):
    assert figures.read(text, "g") == figures.NoFigure("odd")


@given(st.fractions(0, 1000, max_denominator=1).map(int), st.integers(0, 999))
def test_any_decimal_reads_back(whole, part):
    text = f"{whole}.{part:03}"
    assert figures.read(text, "g").value == Fraction(text)
    assert figures.read(text.replace(".", ","), "g", comma=True).value == Fraction(text)


def test_thirds_are_thirds():
    """.333 cup of dry oats is 27 g where a cup is 81 g (USDA release 28, number 08120)."""
    assert figures.count(".333") == Fraction(27, 81)
    assert figures.amount(".5") == Fraction(1, 2)
    assert figures.amount("0") is figures.amount("-") is figures.amount("<1") is None


@pytest.mark.parametrize(
    ("text", "clean"),
    [
        ("Oat\tcereal\r\n", "Oat cereal"),
        ("\x1b[2J\x1b]0;title\x07Milk", "Milk"),
        ("a\u202eb\u200fc", "a b c"),
        ('medium (3" dia)', "medium (3 in dia)"),
        ('slice (1/4" thick)', "slice (1/4 in thick)"),
        ('"Fine" bread [mill]', "'Fine' bread (mill)"),
        ("Cre\u0301me", "Cre\u0301me"),
        (None, ""),
    ],
)
def test_names_are_printable_and_can_be_quoted(text, clean):
    assert names.clean(text) == clean


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=50))
def test_a_clean_name_stays_as_it_is(text):
    once = names.clean(text)
    assert names.clean(once) == once
    assert not set(once) & set('"[]\x1b\u202e\n')


@pytest.mark.parametrize(
    ("text", "barcode"),
    [
        ("2001234567893", "02001234567893"),
        ("02001234567893", "02001234567893"),
        ("200123456788", "00200123456788"),
        ("2001 2345-67893", "02001234567893"),
        ("2001234567890", None),  # wrong check digit
        ("", None),
        ("0000000000000", None),
        ("12", None),
        ("abc", None),
        ("²0012345678", None),
    ],
)
def test_a_barcode_has_14_digits_and_a_right_check_digit(text, barcode):
    assert names.barcode(text) == barcode


@pytest.mark.parametrize(
    ("words", "unit", "how", "note"),
    [
        ("cup", "cup", "", ""),
        ("cups", "cup", "", ""),
        ("cup, chopped", "cup", "chopped", ""),
        ("cup slices", "cup", "slices", ""),
        ("cup, quartered or chopped", "cup", "quartered or chopped", ""),
        ('medium (2-3/4" dia)', "medium", "", "2-3/4 in dia"),
        ("slice, large", "large slice", "", ""),
        ('slice, large (1/4" thick)', "large slice", "", "1/4 in thick"),
        ("large slice", "large slice", "", ""),
        ("Potato large (3 in)", "large potato", "", "3 in"),
        ("NLEA serving", "serving", "NLEA", ""),
        ("serving 2/3 cup", "serving", "", "2/3 cup"),
        ("fl oz", "fluid ounce", "", ""),
        ("fl oz (with ice)", "fluid ounce", "", "with ice"),
        ("cookies", "cookie", "", ""),
        ("package (10 oz)", "package", "", "10 oz"),
        ("cup, NFS", "cup", "", ""),
        ("Onion, Edible", "onion", "", ""),
        ("tbsp chopped", "tablespoon", "chopped", ""),
        ("medium pizza (11-13\" diameter)", "medium pizza", "", '11-13 in diameter'),
        ("extra small", "extra small", "", ""),
    ],
)  # fmt: skip
def test_a_measure_in_its_source_s_words(words, unit, how, note):
    found = measures.measure(Fraction(1), words, Fraction(30))
    assert (found.unit, found.how, found.note) == (unit, how, note)
    assert found.of_source


@pytest.mark.parametrize(
    "words",
    ["oz", "lb", "g", "", "3", "piece, cooked, excluding refuse (yield from 1 lb)",
     "chop with bone", "Quantity not specified", "oz, boneless", "fruit yields"],
)  # fmt: skip
def test_what_is_no_portion_on_a_plate_is_no_measure(words):
    assert measures.measure(Fraction(1), words, Fraction(30)) is None


@pytest.mark.parametrize(
    ("text", "count", "rest"),
    [
        ("1 cup, cooked", "1", "cup, cooked"),
        ("1 1/2 cups", "3/2", "cups"),
        ("1/6", "1/6", ""),
        ("250mL", "250", "mL"),
        ("0.5 cup", "1/2", "cup"),
    ],
)
def test_the_count_before_a_measure(text, count, rest):
    assert measures.leading_count(text) == (Fraction(count), rest)


@pytest.mark.parametrize("text", ["20-25 fries", "8-9", "cup", "about 3", "1 x 2", ""])
def test_a_count_that_is_not_plain_is_none(text):
    found = measures.leading_count(text)
    assert found is None or found[1].startswith("x"), found


def test_a_customary_cup_holds_8_fluid_ounces():
    """231 cubic inches a gallon, 16 cups a gallon (NIST Handbook 44, Appendix C)."""
    gallon = 231 * Fraction("2.54") ** 3
    for unit, parts in (("cup", 16), ("fluid ounce", 128), ("tablespoon", 256), ("teaspoon", 768)):
        assert measures.CUSTOMARY[unit] == gallon / parts
    assert measures.CUSTOMARY["quart"] * 4 == measures.CUSTOMARY["pint"] * 8 == gallon

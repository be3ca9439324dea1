"""Figures as tables print them, exact: "1.50", "1,50", "< 0.05", "-", "traces"."""

from fractions import Fraction
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import Nutrient
from grammar import patterns

MISSING = frozenset({"", "-", "–", "n.d.", "nd", "n/a", "na", "n", "null", "none", "\\n"})
TRACE = frozenset({"tr", "tr.", "trace", "traces"})
_FIGURE = patterns.compile(
    r"(?P<below><\s*)?(?P<digits>\d*[.,]?\d+|\d+[.,])(?:[eE](?P<power>[+-]?\d{1,3}))?"
)


class NoFigure(Struct, frozen=True):
    """A place without a figure. missing and trace are states of a table; odd is a fault."""

    why: Literal["missing", "trace", "odd"]


@lru_cache(maxsize=1 << 15)
def read(text: str | None, unit: str, *, comma: bool = False) -> Nutrient | NoFigure:
    """The figure with its unit and its digits after the point.

    comma: the table writes the decimal mark as a comma; else a comma is no part of a figure.
    A figure below nought is odd. A table has the same few thousand figures over and over, so each
    is read once.
    """
    plain = (text or "").replace("\u00a0", " ").strip()
    low = plain.casefold()
    if low in MISSING:
        return NoFigure("missing")
    if low in TRACE:
        return NoFigure("trace")
    match = _FIGURE.fullmatch(plain)
    if match is None or ("," in plain) > comma:
        return NoFigure("odd")
    digits = match["digits"].replace(",", ".")
    power = int(match["power"] or 0)
    if abs(power) > 12:
        return NoFigure("odd")
    value = Fraction(digits) * Fraction(10) ** power
    decimals = max(0, len(digits.partition(".")[2]) - power)
    return Nutrient(value, unit, match["below"] is not None, min(decimals, 12))


def amount(text: str | None, *, comma: bool = False) -> Fraction | None:
    """A plain figure above nought, as it is written: a weight, a volume."""
    figure = read(text, "g", comma=comma)
    if isinstance(figure, NoFigure) or figure.below or figure.value <= 0:
        return None
    return figure.value


_PARTS = {
    Fraction(1, 3): ("0.333", "0.33"),
    Fraction(2, 3): ("0.667", "0.666", "0.67", "0.66"),
    Fraction(1, 6): ("0.167", "0.16"),
    Fraction(1, 8): ("0.12",),
    Fraction(1, 12): ("0.083", "0.08"),
}
"""Parts of a whole as the US tables write them: release 28 with three digits, and the same rows in
FoodData Central cut off after two ("0.12 pie (1/8 of 9 in pie)" is ".125" in release 28)."""
_PART_OF = {Fraction(text): part for part, texts in _PARTS.items() for text in texts}


def count(text: str | None) -> Fraction | None:
    """How many of something, in a US table: ".333" is a third and "1.33" one and a third."""
    figure = amount(text)
    if figure is None:
        return None
    whole = figure // 1
    return whole + _PART_OF.get(figure - whole, figure - whole)


def decimal_comma(cells: list[str]) -> bool:
    """Does a table write its figures with a comma? Only where some do and none has a point."""
    figures = [c.strip() for c in cells if patterns.fullmatch(r"\s*<?\s*\d*[.,]\d+\s*", c)]
    return bool(figures) and all("," in f for f in figures)

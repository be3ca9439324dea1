"""Figures as tables print them, exact: "1.50", "1,50", "< 0.05", "-", "traces"."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from assistant.counting.facts import Nutrient

MISSING = frozenset({"", "-", "–", "n.d.", "nd", "n/a", "na", "n", "null", "none", "\\n"})
TRACE = frozenset({"tr", "tr.", "trace", "traces"})
_FIGURE = re.compile(
    r"(?P<below><\s*)?(?P<digits>\d*[.,]?\d+|\d+[.,])(?:[eE](?P<power>[+-]?\d{1,3}))?"
)


@dataclass(frozen=True, slots=True)
class NoFigure:
    """A place without a figure. missing and trace are states of a table; odd is a fault."""

    why: Literal["missing", "trace", "odd"]


def read(text: str | None, unit: str, *, comma: bool = False) -> Nutrient | NoFigure:
    """The figure with its unit and its digits after the point.

    comma: the table writes the decimal mark as a comma; else a comma is no part of a figure.
    A figure below nought is odd.
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
    """A plain figure above nought: a weight, a count. ".333" is a third as the tables write it."""
    figure = read(text, "g", comma=comma)
    if isinstance(figure, NoFigure) or figure.below or figure.value <= 0:
        return None
    thirds = {Fraction(333, 1000): Fraction(1, 3), Fraction(33, 100): Fraction(1, 3),
              Fraction(667, 1000): Fraction(2, 3), Fraction(666, 1000): Fraction(2, 3),
              Fraction(67, 100): Fraction(2, 3), Fraction(66, 100): Fraction(2, 3),
              Fraction(125, 1000): Fraction(1, 8)}  # fmt: skip
    return thirds.get(figure.value, figure.value)


def decimal_comma(cells: list[str]) -> bool:
    """Does a table write its figures with a comma? Only where some do and none has a point."""
    figures = [c.strip() for c in cells if re.fullmatch(r"\s*<?\s*\d*[.,]\d+\s*", c)]
    return bool(figures) and all("," in f for f in figures)

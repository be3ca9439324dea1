"""Values that carry their unit, exact to the end. No bare number passes between rooms."""

from datetime import date, datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.kinded import Kinded

GlucoseUnit = Literal["mg/dL", "mmol/L"]

MG_DL_PER_MMOL_L = Fraction("18.0156")
"""1 mmol/L of glucose in mg/dL: molar mass 180.156 g/mol (IUPAC atomic masses), divided by 10."""


class Glucose(Struct, frozen=True):
    """A glucose figure in the unit in which it was typed."""

    value: Fraction
    unit: GlucoseUnit

    def as_unit(self, unit: GlucoseUnit) -> Fraction:
        """The exact figure in the other unit, or this one."""
        if unit == self.unit:
            return self.value
        if unit == "mg/dL":
            return self.value * MG_DL_PER_MMOL_L
        return self.value / MG_DL_PER_MMOL_L

    @property
    def mg_dl(self) -> Fraction:
        """Exact mg/dL."""
        return self.as_unit("mg/dL")


class Ranged(Struct, frozen=True):
    """A figure with the range that its source allows: low <= value <= high, all exact."""

    value: Fraction
    low: Fraction
    high: Fraction

    @staticmethod
    def exactly(value: Fraction) -> "Ranged":
        """A figure without doubt."""
        return Ranged(value, value, value)

    def __add__(self, other: "Ranged") -> "Ranged":
        return Ranged(self.value + other.value, self.low + other.low, self.high + other.high)

    def minus(self, other: "Ranged") -> "Ranged":
        """This less other; the range widens by both. The low end never falls below zero."""
        return Ranged(
            self.value - other.value,
            max(Fraction(0), self.low - other.high),
            self.high - other.low,
        )

    def times(self, factor: Fraction) -> "Ranged":
        """Scaled by a factor that is not negative."""
        return Ranged(self.value * factor, self.low * factor, self.high * factor)

    def by(self, other: "Ranged") -> "Ranged":
        """The product of two figures that are not negative, with the range of both."""
        return Ranged(self.value * other.value, self.low * other.low, self.high * other.high)

    @property
    def width(self) -> Fraction:
        """high - low."""
        return self.high - self.low


# What a line of a reply may hold. A renderer decides how each is written or spoken.


class Amount(Kinded, frozen=True, tag="amount"):
    """A figure with a unit. unit is one of the codes in assistant.render.units, or a free word.

    places caps how many decimals are shown; a figure that needs more is marked as rounded.
    """

    value: Fraction
    unit: str
    places: int = 4


class Part(Kinded, frozen=True, tag="part"):
    """A part of a whole, exact and said as one: "one sixth", "five twelfths"."""

    value: Fraction


class Between(Kinded, frozen=True, tag="between"):
    """A range with one unit."""

    low: Fraction
    high: Fraction
    unit: str
    places: int = 1


class Said(Kinded, frozen=True, tag="said"):
    """Words of the user, quoted in the reply."""

    text: str


class Name(Kinded, frozen=True, tag="name"):
    """A food's name, or another name from the library."""

    text: str


class Typed(Kinded, frozen=True, tag="typed"):
    """A sentence that the user could type."""

    text: str


class Moment(Kinded, frozen=True, tag="moment"):
    """A time with its offset; today is the day from which the reply is given."""

    at: datetime
    today: datetime


class CalendarDay(Kinded, frozen=True, tag="calendar-day"):
    """A day with its month and year."""

    on: date


class ClockTime(Kinded, frozen=True, tag="clock"):
    """Minutes since midnight."""

    minutes: int


class Phrase(Kinded, frozen=True, tag="phrase"):
    """A short text of the catalogue, by its code, inside another line."""

    code: str


class Listed(Kinded, frozen=True, tag="listed"):
    """Several arguments, joined as a list."""

    items: tuple["Arg", ...]


class Day(Kinded, frozen=True, tag="day"):
    """A day of the calendar."""

    on: date


class Spark(Kinded, frozen=True, tag="spark"):
    """A row of figures, one a day: blocks for the eye, the figures themselves for the ear.

    None is a day of which nothing is known.
    """

    values: tuple[Fraction | None, ...]
    unit: str


Arg = (
    Amount | Between | Said | Name | Typed | Moment | CalendarDay | ClockTime | Phrase | Listed
    | Day | Spark | Part
)  # fmt: skip


def decimal_text(value: Fraction) -> str:
    """An exact decimal as typed ("4.5"); a fraction that has none as "1/3"."""
    scaled = value
    for places in range(10):
        if scaled.denominator == 1:
            digits = f"{abs(scaled.numerator):0{places + 1}d}"
            sign = "-" if value < 0 else ""
            return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
        scaled *= 10
    return f"{value.numerator}/{value.denominator}"

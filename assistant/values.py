"""Values that carry their unit, exact to the end. No bare number passes between rooms."""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import Literal

GlucoseUnit = Literal["mg/dL", "mmol/L"]

MG_DL_PER_MMOL_L = Fraction("18.0156")
"""1 mmol/L of glucose in mg/dL: molar mass 180.156 g/mol (IUPAC atomic masses), divided by 10."""


@dataclass(frozen=True, slots=True)
class Glucose:
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


@dataclass(frozen=True, slots=True)
class Ranged:
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


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure with a unit. unit is one of the codes in assistant.render.units, or a free word.

    places caps how many decimals are shown; a figure that needs more is marked as rounded.
    """

    value: Fraction
    unit: str
    places: int = 4
    kind: Literal["amount"] = "amount"


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a whole, exact and said as one: "one sixth", "five twelfths"."""

    value: Fraction
    kind: Literal["part"] = "part"


@dataclass(frozen=True, slots=True)
class Between:
    """A range with one unit."""

    low: Fraction
    high: Fraction
    unit: str
    places: int = 1
    kind: Literal["between"] = "between"


@dataclass(frozen=True, slots=True)
class Said:
    """Words of the user, quoted in the reply."""

    text: str
    kind: Literal["said"] = "said"


@dataclass(frozen=True, slots=True)
class Name:
    """A food's name, or another name from the library."""

    text: str
    kind: Literal["name"] = "name"


@dataclass(frozen=True, slots=True)
class Typed:
    """A sentence that the user could type."""

    text: str
    kind: Literal["typed"] = "typed"


@dataclass(frozen=True, slots=True)
class Moment:
    """A time with its offset; today is the day from which the reply is given."""

    at: datetime
    today: datetime
    kind: Literal["moment"] = "moment"


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """A day with its month and year."""

    on: date
    kind: Literal["calendar-day"] = "calendar-day"


@dataclass(frozen=True, slots=True)
class ClockTime:
    """Minutes since midnight."""

    minutes: int
    kind: Literal["clock"] = "clock"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A short text of the catalogue, by its code, inside another line."""

    code: str
    kind: Literal["phrase"] = "phrase"


@dataclass(frozen=True, slots=True)
class Listed:
    """Several arguments, joined as a list."""

    items: tuple["Arg", ...]
    kind: Literal["listed"] = "listed"


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the calendar."""

    on: date
    kind: Literal["day"] = "day"


@dataclass(frozen=True, slots=True)
class Spark:
    """A row of figures, one a day: blocks for the eye, the figures themselves for the ear.

    None is a day of which nothing is known.
    """

    values: tuple[Fraction | None, ...]
    unit: str
    kind: Literal["spark"] = "spark"


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

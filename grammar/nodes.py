"""What a phrase reads as: typed values with positions. Incomplete input has values of its own."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

MeasureKind = Literal["mass", "volume", "kitchen", "serving", "pack", "piece", "size", "word", "oz"]


@dataclass(frozen=True, slots=True)
class Number:
    """A stated amount, exact."""

    value: Fraction
    said: str


@dataclass(frozen=True, slots=True)
class Unclear:
    """An amount that could be two things, or none. It cannot be added: it leads to a question.

    why: comma, range, vague, zero, negative, zero-denominator, odd, huge, part-of-what.
    readings: what it could be, as the user would type it.
    """

    why: str
    said: str
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Unstated:
    """No amount was said. It is not one, and not zero."""


Quantity = Number | Unclear | Unstated


@dataclass(frozen=True, slots=True)
class MeasureWord:
    """A measure as said: "cup", "large slice", "scoop". unit is its canonical singular name."""

    unit: str
    kind: MeasureKind
    said: str
    size: str | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One food of a phrase, in one reading. start and end are positions in the text read.

    name_start and name_end are the positions of the name; both are end where there is no name.
    """

    quantity: Quantity
    measure: MeasureWord | None
    name: str
    said: str
    start: int
    end: int
    name_start: int
    name_end: int


@dataclass(frozen=True, slots=True)
class Clause:
    """A part of a phrase that is no food: a glucose figure, or "no reading".

    kind: glucose, no-reading. value is None where the figure was not readable.
    """

    kind: Literal["glucose", "no-reading", "low-said", "high-said"]
    said: str
    start: int
    end: int
    value: Quantity | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Word:
    """How one word of the input was taken."""

    said: str
    role: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """A whole phrase. pieces are the finest split at the joiners; clauses stand apart.

    A name may itself hold joiners: spans(i, j) of grammar.phrases gives what pieces i to j read
    as when they are one food, and the library settles which it is.
    """

    text: str
    pieces: tuple[tuple[Item, ...], ...]
    clauses: tuple[Clause, ...]
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Complaint:
    """Text that is no phrase: why, and where. why: empty, too-long, symbols, no-food."""

    why: str
    said: str
    start: int
    end: int

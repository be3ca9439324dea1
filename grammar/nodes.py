"""What a phrase reads as: typed values with positions. Incomplete input has values of its own."""

from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

if TYPE_CHECKING:
    from grammar.parsing import Token

MeasureKind = Literal[
    "mass",
    "volume",
    "kitchen",
    "serving",
    "pack",
    "piece",
    "size",
    "word",
    "oz",
    "vessel",
    "letter",
    "source",
]
"""source: a measure in the words of the food's source, in quotation marks.
vessel: a bowl, a mug: the user's own. letter: "T" or "t", which could be two spoons."""


class Number(Struct, frozen=True):
    """A stated amount, exact."""

    value: Fraction
    said: str


class Unclear(Struct, frozen=True):
    """An amount that could be two things, or none. It cannot be added: it leads to a question.

    why: comma, point, range, vague, ordinal, couple, bound, zero, negative,
    zero-denominator, odd, huge, part-of-what.
    readings: what it could be, as the user would type it.
    """

    why: str
    said: str
    readings: tuple[str, ...] = ()


class Span(Struct, frozen=True):
    """An amount between two figures, low < high. middle is the figure of "about 60", else None.

    Without a middle it is a range: it is counted as one, and gives no dose until one is chosen.
    """

    low: Fraction
    high: Fraction
    said: str
    middle: Fraction | None = None


class Unstated(Struct, frozen=True):
    """No amount was said. It is not one, and not zero."""


Quantity = Number | Span | Unclear | Unstated


class MeasureWord(Struct, frozen=True):
    """A measure as said: "cup", "large slice", "scoop". unit is its canonical singular name.

    how: words behind it that a measure of the food's source knows ("1 cup chopped onion").
    """

    unit: str
    kind: MeasureKind
    said: str
    size: str | None = None
    how: str = ""


class Item(Struct, frozen=True):
    """One food of a phrase, in one reading. start and end are positions in the text read.

    name_start and name_end are the positions of the name; both are end where there is no name.
    also is a second amount in brackets ("1 cup (240 ml) milk"): it has to come to the same.
    """

    quantity: Quantity
    measure: MeasureWord | None
    name: str
    said: str
    start: int
    end: int
    name_start: int
    name_end: int
    also: "SecondAmount | None" = None


class SecondAmount(Struct, frozen=True):
    """An amount in brackets behind another one."""

    quantity: Quantity
    measure: MeasureWord | None
    said: str


ClauseKind = Literal[
    "glucose",
    "no-reading",
    "low-said",
    "high-said",
    "when",
    "meal",
    "less",
    "activity",
    "ill",
    "replaces",
    "count-only",
]


class Clause(Struct, frozen=True):
    """A part of a phrase that is no food.

    glucose (value, unit), no-reading, low-said, high-said; when (the time of the meal, or of the
    reading that it stands behind); meal ("for lunch"); less (value: per cent less insulin);
    activity; ill; replaces ("change the last meal to"); count-only ("how many carbs are in").
    value is None where there is no figure.
    """

    kind: ClauseKind
    said: str
    start: int
    end: int
    value: Quantity | None = None
    unit: str | None = None


class Word(Struct, frozen=True):
    """How one word of the input was taken."""

    said: str
    role: str
    start: int
    end: int


class Phrase(Struct, frozen=True):
    """A whole phrase. pieces are the finest split at the joiners; clauses stand apart.

    A name may itself hold joiners: joined(phrase, i, j) of grammar.phrases gives what pieces i to j
    read as when they are one food, and the library settles which it is.
    tokens is what they are read from.
    """

    text: str
    pieces: tuple[tuple[Item, ...], ...]
    clauses: tuple[Clause, ...]
    words: tuple[Word, ...]
    tokens: "tuple[Token, ...]" = ()

    def says(self, kind: ClauseKind) -> bool:
        """Is there a clause of this kind?"""
        return any(clause.kind == kind for clause in self.clauses)

    @property
    def confirmed(self) -> bool:
        """Does it say "that is right"?"""
        return any(word.role == "confirmed" for word in self.words)


class Complaint(Struct, frozen=True):
    """Text that is no phrase: why, and where. why: empty, too-long, symbols, no-food."""

    why: str
    said: str
    start: int
    end: int

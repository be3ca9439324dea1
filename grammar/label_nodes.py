"""What a label reads as: typed values with positions, before any food is made of it."""

from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

Region = Literal["US", "CA", "EU", "UK", "AU", "NZ", "JP"]
PerKind = Literal["serving", "100 g", "100 ml", "pack"]
Nutrient = str
"""Our name of a nutrient, one of grammar.label_words.NUTRIENTS, such as 'carbohydrate'."""


class Figure(Struct, frozen=True):
    """One printed figure, exact, with its unit as printed on the label.

    unit is one of g, mg, mcg, kcal, kJ, IU. below is true for "<1 g" and "less than 1 g", where
    value is the printed bound. decimals is how many digits stood after the point.
    start and end are character positions in the text that was read.
    """

    value: Fraction
    unit: str
    said: str
    start: int
    end: int
    below: bool = False
    decimals: int = 0


class ServingSize(Struct, frozen=True):
    """ "1/2 cup (40 g)": household count and measure, and the grams or millilitres beside them."""

    said: str
    start: int
    end: int
    count: Fraction | None = None
    measure: str | None = None
    grams: Fraction | None = None
    millilitres: Fraction | None = None


class Column(Struct, frozen=True):
    """One column of the label: what its figures are for, and the figures by nutrient.

    percents holds the printed per cent of the daily value or reference intake, by nutrient.
    state is 'prepared' or 'packaged' where the label says so.
    """

    per: PerKind | None
    figures: dict[Nutrient, Figure] = field(default_factory=dict)
    percents: dict[Nutrient, Fraction] = field(default_factory=dict)
    state: Literal["packaged", "prepared"] | None = None


class Doubt(Struct, frozen=True):
    """A place where the reader will not guess: the code says why, readings what it could be."""

    code: str
    said: str
    start: int
    end: int
    readings: tuple[str, ...] = ()


class Unread(Struct, frozen=True):
    """Text of the label that has no role; it is always told to the user."""

    said: str
    start: int
    end: int


class LabelReading(Struct, frozen=True):
    """The whole label. region is None when the text neither says nor shows which law it follows.

    region_said is true if the words named it ("US label"), false if the layout showed it.
    title is text before the label proper that may be the food's name (a suggestion to ask about).
    claims are front-of-pack statements such as "net carbs 0.7 g": kept, never counted from.
    """

    columns: tuple[Column, ...] = ()
    region: Region | None = None
    region_said: bool = False
    serving: ServingSize | None = None
    servings_per_pack: Fraction | None = None
    servings_about: bool = False
    pack_grams: Fraction | None = None
    pack_millilitres: Fraction | None = None
    ingredients: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    barcode: str | None = None
    claims: tuple[str, ...] = ()
    title: str | None = None
    doubts: tuple[Doubt, ...] = ()
    unread: tuple[Unread, ...] = ()

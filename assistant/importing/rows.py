"""What every reader gives: foods with their source, and rows that could not be taken, with why."""

from collections.abc import Callable, Iterable
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import FoodFacts
from assistant.importing.places import Place

Why = Literal[
    "no-name",
    "no-carbohydrate",
    "trace",
    "carbohydrate-by-sum",
    "not-a-figure",
    "other-unit",
    "part-over-whole",
    "over-hundred",
    "other-scale",
    "barcode",
    "no-weight",
    "other-market",
    "no-id",
    "not-json",
    "short-row",
    "surplus",
    "doubled-column",
    "line-break",
    "stated-twice",
    "twice",
    "same-name",
    "no-units",
    "date",
    "sum",
    "energy",
    "own-copy",
    "portion-unit",
    "measure",
    "unknown-value",
    "unfilled",
    "own-differs",
]
"""Why a row, or a part of it, was not taken."""


class Source(Struct, frozen=True):
    """Where foods are from: its name, its terms."""

    name: str
    licence: str


class Row(Struct, frozen=True):
    """A food as read. food_id: the same each time that food is read. facts.dated: its date."""

    food_id: str
    facts: FoodFacts
    source: Source
    aliases: tuple[str, ...] = ()
    own: bool = False
    """A food of the user's own, written by an export: it goes into the record again."""
    file: str = ""
    line: int = 0
    """Where it stands."""


class Fault(Struct, frozen=True):
    """What could not be taken: the file, the line (0 where there is none), why, and the words.

    kept: the food itself was taken, without what is told here.
    """

    file: str
    line: int
    why: Why
    said: str = ""
    kept: bool = False


Reader = Callable[[Place], Iterable[Row | Fault]]


class Layout(Struct, frozen=True):
    """A layout that is known: its name in the texts, what shows it, and its reader."""

    name: str
    fits: Callable[[Place], bool]
    read: Reader

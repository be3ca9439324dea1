"""A report as plain parts that every form can show: headings, sentences, tables, plots."""

from fractions import Fraction
from typing import Literal

from msgspec import Struct


class Table(Struct, frozen=True):
    """A table of words. The first cell of each row is its heading."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Mark(Struct, frozen=True):
    """One place along a plot: its label, and a bar from low to high; None where nothing is."""

    label: str
    low: Fraction | None
    high: Fraction | None
    dots: tuple[Fraction, ...] = ()


class Plot(Struct, frozen=True):
    """A drawing and the sentences that say the same.

    across: bars that lie, for shares; up: bars or dots that stand. shade: a range in the back.
    """

    title: str
    unit: str
    kind: Literal["up", "across"]
    marks: tuple[Mark, ...]
    told: tuple[str, ...]
    shade: tuple[Fraction, Fraction] | None = None


class Section(Struct, frozen=True):
    """A part of the report under its heading."""

    heading: str
    lines: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    plots: tuple[Plot, ...] = ()


class Document(Struct, frozen=True):
    """The whole report. care: the caution that stands before everything."""

    title: str
    care: str
    sections: tuple[Section, ...]
    made: str

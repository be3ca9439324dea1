"""One line of a label: a nutrient with its figures and per cents, or the doubts about it."""

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct, field

from grammar import patterns
from grammar.label_nodes import Figure
from grammar.label_numbers import UNIT_NAMES, Dubious, read_figure, slip_readings
from grammar.label_segments import Notes, Segment
from grammar.label_words import (
    ENERGY,
    ENERGY_KCAL,
    ENERGY_KJ,
    PERCENT_ONLY,
    SATURATED_AND_TRANS,
    nutrient_name,
    units_of,
)
from grammar.parsing import Token

_NO_FIGURE = {"SLIP": "ocr", "RANGE": "range", "NEGATIVE": "negative", "FRACTION": "fraction"}


class Row(Struct):
    """A nutrient line. percents: each with how many figures stood before it.

    unclear is true once a doubt was raised: then none of its figures may be used.
    """

    nutrient: str
    start: int
    end: int
    figures: list[Figure] = field(default_factory=list)
    percents: list[tuple[int, Fraction]] = field(default_factory=list)
    unclear: bool = False

    def filed(self) -> dict[str, list[Figure]]:
        """The figures by our nutrient names: energy is filed by its unit."""
        if self.nutrient not in {ENERGY, ENERGY_KCAL, ENERGY_KJ}:
            return {self.nutrient: self.figures} if self.figures else {}
        names: dict[str, list[Figure]] = {}
        for figure in self.figures:
            name = ENERGY_KJ if figure.unit == "kJ" else ENERGY_KCAL
            names.setdefault(name, []).append(figure)
        return names

    def percent_name(self, said: str) -> str:
        """The name under which the per cent is filed; '+ Trans' carries that of both fats."""
        if said.startswith("+"):
            return SATURATED_AND_TRANS
        if self.nutrient == ENERGY:
            return next(iter(self.filed()), ENERGY_KCAL)
        return self.nutrient


def read_row(item: Segment, notes: Notes) -> Row:
    """The row of a nutrient item. Each figure is exact, or the row is unclear with a doubt."""
    assert item.head is not None
    name = nutrient_name(item.head)
    start = min(item.start, *(t.start for t in item.tokens))
    row = Row(name, start, max([item.head.end, *_ends(item.tail)]))
    notes.use([item.head])
    unit = _unit_of_bare(name)
    for before, token in pairwise((None, *item.tail)):
        assert token is not None
        if token.type == "SEP":
            continue
        notes.use([token])
        if before is not None and _apart(before, token, notes):
            notes.doubt("apart", row.start, token.end)
            row.unclear = True
            continue
        if token.type == "UNIT":
            unit = UNIT_NAMES.get(token.strip("( )").casefold())
        elif token.type == "PERCENT":
            _add_percent(row, token, notes)
        elif token.type in _NO_FIGURE:
            code = _NO_FIGURE[token.type]
            _doubt(row, code, token, notes, slip_readings(token) if code == "ocr" else ())
        elif token.type == "NUMBER" and unit is None:
            after = item.tail[item.tail.index(token) + 1 :][:1]
            if not (after and _apart(token, after[0], notes)):
                _bare(row, token, notes)
        else:
            _add_figure(row, token, unit, notes)
    return row


def _apart(before: Token, token: Token, notes: Notes) -> bool:
    """ "2 1g": a figure without a unit and one with it, only a blank between them."""
    return before.type == "NUMBER" and token.type == "FIGURE" and notes.beside(before, token)


def _ends(tail: Sequence[Token]) -> list[int]:
    return [token.end for token in tail if token.type != "SEP"]


def _unit_of_bare(name: str) -> str | None:
    """The unit of a figure that is printed without one: 'Calories 230', 'Energy (kJ) 963'."""
    if name in {ENERGY_KCAL, "energy from fat"}:
        return "kcal"
    return "kJ" if name == ENERGY_KJ else None


def _doubt(row: Row, code: str, token: Token, notes: Notes, readings: tuple[str, ...] = ()) -> None:
    row.unclear = True
    start = min(row.start, token.start)
    notes.doubt(code, start, token.end, readings)


def _bare(row: Row, token: Token, notes: Notes) -> None:
    """A figure without a unit. A last 9 may be a g that a scanner took for a figure."""
    unit = "mg" if "mg" in units_of(row.nutrient) else "g"
    plain = patterns.fullmatch(r"(?:less\s+than|<)?\s*([0-9.]+)", token, re.IGNORECASE)
    if plain and plain[1].endswith("9") and len(plain[1]) > 1 and unit == "g":
        _doubt(row, "ocr", token, notes, (f"{plain[1]} g", f"{plain[1][:-1].rstrip('.')} g"))
    else:
        _doubt(row, "no-unit", token, notes)


def _add_percent(row: Row, token: Token, notes: Notes) -> None:
    exact = read_figure(token, notes.region)
    if isinstance(exact, Dubious):
        _doubt(row, exact.code, token, notes, exact.readings)
    else:
        row.percents.append((len(row.figures), exact.value))


def _add_figure(row: Row, token: Token, unit: str | None, notes: Notes) -> None:
    said = str(token)
    exact = read_figure(said, notes.region)
    if isinstance(exact, Dubious):
        if token.type == "NUMBER" and unit is not None:
            # The unit stands with the name ('Calories 1,230') and settles the comma.
            exact = read_figure(f"{said} {unit}", notes.region)
        if isinstance(exact, Dubious):
            _doubt(row, exact.code, token, notes, exact.readings)
            return
    printed = exact.unit or unit or ""
    if printed not in units_of(row.nutrient):
        _doubt(row, "unit", token, notes)
        return
    row.figures.append(
        Figure(
            exact.value,
            printed,
            said,
            token.start,
            token.end,
            exact.below,
            exact.decimals,
        )
    )


def may_lack_figure(row: Row) -> bool:
    """True if the row is complete without a figure: a vitamin or mineral by per cent alone."""
    return bool(row.percents) and row.nutrient in PERCENT_ONLY

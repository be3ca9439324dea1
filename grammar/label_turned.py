"""A label typed as it is spoken, each amount before its name: "45 g carbs per 100 g".

Taken as it stands, every figure there could be its neighbour's, so nothing is read. Where all
names of the label have exactly one figure right before them and none behind, it can be put in the
order of a printed label; where there is one name and one figure, it cannot be anything else.
"""

import re

from msgspec import Struct

from grammar import patterns
from grammar.label_tokens import tokens
from grammar.parsing import Token

_FIGURES = frozenset({"FIGURE", "NUMBER", "PERCENT", "SLIP", "FRACTION", "RANGE", "NEGATIVE"})
_MAY_STAND_BEFORE = frozenset({"SEP", "REGION", "BASIS", "HEADING"})


class Turned(Struct, frozen=True):
    """The label with each name before its figure. plain: it cannot be meant in another way."""

    text: str
    plain: bool


def turned(label: str) -> Turned | None:
    """The label in printed order, or None where the order of any figure is not plain to see.

    >>> turned("45 g carbs per 100 g").text
    'carbs 45 g per 100 g'
    """
    found = list(tokens(label))
    names = [at for at, token in enumerate(found) if token.type == "NUTRIENT"]
    if not names or not all(_turned_at(label, found, at) for at in names):
        return None
    text = label
    for at in reversed(names):
        figure, name = found[at - 1], found[at]
        said = patterns.sub(r"^of\s+", "", name, flags=re.I)
        text = f"{text[: figure.start]}{said} {figure}{text[name.end :]}"
    first = names[0]
    alone = first == 1 or found[first - 2].type in {"SEP", "REGION"}
    return Turned(text, plain=len(names) == 1 and alone)


def _turned_at(label: str, found: list[Token], at: int) -> bool:
    """Does this name have its figure right before it, and no other figure that could be its own?"""
    figure = found[at - 1] if at else None
    if figure is None or figure.type != "FIGURE":
        return False
    gap = label[figure.end : found[at].start]
    if gap.strip() or "\n" in gap:
        return False
    if at > 1 and found[at - 2].type not in _MAY_STAND_BEFORE and not _ends_line(label, found, at):
        return False
    behind = found[at + 1 :]
    if behind and behind[0].type in _FIGURES:
        return False
    rest = [token for token in behind if token.type != "SEP"][:2]
    if not rest or rest[0].type not in _FIGURES:
        return True
    return len(rest) == 2 and rest[1].type == "NUTRIENT"


def _ends_line(label: str, found: list[Token], at: int) -> bool:
    """Does a line end before the figure?"""
    return "\n" in label[found[at - 2].end : found[at - 1].start]

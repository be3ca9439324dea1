"""A reply for the eye: the answer first, then blocks told apart by words, indents and blank lines.

Colour and weight only repeat what the words say; without them the text is the same.
"""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from assistant.dialogue.replies import Line, Reply, Role
from assistant.render.arguments import (
    argument,
    cautioned,
    choice_opening,
    fill,
    listed,
    with_choices,
)
from assistant.render.texts import TEXTS
from assistant.values import Arg, Listed, Typed

NARROWEST = 20
WIDEST = 96
"""Columns: below NARROWEST words would break; past WIDEST a line is hard to follow."""

_BOLD_ON, _BOLD_OFF = "\ue000", "\ue001"
"""Marks around a sentence to type. Private characters: 'printable' keeps users' words free of
them, and paint takes them out again."""

BLOCKS: tuple[tuple[Role, ...], ...] = (
    ("refusal", "answer"),
    ("fact",),
    ("portion",),
    ("total",),
    ("working",),
    ("unread",),
    ("caution",),
    ("question", "choice"),
    ("next",),
)
"""The blocks in the order in which they are shown; within a block the reply's own order holds."""

_OF_A_PORTION = ("step", "count-")
"""Codes of working that starts so belong to the portion before them and stay under it."""

_CLOSE: frozenset[Role] = frozenset({"total"})
"""Blocks that follow the one before without an empty line: the sum stands under its items."""

_INDENT: Mapping[Role, int] = MappingProxyType(
    {"fact": 2, "portion": 2, "total": 2, "working": 4, "choice": 2}
)
_STYLE: Mapping[Role, str] = MappingProxyType(
    {
        "answer": "bold",
        "refusal": "bold",
        "question": "bold",
        "total": "bold",
        "caution": "magenta",
        "unread": "magenta",
    }
)
"""Weight, and one colour that reads well on light and dark grounds. Figures are never dim."""


@dataclass(frozen=True, slots=True)
class _Row:
    """One wrapped line of the screen and the role that it belongs to."""

    role: Role
    text: str


def sighted(reply: Reply, width: int, color: bool = False, texts: Mapping[str, str] = TEXTS) -> str:
    """The reply laid out for so many columns; with color, in the terminal's own few colours."""
    columns = max(NARROWEST, min(width, WIDEST))
    paint = _paint if color else _plain
    text = ""
    for lines in _blocks(with_choices(reply)):
        gap = "" if not text else "\n" if lines[0].role in _CLOSE else "\n\n"
        text += gap + "\n".join(paint(_rows(lines, reply, columns, texts)))
    return text


def _blocks(lines: tuple[Line, ...]) -> list[list[Line]]:
    """The lines by block, without empty blocks."""
    blocks: list[list[Line]] = [[] for _ in BLOCKS]
    for line in lines:
        of_portion = line.role == "working" and line.code.startswith(_OF_A_PORTION)
        role: Role = "portion" if of_portion else line.role
        blocks[next(i for i, roles in enumerate(BLOCKS) if role in roles)].append(line)
    return [block for block in blocks if block]


def _rows(lines: list[Line], reply: Reply, columns: int, texts: Mapping[str, str]) -> list[_Row]:
    rows: list[_Row] = []
    choices = reply.question.choices if reply.question else ()
    number = 0
    for line in lines:
        opening = ""
        text = cautioned(line, fill(line, lambda arg: _marked(arg, texts), texts))
        if line.role == "choice":
            choice = choices[number] if number < len(choices) else None
            number += 1
            opening = f"({choice_opening(number, choice, text)}) "
        indent = " " * _INDENT.get(line.role, 0)
        hang = indent + " " * (len(opening) if line.role == "choice" else 2 if indent else 0)
        rows += [_Row(line.role, row) for row in wrap(opening + text, columns, indent, hang)]
    return rows


def _marked(arg: Arg, texts: Mapping[str, str]) -> str:
    """An argument in the written form, with sentences to type between the marks."""
    if isinstance(arg, Typed):
        return f"{_BOLD_ON}{argument(arg, 'sighted', texts)}{_BOLD_OFF}"
    if isinstance(arg, Listed):
        return listed(arg.items, lambda item: _marked(item, texts))
    return argument(arg, "sighted", texts)


def _cells(text: str) -> int:
    """Columns that a text takes: wide characters two, combining ones and our marks none."""
    return sum(
        0
        if c in (_BOLD_ON, _BOLD_OFF) or unicodedata.combining(c)
        else 2
        if unicodedata.east_asian_width(c) in "WF"
        else 1
        for c in text
    )


def wrap(text: str, columns: int, indent: str = "", hang: str = "") -> list[str]:
    """The text on lines of so many columns, broken at spaces, or inside a word that is too long.

    A figure is never parted from the unit word after it.
    """
    lines: list[str] = []
    current, empty = indent, True
    for word in _unbroken(text, columns - _cells(hang)):
        gap = "" if empty else " "
        if not empty and _cells(current) + 1 + _cells(word) > columns:
            lines.append(current)
            current, gap = hang, ""
        current, empty = current + gap + word, False
    return [*lines, current]


def _unbroken(text: str, room: int) -> list[str]:
    """The words of a text; a figure holds on to the word after it; long words are cut to fit."""
    words: list[str] = []
    for word in text.split():
        before = words[-1] if words else ""
        held = before.strip('("' + _BOLD_ON).lstrip("-").replace(".", "", 1).isdigit()
        if held and before[-1] != "." and _cells(before) + 1 + _cells(word) <= room:
            words[-1] = f"{before} {word}"
        else:
            words += _cut(word, room)
    return words


def _cut(word: str, room: int) -> list[str]:
    pieces, piece = [], ""
    for character in word:
        if piece and _cells(piece + character) > room:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]


def _plain(rows: list[_Row]) -> list[str]:
    return [row.text.replace(_BOLD_ON, "").replace(_BOLD_OFF, "") for row in rows]


def _paint(rows: list[_Row]) -> list[str]:
    """The rows with the terminal's colours, each row closed before its end."""
    from rich.color import ColorSystem  # noqa: PLC0415 - only a colour terminal needs it
    from rich.style import Style  # noqa: PLC0415

    painted: list[str] = []
    typed = False
    strong = Style(bold=True)
    for row in rows:
        style = Style.parse(_STYLE.get(row.role, "none"))
        indent = len(row.text) - len(row.text.lstrip(" "))
        out, start = row.text[:indent], indent
        for at in range(indent, len(row.text) + 1):
            mark = row.text[at] if at < len(row.text) else None
            if mark in (_BOLD_ON, _BOLD_OFF, None):
                part = row.text[start:at]
                chosen = strong if typed else style
                out += chosen.render(part, color_system=ColorSystem.STANDARD) if part else ""
                start = at + 1
                typed = typed if mark is None else mark == _BOLD_ON
        painted.append(out)
    return painted

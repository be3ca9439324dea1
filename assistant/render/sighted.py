"""A reply for the eye: the answer first, then blocks told apart by words, indents and blank lines.

The counting and the working of a dose are laid out as on paper (paper.py) where there is room for
it, else in sentences. Colour and weight only repeat what the words say; without them the text is
the same.
"""

from collections.abc import Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from assistant.dialogue.replies import Line, Reply, Role
from assistant.render.arguments import (
    argument,
    cautioned,
    choice_opening,
    fill,
    listed,
    with_choices,
)
from assistant.render.paper import Item, Sheet, adds_up, items_of
from assistant.render.texts import MARKED
from assistant.render.wrapping import BOLD_OFF, BOLD_ON, wrap
from assistant.values import Arg, Listed, Typed

Ink = Literal["plain", "bold", "color"]
NARROWEST = 20
WIDEST = 96
"""Columns: below NARROWEST words would break; past WIDEST a line is hard to follow."""

_SUM: tuple[Role, ...] = ("portion", "total")
_WORKING: tuple[Role, ...] = ("working",)
BLOCKS: tuple[tuple[Role, ...], ...] = (
    ("refusal", "answer"),
    ("fact",),
    _SUM,
    _WORKING,
    ("unread",),
    ("caution",),
    ("question", "choice"),
    ("next",),
)
"""The blocks in the order in which they are shown; within a block the reply's own order holds,
but the total stands under its portions."""

_OF_A_PORTION = ("step", "count-")
"""Codes of working that starts so belong to the portion before them and stay under it."""

_INDENT: Mapping[Role, int] = MappingProxyType(
    {"fact": 2, "portion": 2, "total": 2, "working": 2, "choice": 2}
)
_STEP_INDENT = 4
"""Of working that stands under its portion."""
_STYLE: Mapping[Role, str] = MappingProxyType(
    {
        "answer": "bold",
        "refusal": "bold",
        "question": "bold",
        "total": "bold",
        "caution": "bold magenta",
        "unread": "magenta",
    }
)
"""Weight, and one colour that reads well on light and dark grounds. Figures are never dim."""


class _Row(Struct, frozen=True):
    """One wrapped line of the screen and the role that it belongs to."""

    role: Role
    text: str


def sighted(reply: Reply, width: int, ink: Ink = "plain", texts: Mapping[str, str] = MARKED) -> str:
    """The reply laid out for so many columns; with bold or the terminal's own few colours too.

    texts are sentences with the marks of paper.py or without.
    """
    columns = max(NARROWEST, min(width, WIDEST))
    blocks = _blocks(with_choices(reply))
    papers = {
        roles: [item for line in lines for item in _items(line, roles, texts)]
        for roles, lines in blocks.items()
        if roles in (_SUM, _WORKING)
    }
    sheets = {roles: Sheet.of(items, columns) for roles, items in papers.items()}
    aligned = None not in sheets.values()
    paint = _plain if ink == "plain" else partial(_paint, color=ink == "color")
    made = []
    for roles, lines in blocks.items():
        sheet = sheets.get(roles) if aligned else None
        if roles not in papers:
            rows = _rows(lines, reply, columns, texts)
        elif sheet is not None:
            rows = _paper_rows(papers[roles], sheet, columns)
        else:
            rows = _sentence_rows(papers[roles], columns)
        made.append("\n".join(paint(rows)))
    return "\n\n".join(made)


_OPENS_A_WORKING = frozenset({"why"})
_ANSWERED_THEN = frozenset({"suggested-then"})
"""What "why" tells is a working: its answer is the dose or the refusal, also of a closed one."""


def answer_of(reply: Reply) -> Reply | None:
    """The answer alone, to be told again below a long reply; None where a question ends it."""
    lines = tuple(
        line
        for line in reply.lines
        if (line.role in BLOCKS[0] and line.code not in _OPENS_A_WORKING)
        or line.code in _ANSWERED_THEN
    )
    return Reply(reply.status, lines) if lines and reply.question is None else None


def _blocks(lines: tuple[Line, ...]) -> dict[tuple[Role, ...], list[Line]]:
    """The lines by block, without empty blocks."""
    blocks: dict[tuple[Role, ...], list[Line]] = {roles: [] for roles in BLOCKS}
    for line in lines:
        role: Role = "portion" if _of_a_portion(line) else line.role
        blocks[next(roles for roles in BLOCKS if role in roles)].append(line)
    blocks[_SUM].sort(key=lambda line: line.role == "total")
    return {roles: found for roles, found in blocks.items() if found}


def _of_a_portion(line: Line) -> bool:
    return line.role == "working" and line.code.startswith(_OF_A_PORTION)


def _items(line: Line, roles: tuple[Role, ...], texts: Mapping[str, str]) -> list[Item]:
    """A line of a count or of a dose as rows of paper."""
    step = roles == _SUM and line.role == "working"
    indent = _STEP_INDENT if step else _INDENT[line.role]
    return items_of(line, indent, step, lambda arg: _marked(arg, texts), texts)


def _paper_rows(items: Sequence[Item], sheet: Sheet, columns: int) -> list[_Row]:
    """Rows with their figures in columns; a line before a total that the figures above come to."""
    rows: list[_Row] = []
    ruled = adds_up(items)
    for item in items:
        if ruled and item.cell and item.line.role == "total":
            rows.append(_Row("portion", sheet.rule()))
        rows += [_Row(item.line.role, text) for text in sheet.rows(item, columns)]
    return rows


def _sentence_rows(items: Sequence[Item], columns: int) -> list[_Row]:
    """Rows as the parts of their sentences."""
    return [
        _Row(item.line.role, text)
        for item in items
        for text in wrap(item.sentence, columns, " " * item.indent, " " * (item.indent + 2))
    ]


def _rows(
    lines: Sequence[Line], reply: Reply, columns: int, texts: Mapping[str, str]
) -> list[_Row]:
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
        return f"{BOLD_ON}{argument(arg, 'sighted', texts)}{BOLD_OFF}"
    if isinstance(arg, Listed):
        return listed(arg.items, lambda item: _marked(item, texts))
    return argument(arg, "sighted", texts)


def _plain(rows: list[_Row]) -> list[str]:
    return [row.text.replace(BOLD_ON, "").replace(BOLD_OFF, "") for row in rows]


def _paint(rows: list[_Row], color: bool) -> list[str]:
    """The rows with their weight, and with the terminal's colours; each closed before its end."""
    from rich.color import ColorSystem  # noqa: PLC0415 - only a colour terminal needs it
    from rich.style import Style  # noqa: PLC0415

    painted: list[str] = []
    typed = False
    strong = Style(bold=True)
    for row in rows:
        style = Style.parse(_STYLE.get(row.role, "none"))
        style = style if color else Style(bold=style.bold)
        indent = len(row.text) - len(row.text.lstrip(" "))
        out, start = row.text[:indent], indent
        for at in range(indent, len(row.text) + 1):
            mark = row.text[at] if at < len(row.text) else None
            if mark in (BOLD_ON, BOLD_OFF, None):
                part = row.text[start:at]
                chosen = strong if typed else style
                out += chosen.render(part, color_system=ColorSystem.STANDARD) if part else ""
                start = at + 1
                typed = typed if mark is None else mark == BOLD_ON
        painted.append(out)
    return painted

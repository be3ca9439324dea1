"""Working as on paper: words at the left, figures under one another by their decimal points.

What is a result, and where a row ends, is marked in the catalogue (MARKED in texts.py): a line
break ends a row, and an argument behind "|words|" is the result of its row, without those words.
So a row holds nothing that the sentence does not say. Foods and their sum stand in one column, the
steps of a food in a column left of it. Where the words would get too little room, or a result is
not a plain figure, a row is its sentence.
"""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.replies import Line
from assistant.render.arguments import amount, fill
from assistant.render.wrapping import cells, wrap
from assistant.values import Amount, Arg
from grammar import patterns

GAP = 3
"""Columns between the words and a figure, and between two columns of figures."""
LEAST_WORDS, MOST_WORDS = 36, 52
"""Columns for the words beside a figure: with less, sentences are clearer; with more, the eye
loses the line on its way to the figure."""

_RESULT = patterns.compile(r"\s*\|[^|]*\|\s*\{(\w+)\}")
_DROPPED = patterns.compile(r"\s*\|[^|]*\|")
_FIGURE = patterns.compile(r"((?:about )?-?\d+)(\.\d+)?(.*)")

Say = Callable[[Arg], str]


class Cell(Struct, frozen=True):
    """A figure of a column: up to the point, from the point on, and its unit."""

    whole: str
    part: str
    unit: str

    @property
    def value(self) -> Fraction:
        """The figure as it is shown."""
        return Fraction(self.whole.removeprefix("about ") + self.part)


class Item(Struct, frozen=True):
    """One row before it is laid out: as sentence, or as words beside a figure.

    inner: the figure is a step on the way to an outer one.
    """

    line: Line
    indent: int
    sentence: str
    words: str = ""
    cell: Cell | None = None
    inner: bool = False


def items_of(
    line: Line, indent: int, inner: bool, say: Say, texts: Mapping[str, str]
) -> list[Item]:
    """The rows of a line, in order."""
    found: list[Item] = []
    for part in texts[line.code].split("\n"):
        place = indent + (2 if found else 0)
        item = Item(line, place, _said(line, part, say, texts))
        result = _RESULT.search(part)
        arg = line.args.get(result[1]) if result else None
        if result and isinstance(arg, Amount):
            words = _DROPPED.sub("", part[: result.start()] + part[result.end() :])
            words = _said(line, words.strip(" .,:"), say, texts)
            item = replace(item, words=words, cell=cell_of(arg), inner=inner)
        found.append(item)
    return found


def _said(line: Line, part: str, say: Say, texts: Mapping[str, str]) -> str:
    return fill(line, say, {**texts, line.code: part})


def cell_of(arg: Amount) -> Cell:
    """The figure as the sentence writes it, in its three parts."""
    figure = _FIGURE.fullmatch(amount(arg, "sighted"))
    assert figure is not None
    return Cell(figure[1], figure[2] or "", figure[3])


class Column(Struct, frozen=True):
    """The widths of a column of figures; all nought where it has none."""

    whole: int = 0
    part: int = 0
    unit: int = 0

    @staticmethod
    def of(found: Iterable[Cell]) -> "Column":
        """The column that holds these figures."""
        held = tuple(found)
        if not held:
            return Column()
        return Column(
            max(cells(c.whole) for c in held),
            max(cells(c.part) for c in held),
            max(cells(c.unit) for c in held),
        )

    @property
    def width(self) -> int:
        """Columns of the screen."""
        return self.whole + self.part + self.unit

    def put(self, cell: Cell) -> str:
        """The figure with its point in the column's place, and its unit in the units' place."""
        return f"{cell.whole:>{self.whole}}{cell.part:<{self.part}}{cell.unit}"


class Sheet(Struct, frozen=True):
    """The places of one block of working: words up to column words, then the two columns."""

    words: int
    inner: Column
    outer: Column

    @staticmethod
    def of(items: Iterable[Item], columns: int) -> "Sheet | None":
        """The places for these rows, or None where the words would have too little room."""
        rows = [item for item in items if item.cell]
        inner = Column.of(item.cell for item in rows if item.cell and item.inner)
        outer = Column.of(item.cell for item in rows if item.cell and not item.inner)
        figures = sum(GAP + c.width for c in (inner, outer) if c.width)
        room = min(columns - figures, MOST_WORDS)
        if room < LEAST_WORDS:
            return None
        longest = max((item.indent + cells(item.words) for item in rows), default=0)
        return Sheet(min(longest, room), inner, outer)

    def rows(self, item: Item, columns: int) -> list[str]:
        """The row as lines of the screen; the figure stands beside the last of its words."""
        indent, hang = " " * item.indent, " " * (item.indent + 2)
        if item.cell is None:
            return wrap(item.sentence, columns, indent, hang)
        *before, last = wrap(item.words, self.words, indent, hang)
        at = self._place(item.inner)
        column = self.inner if item.inner else self.outer
        return [*before, last + " " * (at - cells(last)) + column.put(item.cell)]

    def rule(self) -> str:
        """The line under the figures of the outer column, before their sum."""
        at = self._place(inner=False)
        return " " * at + "-" * (self.outer.whole + self.outer.part)

    def _place(self, inner: bool) -> int:
        beside = 0 if inner or not self.inner.width else GAP + self.inner.width
        return self.words + GAP + beside


def adds_up(items: Iterable[Item]) -> bool:
    """True where the figures above a total are two or more and come to it as they are shown."""
    outer = [item for item in items if item.cell and not item.inner]
    parts = [i.cell.value for i in outer if i.cell and i.line.role != "total"]
    sums = [i.cell.value for i in outer if i.cell and i.line.role == "total"]
    units = {i.cell.unit for i in outer if i.cell}
    return len(parts) > 1 and len(units) == 1 and sums == [sum(parts)]

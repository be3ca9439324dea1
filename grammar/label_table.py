"""The headings and rows of a label in printed order, before figures are given to columns."""

import re
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct, field

from grammar import patterns
from grammar.label_nodes import PerKind, ServingSize
from grammar.label_parts import read_size
from grammar.label_rows import Row, may_lack_figure, read_row
from grammar.label_segments import Notes, Segment
from grammar.label_tokens import MASS
from grammar.label_words import ENERGY, ENERGY_KCAL, nutrient_name
from grammar.parsing import Token

State = Literal["packaged", "prepared"]
_SERVE = r"(?:serving|serve|portion)"


class Head(Struct):
    """One column heading: what it is for, the state of the food, and a size it names."""

    per: PerKind | None
    state: State | None
    start: int
    end: int
    size: ServingSize | None = None


class Group(Struct):
    """Headings with the rows below them. A label may print one group after another."""

    heads: list[Head] = field(default_factory=list)
    rows: list[tuple[Row, str]] = field(default_factory=list)


class Table(Struct):
    """All groups of a label, and the serving sizes named by its headings."""

    groups: list[Group] = field(default_factory=lambda: [Group()])
    sizes: list[ServingSize] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)


def read_table(items: Sequence[Segment], notes: Notes) -> Table:
    """Headings and rows in printed order. Gives roles to their tokens; raises doubts on rows."""
    table = Table()
    items = _energy_below_heads(items)
    seen: list[Token] = []
    for place, item in enumerate(items):
        after = items[place + 1] if place + 1 < len(items) else None
        head = _head(item, after, notes)
        if head is not None:
            if table.groups[-1].rows:
                table.groups.append(Group())
            table.groups[-1].heads.append(head)
            if head.size is not None:
                table.sizes.append(head.size)
        elif item.kind == "nutrient":
            row = _row(item, _words_before(seen, item, notes), after, notes)
            if row is not None:
                assert item.head is not None
                table.groups[-1].rows.append((row, str(item.head)))
                table.rows.append(row)
        seen += item.tokens
    _french_sizes(items, table, notes)
    return table


def _energy_below_heads(items: Sequence[Segment]) -> list[Segment]:
    """'Calories / Per serving 220 / Per container 440': the headings first, then one row."""
    found: list[Segment] = []
    place = 0
    while place < len(items):
        item = items[place]
        place += 1
        bare = item.kind == "nutrient" and all(token.type == "SEP" for token in item.tail)
        heads: list[Segment] = []
        while bare and place < len(items) and _carries_energy(item, items[place]):
            heads.append(items[place])
            place += 1
        found += [Segment(head.kind, head.head, ()) for head in heads]
        tail = tuple(token for head in heads for token in head.tail)
        found.append(Segment(item.kind, item.head, tail) if heads else item)
    return found


def _carries_energy(item: Segment, below: Segment) -> bool:
    if below.kind != "basis" or not below.tail or item.head is None:
        return False
    return below.tail[0].type == "NUMBER" and nutrient_name(item.head) == ENERGY_KCAL


def _head(item: Segment, after: Segment | None, notes: Notes) -> Head | None:
    if item.head is None:
        return None
    said = item.head.casefold()
    if item.kind == "state":
        notes.use([item.head])
        state: State = "prepared" if patterns.search("prepared|consumed", said) else "packaged"
        return Head(None, state, item.start, item.end)
    if item.kind == "per" and said != "pour":
        size = read_size(item.tail, item.start, notes, one=True)
        if size is None:
            return None
        notes.use([item.head])
        return Head("serving", None, item.start, size.end, size)
    return _basis(item, said, after, notes) if item.kind == "basis" else None


def _basis(item: Segment, said: str, after: Segment | None, notes: Notes) -> Head:
    assert item.head is not None
    notes.use([item.head])
    head = Head("serving", None, item.start, item.head.end)
    if hundred := patterns.search(r"100\s*(g|gram|grams|ml|millilit(?:re|er)s?)\Z", said):
        head.per = "100 ml" if hundred[1].startswith("m") else "100 g"
    elif patterns.search(r"per\s+(?:container|package|packet|pack)", said):
        head.per = "pack"
    elif found := patterns.search(rf"([0-9.,]+\s*{MASS})\s+{_SERVE}", item.head, re.IGNORECASE):
        start = item.start + found.start(1)
        mass = Token("FIGURE", found[1], start=start, end=start + len(found[1]))
        head.size = read_size([mass], start, notes)
    else:
        head.size = _size_behind(item, after, notes)
    return head


def _size_behind(item: Segment, after: Segment | None, notes: Notes) -> ServingSize | None:
    """The size in 'per portion (30 g)' and 'per serving 30 g'; not the 27 g of '... 27 g carbs'."""
    told = [token for token in item.tail if token.type != "SEP"]
    if not told or told[0].type not in {"FIGURE", "NUMBER", "FRACTION"}:
        return None
    assert item.head is not None
    between = notes.text[item.head.end : told[0].start]
    bracketed = between.strip() == "("
    if not bracketed and (between.strip() or told[0].type != "FIGURE" or "\n" in between):
        return None
    name = after.head if after is not None and after.kind == "nutrient" else None
    if not bracketed and name is not None and len(told) == 1 and notes.beside(told[0], name):
        return None
    return read_size(told[:1], told[0].start, notes)


def _words_before(tokens: Sequence[Token], item: Segment, notes: Notes) -> list[Token]:
    """The words without a role that stand directly before a name: 'impact' in 'impact carbs'."""
    words: list[Token] = []
    behind = item.head
    for token in reversed(tokens):
        if behind is None or token.type != "WORD" or token.start in notes.used:
            break
        if not notes.beside(token, behind):
            break
        words.append(token)
        behind = token
    return words[::-1]


def _row(item: Segment, words: Sequence[Token], after: Segment | None, notes: Notes) -> Row | None:
    """The row, with its own doubts raised; None where the name stands in running words."""
    if words and all(token.type == "SEP" for token in item.tail):
        return None
    row = read_row(item, notes)
    if words:
        # "impact carbs 3 g" may be no carbohydrate at all.
        notes.doubt("name", words[0].start, row.end)
        notes.use(words)
        return None
    if _glued(row, after, notes):
        assert after is not None
        assert after.head is not None
        notes.doubt("number", row.start, after.head.end)
        notes.use([after.head])
        row.unclear = True
    elif _turned_about(item, after, notes):
        notes.doubt("order", row.start, after.end if after else row.end)
        row.unclear = True
    elif not row.figures and not row.unclear and not may_lack_figure(row):
        if not _energy_heading(row, after):
            notes.doubt("no-figure", row.start, row.end)
        row.unclear = True
    return row


def _glued(row: Row, after: Segment | None, notes: Notes) -> bool:
    """True for '27gx' and '23x': letters that touch a figure may be part of it."""
    if after is None or after.kind != "junk" or after.start != row.end:
        return False
    return notes.text[row.end - 1].isdigit() or after.head is None or after.head[0].isalnum()


def _energy_heading(row: Row, after: Segment | None) -> bool:
    """'Energy' over a row that says 'kJ 1686': the next row carries the figure."""
    if row.nutrient != ENERGY or row.percents or after is None or after.head is None:
        return False
    return after.kind == "nutrient" and bool(patterns.match("kj|kcal", after.head, re.IGNORECASE))


def _turned_about(item: Segment, after: Segment | None, notes: Notes) -> bool:
    """True for 'carbohydrate, 6 g fibre' and '27 g carbohydrate / 6 g fibre': whose is the 6 g?"""
    told = [token for token in item.tail if token.type != "SEP"]
    if after is None or after.kind != "nutrient" or after.head is None or item.head is None:
        return False
    if len(told) != 1 or told[0].type != "FIGURE" or told[0].start < item.head.start:
        return False
    if after.tail and after.tail[0].start < after.head.start:
        return False
    gap = notes.text[item.head.end : told[0].start]
    return bool(patterns.search(r"[,;\n]", gap)) and notes.beside(told[0], after.head)


def _french_sizes(items: Sequence[Segment], table: Table, notes: Notes) -> None:
    """'Per 1 cup (55 g) / pour 1 tasse (55 g)': the French size must be the English one."""
    for item in items:
        if item.kind != "per" or item.head is None or item.head.casefold() != "pour":
            continue
        if not table.sizes or notes.region not in {"CA", None}:
            continue
        size = read_size(item.tail, item.start, notes)
        if size is None:
            continue
        notes.use([item.head])
        english = table.sizes[0]
        if (size.grams, size.millilitres) != (english.grams, english.millilitres):
            notes.doubt("serving", size.start, size.end, (english.said, size.said))

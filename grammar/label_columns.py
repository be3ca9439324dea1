"""Which figure of each row belongs to which column, and what the columns are for."""

from collections.abc import Sequence
from fractions import Fraction

from grammar.label_nodes import Column, Figure, PerKind
from grammar.label_rows import Row
from grammar.label_segments import Notes
from grammar.label_table import Group, Head, State, Table

_Clashes = set[tuple[str, int]]  # a nutrient and the identity of a column


def _columns_of(heads: Sequence[Head]) -> list[tuple[PerKind | None, State | None]]:
    """The columns that a run of headings names; a heading repeated names no further one."""
    found: list[tuple[PerKind | None, State | None]] = []
    for head in heads:
        per, state = found[-1] if found else (None, None)
        if found and head.per is not None and per is None:
            found[-1] = (head.per, state)
        elif found and head.state is not None and state is None:
            found[-1] = (per, head.state)
        else:
            found.append((head.per, head.state))
    inherited: list[tuple[PerKind | None, State | None]] = []
    for per, state in found:
        key = (per or (inherited[-1][0] if inherited else None), state)
        if key not in inherited:
            inherited.append(key)
    return inherited


def build_columns(table: Table, notes: Notes, *, has_serving: bool) -> tuple[Column, ...]:
    """The columns in printed order. A row whose figures do not fit them raises 'columns'."""
    groups = [group for group in table.groups if group.heads or group.rows]
    if not any(group.rows for group in groups):
        return ()
    columns: dict[tuple[PerKind | None, State | None], Column] = {}
    clashes: _Clashes = set()
    keys = _group_keys(groups, notes, has_serving=has_serving)
    for group, names in zip(groups, keys, strict=True):
        if not group.rows:
            continue
        for key in names:
            columns.setdefault(key, Column(key[0], {}, {}, key[1]))
        mine = [columns[key] for key in names]
        for row, said in group.rows:
            _place_figures(row, mine, clashes, notes)
            _place_percents(row, said, mine, notes)
    # A nutrient that is printed clearly in one place and unclearly in another is not settled.
    for unclear in (row for row in table.rows if row.unclear):
        for column in columns.values():
            for name in (unclear.nutrient, *unclear.filed()):
                column.figures.pop(name, None)
    return tuple(columns.values())


def _group_keys(
    groups: Sequence[Group], notes: Notes, *, has_serving: bool
) -> list[list[tuple[PerKind | None, State | None]]]:
    """The columns of each group. Rows before any heading are of the serving, or in doubt."""
    keys = [_columns_of(group.heads) for group in groups]
    named = {key for group in keys for key in group}
    first = groups[0]
    if not first.heads:
        behind = named.pop() if len(named) == 1 else None
        last_is_bare = not groups[-1].rows or len(groups) == 1
        if behind is not None and (last_is_bare or (behind[0] == "serving" and has_serving)):
            keys[0] = [behind]  # "carbohydrate 60 g, fibre 9 g per 100 g"
        elif behind is None and not named and has_serving:
            keys[0] = [("serving", None)]
        else:
            keys[0] = [(None, None)]
        if keys[0] == [(None, None)] and named:
            keys = [[(None, None)] for _ in groups]  # "fat 3 g per serving, carbs 60 g per 100 g"
    elif not groups[-1].rows and not set(keys[-1]) <= {k for g in keys[:-1] for k in g}:
        # "per 100 g: carbohydrate 60 g, fibre 3 g per serving"
        keys = [[(None, None)] for _ in groups]
    if has_serving and keys[0] != [(None, None)]:
        keys = [[(per or "serving", state) for per, state in group] for group in keys]
    unnamed = [
        row
        for group, names in zip(groups, keys, strict=True)
        for row, _ in group.rows
        if any(per is None for per, _ in names) and (row.figures or row.percents)
    ]
    if unnamed:
        notes.doubt("per", unnamed[0].start, unnamed[0].end)
    return keys


def _place_figures(row: Row, columns: Sequence[Column], clashes: _Clashes, notes: Notes) -> None:
    if row.unclear:
        return
    for name, figures in row.filed().items():
        if len(figures) != len(columns):
            notes.doubt("columns", row.start, row.end)
            row.unclear = True
            continue
        for column, figure in zip(columns, figures, strict=True):
            known = column.figures.get(name)
            if (name, id(column)) in clashes:
                notes.doubt("twice", row.start, row.end, (figure.said,))
            elif known is None:
                column.figures[name] = figure
            elif not _same(known, figure):
                notes.doubt("twice", row.start, row.end, (known.said, figure.said))
                del column.figures[name]
                clashes.add((name, id(column)))


def _same(first: Figure, second: Figure) -> bool:
    return (first.value, first.unit, first.below) == (second.value, second.unit, second.below)


def _place_percents(row: Row, said: str, columns: Sequence[Column], notes: Notes) -> None:
    """File the per cents: one for each column, or a single one beside the serving's figure."""
    if row.unclear or not row.percents:
        return
    name = row.percent_name(said)
    values = [value for _, value in row.percents]
    if len(values) == len(columns):
        targets = list(columns)
    elif len(values) == 1:
        behind = row.percents[0][0] * len(columns)
        place = -(-behind // max(1, len(row.figures))) - 1
        targets = [columns[place]] if place >= 0 and columns[place].per == "serving" else []
    else:
        targets = []
    if not targets:
        notes.doubt("columns", row.start, row.end)
        return
    for column, value in zip(targets, values, strict=True):
        _file_percent(column, name, value, row, notes)


def _file_percent(column: Column, name: str, value: Fraction, row: Row, notes: Notes) -> None:
    known = column.percents.setdefault(name, value)
    if known != value:
        notes.doubt("twice", row.start, row.end)
        del column.percents[name]

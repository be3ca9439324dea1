"""The report as Markdown; a plot is told in its sentences."""

import re
from collections.abc import Iterator

from assistant.report.document import Document, Table


def markdown(document: Document) -> Iterator[str]:
    """The report, piece by piece."""
    yield f"# {_md(document.title)}\n\n> {_md(document.care)}\n\n"
    for section in document.sections:
        yield f"## {_md(section.heading)}\n\n"
        yield from _list(section.lines)
        for table in section.tables:
            yield from _table(table)
        for plot in section.plots:
            yield f"### {_md(plot.title)}\n\n"
            yield from _list(plot.told)
    yield f"{_md(document.made)}\n"


def _list(lines: tuple[str, ...]) -> Iterator[str]:
    if lines:
        yield "".join(f"- {_md(line)}\n" for line in lines) + "\n"


def _table(table: Table) -> Iterator[str]:
    yield f"**{_md(table.caption)}**\n\n"
    yield _row(table.head)
    yield "|" + " --- |" * len(table.head) + "\n"
    yield "".join(_row(row) for row in table.rows) + "\n"


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(_md(cell) for cell in cells) + " |\n"


def _md(text: str) -> str:
    """Text that Markdown shows as it is."""
    return re.sub(r"([\\`*_{}\[\]<>#|~])", r"\\\1", " ".join(text.split()))

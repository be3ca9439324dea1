"""The report as Markdown; a plot is told in its sentences."""

from collections.abc import Iterator

from assistant.render.markup import marked, marked_items
from assistant.report.document import Document, Table


def markdown(document: Document) -> Iterator[str]:
    """The report, piece by piece."""
    yield f"# {marked(document.title)}\n\n> {marked(document.care)}\n\n"
    for section in document.sections:
        yield f"## {marked(section.heading)}\n\n"
        yield marked_items(section.lines)
        for table in section.tables:
            yield from _table(table)
        for plot in section.plots:
            yield f"### {marked(plot.title)}\n\n"
            yield marked_items(plot.told)
    yield f"{marked(document.made)}\n"


def _table(table: Table) -> Iterator[str]:
    yield f"**{marked(table.caption)}**\n\n"
    yield _row(table.head)
    yield "|" + " --- |" * len(table.head) + "\n"
    yield "".join(_row(row) for row in table.rows) + "\n"


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(marked(cell) for cell in cells) + " |\n"

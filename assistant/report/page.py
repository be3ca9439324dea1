"""The report as one HTML page: no script, nothing outside, made to be read aloud or printed."""

from collections.abc import Iterator

from assistant.render.markup import care, ending, escaped, items, opening
from assistant.report.document import Document, Plot, Table
from assistant.report.plots import svg

_STYLE = """:root { color-scheme: light; }
body { font: 1rem/1.5 Georgia, serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem;
  color: #111; background: #fff; }
h1, h2, h3 { line-height: 1.25; }
.care { border: 2px solid #111; padding: .6rem 1rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; margin: 1rem 0 1.6rem; width: 100%; font-size: .95rem; }
caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { border: 1px solid #767676; padding: .25rem .5rem; text-align: left;
  vertical-align: top; }
thead th { background: #eee; }
figure { margin: 1rem 0 1.6rem; }
svg { width: 100%; max-width: 40rem; height: auto; font: 12px sans-serif; }
svg .shade { fill: #e4e4e4; }
svg .grid { stroke: #bbb; stroke-width: 1; }
svg .stem { stroke: #555; stroke-width: 2; }
svg .bar { fill: #444; }
svg circle { fill: #111; }
@media print {
  body { max-width: none; margin: 0; font-size: 10pt; }
  h2, h3, caption { break-after: avoid; }
  tr, figure { break-inside: avoid; }
  thead { display: table-header-group; }
  .wide { overflow: visible; }
}
"""


def page(document: Document) -> Iterator[str]:
    """The page, piece by piece."""
    yield opening(document.title, _STYLE)
    yield care(document.care)
    number = 0
    for section in document.sections:
        yield f"<section>\n<h2>{escaped(section.heading)}</h2>\n{items(section.lines)}"
        for table in section.tables:
            yield from _table(table)
        for plot in section.plots:
            number += 1
            yield _figure(plot, number)
        yield "</section>\n"
    yield ending(document.made)


def _table(table: Table) -> Iterator[str]:
    """A table whose columns and rows have headings, so that a reader tells each cell with both."""
    caption = escaped(table.caption)
    yield f'<div class="wide" role="region" tabindex="0" aria-label="{caption}">\n<table>\n'
    yield f"<caption>{caption}</caption>\n<thead>\n<tr>"
    yield "".join(f'<th scope="col">{escaped(cell)}</th>' for cell in table.head)
    yield "</tr>\n</thead>\n<tbody>\n"
    for row in table.rows:
        cells = "".join(f"<td>{escaped(cell)}</td>" for cell in row[1:])
        yield f'<tr><th scope="row">{escaped(row[0])}</th>{cells}</tr>\n'
    yield "</tbody>\n</table>\n</div>\n"


def _figure(plot: Plot, number: int) -> str:
    return (
        f"<figure>\n<h3>{escaped(plot.title)}</h3>\n{svg(plot, number)}"
        f'<figcaption id="plot-{number}-text">\n{items(plot.told)}</figcaption>\n</figure>\n'
    )

"""The page stands alone, reads well aloud, and says beside each plot what the plot shows."""

import re
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from week import NOW, live

from assistant.diary.entries import Days
from assistant.report.document import Document, Section, Table
from assistant.report.forms import written
from assistant.report.markdown import markdown
from assistant.report.page import page as as_page
from assistant.shell.report import visit_of
from assistant.store.store import Store

VOID = {"meta", "rect", "line", "circle", "br"}


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    home = tmp_path_factory.mktemp("page") / "home"
    live(home)
    store = Store.open(home, NOW)
    with store.reading() as (record, foods):
        text = written(
            visit_of(record, foods, Days(date(2026, 3, 2), date(2026, 3, 8)), NOW), "html"
        )
    store.close()
    return text


class Tree(HTMLParser):
    """Tags as they open, with their attributes; fails on tags that do not close in order."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self._open: list[str] = []
        self.feed(text)
        assert self._open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self._open.pop() == tag


def test_well_formed_with_one_title_and_headings_in_order(page) -> None:
    tree = Tree(page)
    levels = [int(tag[1]) for tag, _ in tree.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert ("html", {"lang": "en"}) in tree.tags


def test_nothing_from_outside_and_no_script(page) -> None:
    tree = Tree(page)
    assert not {tag for tag, _ in tree.tags} & {"script", "link", "img", "iframe", "object", "base"}
    for _, attributes in tree.tags:
        assert not {"src", "href", "srcset", "style"} & set(attributes)
        assert not [name for name in attributes if name.startswith("on")]
    addresses = set(re.findall(r"https?://[^\s\"'<]+", page))
    assert addresses <= {"http://www.w3.org/2000/svg"}  # the name of SVG, which nothing fetches
    assert "url(" not in page
    assert "@import" not in page


def test_each_table_has_a_caption_and_headings_for_rows_and_columns(page) -> None:
    tables = re.findall(r"<table>.*?</table>", page, re.S)
    assert len(tables) > 10
    for table in tables:
        assert re.search(r"<caption>[^<]+</caption>", table)
        head, body = table.split("</thead>")
        columns = len(re.findall(r'<th scope="col">[^<]+</th>', head))
        assert columns >= 2
        for row in re.findall(r"<tr>(.*?)</tr>", body):
            cells = re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", row)
            assert len(cells) == columns
            assert all(cell.strip() for cell in cells)  # an empty cell is not told by a reader
            assert row.startswith('<th scope="row">')


def test_each_plot_has_a_title_and_a_text_that_says_the_same(page) -> None:
    figures = re.findall(r"<figure>.*?</figure>", page, re.S)
    assert len(figures) == 3
    for figure in figures:
        name = re.search(r'aria-describedby="([^"]+)"', figure)[1]
        assert f'<figcaption id="{name}">' in figure
        title = re.search(r'aria-labelledby="([^"]+)"', figure)[1]
        assert f'<title id="{title}">' in figure
        assert re.search(r"<figcaption[^>]*>\s*<ul>\s*<li>", figure)


def test_the_plot_of_readings_has_a_dot_for_each_figure_of_its_text(page) -> None:
    (figure,) = [f for f in re.findall(r"<figure>.*?</figure>", page, re.S) if "<circle" in f]
    said = re.findall(r"<li>\d+ March 2026: ([\d, ]+)\.</li>", figure)
    assert len(re.findall("<circle", figure)) == sum(len(line.split(", ")) for line in said) > 20


@pytest.mark.parametrize(
    ("of", "side", "pattern"),
    [("Share of readings", "width", r": ([\d.]+) percent\."),
     ("Carbohydrate on each day", "height", r"2026: ([\d.]+)\.")],
)  # fmt: skip
def test_bars_are_as_long_as_the_figures_beside_them_say(page, of, side, pattern) -> None:
    (figure,) = [f for f in re.findall(r"<figure>.*?</figure>", page, re.S) if f"<h3>{of}" in f]
    bars = re.findall(rf'<rect class="bar"[^>]* {side}="([\d.]+)"', figure)
    said = re.findall(pattern, figure)
    assert len(bars) == len(said) >= 5
    most = max(range(len(said)), key=lambda n: float(said[n]))
    for bar, figure_said in zip(bars, said, strict=True):
        expected = float(bars[most]) * float(figure_said) / float(said[most])
        assert abs(float(bar) - expected) <= 0.4  # drawn to a tenth; shares are told to a tenth


def test_dots_stand_at_their_figures(page) -> None:
    """Two lines of the grid give the scale; each dot lies where its figure says."""
    (figure,) = [f for f in re.findall(r"<figure>.*?</figure>", page, re.S) if "<circle" in f]
    grid = re.findall(r'y1="([\d.]+)"[^>]*/>\s*<text[^>]*>(\d+)</text>', figure)
    (y0, v0), (y1, v1) = [(float(y), float(v)) for y, v in (grid[0], grid[-1])]
    dots = [float(y) for y in re.findall(r'<circle[^>]* cy="([\d.]+)"', figure)]
    said = [float(v) for line in re.findall(r"<li>\d+ March 2026: ([\d, ]+)\.</li>", figure)
            for v in line.split(", ")]  # fmt: skip
    assert len(dots) == len(said)
    for dot, value in zip(dots, said, strict=True):
        assert abs(dot - (y0 + (value - v0) * (y1 - y0) / (v1 - v0))) <= 0.5


def test_what_was_typed_cannot_become_markup() -> None:
    odd = '<script>alert("x")</script> & | *'
    table = Table(odd, (odd, odd), ((odd, odd),))
    document = Document(odd, odd, (Section(odd, (odd,), (table,)),), odd)
    text = "".join(as_page(document))
    assert "<script" not in text
    Tree(text)
    plain = "".join(markdown(document))
    assert not re.search(r"(?<!\\)<", plain)
    row = next(line for line in plain.splitlines() if line.startswith("| "))
    assert len(re.findall(r"(?<!\\)\|", row)) == 3


def test_a_record_without_entries_makes_every_form(tmp_path) -> None:
    now = datetime(2026, 3, 9, 9, tzinfo=UTC)
    store = Store.open(tmp_path / "home", now)
    with store.reading() as (record, foods):
        visit = visit_of(record, foods, Days(date(2026, 3, 2), date(2026, 3, 8)), now)
    store.close()
    for shape in ("html", "markdown", "csv", "fhir"):
        assert written(visit, shape)
    Tree(written(visit, "html"))
    assert "No glucose reading was logged." in written(visit, "markdown")


def test_no_cell_of_the_csv_is_a_formula() -> None:
    from assistant.report.sheet import _harmless

    for text in ("=1+1", "+1", "-1", "@x"):
        assert _harmless(text) == f"'{text}"
    assert _harmless("2 slices\nof bread") == "2 slices of bread"

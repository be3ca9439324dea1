"""Plots as SVG inside the page: no script, no colour that carries meaning, a title and a text."""

from fractions import Fraction

from assistant.render.arguments import figure
from assistant.render.markup import escaped
from assistant.report.document import Mark, Plot

WIDTH, HEIGHT = 640, 240
_LEFT, _RIGHT, _TOP, _BOTTOM = 56, 8, 12, 28
_MOST_LABELS = 16


def svg(plot: Plot, number: int) -> str:
    """The drawing; its title is told by a reader, and what it shows stands in the page beside."""
    body = _across(plot) if plot.kind == "across" else _up(plot)
    height = _height(plot)
    name = f"plot-{number}"
    return (
        f'<svg role="img" aria-labelledby="{name}-title" aria-describedby="{name}-text"'
        f' viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg">\n'
        f'<title id="{name}-title">{escaped(plot.title)}</title>\n{body}</svg>\n'
    )


def _height(plot: Plot) -> int:
    return HEIGHT if plot.kind == "up" else 34 * len(plot.marks) + 8


def _at(value: Fraction) -> str:
    """A place on the paper, to a tenth."""
    return figure(value, 1)[0]


def _step(most: Fraction) -> Fraction:
    """A round step that divides the height into about five."""
    size = Fraction(1, 10)
    while True:
        for times in (1, 2, 5):
            if most <= 5 * size * times:
                return size * times
        size *= 10


def _up(plot: Plot) -> str:
    tops = [m.high for m in plot.marks if m.high is not None]
    most = max([*tops, *(plot.shade or ())], default=Fraction(1)) or Fraction(1)
    step = _step(most)
    lines = -(-most // step)
    top = step * lines
    inner = HEIGHT - _TOP - _BOTTOM

    def y(value: Fraction) -> Fraction:
        return _TOP + inner * (1 - value / top)

    parts = []
    if plot.shade is not None:
        low, high = plot.shade
        parts.append(
            f'<rect class="shade" x="{_LEFT}" y="{_at(y(high))}" width="{WIDTH - _LEFT - _RIGHT}"'
            f' height="{_at(y(low) - y(high))}"/>\n'
        )
    for n in range(int(lines) + 1):
        value = step * n
        parts.append(
            f'<line class="grid" x1="{_LEFT}" x2="{WIDTH - _RIGHT}" y1="{_at(y(value))}"'
            f' y2="{_at(y(value))}"/>\n<text x="{_LEFT - 6}" y="{_at(y(value) + 4)}"'
            f' text-anchor="end">{_at(value)}</text>\n'
        )
    room = Fraction(WIDTH - _LEFT - _RIGHT, max(len(plot.marks), 1))
    every = -(-len(plot.marks) // _MOST_LABELS)
    for n, mark in enumerate(plot.marks):
        middle = _LEFT + room * n + room / 2
        parts.append(_mark(mark, middle, min(room * Fraction(3, 5), Fraction(40)), y))
        if n % every == 0:
            parts.append(
                f'<text x="{_at(middle)}" y="{HEIGHT - 8}" text-anchor="middle">'
                f"{escaped(mark.label)}</text>\n"
            )
    return "".join(parts)


def _mark(mark: Mark, middle: Fraction, wide: Fraction, y) -> str:  # type: ignore[no-untyped-def]
    if mark.low is None or mark.high is None:
        return ""
    if mark.dots:
        line = (
            f'<line class="stem" x1="{_at(middle)}" x2="{_at(middle)}" y1="{_at(y(mark.low))}"'
            f' y2="{_at(y(mark.high))}"/>\n'
        )
        dots = (f'<circle cx="{_at(middle)}" cy="{_at(y(d))}" r="3.5"/>\n' for d in mark.dots)
        return line + "".join(dots)
    return (
        f'<rect class="bar" x="{_at(middle - wide / 2)}" y="{_at(y(mark.high))}"'
        f' width="{_at(wide)}" height="{_at(y(mark.low) - y(mark.high))}"/>\n'
    )


def _across(plot: Plot) -> str:
    """Bars of percent, one below the other, with the figure behind each."""
    parts = []
    left, room = 170, WIDTH - 170 - 60
    for n, mark in enumerate(plot.marks):
        top = 4 + 34 * n
        value = mark.high or Fraction(0)
        wide = value / 100 * room
        parts.append(
            f'<text x="{left - 8}" y="{top + 19}" text-anchor="end">'
            f"{escaped(mark.label)}</text>\n"
            f'<rect class="bar" x="{left}" y="{top}" width="{_at(wide)}" height="26"/>\n'
            f'<text x="{_at(left + wide + 6)}" y="{top + 19}">{_at(value)}</text>\n'
        )
    return "".join(parts)

"""Text as HTML and as Markdown: escaped, and without characters that no page may hold."""

import html
from collections.abc import Iterable

from assistant.render.texts import TEXTS
from grammar import patterns
from grammar.words import printable

_OPENING = """<!DOCTYPE html>
<html lang="{lang}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<main>
<h1>{title}</h1>
"""


def opening(title: str, style: str) -> str:
    """How an HTML page begins, down to its first heading. style: CSS, whole lines."""
    return _OPENING.format(lang=TEXTS["page-lang"], title=escaped(title), style=style)


def ending(last: str) -> str:
    """How it ends, with a last paragraph."""
    return f"<p>{escaped(last)}</p>\n</main>\n</body>\n</html>\n"


def care(sentence: str) -> str:
    """The caution at the head of a page."""
    return f'<p class="care" role="note">{escaped(sentence)}</p>\n'


def escaped(text: str) -> str:
    """Text that HTML shows as it is."""
    return html.escape("\n".join(printable(line) for line in text.splitlines()))


def items(lines: Iterable[str]) -> str:
    """Lines as an HTML list; nothing where there are none."""
    found = "".join(f"<li>{escaped(line)}</li>\n" for line in lines)
    return f"<ul>\n{found}</ul>\n" if found else ""


def marked(text: str) -> str:
    """Text that Markdown shows as it is."""
    return patterns.sub(r"([\\`*_{}\[\]<>#|~])", r"\\\1", " ".join(printable(text).split()))


def marked_items(lines: Iterable[str]) -> str:
    """Lines as a Markdown list and the empty line behind it; nothing where there are none."""
    found = "".join(f"- {marked(line)}\n" for line in lines)
    return f"{found}\n" if found else ""

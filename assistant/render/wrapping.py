"""Text on lines of so many columns: cells, marks of strong parts, and breaks between words."""

import unicodedata

BOLD_ON, BOLD_OFF = "\ue000", "\ue001"
"""Marks around a sentence to type. Private characters: 'printable' keeps users' words free of
them, and the renderer takes them out again."""


def cells(text: str) -> int:
    """Columns that a text takes: wide characters two, combining ones and our marks none."""
    text = text.replace(BOLD_ON, "").replace(BOLD_OFF, "")
    if text.isascii():  # nearly all are: a reply of ours is measured a thousand times
        return len(text)
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def wrap(text: str, columns: int, indent: str = "", hang: str = "") -> list[str]:
    """The text on lines of so many columns, broken at spaces, or inside a word that is too long.

    A figure is never parted from the unit word after it, nor from an "about" before it.
    """
    lines: list[str] = []
    current, empty = indent, True
    for word in _unbroken(text, columns - cells(indent), columns - cells(hang)):
        gap = "" if empty else " "
        if not empty and cells(current) + 1 + cells(word) > columns:
            lines.append(current)
            current, gap = hang, ""
        current, empty = current + gap + word, False
    return [*lines, current]


def _unbroken(text: str, first: int, room: int) -> list[str]:
    """The words of a text; a figure and its unit hold together; long words are cut to fit.

    first: the room of the first line, which hangs less than the others.
    """
    words: list[str] = []
    for word in text.split():
        before = words[-1] if words else ""
        figure = before.removeprefix("about ")
        if not _holds(before, word) or cells(figure) + 1 + cells(word) > room:
            words += _cut(word, room if words else first, room)
        elif cells(before) + 1 + cells(word) > room:  # the unit is nearer than the "about"
            words[-1:] = ["about", f"{figure} {word}"]
        else:
            words[-1] = f"{before} {word}"
    return words


def _holds(before: str, word: str) -> bool:
    """Is before a figure, whose unit word is, or "about", whose figure it is?"""
    if before == "about" and word[0].isdigit():
        return True
    bare = before.removeprefix("about ").strip('("' + BOLD_ON).lstrip("-")
    return bare.replace(".", "", 1).isdigit() and before[-1] != "."


def _cut(word: str, first: int, room: int) -> list[str]:
    """The word in pieces: the first as wide as first, the others as wide as room, at the most."""
    if cells(word) <= first:
        return [word]
    pieces: list[str] = []
    piece = ""
    for character in word:
        if piece and cells(piece + character) > (room if pieces else first):
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]

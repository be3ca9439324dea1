"""Long texts for the ear, cut where a voice may pause.

A screen reader speaks a line in pieces of its own size and cuts inside a word where the line is
longer (a reader was heard to cut after 250 characters). So a longer line is ended before that,
after a sentence if it can be, else after a comma, else between words, but never between a figure
and the word that belongs to it.
"""

from grammar import patterns

LONGEST = 200
"""Characters of one line for the ear."""

_AFTER_SENTENCE = patterns.compile(r"(?<=[.?!:])\s+(?=\S)")
_AFTER_COMMA = patterns.compile(r"(?<=[,;])\s+(?=\S)")
_BETWEEN_WORDS = patterns.compile(r"(?<!\d)\s+(?=\S)")


def breaths(text: str, longest: int = LONGEST) -> list[str]:
    """The text in lines of at most so many characters; a single longer word stays whole."""
    if len(text) <= longest:
        return [text]
    for rule in (_AFTER_SENTENCE, _AFTER_COMMA, _BETWEEN_WORDS):
        pieces = rule.split(text)
        if len(pieces) > 1:
            lines: list[str] = []
            for piece in _packed(pieces, longest):
                lines += breaths(piece, longest) if len(piece) > longest else [piece]
            return lines
    return [text]


def _packed(pieces: list[str], longest: int) -> list[str]:
    """Neighbouring pieces together, as many as fit."""
    packed: list[str] = []
    for piece in pieces:
        if packed and len(packed[-1]) + 1 + len(piece) <= longest:
            packed[-1] += f" {piece}"
        else:
            packed.append(piece)
    return packed

"""A part of a whole in words, for eye and ear: "one sixth", "five twelfths".

Words, since a slash is read aloud as one, and a decimal would not be exact.
"""

from fractions import Fraction

from grammar.words import plural

_COUNTS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
_PARTS = (
    *("whole", "whole", "half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth"),
    *("tenth", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth"),
    *("seventeenth", "eighteenth", "nineteenth", "twentieth"),
)


def part_words(value: Fraction) -> str:
    """ "one sixth", "four thirds"; past twentieths and nineteen of them "21 over 25"."""
    top, bottom = value.numerator, value.denominator
    if not 0 < top < len(_COUNTS) or not 1 < bottom < len(_PARTS):
        return f"{top} over {bottom}"
    part = _PARTS[bottom]
    if top > 1:
        part = "halves" if bottom == 2 else plural(part)
    return f"{_COUNTS[top]} {part}"

"""Words for the ear: figures, units and signs as a voice says them right.

Two filters stand between a text and an ear: a screen reader drops or renames signs, and a voice
runs letters together ("sixty gee", "one slash two"). So a unit is a word, a fraction is a decimal
or words, and no sign is left that is read as noise or not at all. What could be typed stays a
sentence that is understood when it is typed back.
"""

import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from types import MappingProxyType

from assistant.render.units import UNITS
from assistant.values import decimal_text
from grammar import patterns
from grammar.words import printable

SIGN_WORDS = MappingProxyType(
    {
        '"': " ",
        "%": " percent ",
        "&": " and ",
        "+": " plus ",
        "=": " equals ",
        "<": " below ",
        ">": " above ",
        "#": " number ",
        "*": " star ",
        "|": " bar ",
        "~": " about ",
        "/": " slash ",
        "\\": " backslash ",
        "@": " at ",
        "_": " ",
        "^": " ",
        "`": "'",
        "×": " times ",
        "÷": " divided by ",
        "±": " plus or minus ",
        "≤": " at most ",
        "≥": " at least ",
        "≈": " about ",
        "…": " ",
        "•": " ",
    }
)
"""Signs that a reader drops or renames, or that a voice runs into the word beside them."""

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_VULGAR = MappingProxyType({"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3)})
_COUNTS = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_WORDED = MappingProxyType(
    {
        (1, 3): "one third",
        (2, 3): "two thirds",
        (1, 6): "one sixth",
        (5, 6): "five sixths",
        (1, 8): "one eighth",
        (3, 8): "three eighths",
        (5, 8): "five eighths",
        (7, 8): "seven eighths",
    }
)
"""Parts that two decimals do not hold. Three decimals could be taken for thousands."""
_NUMBER = r"(?<![\w.,/:-])(\d+(?:\.\d+)?)"
_GLUCOSE = {"mg": "mg/dL", "mmol": "mmol/L"}
_SHORT = "kcal|kj|kg|mg|mcg|g|gr|ml|cl|dl|l|oz|lb|tbsp|tsp|fl oz"
_CODES = MappingProxyType({"gr": "g", "kj": "kJ"})


def one_line(text: str) -> str:
    """The text without control characters, on one line."""
    return " ".join(printable(text).split())


def _fraction(whole: int, top: int, bottom: int) -> str:
    """ "0.5", "1.75", "two thirds", "2 and one third", else "7 over 13": figures where they end.

    A figure in decimals is heard well and is understood wherever an amount may stand.
    """
    value = whole + Fraction(top, bottom) if bottom else None
    if value is not None and (value * 100).denominator == 1:
        return decimal_text(value)
    part = _WORDED.get((top, bottom), f"{top} over {bottom}")
    count = _COUNTS[whole] if whole < len(_COUNTS) else whole
    return f"{count} and {part}" if whole else part


def _fractions(match: re.Match[str]) -> str:
    """ "2-3/4" is one mixed number; "2-8/4" is a range."""
    whole, top, bottom = match["whole"], int(match["top"]), int(match["bottom"])
    if match["dash"] and top >= bottom:
        return f"{whole} to {_fraction(0, top, bottom)}"
    return _fraction(int(whole or 0), top, bottom)


def _vulgar(match: re.Match[str]) -> str:
    return _fraction(int(match[1] or 0), *_VULGAR[match[2]])


def _unit(match: re.Match[str]) -> str:
    """A figure and its unit in full: "40 g" is "40 grams", "1 g" is "1 gram"."""
    figure, sign = match[1], " ".join(match[2].lower().split())
    row = UNITS[_CODES.get(sign, sign)]
    return f"{figure} {row.one if figure == '1' else row.many}"


def _glucose(match: re.Match[str]) -> str:
    return UNITS[_GLUCOSE[match[1].lower()]].many


def _date(match: re.Match[str]) -> str:
    year, month, day = int(match[1]), int(match[2]), int(match[3])
    if not 1 <= month <= 12 or not 1 <= day <= 31:
        return f"{match[1]} {match[2]} {match[3]}"
    return f"{day} {MONTHS[month - 1]} {year}"


_VULGARS = patterns.compile(r"(?:(\d+)\s*)?([½¼¾⅓⅔])")
_Rule = tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]]


@cache
def _rules() -> tuple[_Rule, ...]:
    """What is put into words, in this order: dates before ranges, units before a lone slash."""
    made: tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...] = (
        (r"(?<!\d)(\d{4})-(\d{2})-(\d{2})(?!\d)", _date),
        (r"\bratio\s+(\d+)\s*:\s*(\d+)\b", r"ratio \1 to \2"),
        (r"\b(mg|mmol)s?\s*/\s*d?l\b", _glucose),
        (r"(?<![\d./])(?:(?P<whole>\d{1,3})(?:\s+|(?P<dash>-)))?(?P<top>\d{1,3})\s*[/⁄]\s*(?P<bottom>\d{1,3})(?![\d/])",
         _fractions),
        (_VULGARS.pattern, _vulgar),
        (r"(?<![\w.])(?:\.{3}|…)(?![\w.])", " blank "),
        (rf"\b(blank)\s+({_SHORT})(?![\w/])", _unit),
        (r"(?<![\d.])\.(\d)", r"0.\1"),
        (r"(?<=\d),(?=\d)", " comma "),
        (r"(\d)\s*[–—-]\s*(?=\d)", r"\1 to "),
        (r"(?<![\w)])[-−–]\s*(?=\d)", "minus "),
        (_NUMBER + rf"\s*({_SHORT})\b(?!\s*/)", _unit),
        (rf"\b((?:third|sixth|eighth)s?)\s+({_SHORT})\b(?!\s*/)", _unit),
        (r"\b(\d+(?:\.\d+)?)\s*u\b", r"\1 units"),
        (r"(?<![\w/])ml\b(?!\s*/)", "millilitres"),
        (r"(?<=\d)\s*[x×]\s*(?=\d)", " times "),
        (r"\b(\d+)\s*[x×](?=\s|\Z)", r"\1 times"),
        (r"\.{2,}", ""),
    )  # fmt: skip
    return tuple((patterns.compile(pattern, re.IGNORECASE), put) for pattern, put in made)


def aloud(text: str) -> str:
    """The text as a voice says it right; what stands in it to be typed is still understood.

    >>> aloud("serving 1/2 cup (40 g)")
    'serving 0.5 cup (40 grams)'
    """
    said = _once(text)
    for _ in range(_ROUNDS):  # a sign that was left out may bring a figure and its unit together
        again = _once(said)
        if again == said:
            break
        said = again
    return said


_ROUNDS = 8


def _once(text: str) -> str:
    said = one_line(text)
    for pattern, put in _rules():
        said = pattern.sub(put, said)
    return without_signs(said)


def without_signs(text: str) -> str:
    """The text with signs as words and drawings left out; letters of every script stay."""
    text = _VULGARS.sub(_vulgar, text)
    spoken = "".join(SIGN_WORDS.get(c, " " if _is_drawing(c) else c) for c in one_line(text))
    return patterns.sub(r"\s+([,;:.?!)])", r"\1", " ".join(spoken.split()))


def _is_drawing(character: str) -> bool:
    """Arrows, boxes, blocks, shapes, ticks and braille patterns."""
    code = ord(character)
    return (
        0x2190 <= code <= 0x21FF
        or 0x2500 <= code <= 0x25FF
        or 0x2713 <= code <= 0x2718
        or 0x2800 <= code <= 0x28FF
    )

"""Free lists on a label (ingredients, allergens, "may contain"): where they end, how they split.

Also the check digit of a barcode. Text only: nothing is looked up or understood here.
"""

import re

from grammar import patterns
from grammar.label_words import ALLERGEN_WORDS

_CONTAINS = rf"contains\s*:|contains(?=\s+(?:{ALLERGEN_WORDS})\b)"
LIST_HEADS = {
    "INGREDIENTS": r"ingredients?\s*[:.]|(?:(?<=\n)|\A)ingredients\b",
    "MAY_CONTAIN": r"may\s+(?:also\s+)?contain(?:\s+traces?(?:\s+of)?)?\s*:?",
    "ALLERGENS": rf"allergens?(?:\s+(?:information|advice))?\s*:|allergy\s+advice\s*:|{_CONTAINS}",
}
"""How each list begins. 'Contains' alone needs an allergen after it: 'contains less than 1 g'."""

_SECTIONS = (
    rf"{_CONTAINS}|may\s+(?:also\s+)?contain|allergens?\b|allergy\s+advice|ingredients?\s*:|"
    r"nutrition(?:al)?\s+(?:facts|information|declaration)|(?:barcode|ean|upc|gtin)\b|"
    r"net\s+(?:wt|weight)|serving\s+size|servings?\s+per|per\s+100|amount\s+per"
)
_LONGEST_LIST = 4000  # characters; also the reach of a bracket that never closes
_STOP = patterns.compile(rf"(?<![\w-])(?:{_SECTIONS})|[;\n\[\](){{}}]", re.IGNORECASE)
_GOES_ON_BEFORE = patterns.compile(r"(?:[,(\[&:-]|\band|\bor|\bof)\s*\Z", re.IGNORECASE)
_GOES_ON_AFTER = patterns.compile(r"[^\S\n]*(?:[,(\[)\]&]|(?-i:[a-z])[^\n]*,)")
_FIGURE_AHEAD = patterns.compile(r"[^\n]{0,60}?[0-9]\s*(?:m?g|kJ|kcal|mcg|µg)\b", re.IGNORECASE)


def list_end(text: str, start: int) -> int:
    """Where the list that begins at start ends: a semicolon, a section, or the end of its lines.

    A line runs on when it ends in a comma or inside brackets, or when the next one clearly
    continues it. Brackets that never close are ignored.
    """
    end, depth = _scan(text, start, brackets=True)
    if depth:
        end, _ = _scan(text, start, brackets=False)
    return start + len(text[start:end].rstrip())


def _scan(text: str, start: int, *, brackets: bool) -> tuple[int, int]:
    depth = 0
    limit = min(len(text), start + _LONGEST_LIST)
    begin = start + len(text[start:limit]) - len(text[start:limit].lstrip())
    for match in _STOP.finditer(text, begin, limit):
        mark = match[0]
        if mark in {"(", "[", "{"}:
            depth += 1
        elif mark in {")", "]", "}"}:
            depth = max(0, depth - 1)
        elif brackets and depth:
            continue
        elif mark != "\n" or not _runs_on(text, start, match.start()):
            return match.start(), 0
    return limit, depth if brackets else 0


def _runs_on(text: str, start: int, newline: int) -> bool:
    if text[newline + 1 : newline + 2] == "\n" or _FIGURE_AHEAD.match(text, newline + 1):
        return False
    before = text[max(start, newline - 20) : newline]
    return bool(_GOES_ON_BEFORE.search(before) or _GOES_ON_AFTER.match(text, newline + 1))


def split_list(text: str, *, also_and: bool = False) -> tuple[str, ...]:
    """The parts between commas outside brackets, in order, spaces squeezed, no final full stop.

    also_and splits at 'and' too ("milk and soy"). A comma between digits is no separator.
    """
    parts, depth, last = [], 0, 0
    marks = patterns.compile(
        r"[()\[\]{}]|(?<![0-9]),|,(?![0-9])" + (r"|\s+(?:and|&)\s+" * also_and)
    )
    for match in marks.finditer(text):
        if match[0] in {"(", "[", "{"}:
            depth += 1
        elif match[0] in {")", "]", "}"}:
            depth = max(0, depth - 1)
        elif depth == 0:
            parts.append(text[last : match.start()])
            last = match.end()
    parts.append(text[last:])
    squeezed = (patterns.sub(r"\s+", " ", part).strip(" .:") for part in parts)
    bare = (patterns.sub(r"^and ", "", part) if also_and else part for part in squeezed)
    return tuple(part for part in bare if part)


def check_digit_holds(digits: str) -> bool:
    """True if the last digit of 8, 12, 13 or 14 digits is the GS1 check digit of the others.

    Weights 3, 1, 3, ... from the right, modulo 10 (GS1 General Specifications, 7.9; from memory).
    """
    if len(digits) not in {8, 12, 13, 14}:
        return False
    total = sum(int(d) * (3 if i % 2 == 0 else 1) for i, d in enumerate(reversed(digits[:-1])))
    return (10 - total % 10) % 10 == int(digits[-1])

"""Which law a label follows: named by its words, or shown by clear marks, or not known (None).

Marks are those of the published formats: 21 CFR 101.9(d) (United States), Regulation (EU)
1169/2011 Annex XV, the Canadian bilingual table, the Food Standards Code 1.2.8 (Australia and New
Zealand). A mark that two laws share decides nothing: the caller asks.
"""

import re
from collections.abc import Sequence

from msgspec import Struct

from grammar import patterns
from grammar.label_nodes import Region
from grammar.parsing import Token

_NAMES: tuple[tuple[str, Region], ...] = (
    (r"us|u\.s\.|usa|american", "US"),
    (r"eu|european", "EU"),
    (r"uk|british", "UK"),
    (r"canadian|canada|ca", "CA"),
    (r"australian|australia|au", "AU"),
    (r"new\s+zealand|nz", "NZ"),
    (r"japanese|japan|jp", "JP"),
)
_SAME_LAW = ({"EU", "UK"}, {"AU", "NZ"})

_MARKS = {
    "facts": r"nutrition\s+facts",
    "calories": r"calories",
    "total": r"total\s+carb|tot\.\s+carb",
    "daily": r"daily\s+value|%\s*dv\b",
    "size": r"per\s+container|serving\s+size|serv\.?\s+size|servings\s*:",
    "french": r"valeur|teneur|glucides|lipides|\bpour\s+[0-9½]",
    "french only": r"valeur\s+nutritive|glucides|lipides",
    "per measure": r"\bper\s+(?!100\b)[0-9½⅓⅔¼¾][^\n(]{0,60}\([0-9.]+\s*(?:g|grams?|ml|millilit(?:re|er)s?)\)",  # noqa: E501
    "of which": r"\bof\s+which\b|\bsaturates\b",
    "salt": r"(?<!\w)salt(?!\s+equivalent|\w)\s*(?::\s*)?(?:<|less|[0-9])",
    "sodium": r"(?<!\w)sodium\b",
    "kj": r"[0-9]\s*kj\b|\bkj\s*[0-9]|\(kj\)",
    "per 100": r"(?:\bper\s+|/\s*|^[^\S\n]*)100\s*(?:g|grams?|ml|millilit(?:re|er)s?)\b",
    "quantity": r"av(?:era)?g(?:e|\.)?\s+quantity|servings\s+per\s+package",
    "japan": r"t[oō]o?u?shitsu|salt\s+equivalent",
}


class RegionFound(Struct, frozen=True):
    """region: as in LabelReading. conflict: where the words and the layout disagree, or None."""

    region: Region | None
    said: bool = False
    conflict: tuple[int, int, tuple[str, ...]] | None = None


def _without_lists(text: str, tokens: Sequence[Token]) -> str:
    """The text with its free lists blanked: the salt of a recipe is no mark of a law."""
    for token in tokens:
        if token.type in {"INGREDIENTS", "ALLERGENS", "MAY_CONTAIN"}:
            start = token.start or 0
            text = text[:start] + " " * len(token) + text[start + len(token) :]
    return text


def _named(said: str) -> Region | None:
    word = patterns.sub(r"\s+(?:nutrition\s+|food\s+)?label\Z", "", said.casefold().strip())
    return next((region for names, region in _NAMES if patterns.fullmatch(names, word)), None)


def _shown(marks: dict[str, bool]) -> Region | None:
    """The law that the layout shows, by marks that no other law of the list shares."""
    on = {name for name, there in marks.items() if there}
    european = "of which" in on or {"kj", "per 100"} <= on
    if {"facts", "calories", "daily"} <= on and "french only" in on:
        return "CA"
    if {"facts", "calories", "daily", "per measure"} <= on and not {"total", "of which"} & on:
        return None if "size" in on else "CA"
    if {"facts", "calories", "size"} <= on and {"total", "daily"} & on:
        return None if european or "french" in on else "US"
    if "daily" in on or "japan" in on:
        return None
    if {"quantity", "kj"} <= on and "of which" not in on:
        return "AU"
    if "per 100" not in on or "quantity" in on:
        return None
    # Sodium without salt beside kilojoules is printed under several other laws.
    by_energy = "kj" in on and not ("sodium" in on and "salt" not in on)
    by_salt = "salt" in on and "facts" not in on
    return "EU" if "of which" in on or by_energy or by_salt else None


def _contradicts(said: Region, marks: dict[str, bool]) -> Region | None:
    """The law whose marks stand on a label that is said to follow another one, or None."""
    american = marks["total"] or marks["daily"]
    if said in {"US", "CA"} and (marks["of which"] or marks["salt"] or marks["quantity"]):
        return "AU" if marks["quantity"] and not marks["of which"] else "EU"
    if said == "US" and marks["french only"]:
        return "CA"
    if said in {"EU", "UK"} and marks["quantity"]:
        return "AU"
    if said in {"EU", "UK", "AU", "NZ", "JP"} and american:
        return "US"
    if said in {"AU", "NZ", "US", "CA", "EU", "UK"} and marks["japan"]:
        return "JP"
    return None


def find_region(text: str, tokens: Sequence[Token]) -> RegionFound:
    """The region of a label, from its REGION tokens or else from marks anywhere in the text."""
    named = [(token, _named(token)) for token in tokens if token.type == "REGION"]
    plain = _without_lists(text, tokens)
    marks = {
        name: bool(patterns.search(p, plain, re.IGNORECASE | re.MULTILINE))
        for name, p in _MARKS.items()
    }
    if not named:
        return RegionFound(_shown(marks))
    token, said = named[0]
    start, end = token.start or 0, token.end or 0
    for other, region in named[1:]:
        if region != said and said is not None and region is not None:
            return RegionFound(None, True, (start, other.end or end, (said, region)))
    other_law = _contradicts(said, marks) if said else None
    if said and other_law and not any({said, other_law} <= same for same in _SAME_LAW):
        return RegionFound(said, True, (start, end, (said, other_law)))
    return RegionFound(said, said is not None)

"""Names and barcodes of imported foods, cleaned: no control characters, no terminal escapes."""

from datetime import date

from grammar import patterns
from grammar.label_lists import check_digit_holds
from grammar.words import name_key, printable

LONGEST = 300


def clean(text: str | None) -> str:
    """One line of printable text, without escapes, bidi marks and quotation marks around it.

    Inches are written out ('3" dia'), since a quotation mark ends a name where one is typed.
    """
    plain = " ".join(printable((text or "").replace("\u00a0", " ")).split())
    plain = patterns.sub(r'(?<=[\d/])\s*(?:"|″|\'\')', " in", plain)
    return plain.replace('"', "'").replace("[", "(").replace("]", ")").strip()[:LONGEST].strip()


def usable(name: str) -> bool:
    """A name needs a letter, so that it can be typed and is no figure."""
    return bool(name_key(name)) and any(c.isalpha() for c in name)


_DAY = patterns.compile(r"(?P<year>(?:19|20)\d\d)(?:-(?P<month>\d\d)(?:-(?P<day>\d\d))?)?")
_US_DAY = patterns.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")


def day(text: str | None) -> str | None:
    """A date as ISO 8601 writes it, whole or without day or month, so that two of them compare;
    empty where none is given, None where it is no date."""
    plain = (text or "").strip()
    match = _DAY.fullmatch(plain)
    if match is None:
        return None if plain else ""
    try:
        date(int(match["year"]), int(match["month"] or 1), int(match["day"] or 1))
    except ValueError:
        return None
    return plain


def day_of_us(text: str) -> str:
    """ "4/1/2019" is the first of April (the US files have month, day, year; from memory). Empty
    for what is no date: a table of the state is not left out for it."""
    match = _US_DAY.fullmatch(text.strip())
    plain = f"{match[3]}-{match[1]:0>2}-{match[2]:0>2}" if match else text
    return day(plain) or ""


def barcode(text: str | None) -> str | None:
    """The barcode as 14 digits; None where it is none, or its check digit does not hold."""
    digits = patterns.sub(r"[\s-]", "", text or "")
    if not digits.isascii() or not digits.isdigit() or len(digits) > 14:
        return None
    bare = digits.lstrip("0")
    if not 6 < len(bare) <= 14:
        return None
    full = digits.zfill(14)
    return full if check_digit_holds(full) else None

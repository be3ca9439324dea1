"""Names and barcodes of imported foods, cleaned: no control characters, no terminal escapes."""

import re

from grammar.label_lists import check_digit_holds
from grammar.words import name_key, printable

LONGEST = 300


def clean(text: str | None) -> str:
    """One line of printable text, without escapes, bidi marks and quotation marks around it.

    Inches are written out ('3" dia'), since a quotation mark ends a name where one is typed.
    """
    plain = " ".join(printable((text or "").replace("\u00a0", " ")).split())
    plain = re.sub(r'(?<=[\d/])\s*(?:"|″|\'\')', " in", plain)
    return plain.replace('"', "'").replace("[", "(").replace("]", ")").strip()[:LONGEST].strip()


def usable(name: str) -> bool:
    """A name needs a letter, so that it can be typed and is no figure."""
    return bool(name_key(name)) and any(c.isalpha() for c in name)


def barcode(text: str | None) -> str | None:
    """The barcode as 14 digits; None where it is none, or its check digit does not hold."""
    digits = re.sub(r"[\s-]", "", text or "")
    if not digits.isascii() or not digits.isdigit() or len(digits) > 14:
        return None
    bare = digits.lstrip("0")
    if not 6 < len(bare) <= 14:
        return None
    full = digits.zfill(14)
    return full if check_digit_holds(full) else None

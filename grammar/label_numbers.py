"""Figures as labels print them: exact, or a reason why they are not clear. Never a guess.

"4,8" is 4.8 on a European label and unclear on any other; "1,200 mg" is 1200 on an American,
Canadian, Australian or New Zealand label and unclear on any other.
"""

import re
import unicodedata
from fractions import Fraction

from msgspec import Struct

from grammar import patterns
from grammar.label_nodes import Region

LONGEST_NUMBER = 9
"""No label prints more digits than this in one figure."""
UNIT_NAMES = {
    **dict.fromkeys(("g", "gram", "grams", "gm"), "g"),
    **dict.fromkeys(("mg", "milligram", "milligrams"), "mg"),
    **dict.fromkeys(("mcg", "ug", "µg", "μg"), "mcg"),
    **dict.fromkeys(("kcal", "cal"), "kcal"),
    "kj": "kJ",
    "iu": "IU",
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), "ml"),
    "cl": "cl",
    "l": "l",
    "kg": "kg",
    "%": "%",
}
_DECIMAL_COMMA = frozenset({"EU", "UK"})
_THOUSANDS_COMMA = frozenset({"US", "CA", "AU", "NZ"})
_PARTS = patterns.compile(
    r"(?P<below>(?:contains\s+)?(?:less\s+than|<)\s*)?(?P<number>[0-9.,]+)\s*"
    r"(?P<unit>%|[a-zµμ]+)?",
    re.IGNORECASE,
)
_SLIPS = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1", "|": "1", "S": "5", "B": "8"})
_SLIPS.update({ord("Z"): "2"})


class Exact(Struct, frozen=True):
    """A clear figure. unit is '' where none is printed; decimals counts digits after the point."""

    value: Fraction
    unit: str = ""
    below: bool = False
    decimals: int = 0


class Dubious(Struct, frozen=True):
    """A figure that could be several things, or none. code and readings are as in a Doubt."""

    code: str
    readings: tuple[str, ...] = ()


def read_figure(said: str, region: Region | None) -> Exact | Dubious:
    """'<1 g', '1,200 mg', '10%', '27': the figure with its unit, as printed. Never raises."""
    match = _PARTS.match(said)
    if not match:
        return Dubious("number")
    unit = UNIT_NAMES.get((match["unit"] or "").casefold(), "")
    number = match["number"].rstrip(".,") if not unit else match["number"]
    clear = _read_number(number, unit, region)
    if isinstance(clear, Dubious):
        return clear
    return Exact(clear[0], unit, match["below"] is not None, clear[1])


def _read_number(number: str, unit: str, region: Region | None) -> tuple[Fraction, int] | Dubious:
    if sum(c.isdigit() for c in number) > LONGEST_NUMBER:
        return Dubious("huge")
    spaced = f" {unit}" if unit else ""
    if unit in {"kJ", "kcal", "mg"} and patterns.fullmatch(r"[1-9][0-9]{0,2}\.[0-9]{3}", number):
        # Nobody prints thousandths of these: "1.686 kJ" is 1686 where the comma is decimal.
        return Dubious("comma", (number + spaced, number.replace(".", "") + spaced))
    if patterns.fullmatch(r"[0-9]*\.?[0-9]+", number):
        return Fraction(number), len(number.partition(".")[2])
    thousands = patterns.fullmatch(r"([1-9][0-9]{0,2}(?:,[0-9]{3})+)(\.[0-9]+)?", number)
    if thousands and unit in {"kJ", "kcal", "mg"} and region in _THOUSANDS_COMMA:
        plain = number.replace(",", "")
        return Fraction(plain), len(plain.partition(".")[2])
    comma = patterns.fullmatch(r"([0-9]+),([0-9]+)", number)
    if not comma:
        return Dubious("number")
    decimal = f"{comma[1]}.{comma[2]}"
    if thousands:
        return Dubious("comma", (decimal + spaced, comma[1] + comma[2] + spaced))
    if len(comma[2]) <= 2 and region in _DECIMAL_COMMA:
        return Fraction(decimal), len(comma[2])
    return Dubious("comma", (decimal + spaced,))


def read_count(said: str, region: Region | None) -> Exact | Dubious:
    """A count of servings or household measures: '2/3', '1 1/2', '½', '2.5'. Never raises."""
    text = said.strip().replace("⁄", "/")
    if sum(c.isdigit() for c in text) > LONGEST_NUMBER:
        return Dubious("huge")
    if match := patterns.fullmatch(r"(?:([0-9]+)\s+)?([0-9]+)\s*/\s*([0-9]+)", text):
        if int(match[3]) == 0:
            return Dubious("number")
        return Exact(int(match[1] or 0) + Fraction(int(match[2]), int(match[3])))
    if match := patterns.fullmatch(r"([0-9]*)\s*([^\W\d]|[½-⅞¼-¾])", text):
        part = Fraction(unicodedata.numeric(match[2], 0)).limit_denominator(10)
        return Exact(int(match[1] or 0) + part) if part else Dubious("number")
    return read_figure(text, region)


def slip_readings(said: str) -> tuple[str, ...]:
    """What a figure with letters in it could be: 'lO g' -> '10 g', '8q' -> '8 g'."""
    match = patterns.match(
        r"([0-9OolI|SBZ.,]+?)\s*(kcal|kJ|mcg|[µμ]g|mg|g|ml|%|rng|rncg|q)?\Z", said
    )
    if not match:
        return ()
    unit = {"rng": "mg", "rncg": "mcg", "q": "g"}.get(match[2] or "", match[2] or "")
    number = match[1].translate(_SLIPS)
    return (number + ("" if unit in {"", "%"} else " ") + unit,)

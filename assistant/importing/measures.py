"""Portions as the tables word them, as measures that can be said: "cup, chopped", "medium (3 in)".

Nothing is guessed: a text whose figure or words are not plain gives no measure.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from msgspec.structs import replace

from assistant.counting.facts import Measure
from assistant.importing.names import clean
from grammar import patterns
from grammar.measures import SIZES, find_measure
from grammar.nodes import Number
from grammar.numbers import read_number
from grammar.words import name_key

CUSTOMARY = {
    "cup": Fraction("236.5882365"),
    "tablespoon": Fraction("14.78676478125"),
    "teaspoon": Fraction("4.92892159375"),
    "fluid ounce": Fraction("29.5735295625"),
    "pint": Fraction("473.176473"),
    "quart": Fraction("946.352946"),
    "gallon": Fraction("3785.411784"),
}
"""US customary volumes in millilitres: the gallon is 231 cubic inches of 16.387064 mL (NIST
Handbook 44, Appendix C); the others are its parts."""

_PLAIN = {"edible", "peeled", "edible portion", "nfs", "ns as to form"}
"""Words of a source that add nothing to a measure: its weights are of what is eaten."""
_SKIPPED = patterns.compile(
    r"quantity not specified|yield|guideline amount|\bRACC\b|refuse|\bwith bone\b|amount to make",
    re.I,
)
"""Texts that are no portion that a person has on the plate: defaults, and weights with bone."""
_COUNT = patterns.compile(
    r"(?P<n>\d+\s+\d+/\d+|\d+/\d+|\d*\.\d+|\d+)(?!\s*[-–x×]\s*\d)(?![\d/.])\s*"
)
_VOLUMES = {
    "millilitre": Fraction(1),
    "litre": Fraction(1000),
    "centilitre": Fraction(10),
    "decilitre": Fraction(100),
}
_WHOLE_SERVING = patterns.compile(
    r"(?P<head>[^,(]*[^,(\s])\s+1\s*(?P<serving>(?:NLEA\s+)?serving)\b\s*(?P<rest>(?:[,(].*)?)",
    re.I,
)
""" "crackers 1 serving": what is counted, and that all of it together is one serving."""
Kitchen = Literal["customary", "unknown"]


def leading_count(text: str) -> tuple[Fraction, str] | None:
    """ "1 1/2 cups, dry" -> (3/2, "cups, dry"); None without a plain figure at the start."""
    match = _COUNT.match(text)
    if match is None:
        return None
    number = read_number(match["n"])
    if not isinstance(number, Number):
        return None
    return number.value, text[match.end() :].strip()


def measures_of(
    count: Fraction,
    words: str,
    grams: Fraction | None,
    millilitres: Fraction | None = None,
    *,
    kitchen: Kitchen = "unknown",
) -> tuple[Measure, ...]:
    """The measures that one row tells. "4 crackers 1 serving" tells two: four crackers weigh so
    much, and one serving is the four."""
    text = clean(words)
    told = _WHOLE_SERVING.fullmatch(text)
    if told is None:
        single = measure(count, text, grams, millilitres, kitchen=kitchen)
        return (single,) if single else ()
    counted = measure(count, f"{told['head']} {told['rest']}", grams, millilitres, kitchen=kitchen)
    note = f"{told['serving']} ({_plainly(count)} {told['head']}) {told['rest']}"
    whole = measure(Fraction(1), note, grams, millilitres)
    if counted is not None:
        note = ", ".join(n for n in (counted.note, f"1 {told['serving']}") if n)
        counted = replace(counted, note=note)
    return tuple(m for m in (counted, whole) if m is not None)


def _plainly(count: Fraction) -> str:
    """A count as it is written: 4, 7.5, 1/3."""
    if 1000 % count.denominator:
        return str(count)
    return format(Decimal(count.numerator) / Decimal(count.denominator), "f")


def measure(
    count: Fraction,
    words: str,
    grams: Fraction | None,
    millilitres: Fraction | None = None,
    *,
    kitchen: Kitchen = "unknown",
) -> Measure | None:
    """count of what the words say weighs so much. None where the words are no measure.

    kitchen: what a cup and a spoon hold in this source: the US customary ones, or unknown.
    """
    text = clean(words).strip(" ,;")
    if count <= 0 or _SKIPPED.search(text) or not text or (grams or millilitres or 0) <= 0:
        return None
    head, how, note = _parts(text)
    unit, more = _unit(head)
    if unit is None or (unit == "serving" and count != 1 and _figures(note)):
        return None  # "3 serving (3 oz)" of 3 oz: is it one serving, or three?
    hows = [*more, *how]
    unit, hows = _size_first(unit, hows)
    joined = ", ".join(h for h in hows if h.casefold() not in _PLAIN and not _figures(h))
    note = ", ".join(n for n in (*(h for h in hows if _figures(h)), note) if n)
    found = find_measure(unit)
    if found and found[1] == "kitchen" and kitchen == "customary":
        millilitres = count * CUSTOMARY[unit]
    if unit in _VOLUMES:
        count, unit = count * _VOLUMES[unit], "millilitre"
        millilitres = count
    elif found and found[1] in {"mass", "oz", "volume", "letter"}:
        return None
    return Measure(count, unit, grams, millilitres, joined, note, of_source=True)


def _parts(text: str) -> tuple[str, list[str], str]:
    """What stands before the first comma, behind it, and in brackets."""
    notes = patterns.findall(r"\(([^()]*)\)?", text)
    bare = patterns.sub(r"\([^()]*\)?", " ", text)
    head, *how = [" ".join(part.split()) for part in bare.split(",")]
    return head, [h for h in how if h], ", ".join(" ".join(n.split()) for n in notes if n.strip())


def _unit(head: str) -> tuple[str | None, list[str]]:
    """The unit at the start, or at the end ("NLEA serving"), and the words that it leaves."""
    words = head.split()
    if not words or not any(c.isalpha() for c in head):
        return None, []
    size = ""
    if words[0].casefold() in SIZES and len(words) > 1:
        size, words = f"{words[0].casefold()} ", words[1:]
    elif (
        words[-1].casefold() in SIZES
        and len(words) > 1
        and words[0].casefold() != "extra"
        and (
            not _figures(head)  # "unit 2 large or 5 small" is no small one
        )
    ):
        size, words = f"{words[-1].casefold()} ", words[:-1]  # "potato large"
    for length in (2, 1):
        found = _known(" ".join(words[:length]))
        if found and len(words) >= length:
            rest = " ".join(words[length:])
            return size + found, [rest] if rest else []
    last = _known(words[-1])
    if last == "serving" and len(words) > 1 and not _figures(head):
        return last, [" ".join(words[:-1])]
    return size + name_key(" ".join(words)), []


def _figures(text: str) -> bool:
    """A size in figures only describes."""
    return any(c.isdigit() for c in text)


def _known(word: str) -> str | None:
    """The name of a measure's word: a container keeps its own, as it does on a label."""
    found = find_measure(word)
    if found is None or (" " in word.strip() and found[0] != "fluid ounce"):
        return None
    return name_key(word) if found[1] in {"pack", "vessel"} else found[0]


def _size_first(unit: str, hows: list[str]) -> tuple[str, list[str]]:
    """ "slice, large" is a large slice."""
    for at, how in enumerate(hows):
        if how.casefold() in SIZES and not unit.startswith(SIZES):
            return f"{how.casefold()} {unit}", hows[:at] + hows[at + 1 :]
    return unit, hows

"""Written numbers to exact values, or to Unclear: never a guess, never a silent zero.

"1.5" -> 3/2; "1 1/2", "1½", "one and a half" -> 3/2; "three quarters" -> 3/4; "a dozen" -> 12;
"1,5" -> Unclear comma; "2-3" -> Span 2 to 3; "3-2" -> Unclear range;
"1/0" -> Unclear zero-denominator.
"""

import unicodedata
from fractions import Fraction

from grammar import patterns
from grammar.nodes import Number, Quantity, Span, Unclear, Unstated

_ONES_IN_ORDER = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    "nineteen",
)
ONES = {word: n for n, word in enumerate(_ONES_IN_ORDER)}
_TENS_IN_ORDER = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
TENS = {word: 10 * n for n, word in enumerate(_TENS_IN_ORDER, start=2)}
PARTS = {
    "half": 2,
    "halves": 2,
    "third": 3,
    "thirds": 3,
    "quarter": 4,
    "quarters": 4,
    "fourth": 4,
    "fourths": 4,
    "fifth": 5,
    "fifths": 5,
    "sixth": 6,
    "sixths": 6,
    "eighth": 8,
    "eighths": 8,
    "tenth": 10,
    "tenths": 10,
}
VULGAR = {c: Fraction(unicodedata.numeric(c)).limit_denominator(10) for c in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
HUGE = 100_000
"""No portion is this large in any unit; a larger figure is asked about."""

_MIXED = patterns.compile(r"(\d+)(?:\s+and\s+|\s*-\s*|\s+)(\d+)\s*/\s*(\d+)")
_FRACTION = patterns.compile(r"(\d+)\s*[/⁄]\s*(\d+)")
_VULGAR_MIXED = patterns.compile(rf"(\d*)\s*([{''.join(VULGAR)}])")
_PLAIN = patterns.compile(r"\d*\.\d+|\d+")
_COMMA = patterns.compile(r"(\d+),(\d+)")
_RANGE = patterns.compile(
    r"(?P<low>[\d./⁄½⅓⅔¼¾⅛]+(?:\s+\d+[/⁄]\d+)?|[a-z]+)\s*(?:-|–|—|\bto\b|\bor\b)\s*"
    r"(?P<high>[\d./⁄½⅓⅔¼¾⅛]+(?:\s+\d+[/⁄]\d+)?|[a-z]+)"
)
_BETWEEN = patterns.compile(r"between\s+(?P<low>.+?)\s+and\s+(?P<high>.+)")
_PERCENT = patterns.compile(r"(\d+(?:\.\d+)?)\s*(?:%|percent|per cent)(?:\s+of)?")


_SPELT_COMPOUND = patterns.compile(
    rf"(?:{'|'.join(TENS)}|{'|'.join(ONES)})-(?:{'|'.join((*ONES, *PARTS))})"
)
"""Words joined by a hyphen that are one number ("twenty-one"), and no range ("two-three")."""


def _ratio(top: str, bottom: str, said: str, whole: str = "0") -> Quantity:
    if int(bottom) == 0:
        return Unclear("zero-denominator", said)
    return _checked(int(whole) + Fraction(int(top), int(bottom)), said)


def _checked(value: Fraction, said: str) -> Quantity:
    if value == 0:
        return Unclear("zero", said)
    if value >= HUGE:
        return Unclear("huge", said)
    return Number(value, said)


def _cardinal(words: list[str]) -> int | None:
    """ "two hundred and fifty" as words -> 250; None where the words make no one number."""
    total = current = 0
    previous = 10_000  # the size of the last part: parts must fall, "twenty one" not "one twenty"
    for word in words:
        if word == "and":
            if current < 100 and total == 0:
                return None
        elif word in ONES and previous >= 20 and (previous != 100 or current % 100 == 0):
            current += ONES[word]
            previous = 1
        elif word in TENS and previous >= 100:
            current += TENS[word]
            previous = 20
        elif word == "hundred" and 0 < current < 20 and previous == 1:
            current *= 100
            previous = 100
        elif word == "thousand" and current and total == 0:
            total, current, previous = current * 1000, 0, 1000
        else:
            return None
    return total + current


def _words(text: str, said: str) -> Quantity:
    if text.endswith(" and a half") and "dozen" in text:  # "a dozen and a half"
        dozens = _words(text.removesuffix(" and a half"), said)
        return _checked(dozens.value + 6, said) if isinstance(dozens, Number) else dozens
    words = [w for w in patterns.split(r"[\s-]+", text) if w]
    if not words or words[-1] == "and":
        return Unclear("odd", said)
    if words[-1] == "dozen":
        lead = [w for w in words[:-1] if w not in {"a", "of"}]
        if not lead:
            return Number(Fraction(12), said)
        times = _words(" ".join(lead), said)
        return _checked(times.value * 12, said) if isinstance(times, Number) else times
    if words[-1] in PARTS:
        lead = words[:-1]
        whole = 0
        if "and" in lead and not {"hundred", "thousand"} & set(lead):
            cut = lead.index("and")
            whole_said = _cardinal(lead[:cut])
            if whole_said is None:
                return Unclear("odd", said)
            whole, lead = whole_said, lead[cut + 1 :]
        if not lead and words[-1].endswith("s"):
            return Unclear("odd", said)  # "quarters": how many?
        top = 1 if lead in ([], ["a"], ["an"]) else _cardinal(lead)
        if top is None or top == 0:
            return Unclear("odd", said)
        return _checked(whole + Fraction(top, PARTS[words[-1]]), said)
    if words[0] in {"a", "an"} and len(words) > 1:
        words = ["one", *words[1:]]
    if words in (["a"], ["an"]):
        return Number(Fraction(1), said)
    value = _cardinal(words)
    return Unclear("odd", said) if value is None else _checked(Fraction(value), said)


def _comma(text: str, said: str) -> Unclear | None:
    """A comma between digits: what it could mean."""
    match = _COMMA.fullmatch(text)
    if match is None:
        return None
    readings = [f"{match[1]}.{match[2]}"]
    if len(match[2]) == 3:
        readings.insert(0, match[1] + match[2])
    return Unclear("comma", said, tuple(readings))


def _range(text: str, said: str) -> Quantity | None:
    """ "2-3", "two or three", "between 2 and 3": a Span, or what is not clear about it."""
    match = _BETWEEN.fullmatch(text) or _RANGE.fullmatch(text)
    if match is None or _SPELT_COMPOUND.fullmatch(text):
        return None
    low, high = read_number(match["low"]), read_number(match["high"])
    for end in (low, high):
        if not isinstance(end, Number):
            return Unclear("odd" if isinstance(end, Span | Unstated) else end.why, said)
    assert isinstance(low, Number)
    assert isinstance(high, Number)
    if low.value >= high.value:
        return Unclear("range", said, (match["low"], match["high"]))
    return Span(low.value, high.value, said)


def read_number(said: str) -> Quantity:  # noqa: C901, PLR0912 - one form a branch
    """One written amount, exact, or why it is not clear. Never raises."""
    text = unicodedata.normalize("NFC", said).casefold().strip()
    if patterns.match(r"[-−–]\s*[\d.]", text):
        return Unclear("negative", said)
    if m := _MIXED.fullmatch(text):
        return _ratio(m[2], m[3], said, whole=m[1])
    if m := _FRACTION.fullmatch(text):
        return _ratio(m[1], m[2], said)
    if m := _VULGAR_MIXED.fullmatch(text):
        return _checked(int(m[1] or 0) + VULGAR[m[2]], said)
    if patterns.fullmatch(r"[1-9]\d{0,2}\.\d{3}", text):  # a thousand in some places
        return Unclear("point", said, (text.rstrip("0").rstrip("."), text.replace(".", "")))
    if _PLAIN.fullmatch(text):
        return _checked(Fraction(text), said)
    if (doubt := _comma(text, said)) is not None:
        return doubt
    if (span := _range(text, said)) is not None:
        return span
    if m := _PERCENT.fullmatch(text):
        return _checked(Fraction(m[1]) / 100, said)
    if patterns.fullmatch(r"an?\s+(third|fourth|fifth|sixth|eighth|tenth)", text):
        return Number(Fraction(1, PARTS[text.split()[1]]), said)
    if m := patterns.fullmatch(r"(\d+)\s+and\s+(.+)", text):  # "1 and a half"
        part = _words(m[2], said)
        return _checked(int(m[1]) + part.value, said) if isinstance(part, Number) else part
    if m := patterns.fullmatch(r"(\d+)\s+dozen(\s+and\s+a\s+half)?", text):
        return _checked(Fraction(int(m[1]) * 12 + (6 if m[2] else 0)), said)
    if patterns.fullmatch(r"[a-z\s-]+", text):
        return _words(text, said)
    return Unclear("odd", said)

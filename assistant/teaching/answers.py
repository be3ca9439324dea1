"""What a learner types: a figure, "refused", a word of the lesson, or what has to be asked again.

Figures are read by the grammar. Nothing typed is dropped or guessed: what is not clear is a Doubt
with the code of the sentence that says so.
"""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from msgspec import Struct, field

from assistant.values import Arg, Listed, Said, Typed, decimal_text
from grammar import patterns
from grammar.nodes import Number, Span, Unclear
from grammar.numbers import read_number
from grammar.words import printable, squeezed

Word = Literal["skip", "hint", "why", "stop", "again", "labels", "numbers", "help"]
Unit = Literal["g", "ml", "unit", ""]

MAX_ANSWER = 200
"""Characters of an answer; a longer one is no figure."""


class Given(Struct, frozen=True):
    """A figure, and how many decimals it was typed with."""

    value: Fraction
    places: int
    said: str

    def same_as(self, exact: Fraction) -> bool:
        """Is it the exact figure, as far as it was typed? 42 is 41.6 in whole grams."""
        return abs(self.value - exact) <= Fraction(1, 2 * 10**self.places)


class Refused(Struct, frozen=True):
    """The learner says that no dose would be suggested."""


class Spoken(Struct, frozen=True):
    """A word that steers the lesson."""

    word: Word


class Doubt(Struct, frozen=True):
    """Words that are no clear answer: the code of the sentence that says so."""

    code: str
    args: Mapping[str, Arg] = field(default_factory=dict)


Answer = Given | Refused | Spoken | Doubt

_WORDS: Mapping[str, Word] = MappingProxyType({
    "skip": "skip", "pass": "skip", "next": "skip", "i don't know": "skip", "don't know": "skip",
    "dont know": "skip", "i do not know": "skip",
    "hint": "hint", "why": "why", "stop": "stop", "quit": "stop", "bye": "stop", "exit": "stop",
    "end": "stop", "again": "again", "repeat": "again", "question": "again",
    "labels": "labels", "label": "labels", "numbers": "numbers", "my numbers": "numbers",
    "help": "help", "?": "help",
})  # fmt: skip
_REFUSED = frozenset({
    "refused", "refuse", "it refuses", "it is refused", "it's refused", "refusal",
})  # fmt: skip
_UNITS: Mapping[str, Unit] = MappingProxyType({
    "g": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g",
    "ml": "ml", "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
    "unit": "unit", "units": "unit", "u": "unit",
})  # fmt: skip
_WITH_UNIT = patterns.compile(
    r"(?P<figure>.+?)\s*\b(?P<unit>" + "|".join(sorted(_UNITS, key=len, reverse=True)) + r")"
    r"(?P<carbs>\s+(?:of\s+)?(?:carbohydrate|carbohydrates|carbs|carb))?"
)
_GLUED = patterns.compile(r"(?<=[\d½¼¾⅓⅔])(?=[a-z])")


def tidy(text: str) -> str:
    """The answer in small letters, without what no one sees, a point or spaces around it."""
    low = squeezed(printable(text)).casefold().replace("’", "'").strip()
    return low if low == "?" else patterns.sub(r"(?<=[^\s.])[.!]+$", "", low).strip()


def word_of(text: str) -> Word | None:
    """The word of the lesson that the whole answer is."""
    return _WORDS.get(tidy(text))


def read_answer(text: str, unit: Unit, *, dose: bool) -> Answer:
    """The answer to a question for a figure in this unit; dose: "refused" may answer it."""
    low = tidy(text)
    if not low:
        return Doubt("learn-empty")
    if len(low) > MAX_ANSWER:
        return Doubt("learn-no-figure", {"said": Said(low)})
    if low in _WORDS:
        return Spoken(_WORDS[low])
    if low in _REFUSED:
        return Refused() if dose else Doubt("learn-refused-is-for-doses")
    return _figure(low, unit)


def _figure(low: str, unit: Unit) -> Given | Doubt:
    match = _WITH_UNIT.fullmatch(_GLUED.sub(" ", low))
    figure = match["figure"] if match else low
    if match and _UNITS[match["unit"]] != unit:
        return Doubt(f"learn-other-unit-{unit}", {"said": Said(low)})
    if match and match["carbs"] and unit != "g":
        return Doubt("learn-no-figure", {"said": Said(low)})
    if patterns.search(r"%|per\s?cent", low):
        return Doubt("learn-no-figure", {"said": Said(low)})
    read = read_number(figure)
    if isinstance(read, Number):
        return Given(read.value, _places(figure, read.value), low)
    if isinstance(read, Unclear):
        if read.why == "zero":
            return Given(Fraction(0), _places(figure, Fraction(0)), low)
        if read.why == "point" and patterns.fullmatch(r"\d+\.\d+", figure.strip()):
            # a count or a dose is never in thousands, and the exact answer may have three decimals
            return Given(Fraction(figure.strip()), _places(figure, Fraction(0)), low)
        if read.why in {"comma", "point"}:
            could = Listed(tuple(Typed(reading) for reading in read.readings))
            return Doubt("learn-two-readings", {"said": Said(low), "could": could})
        if read.why in {"negative", "huge"}:
            return Doubt(f"learn-{read.why}", {"said": Said(low)})
    if isinstance(read, Span):
        return Doubt("learn-one-figure", {"said": Said(low)})
    return Doubt("learn-no-figure", {"said": Said(low)})


def _places(figure: str, value: Fraction) -> int:
    """Decimals as typed; of a fraction those that it has, and four where it never ends."""
    typed = patterns.fullmatch(r"\d*\.(\d+)", figure.strip())
    if typed:
        return len(typed[1])
    text = decimal_text(value)
    return 4 if "/" in text else len(text.partition(".")[2])

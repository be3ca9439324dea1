"""What is offered to be typed. No figure, time or dose in it is invented.

A place for the user's own words or figure is left open ("took ... units"; a voice says "blank"). A
sentence that is typed with a place still open is asked about, and changes nothing. Where the user
has just typed the one figure that belongs there, the offer has it.
"""

import re
from collections.abc import Iterable, Mapping
from difflib import SequenceMatcher
from typing import Literal

from assistant.dialogue.glucose import user_unit
from assistant.dialogue.outcome import Ask
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.dosing.settings import Settings
from assistant.values import Arg, Phrase, Said, Typed
from grammar import patterns

OPEN = "..."
"""A place that is left open."""

SETTING_SENTENCES: Mapping[str, str] = {
    "ratio": "my ratio is ... g per unit",
    "factor": "correction factor ... per unit",
    "target": "target ...",
    "duration": "my insulin lasts ... hours",
    "active_shape": "active insulin falls in a straight line",
    "active_rule": "active insulin comes off the correction only",
    "pen_step": "my pen goes in ... units",
    "rounding": "round down",
    "cap_dose": "never more than ... units at once",
    "cap_window": "never more than ... units in ... hours",
}
"""How each setting is said."""
OTHER_SENTENCES: Mapping[str, str] = {
    "active_shape": "active insulin follows the two-compartment curve",
    "active_rule": "active insulin comes off the whole dose",
    "rounding": "round to the nearest",
}
"""Where a setting is a choice of two, the other one."""
RATIO_BY_TIME = "my ratio is ... g per unit from ... and ... g per unit from ..."
MEASURE = "1 slice of ... weighs ... g"
POLICIES = ("count total carbohydrate", "count net carbohydrate", "count fibre over 5 g halved")
_FORMS: Mapping[str, tuple[str, ...]] = {
    "cap": (SETTING_SENTENCES["cap_dose"], SETTING_SENTENCES["cap_window"]),
    "pen": (SETTING_SENTENCES["pen_step"],),
    "policy": POLICIES,
    "kitchen": ("my cup is ... ml", "my bowl holds ... ml"),
    "glucose_unit": ("my glucose is in mg/dL", "my glucose is in mmol/L"),
    "took": ("took ... units", "took ... units at ..."),
    "polyol": ("erythritol counts as ...", "count maltitol at ... percent"),
    "avoid": ("I avoid ...",),
    "couple": ("a couple means ...",),
    "active_shape": (SETTING_SENTENCES["active_shape"], OTHER_SENTENCES["active_shape"]),
    "max_reduction": ("reductions up to ... percent",),
    "reading_age": ("a reading counts for ... minutes",),
    "ask_range": ("ask me when the range is wider than ... percent",),
    "clock": ("my times of day go by the clock at ...",),
}
_PLACE = patterns.compile(r"(?<![\w.])(?:\.{3}|…)(?![\w.])(?!\s*\d)")
"""Dots behind which a figure follows lead over to it, as on a label; they leave nothing open."""
_SPOKEN = patterns.compile(
    r"\bblank\b(?=\s*(?:$|[.,:;!?\"]|(?:g|grams?|ml|millilit(?:re|er)s?|units?|hours?|minutes?|"
    r"percent|servings?|bowls?|labels?|per|mg|mmol|milligrams|millimoles|of|at|and|from|to|weighs|"
    r"makes|as|plus|like|left|than|is)\b))",
    re.I,
)
"""The word before what follows a place in an offer; "blank crispbread" may be a food's name."""


def is_open(ctx: Context) -> bool:
    """Is a place of an offered sentence still open in these words?"""
    if "\n" in ctx.text.strip():
        return False
    if _PLACE.search(ctx.text):
        return True
    return _SPOKEN.search(ctx.text) is not None and not ctx.foods.exact("blank")


def still_open(ctx: Context) -> Ask:
    """The question that such a sentence leads to."""
    return Ask(KIND, "place-open", {"said": Said(ctx.text)})


KIND = "place-open"


def glucose(settings: Settings, *, at: bool = False) -> str:
    """How a reading is said, in the user's unit."""
    unit = user_unit(settings)
    said = f"glucose {OPEN} {unit}" if unit else f"glucose {OPEN}"
    return f"{said} at {OPEN}" if at else said


def setting(name: str, settings: Settings) -> str:
    """How this setting is said, in the user's unit where that is known."""
    unit = user_unit(settings)
    sentence = SETTING_SENTENCES[name]
    if name in {"factor", "target"} and unit:
        return sentence.replace(OPEN, f"{OPEN} {unit}")
    return sentence


def settings_sentences(settings: Settings) -> tuple[str, ...]:
    """How each setting is said."""
    own = tuple(setting(name, settings) for name in SETTING_SENTENCES)
    return (*own, *OTHER_SENTENCES.values())


def setting_lines(role: Literal["fact", "next"], name: str, settings: Settings) -> tuple[Line, ...]:
    """How a missing setting is said, with both forms where it is a choice."""
    args: dict[str, Arg] = {
        "setting": Phrase(f"setting-{name}"),
        "sentence": Typed(setting(name, settings)),
    }
    if name not in OTHER_SENTENCES:
        return (Line(role, "say-setting", args),)
    return (Line(role, "say-setting-of-two", {**args, "other": Typed(OTHER_SENTENCES[name])}),)


def of_form(form: str, settings: Settings, said: str) -> tuple[str, ...]:
    """How a sentence of this form is said, with the user's own figure where it is clear."""
    known = _FORMS.get(form) or (setting(form, settings),)
    filled = tuple(with_own_figure(sentence, said) for sentence in known)
    changed = tuple(f for f, sentence in zip(filled, known, strict=True) if f != sentence)
    return changed if form == "took" and changed else filled


def label(settings: Settings) -> str:
    """How a label is typed. Its law is the user's, where it was set, and else left open too."""
    words = _LAWS.get(settings.label_region or "", OPEN)
    if settings.label_region in {"EU", "UK", "AU", "NZ", "JP"}:
        return f"{words} label, per 100 g: carbohydrate {OPEN} g, fibre {OPEN} g"
    return f"{words} label, serving {OPEN} g, carbohydrate {OPEN} g, fibre {OPEN} g"


_LAWS = {"US": "US", "CA": "Canadian", "EU": "EU", "UK": "UK", "AU": "Australian",
         "NZ": "NZ", "JP": "Japanese"}  # fmt: skip

_DIGITS = patterns.compile(r"\d[\d.,:/½¼¾⅓⅔]*|[½¼¾⅓⅔]")
_FIGURE = patterns.compile(r"\d+(?:\.\d+)?")
_BESIDE = frozenset({"is", "of", "the", "a", "my", "i", "it", "carb", "carbs", "insulin", "max",
                     "maximum", "most", "more", "no", "not", "u", "bg", "sugar"})  # fmt: skip
"""Words that may stand beside a figure without telling anything that the offer would lose."""
_FOR_A_FIGURE = patterns.compile(
    r"\.{3} (?:g|ml|units|hours|minutes|percent|servings|mg/dL|mmol/L|per unit)\b|"
    r"^(?:glucose|target|a couple means) \.{3}"
)
"""Sentences whose open place is for a figure, and not for a name or a word."""
_LIKE = 0.75


def with_own_figure(sentence: str, said: str) -> str:
    """The sentence with the figure that was said in its open place; else the sentence as it is.

    Only one figure in one place, and only where each other word said is like one of the sentence:
    a word that the offer would lose could be a time, another figure, or no insulin at all.

    >>> with_own_figure("took ... units", "took 4 unts")
    'took 4 units'
    """
    figures = _DIGITS.findall(said)
    if not _FOR_A_FIGURE.search(sentence):
        return sentence
    if sentence.count(OPEN) != 1 or len(figures) != 1 or not _FIGURE.fullmatch(figures[0]):
        return sentence
    if re.search(rf"[-−+.,/:<>~]\s*{re.escape(figures[0])}", said):
        return sentence
    words = patterns.findall(r"[^\W\d_]+", said.casefold())
    own = patterns.findall(r"[^\W\d_]+", sentence.casefold())
    if all(word in _BESIDE or _one_of(word, own) for word in words):
        return sentence.replace(OPEN, figures[0])
    return sentence


def _one_of(word: str, own: Iterable[str]) -> bool:
    if word in _NUMBER_WORDS:
        return False
    return any(
        word == each or (len(word) > 2 and SequenceMatcher(None, word, each).ratio() >= _LIKE)
        for each in own
    )


_NUMBER_WORDS = frozenset(
    [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "fifteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "hundred",
        "half",
        "quarter",
        "third",
        "couple",
        "dozen",
        "zero",
    ]
)

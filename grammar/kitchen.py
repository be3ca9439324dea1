"""Sentences of the kitchen beside recipes: estimates, portions to find, days, goals, one's data.

Each form is one pattern that has to cover the whole sentence.
"""

import re
from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from grammar import patterns
from grammar.nodes import Quantity
from grammar.numbers import read_number

_N = r"(?P<number>\d[\d.,]*(?:\s+\d+/\d+|/\d+)?)"
_CARB = r"(?:\s+(?:of\s+)?(?:net\s+)?carb(?:ohydrate)?s?)?"
_G = r"\s*(?:g|gr|grams?|grammes?)" + _CARB
_PLATE = r"(?P<plate>\S.*?)\s*(?:[,;.]\s*(?:(?:and|then)\s+)*|\b(?:and|then|plus)\s+(?:then\s+)?)"
_FILL = r"fill(?:\s+up)?(?:\s+(?:the\s+rest|it|the\s+plate))?(?:\s+up)?"
_IS = r"(?:is|are|has|have|makes?|gives?|comes?\s+to|for|to\s+(?:make|get|reach))"
_DATA = r"(?:data|record|numbers|things|entries|information)"
_ALL = rf"(?:everything|all(?:\s+of)?\s+my\s+{_DATA}|all|my\s+{_DATA})"

_SHOW = (
    r"(?:show\s+(?:me\s+)?|how\s+(?:was|is)\s+|what\s+did\s+i\s+eat\s+|"
    r"what\s+have\s+i\s+eaten\s+|"
    r"how\s+(?:many\s+carbs|much\s+carb(?:ohydrate)?s?)\s+(?:did\s+i\s+(?:eat|have)\s+|"
    r"have\s+i\s+(?:eaten|had)\s+)?)?"
)
_COUNTS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "ten": 10,
           "fourteen": 14}  # fmt: skip
_KINDS = r"(?:readings|meals|doses|foods|recipes|settings|history|sessions|reports|backups)"

FORGET_ALL = "forget everything and delete my record with its backups"
"""What has to be typed in full; it is read aloud as it is written."""

LONGEST = 500
"""Characters of such a sentence; a longer text is something else."""

_FORMS: tuple[tuple[str, str], ...] = (
    ("estimate", r"estimate\s+(?P<what>.+?)\s+(?:to\s+be\s+|which\s+is\s+|is\s+)?"
                 r"(?:like|from|as)\s+(?P<like>.+)"),
    ("estimate-open", r"estimate\b.*"),
    ("fill", r"(?P<plate>\S.*?)\s*(?:,|;|\+|&|\b(?:plus|and|with)\b)\s*how\s+(?:much|many)\s+"
             rf"(?:of\s+)?(?:the\s+)?(?P<name>.+?)\s+{_IS}\s+{_N}{_G}(?:\s+(?:in\s+all|altogether))?"),
    ("fill", rf"{_PLATE}{_FILL}\s+with\s+(?P<name>.+?)\s+(?:up\s+)?(?:to|for)\s+{_N}{_G}"
             r"(?:\s+(?:in\s+all|altogether))?"),
    ("fill-open", rf"{_PLATE}{_FILL}\s+with\s+(?P<name>.+?)"),
    ("fill-empty", rf"{_FILL}\s+with\s+(?P<name>.+?)"),
    ("how-many", r"how\s+many\s+(?P<unit>(?!carb|g\b|gram)[\w-]+(?:\s+[\w-]+)?)\s+of\s+(?:the\s+)?"
                 rf"(?P<name>.+?)\s+{_IS}\s+{_N}{_G}"),
    ("what-fits", r"what\s+(?:else\s+)?(?:can|could|may)\s+i\s+(?:still\s+)?(?:have|eat)\s+"
                  rf"(?:with|for|in)\s+{_N}{_G}(?:\s+left)?(?:\s+today)?"),
    ("what-fits", r"what\s+(?:else\s+)?(?:can|could|may)\s+i\s+(?:still\s+)?(?:have|eat)"
                  r"(?:\s+(?:with|for)\s+what\s+is\s+left)?(?:\s+today)?"),
    ("goal", rf"my\s+(?:daily\s+)?goal\s+(?:for\s+(?:a|the|each)\s+day\s+)?is\s+{_N}{_G}"
             r"(?:\s*(?:a|per|each|every|/)\s*day)?(?:\s*,\s*(?P<sure>\d[\d.]*)\s+is\s+right)?"),
    ("no-goal", r"(?:forget|drop|remove)\s+my\s+(?:daily\s+)?goal|"
                r"(?:i\s+have\s+)?no\s+(?:daily\s+)?goal"),
    ("left", r"(?:what|how\s+much)\s+(?:is|have\s+i(?:\s+got)?|do\s+i\s+have)\s+left"
             r"(?:\s+(?:for\s+)?(?:today|of\s+(?:my\s+goal|today)))?"),
    ("today", rf"{_SHOW}today(?:\s+so\s+far)?"),
    ("yesterday", rf"{_SHOW}yesterday"),
    ("week", rf"{_SHOW}(?:(?:this|the|my)\s+)?week(?:\s+so\s+far)?"),
    ("last-week", rf"{_SHOW}(?:in\s+)?last\s+week"),
    ("month", rf"{_SHOW}(?:(?:this|the|my)\s+)?month(?:\s+so\s+far)?"),
    ("last-month", rf"{_SHOW}(?:in\s+)?last\s+month"),
    ("some-days", rf"{_SHOW}(?:(?:in|over)\s+)?(?:the\s+)?(?:last|past)\s+(?P<count>\d{{1,4}}|"
                  rf"{'|'.join(_COUNTS)})\s+(?P<unit>days?|weeks?)"),
    ("where", rf"where\s+(?:is|are|do\s+you\s+(?:keep|store))\s+(?:all\s+)?(?:of\s+)?my\s+{_DATA}"
              r"(?:\s+(?:kept|stored|saved))?"),
    ("export", rf"export\s+{_ALL}"),
    ("forget-all-sure", FORGET_ALL.replace(" ", r"\s+")),
    ("forget-all", rf"(?:forget|delete|erase|remove|wipe|clear)\s+{_ALL}"
                   r"(?:\s+(?:about\s+me|now|please|and\s+.*))?"),
    # whatever stands behind it: never the name of one food that is only like these words
    ("forget-much", r"(?:forget|delete|erase|wipe|clear|remove\s+(?=everything\b))\s*"
                    rf"(?P<name>(?:everything|all|my\s+{_DATA}|(?:all\s+)?(?:of\s+)?my\s+{_KINDS})"
                    r"\b.*)"),
)  # fmt: skip


class KitchenSentence(Struct, frozen=True):
    """form: as in the table above. parts are the words by name; number is its figure, if any.
    plate_end: where the plate of a "fill" ends, else 0. count: days of "some-days"."""

    form: str
    parts: Mapping[str, str]
    number: Quantity | None = None
    plate_end: int = 0
    count: int = 0


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (form, patterns.compile(rf"\s*(?:please\s+)?(?:{pattern})\s*[.!?]*\s*", re.I))
        for form, pattern in _FORMS
    )


def _days(parts: Mapping[str, str]) -> int:
    """How many days are meant: "14 days", "two weeks"."""
    if "count" not in parts:
        return 0
    said = parts["count"].casefold()
    count = _COUNTS[said] if said in _COUNTS else int(said)
    return count * 7 if parts["unit"].casefold().startswith("week") else count


def read_kitchen(text: str) -> KitchenSentence | None:
    """The sentence, or None when it is none of these.

    >>> read_kitchen("what can I have with 30 g left").form
    'what-fits'
    """
    if len(text) > LONGEST or "\n" in text.strip():
        return None
    for form, pattern in _patterns():
        match = pattern.fullmatch(text)
        if match:
            parts = {k: v.strip() for k, v in match.groupdict().items() if v is not None}
            number = read_number(parts["number"].rstrip(".,")) if "number" in parts else None
            end = match.end("plate") if "plate" in parts else 0
            return KitchenSentence(form, parts, number, end, _days(parts))
    return None

"""A few words about the meal that was just said: "make that two servings", "no milk after all".

Each form is one pattern that has to cover the whole text. What the words refer to is not known
here: the dialogue finds it in the last meal, or asks.
"""

import re
from collections.abc import Mapping
from functools import cache
from typing import Literal

from msgspec import Struct

from grammar import patterns

Form = Literal["instead", "without", "add", "another", "again", "again-of", "part", "part-left"]


class Change(Struct, frozen=True):
    """A change to the last meal.

    instead: amount or amount and food in words; without, another: words; add: words behind the
    joiner; again, again-of (day, meal): the same as before; part (share, words): only so much of
    it was eaten; part-left: so much of it was left.
    """

    form: Form
    parts: Mapping[str, str]


_MEAL = r"(?P<meal>breakfast|lunch|dinner|supper|brunch|snack)"
_DAY = r"(?:(?P<day>yesterday|today|this\s+morning)(?:['’]?s)?)"
_HAVING = r"(?:i\s*['’]?\s*m\s+having\s+)?(?:the\s+)?"
_SHARE = (
    r"(?P<share>(?:about\s+)?(?:(?:a|one|two|three|four|five)\s+)?"
    r"(?:half|third|thirds|quarter|quarters|fifth|fifths)|\d+\s*/\s*\d+|\d{1,2}\s*(?:%|percent|per\s+cent)|[½⅓⅔¼¾])"
)
_END = r"(?:[,]?\s+(?:please|thanks|instead))?\s*[.!]*\s*"
_FORMS: tuple[tuple[Form, str], ...] = (
    ("instead", r"(?:no[,.]?\s+|sorry[,.]?\s+|oops[,.]?\s+|wait[,.]?\s+)*"
                r"(?:please\s+)?(?:make\s+(?:that|it|this)|change\s+(?:that|it)\s+to|i\s+meant|"
                r"i\s+mean|that\s+should\s+(?:be|have\s+been)|it\s+should\s+(?:be|have\s+been))\s+"
                r"(?P<words>.+)"),
    ("instead", r"(?:no|sorry|oops|wait|actually|correction)[,:.]?\s+(?:(?:it\s+was|it['’]?s)\s+)?"
                r"(?P<words>(?:about\s+)?[\d½⅓⅔¼¾].*|(?:a|an|one|two|three|four|five|six|half)\s+.+)"),
    ("part-left", r"(?:i\s+)?left\s+(?:only\s+)?" + _SHARE
                  + r"(?:\s+(?:of\s+)?(?:it|that|the\s+(?P<words>.+?)))?"),
    ("without", r"(?:no|not)\s+(?:the\s+)?(?P<words>.+?)\s+after\s+all"),
    ("without", r"(?:actually\s+)?(?:leave\s+out|drop|remove|take\s+(?:away|off|out)|skip|without|"
                r"forget|minus|not|no|i\s+left|left|i\s+did(?:n['’]?t|\s+not)\s+(?:have|eat|drink))\s+"
                r"(?:the\s+|any\s+)?(?P<words>[^\d]+?)"),
    ("part", r"(?:i\s+)?(?:only\s+)?(?:ate|had|finished|drank|managed)\s+(?:only\s+)?" + _SHARE
             + r"(?:\s+(?:of\s+)?(?:it|that|the\s+meal|the\s+(?P<words>.+?)))?"),
    ("part", r"only\s+" + _SHARE + r"(?:\s+of\s+(?:it|that))?"),
    ("again-of", _HAVING + r"same\s+(?:as|like)\s+(?:for\s+)?(?:my\s+)?"
                 r"(?:" + _DAY + r"(?:\s+(?:at\s+|for\s+)?" + _MEAL + r")?|"
                 + _MEAL.replace("meal", "other")
                 + r"(?:\s+" + _DAY.replace("day>", "when>") + r")?)"),
    ("again", _HAVING + r"same(?:\s+(?:again|as\s+before|as\s+last\s+time|meal|"
              r"thing)(?:\s+again)?)"),
    ("again", r"(?:and\s+)?(?:the\s+)?same\s+again|again|repeat\s+(?:that|the\s+last)\s+meal"),
    ("another", r"(?:and\s+|plus\s+|also\s+|add\s+)?"
                r"(?:another|(?P<count>one|two|three|[123])\s+more)\s+(?P<words>.+)"),
    ("add", r"(?:and|plus|also|with|add|as\s+well\s+as|\+|&)\s+(?:also\s+)?(?P<words>.+)"),
)  # fmt: skip


@cache
def _patterns() -> tuple[tuple[Form, re.Pattern[str]], ...]:
    return tuple(
        (
            form,
            patterns.compile(
                rf"\s*(?:{pattern})(?:[,]?\s+(?:please|thanks|instead))?\s*[.!]*\s*", re.I
            ),
        )
        for form, pattern in _FORMS
    )


def read_change(text: str) -> Change | None:
    """The change, or None when the words are no change of a meal.

    >>> read_change("make that two servings").parts["words"]
    'two servings'
    """
    if "\n" in text.strip():
        return None
    for form, pattern in _patterns():
        match = pattern.fullmatch(text)
        if match:
            found = {k: v.strip() for k, v in match.groupdict().items() if v}
            return Change(form, found)
    return None

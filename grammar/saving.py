"""Sentences that save a talk as a session file: "save yesterday for sharing as lunch"."""

import re
from functools import cache
from typing import Literal

from msgspec import Struct

from grammar import patterns

Span = Literal["session", "today", "yesterday", "day", "between", "last"]

_DAY = r"\d{4}-\d{2}-\d{2}"
_CLOCK = r"\d{1,2}[:.]\d{2}"


class Replacing(Struct, frozen=True):
    """A word or a name that must not be shared. with_: what stands for it; '' where not said."""

    word: str
    with_: str = ""


class SaveSentence(Struct, frozen=True):
    """What is saved, and under which name ('' where none was said).

    day, start and end are as typed: an ISO day, and clock times; count and unit: the last so many
    hours, days or turns. keeping: words that may stay in a shared file; rest: all others may.
    """

    span: Span
    name: str = ""
    sharing: bool = False
    day: str = ""
    end_day: str = ""
    start: str = ""
    end: str = ""
    count: int = 0
    unit: str = ""
    without: tuple[Replacing, ...] = ()
    keeping: tuple[str, ...] = ()
    rest: bool = False


class SaveMisread(Struct, frozen=True):
    """A sentence that saves something, of which these words were not understood."""

    said: str


_WHAT = (
    ("session", r"(?:(?:this|the|my)\s+)?(?:whole\s+)?(?:session|talk|chat)"),
    ("today", r"today(?:'s\s+(?:session|talk|chat))?"),
    ("yesterday", r"yesterday(?:'s\s+(?:session|talk|chat))?"),
    ("last", r"(?:the\s+)?last\s+(?:(?P<count>\d{1,4})\s+)?(?P<unit>turns?|hours?|days?)"),
    ("between", rf"(?:from\s+)?(?P<day>{_DAY})\s+(?P<start>{_CLOCK})\s+(?:to|until|till)\s+"
                rf"(?:(?P<end_day>{_DAY})\s+)?(?P<end>{_CLOCK})"),
    ("between", rf"from\s+(?P<start>{_CLOCK})\s+(?:to|until|till)\s+(?P<end>{_CLOCK})"
                rf"(?:\s+(?:on\s+)?(?P<day>{_DAY}|today|yesterday))?"),
    ("day", rf"(?:from\s+)?(?P<day>{_DAY})(?:\s+(?:to|until|till)\s+(?P<end_day>{_DAY}))?"),
)  # fmt: skip


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    start = r"\s*(?:please\s+)?(?:save|keep|export|record)\s+"
    return tuple((span, patterns.compile(start + rf"(?:{what})\b", re.I)) for span, what in _WHAT)


_SHARING = patterns.compile(r"\s+(?:for\s+sharing|to\s+share)\b", re.I)
_NAMED = patterns.compile(r"\s+(?:as|under)\s+(?P<name>[^,]+?)"
                    r"(?=\s*(?:,|\s(?:without|keeping|replacing|and\s+keeping|"
                    r"for\s+sharing|to\s+share)\b|$))", re.I)  # fmt: skip
_TAILS = patterns.compile(r"\s*,?\s*(?:and\s+)?(?P<what>without|keeping|replacing)\s+"
                    r"(?P<list>.+?)"
                    r"(?=\s*,?\s*(?:and\s+)?(?:without|keeping|replacing)\s|$)",
                    re.I | re.S)  # fmt: skip
_SAVES = patterns.compile(
    r"\s*(?:please\s+)?"
    r"(?:save\s+(?:this|the|my|today|yesterday|from|last|session|talk|chat|\d{4}-)"
    r"|save\s+\S.*\s+as\s+\S"
    r"|(?:keep|export|record)\s+(?:this\s+|the\s+|my\s+)?(?:session|talk|chat)\b)",
    re.I | re.S,
)


def read_save(text: str) -> SaveSentence | SaveMisread | None:
    """The sentence; what of it was not understood; or None where it saves no talk.

    >>> read_save("save yesterday for sharing as lunch").name
    'lunch'
    """
    if not _SAVES.match(text):
        return None
    text = text.strip().rstrip(".!").rstrip()
    for span, pattern in _patterns():
        match = pattern.match(text)
        if match:
            found = _completed(span, match, text[match.end() :])  # type: ignore[arg-type]
            if isinstance(found, SaveSentence):
                return found
    return SaveMisread(text)


def _completed(span: Span, match: re.Match[str], rest: str) -> SaveSentence | SaveMisread:
    parts = {k: v for k, v in match.groupdict().items() if v}
    sharing, rest = _taken(_SHARING, rest)
    named, rest = _taken(_NAMED, rest)
    again, rest = _taken(_SHARING, rest)
    without: list[Replacing] = []
    keeping: list[str] = []
    at = 0
    while found := _TAILS.match(rest, at):
        at = found.end()
        for word in _words(found["list"]):
            if found["what"].casefold() == "keeping":
                keeping.append(word)
            elif not _added(without, found["what"].casefold(), word):
                return SaveMisread(word)
    if rest[at:].strip():
        return SaveMisread(rest[at:].strip())
    everything = {"the rest", "everything else", "all", "all of them", "the others"}
    return SaveSentence(
        span,
        name=named["name"].strip().strip("\"'“”") if named else "",
        sharing=bool(sharing or again),
        day=parts.get("day", "").casefold(),
        end_day=parts.get("end_day", ""),
        start=parts.get("start", "").replace(".", ":"),
        end=parts.get("end", "").replace(".", ":"),
        count=int(parts.get("count", "1")) if span == "last" else 0,
        unit=parts.get("unit", "").rstrip("s").casefold(),
        without=tuple(without),
        keeping=tuple(k for k in keeping if k.casefold() not in everything),
        rest=any(k.casefold() in everything for k in keeping),
    )


def _taken(pattern: re.Pattern[str], text: str) -> tuple[re.Match[str] | None, str]:
    """The match, and the text without it."""
    match = pattern.search(text)
    return match, text if match is None else text[: match.start()] + text[match.end() :]


def _words(listed: str) -> list[str]:
    found = patterns.split(r"\s*,\s*(?:and\s+)?|\s+and\s+", listed.strip())
    return [word.strip().strip("\"'“”") for word in found if word.strip()]


def _added(without: list[Replacing], what: str, word: str) -> bool:
    """Adds a word that goes; False where 'replacing' lacks its 'with'."""
    if what == "without":
        without.append(Replacing(word))
        return True
    pair = patterns.fullmatch(r"(.+?)\s+(?:with|by)\s+(.+)", word, re.I)
    if pair is None:
        return False
    without.append(Replacing(pair[1], pair[2]))
    return True

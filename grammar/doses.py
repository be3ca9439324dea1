"""Words that tell of a dose taken and fit no sentence form: what is clear of them.

Nothing is logged from here. The words are only seen to tell a dose, so that it can be asked about.

"bolused 4 units" -> 4 units, no time; "I forgot: took 4 units at 11:00" -> 4 units, "at 11:00";
"took 4 units before lunch" -> 4 units, the time unread; "took 4 to 5 units" -> the figure unread.
"""

import re
from fractions import Fraction

from msgspec import Struct

from grammar import patterns
from grammar.measures import find_measure
from grammar.nodes import Number
from grammar.numbers import read_number
from grammar.statements import Statement, read_statement
from grammar.words import pattern


class ToldDose(Struct, frozen=True):
    """A dose that was told.

    units: None where the figure is not clear; around: then the words before and behind a figure in
    its place, as a sentence form ("took ", " units at 11:00"); None where one figure will not do.
    when: a time that can be read. unread: words left over; only_time: they tell no more than a
    time. verb: there are words of a dose beside the figure.
    """

    units: Fraction | None = None
    around: tuple[str, str] | None = None
    when: str = ""
    unread: str = ""
    only_time: bool = False
    verb: bool = False


def _words_of(listed: str) -> frozenset[str]:
    return frozenset(patterns.findall(r"\S+", listed))


_WORDS = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|"
    "sixteen|seventeen|eighteen|nineteen|twenty|thirty|forty|fifty"
)
_PLAIN = r"\d[\d.,/]{0,11}(?: \d{1,3}/\d{1,3})?[½¼¾⅓⅔]?|\.\d{1,6}|[½¼¾⅓⅔]"
"""Bounded, as every part below: a search of any text has to end soon."""
_FIGURE = (
    rf"(?<![\w.,:/])(?P<figure>(?:(?:about|around|roughly|nearly|almost|over|under)\s+|[~≈])?"
    rf"(?:[-−]\s*)?(?:(?:{_PLAIN}|{_WORDS})(?:\s+and\s+a\s+half)?"
    rf"(?:\s*(?:-|–|\bto\b|\bor\b)\s*(?:{_PLAIN}|{_WORDS}))?"
    r"|half(?:\s+an?)?|an?\s+half|(?:an?\s+)?(?:couple(?:\s+of)?|few|some|several)|an?))"
)
_UNITS = r"\s*-?\s*(?:units?|iu|u)(?![a-z])"
_INSULIN = (
    r"(?:\s+of\s+(?:my\s+)?(?:(?:rapid|fast|quick|short|mealtime|bolus)(?:[\s-]acting)?\s*)?"
    r"insulin\b)?"
)
_IN_UNITS = _FIGURE + _UNITS + _INSULIN
_STRONG = (
    r"(?:took|taken|inject(?:ed|ing)?|dosed|bolus(?:s?ed|s?ing|)?|jabbed|jab(?:\s+of)?|shot(?:\s+of)?|pumped|"
    r"gave(?:\s+myself)?|given(?:\s+myself)?|insulin(?:\s+(?:of|was|is))?)"
)
_NO_UNITS = rf"\b{_STRONG}\s*[:=,]?\s*{_FIGURE}(?![\w½¼¾⅓⅔%/])"
_VERB = rf"\b(?:{_STRONG}|take|correct(?:ed|ion)|deliver(?:ed)?|administered)\b"

_NOT_TOLD = (
    r"\?|^\s*(?:please\s+)?(?:how|what|why|if|should|shall|can|could|may|might|must|does|is|are|would|"
    r"will|suggest|give\s+me|make|set|change|raise|lower|round|never|no\s+more|max|maximum|"
    r"ignore|show|explain|compare|find|help|report|save|new|recipe)\b|"
    r"units?\s*(?:per|/|for\s+(?:every|each)|lowers|drops|brings|=)|per\s+unit|at\s+once|per\s+dose|"
    r"units?\s+in\s+(?:any\s+)?(?:an?|one|\d+)\s*(?:hours?|hrs?|h)\b|more\s+than|at\s+most"
)
_NOT_TAKEN = (
    r"(?:\bnot|\bnever|n['’]t|\b(?:did|have|has|do|could|was)nt|\bforgot\s+to|\bskipped|\bmissed|"
    r"\bwithout|\binstead\s+of|\bwill|['’]ll|\bgoing\s+to|\babout\s+to|\bplan(?:ning)?\s+to|\bwant\s+to)"
    r"\s+(?:\w+\s+){0,2}?(?:take|took|taken|taking|inject\w*|bolus\w*|dos(?:e|ed)|have|had|give|given|"
    r"do|any|my|the|\d)"
)
_LONG_ACTING = r"\b(?:long|slow|basal|background|overnight)\b"
_OTHER_THING = r"\s*of\s+\w"

_BEFORE = _words_of(
    "i ive i've i’ve have had just so and also then took taken take injected inject dosed "
    "bolused bolussed bolus jabbed jab shot pumped gave given myself delivered administered "
    "corrected correction insulin my a an the of was did do forgot to log record please oh "
    "ok okay"
)
"""Words before the figure that change nothing of a dose."""
_BEHIND = (
    r"^\s*(?:was\s+|were\s+)?(?:taken|injected|given|in)(?!\w)|"
    r",?\s*(?:please|thanks|thank\s+you|that\s+is\s+right)\s*[.!]*\s*$"
)
_TIME_WORDS = _words_of(
    "ago before after at around about earlier later yesterday today tonight morning noon "
    "midday midnight afternoon evening night lunch lunchtime breakfast dinner supper tea "
    "meal meals snack hour hours hr hrs minute minutes min mins half quarter past since now "
    "just o'clock am pm with for during last this the a an my some and in on to of it i was "
    "time while back bed bedtime getting up waking"
)
_TIME_FIGURE = rf"\d[\d.,:h]*(?:[ap]m|h|min)?|{_WORDS}"


def told_dose(text: str, *, opening: bool = False) -> ToldDose | None:
    """What the words tell of a dose, or None where they tell none.

    opening: the sentence begins as one about a dose that was taken.
    """
    text = " ".join(text.split())
    figures = list(pattern(_IN_UNITS).finditer(text))
    verb = opening or pattern(_VERB).search(text) is not None
    if not verb:
        figures = [m for m in figures if not pattern(_OTHER_THING).match(text, m.end())]
    if pattern(_NOT_TOLD).search(text) or (len(figures) < 2 and _not_of_meals(text)):
        return None
    if not figures:
        return _without_units(text, verb=verb)
    if len(figures) > 1:
        return ToldDose(unread=text, verb=verb)
    return _one(text, figures[0], verb=verb)


def _not_of_meals(text: str) -> bool:
    """Not taken at all, or insulin that no meal is dosed with."""
    return (
        pattern(_NOT_TAKEN).search(text) is not None
        or pattern(_LONG_ACTING).search(text) is not None
    )


def _without_units(text: str, *, verb: bool) -> ToldDose | None:
    """ "bolused 4", "took 4 before lunch"; "took 2 tablets" and "insulin 4 hours" are none."""
    found = pattern(_NO_UNITS).search(text)
    if found is None:
        return None
    behind = text[found.end("figure") :].strip(" .,!;:")
    first = patterns.match(r"[^\W\d]+", behind)
    if first is not None:
        word = first[0].casefold()
        if find_measure(word) is not None or word in {"hour", "hours", "minute", "minutes", "mmol"}:
            return None
        if not _tells_time(behind):
            return None
    return _one(text, found, verb=verb)


def _one(text: str, found: re.Match[str], *, verb: bool) -> ToldDose:
    before = text[: found.start("figure")]
    behind = pattern(_BEHIND).sub(" ", text[found.end() :]).strip(" .,!;")
    odd = " ".join(w for w in _words(before) if w.casefold() not in _BEFORE)
    number = read_number(found["figure"])
    clear = isinstance(number, Number) and found["figure"].casefold() not in {"a", "an"}
    if not isinstance(number, Number) or not clear:
        around = None if odd else ("took ", f" units {behind}".rstrip())
        return ToldDose(around=around, unread=text, verb=verb)
    when = _when(behind)
    if when and not odd:
        return ToldDose(number.value, when=when, verb=verb)
    unread = " ".join(part for part in (odd, behind) if part)
    return ToldDose(number.value, unread=unread, only_time=_tells_time(unread), verb=verb)


def _words(text: str) -> list[str]:
    return patterns.findall(r"[\w'’.:,]*\w", text)


def _when(text: str) -> str:
    """The words where they are a time as a dose may have one."""
    said = read_statement(f"took 1 unit {text}") if text else None
    return text if isinstance(said, Statement) and said.when is not None else ""


def _tells_time(text: str) -> bool:
    """Are all words such as tell a time, if not one that can be read?"""
    return all(
        w.casefold() in _TIME_WORDS or pattern(_TIME_FIGURE).fullmatch(w) for w in _words(text)
    )

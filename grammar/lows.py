"""Words that tell a low without a figure: "bg LO", "meter says low", "going low", "hypo now".

A low that is missed is the worst that can happen here, so the words are looked for anywhere in a
sentence, and whatever turns them round ("not low", "if I go low") is never dropped: it is a doubt,
and is asked about. "low fat milk" tells nothing: a low is not followed by what foods are low in.
"""

import re

from msgspec import Struct

from grammar import patterns
from grammar.words import pattern

LONGEST = 2000
"""Characters of a sentence that is looked at."""

_LOW = r"(?<![\w-])(?:loww?|lo|l0|lows|hypos?|hypoglyc(?:a?e)mi[ac])(?![\w-])"
_IN_FOODS = (
    r"(?![\s-]*(?:in\s+)?(?:carb|fat|sugars?\s+\w|cal(?:orie|s)?\b|kcal|salt|sodium|g[il]\b|gluten|"
    r"fodmap|protein|lactose|alcohol|energy|fib(?:re|er)|cholesterol|starch|acid|mein|joule|purine|"
    r"glyc))"
)
"""What foods are low in, behind the word; "low sugar" alone is a low."""
_METER = (
    r"(?<![\w-])(?:(?:blood\s+)?(?:glucose|sugars?)|gluc|bgl?s?|bs|blood|cgm|meter|glucometer|sensor|"
    r"monitor|reader|device|readings?|readout|levels?|numbers?|test|display|screen|pump|"
    r"finger\s?(?:stick|prick)|app)(?:['’]s)?(?![\w-])"
)
_TURNED = (
    r"(?:not|isn['’]?t|wasn['’]?t|aren['’]?t|ain['’]?t|never|no|don['’]?t|doesn['’]?t|didn['’]?t|"
    r"won['’]?t|neither|nor|without|hardly|barely|nowhere|anymore|stopped|unlikely)"
)
_SUPPOSED = (
    r"(?:if|when|whenever|unless|until|in\s+case|(?:to\s+)?(?:prevent|avoid)(?:ing)?|would|"
    r"used\s+to|yesterday|last\s+(?:night|week|month|year)|(?:days?|weeks?|months?|years?)\s+ago|"
    r"often|sometimes|usually|tomorrow|afraid|worried|scared|risk|definition|means?)"
)
_PAST = (
    r"(?:was|were|had|felt|went|earlier|before|after|ago|this\s+morning|been|over|gone|"
    r"treated|corrected)"
)
_FILL = (
    r"(?:is|['’]?s|was|were|are|at|of|now|says?|said|saying|reads?|reading|shows?|showed|showing|"
    r"displays?|displaying|gives?|gave|told|tells?|just|still|very|really|quite|too|so|an?|bit|"
    r"little|going|goes|went|go|getting|gets?|got|gone|has|have|been|on|my|the|it|me|only|pretty|"
    r"super|extremely|dangerously|rather|kind|sort|way|seems?|feels?|feel|feeling|felt|looks?|"
    r"came|comes?|coming|back|up|as|level|value|today|right|currently|again|like|turned|drops?|"
    r"dropping|dropped|running|ran|run|hits?|hitting|tested|measured|i|am|['’]?m|im|be|being|side|"
    r"think|to|might|may|maybe|must|could|probably|possibly|perhaps|slightly|low|there|here|you|"
    rf"reported|reporting|alarm(?:s|ed|ing)?|alerts?|{_TURNED}|longer|any)"
)
_GAP = r"[\s:=\"'“”‘’\-–—]*"
_METER_LOW = rf"{_METER}{_GAP}(?:{_FILL}(?!\w){_GAP}){{0,8}}{_LOW}{_IN_FOODS}"
_PERSON = (
    r"(?<![\w-])(?:i\s*['’]?\s*m|i\s+am|im|am\s+i|i|we|feel(?:ing|s)?|felt|going|getting|goes|gone|"
    r"went|running|become|becoming|dropping|dropped|trending|fell|falling|heading|stuck|still|bit|"
    r"very|so|too|really|currently|slightly|probably|maybe|possibly|might|may|could|must|think|"
    r"was|were|been|she|he|they)(?!\w)"
)
_PERSON_LOW = (
    rf"{_PERSON}{_GAP}(?:(?!(?:have|got|had)\b){_FILL}(?!\w){_GAP}){{0,8}}{_LOW}{_IN_FOODS}"
)
_LOW_READING = (
    r"(?<![\w-])low(?![\w-])\s+(?:blood|bgl?s?|(?:glucose|sugars?)(?=\s*(?:level|reading|now|again|"
    r"alarm|alert|[,;.!?)]|$))|reading|level|number|sensor|meter|alarm|alert|warning|symptom|episode|"
    r"treatment|glucose\s+event)"
)
_BEHIND = (
    r"(?=\s*(?:$|[,;.!?&+()\n\"'”’]|(?:now|again|right|at|today|still|currently|and|with|plus|so|"
    r"but|before|after|since|for|please|help|glucose|sugar|blood|bgl?|meter|sensor|my|i|im|no|"
    r"according|on|ish|side|then|having|eating|ate|alarm|alert|it|treatment|too)(?!\w)))"
)
_AT_THE_END = rf"{_LOW}{_IN_FOODS}{_BEHIND}"
_HYPO = r"(?<![\w-])hypo(?:s|ing|ed|glyc\w*)?(?![\w])"
_CAPITALS = rf"(?<![\w-])L[O0](?![\w-]){_IN_FOODS}"
_FAINT = (
    r"(?<![\w-])(?:shaky|shakey|shaking|(?:the\s+)?shakes(?=\s*(?:$|[,;.!?]|now))|trembl\w+|wobbly|"
    r"crashing|passed\s+out|passing\s+out|fainted|unconscious|seizure)(?![\w-])"
)
_UNWELL = (
    r"(?<![\w-])(?:dizzy|sweaty|sweating|clammy|faint|light[\s-]?headed|woozy|jittery|confused|"
    r"blurry|lowish|low-ish)(?![\w-])"
)
_FALLING = (
    rf"{_METER}{_GAP}(?:{_FILL}(?!\w){_GAP}){{0,5}}(?:dropping|falling|going\s+down|plummeting|sinking|"
    r"tanking|crashing)(?!\w)|(?:^|[,;.!?\n])\s*(?:i\s*['’]?\s*m\s+|and\s+)?(?:dropping|falling|"
    r"going\s+down|plummeting)(?:\s+(?:fast|quickly|rapidly|now|slowly))?\s*(?=$|[,;.!?\n])|"
    r"(?<![\w-])(?:(?:double|two|one|single|2|1)\s+)?(?:down\s+arrows?|arrows?\s+(?:pointing\s+)?down)"
    r"(?!\w)"
)
_SEGMENT = patterns.compile(r"[,;!?\n&+()]|\.(?=\s|$)|(?<!\w)(?:and|plus|but)(?!\w)", re.I)
_MANNERS = (
    r"(?:please|help|thanks|thank|sos|ok|okay|oh|no|hi|hey|hello|what|do|should|now|and|i|so|a|the|"
    r"is|it|its|it['’]s|today|right|moment|at|again|very|really|alert|alarm|on|according|episode|"
    r"attack|event|side|but|urgent|again|treat(?:ing|ment)?|to|because|of|my|think|since|how)"
)
_QUESTION = patterns.compile(
    r"\s*(?:what|how|why|show|compare|explain|find|save|report|when|where|which|does|do|can|could|"
    r"should|is\s+there|is\s+a)\b",
    re.I,
)


class LowTold(Struct, frozen=True):
    """Words that tell a low. sure: it is one; else they may tell one, or that there is none.

    alone: nothing else is in the sentence. past: the words are of a time before. rest: the
    sentence without the part that tells it; empty where nothing is left.
    """

    said: str
    sure: bool
    alone: bool
    past: bool
    rest: str


_STRONG = (_METER_LOW, _PERSON_LOW, _LOW_READING)
_WEAK = (_AT_THE_END, _HYPO, _FAINT)
_DOUBT = (_UNWELL, _FALLING)
_QUICK = (
    r"l[o0]|hypo|shak|trembl|wobbl|crash|pass|faint|uncons|seiz|dizz|sweat|clamm|light|wooz|jitter|"
    r"confus|blurr|drop|fall|down|plumm|sink|tank"
)
"""A text without any of these tells nothing, and no pattern is made for it."""


def read_low(text: str) -> LowTold | None:
    """The low that the words tell, or None. A figure is not looked at: "bg 3.1" is none here.

    >>> read_low("2 slices of rye bread, meter says LO").sure
    True
    >>> read_low("2 slices of rye bread, not low").sure
    False
    >>> read_low("200 ml low fat milk") is None
    True
    """
    if len(text) > LONGEST or not pattern(_QUICK).search(text):
        return None
    strong = _first(text, _STRONG)
    found = strong or _first(text, _WEAK) or _capitals(text)
    sure = found is not None
    found = found or _first(text, _DOUBT)
    if found is None:
        return None
    first, last = _segment(text, found)
    part = text[first:last]
    around = part[: found.end() - first]
    if _has(_TURNED, around) or _has(_SUPPOSED, part):
        sure = False
    if sure and strong is None and _QUESTION.match(text):
        sure = False  # "what is a hypo"
    rest = _without(text, first, last)
    said = found[0].strip() if sure else part.strip()
    return LowTold(said, sure, _alone(text, found), _has(_PAST, part), rest)


def _first(text: str, patterns: tuple[str, ...]) -> re.Match[str] | None:
    found = (pattern(p).search(text) for p in patterns)
    return next((match for match in found if match is not None), None)


def _capitals(text: str) -> re.Match[str] | None:
    """ "LO" as a meter writes it; in a sentence all in capitals that says nothing."""
    return pattern(_CAPITALS, 0).search(text) if text.upper() != text else None


def _has(words: str, text: str) -> bool:
    return pattern(rf"(?<!\w){words}(?!\w)").search(text) is not None


def _segment(text: str, found: re.Match[str]) -> tuple[int, int]:
    """The part of the sentence, between commas and joiners, in which the words stand."""
    cuts = list(_SEGMENT.finditer(text))
    first = max((c.end() for c in cuts if c.end() <= found.start()), default=0)
    last = min((c.start() for c in cuts if c.start() >= found.end()), default=len(text))
    return first, last


def _without(text: str, first: int, last: int) -> str:
    """The sentence without one part, and without the comma or joiner that held it."""
    before = patterns.sub(r"(?:[\s,;.+&]|\b(?:and|plus|but))+$", "", text[:first], flags=re.I)
    behind = patterns.sub(r"^(?:[\s,;.+&!]|(?:and|plus|but)\b)+", "", text[last:], flags=re.I)
    return ", ".join(part for part in (before, behind) if part.strip(" .!?"))


def _alone(text: str, found: re.Match[str]) -> bool:
    """Is the sentence nothing but the low, with words that only fill it?"""
    rest = f"{text[: found.start()]} {text[found.end() :]}"
    for words in (*_STRONG, *_WEAK, _METER, _PERSON, _FILL, _MANNERS):
        rest = pattern(rf"(?<!\w)(?:{words})(?!\w)").sub(" ", rest)
    return patterns.search(r"\w", rest) is None

"""The tokens of a label: figures, nutrient names, headings, and whole free lists.

One pattern, tried at each place, the more telling tokens first. Every character that is not a
space belongs to a token, so that text without a role can be told to the user.
"""

import re
from collections.abc import Iterator
from functools import cache

from grammar import patterns
from grammar.label_lists import LIST_HEADS, list_end
from grammar.label_words import END, nutrient_pattern
from grammar.parsing import Token

_H = r"[^\S\n]{0,40}"  # spaces within a line: a unit belongs to the figure on its own line
NUM = r"(?:[0-9]++(?:[.,][0-9]++)*+|\.[0-9]++)"
_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
FRAC = rf"(?:(?:[0-9]+[^\S\n]+)?[0-9]+{_H}[/⁄]{_H}[0-9]++|[0-9]*{_H}[{_VULGAR}])"
_ANY = rf"(?:{FRAC}|{NUM})"
UNITS = (
    r"(?:grams?|gm|kg|g|milligrams?|mg|mcg|[µμ]g|ug|kJ|kcal|cal(?!\.?\s+from)|IU|ml|"
    r"millilit(?:re|er)s?|cl|l)"
)
_BELOW = r"(?:(?:contains\s+)?less\s+than\s*|(?:contains\s+)?<\s*)?"
_OF_VITAMIN = rf"(?:{_H}(?:DFE|RAE|NE)\b)?"  # "mcg DFE", "mcg RAE", "mg NE": 21 CFR 101.9(c)(8)
FIGURE = rf"{_BELOW}{NUM}{_H}{UNITS}{_OF_VITAMIN}{END}"
_ABOUT = r"(?:(?:about|approx(?:\.|imately)?|around)\s*)?"
_PACK_WORD = r"(?:container|package|packet|pack|box|bag|bottle|can|carton|tub|jar|pouch)"
_SERVE = r"(?:serving|serve|portion)"
MASS = r"(?:g|grams?|ml|millilit(?:re|er)s?)"

_COUNT = (
    rf"(?:(?:this\s+)?pack(?:age|et)?\s+contains\s+)?{_ABOUT}{_ANY}(?:{_H}[-–]{_H}{_ANY})?\s+"
    rf"(?:{_SERVE}s?\s+(?:per|in)\s+(?:a\s+|this\s+)?{_PACK_WORD}\b|{_SERVE}s\b)"
    rf"|(?:number\s+of\s+)?{_SERVE}(?:s|\(s\))\s*(?:per\s+{_PACK_WORD}\s*)?(?:[:=]\s*)?{_ABOUT}"
    rf"(?>{_ANY})(?!{_H}(?:{UNITS}\b|[%/]))"
)
_BASIS = (
    rf"(?:(?:amount|quantity)\s*)?(?:per|/)\s*100\s*{MASS}{END}(?!\s+{_SERVE})"
    rf"|per\s+{NUM}\s*{MASS}\s+{_SERVE}{END}"
    rf"|(?:(?:amount|quantity)\s*)?(?:per\s*|/\s*){_SERVE}{END}"
    rf"|(?:amount\s*)?per\s+(?:container|package|packet|pack){END}"
)
_BARE_BASIS = (
    rf"100\s*{MASS}{END}(?!\s+{_SERVE})"
    rf"|{NUM}\s*{MASS}\s+{_SERVE}{END}(?!\s+size)(?!\s*(?:[:=(]\s*)?[0-9])"
)
_PLACE = (
    r"(?:US|U\.S\.|USA|American|EU|European|UK|British|Canadian|Canada|CA|Australian|Australia|"
    r"AU|New\s+Zealand|NZ|Japanese|Japan|JP)"
)
_REGION = (
    rf"{_PLACE}\s+(?:nutrition\s+|food\s+)?label{END}"
    rf"|(?:\A|(?<=\n)){_PLACE}(?={_H}(?:[,:;\n]|\Z))"
)
_NET_CARB = r"net\s+carb(?:ohydrate)?s?\.?"
_SCALE = (
    r"(?:daily\s+values?(?:\s*\(dv\))?|dv|valeur\s+quotidienne|vq|daily\s+intake|di|ri|nrv|rdi)"
)
_BOILER = (
    rf"%\s*{_SCALE}{END}\*?(?:\s*\(?per\s+{_SERVE}\)?)?"
    r"|(?:(?:typical|average|avg\.?)\s+)(?:values?|quantity|qty\.?)\b|quantity\b|amount\b|teneur\b"
    r"|valeur\s+nutritive\b|of\s+which\b|nutrition(?=[^\S\n]{0,40}(?:[:\n]|\Z))"
)
_TABLE_CELL = rf"\s+(?:less\s+than\s+)?{NUM}\s*m?g"
_TABLE_ROW = rf"\s+[a-z][a-z. ]{{1,30}}:?{_TABLE_CELL}{_TABLE_CELL}"
_FOOTNOTES = (
    r"[*†]?\s*(?:the\s+)?%\s*daily\s+value\s*(?:\(dv\)\s*)?tells\s+you\s+how\s+much\s+a\s+nutrient"
    r"\s+in\s+a\s+serving(?:\s+of\s+food)?\s+contributes\s+to\s+a\s+daily\s+diet\.?",
    r"2,?000\s+calories\s+a\s+day\s+is\s+used\s+for\s+general\s+nutrition\s+advice\.?",
    r"[*†]?\s*percent\s+daily\s+values?\s+(?:\(dv\)\s+)?(?:are|is)\s+based\s+on\s+a\s+2,?000"
    r"\s+calorie\s+diet\.?",
    r"your\s+daily\s+(?:values?|intakes?)\s+may\s+be\s+higher\s+or\s+lower\s+depending\s+on\s+your"
    r"\s+(?:calorie|energy)\s+needs[.:]?",
    rf"calories:?\s+2,?000\s+2,?500(?:{_TABLE_ROW})*",
    r"calories\s+per\s+gram:?\s*fat\s+9\W+carbohydrates?\s+4\W+protein\s+4\b",
    r"[*†]?\s*(?:reference\s+intakes?|ri)\s+of\s+an\s+average\s+adult\s*\(\s*8[\s,]?400\s*kJ"
    r"\s*/\s*2[\s,]?000\s*kcal\s*\)\.?",
    r"[*†]?\s*(?:percentages?|percent|%)\s+(?:of\s+)?daily\s+intakes?\s+(?:are|is)\s+based\s+on\s+an"
    r"\s+average\s+adult\s+diet\s+of\s+8[\s,]?700\s*kJ\.?",
    r"\*?\s*5\s*%\s+or\s+less\s+is\s+a\s+little,?\s*15\s*%\s+or\s+more\s+is\s+a\s+lot\.?",
    r"\*?\s*5\s*%\s+ou\s+moins\s+c['’]est\s+peu,?\s*15\s*%\s+ou\s+plus\s+c['’]est\s+beaucoup\.?",
    r"[*†]\s*(?:%\s*)?daily\s+value\s+not\s+established\.?",
)
# Letters that a scanner takes for figures: O for 0, l, I or | for 1; S, B, Z beside figures only.
_SLIP = (
    rf"(?-i:(?=[0-9.,]{{0,9}}[OolI|SBZ])(?:[0-9OolI|.,]{{0,9}}[0-9OolI|]|(?=[SBZ]{{0,9}}[0-9])[0-9OolI|SBZ.,]{{1,10}}))"
    rf"{_H}(?:kcal|kJ|mcg|[µμ]g|mg|g|ml|%){END}"
    rf"|(?-i:(?=[0-9]{{0,9}}[OlI|])(?=[OlI|]{{0,9}}[0-9])[0-9OlI|]{{2,10}})(?![^\W_])"
    rf"|{NUM}{_H}(?:rng|rncg|q){END}"
)

_PATTERNS = {
    "FOOTNOTE": "|".join(_FOOTNOTES),
    "NOT_SOURCE": r"not\s+a\s+significant\s+source\s+of\b",
    **LIST_HEADS,
    "BARCODE": r"(?:barcode|ean|upc|gtin)(?:-?(?:8|12|13|14|a|e)\b)?\s*"
    r"(?:(?:no\.?|number)\s*)?(?:[:#]\s*)?[0-9](?:[ -]?[0-9])*",
    "REGION": _REGION,
    "FRONT_CLAIM": rf"{NUM}{_H}g\s+(?:of\s+)?{_NET_CARB}{END}(?!\s*(?:[:=(]\s*)?[0-9])",
    "CLAIM": rf"{_NET_CARB}{END}",
    "HEADING": r"nutrition(?:al)?\s+(?:facts|information|declaration|info|values?)\b",
    "TURNED": rf"incl(?:udes|uding|ude|\.)?(?=\s*{FIGURE}\s*(?:of\s+)?added\s+sugars?{END})",
    "COUNT": _COUNT,
    "BARE_COUNT": rf"{_ABOUT}{_ANY}\s+per\s+{_PACK_WORD}\b",
    "BASIS": _BASIS,
    "BARE_BASIS": _BARE_BASIS,
    "PER": r"(?:amount\s+)?per(?=\s+[\w½-⅞])|pour(?=\s+[0-9½-⅞])",
    "STATE": r"(?:\()?as\s+(?:packaged|sold|prepared|consumed)\b\)?|prepared\b",
    "BOILER": _BOILER,
    "PACK": r"net\s+(?:wt|weight|contents|quantity|qty|mass|volume)\b\.?|net(?=\s+[0-9])"
    r"|(?:pack(?:age|et)?)(?:\s+(?:size|weight))?(?=\s*(?:[:=]\s*)?[0-9])"
    r"|(?:(?-i:e)|℮)(?=\s*[0-9]+\s*(?:g|kg|ml|cl|l)\b)",
    "SERVING": rf"(?:{_SERVE}|serv\.?)\s+size{END}|(?:(?:1|one|each)\s+)?{_SERVE}{END}",
    "NUTRIENT": nutrient_pattern(),
    "UNIT": rf"\(\s*(?:{UNITS}|%)\s*\)",
    "SLIP": _SLIP,
    "FRACTION": rf"{FRAC}(?:{_H}{UNITS}{END})?",
    "RANGE": rf"{_BELOW}{NUM}(?:{_H}[-–—]{_H}|\s+(?:to|or)\s+){NUM}(?:{_H}{UNITS}{END})?",
    "NEGATIVE": rf"[-−–]{NUM}(?:{_H}{UNITS}{END})?",
    "PACKED": rf"[0-9]+{_H}(?:g|kg|ml|cl|l)\s*(?:℮|(?-i:e)(?!\w))",
    "FIGURE": FIGURE,
    # "Calories 230 % Daily Value": that per cent sign is the heading's.
    "PERCENT": rf"{_BELOW}{NUM}(?:%(?:{_H}{_SCALE}{END})?|{_H}%(?!\s*{_SCALE}{END}))",
    "NUMBER": rf"{_BELOW}{NUM}",
    "SEP": r"\.+|[,;:/|•·●▪–—\-*†‡=()\[\]…\"'“”‘’_]",
    "WORD": r"[^\W\d_]+(?:['’\-.][^\W\d_]+)*|.",
}
_HEADER = {None, "HEADING", "BOILER", "BASIS", "REGION", "STATE", "COUNT", "PER"}
_SPACES = patterns.compile(r"\s+")
_SAME = {
    "FRONT_CLAIM": "CLAIM",
    "BARE_BASIS": "BASIS",
    "BARE_COUNT": "COUNT",
    "NOT_SOURCE": "FOOTNOTE",
}
_GATED = frozenset({"FRONT_CLAIM", "BARE_BASIS", "BARE_COUNT", "PACK"})
_OTHERS = patterns.compile(r"other nutrients\b", re.IGNORECASE)
_AND = r"\s*(?:,\s*(?:and|or)\s|,|and\s|or\s|&)\s*"


@cache
def _master(*, gated: bool) -> "re.Pattern[str]":
    kept = (f"(?P<{name}>{p})" for name, p in _PATTERNS.items() if gated or name not in _GATED)
    return patterns.compile(_bounded("|".join(kept)), re.IGNORECASE | re.DOTALL)


def _bounded(pattern: str) -> str:
    """The pattern with at most 40 spaces in a run: long runs would be tried over and over."""
    return pattern.replace(r"\s+", r"\s{1,40}").replace(r"\s*", r"\s{0,40}")


@cache
def nutrient() -> "re.Pattern[str]":
    """The spelling of a nutrient, compiled."""
    return patterns.compile(_bounded(nutrient_pattern()), re.IGNORECASE)


@cache
def _and() -> "re.Pattern[str]":
    return patterns.compile(_bounded(_AND), re.IGNORECASE)


def tokens(text: str) -> Iterator[Token]:
    """The tokens of the text in order, with start and end; spaces are left out.

    text must be short enough for the reader (labels.LONGEST); patterns may look ahead freely.
    """
    place, last, told = 0, None, None
    while place < len(text):
        if space := _SPACES.match(text, place):
            place = space.end()
            continue
        kind, end = _token_at(text, place, last, told)
        yield Token(kind, text[place:end], start=place, end=end)
        last = kind
        told = told if kind == "SEP" else kind
        place = end


def _token_at(text: str, place: int, last: str | None, told: str | None) -> tuple[str, int]:
    """The kind and end of the token at place. last: the kind before; told: the same without SEP."""
    match = _master(gated=True).match(text, place)
    if (
        match
        and match.lastgroup in _GATED
        and not _allowed(match.lastgroup, text, place, last, told)
    ):
        match = _master(gated=False).match(text, place)
    assert match is not None
    assert match.lastgroup is not None
    kind, end = match.lastgroup, match.end()
    if kind in LIST_HEADS:
        end = list_end(text, end)
    elif kind == "NOT_SOURCE":
        end = _names_end(text, end)
    return _SAME.get(kind, kind), end


def _allowed(kind: str, text: str, place: int, last: str | None, told: str | None) -> bool:
    if kind == "FRONT_CLAIM":  # "fibre 9 g net carbs": the 9 g is the fibre's
        return last in {None, "SEP"} or "\n" in text[max(0, place - 4) : place]
    if kind == "BARE_BASIS":  # "carbohydrate 100 g" is no column heading
        return told in _HEADER
    if kind == "BARE_COUNT":  # "Calories per serving 220 per container 440"
        return told not in {"BASIS", "NUTRIENT"}
    return last not in {"NUMBER", "FRACTION"}  # "serving 1 pack 40 g" is a serving


def _names_end(text: str, place: int) -> int:
    """The end of the nutrient names, with commas and 'and' between them, that begin at place."""
    end = place
    while True:
        start = _SPACES.match(text, place)
        place = start.end() if start else place
        name = nutrient().match(text, place) or _OTHERS.match(text, place)
        if not name:
            return end
        end = name.end() + (text[name.end() : name.end() + 1] == ".")
        joint = _and().match(text, name.end())
        if not joint:
            return end
        place = joint.end()

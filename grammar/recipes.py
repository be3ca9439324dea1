"""Sentences about recipes: saying one, what it makes, what it weighs, showing, scaling.

A recipe sentence is a name, what it makes, and ingredients, in one line or in many. Here only the
frame is read; the ingredients stay where they stand, with blanks in place of all else, so that
the phrase grammar reads them at their own positions.
"""

import re
from collections.abc import Mapping
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from grammar import patterns
from grammar.nodes import Quantity
from grammar.numbers import read_number

_RECIPE = r"(?:recipe|recipie|reciepe|receipe|recepie|recpie|recipy)"
_N = (
    r"(?:about\s+|around\s+|roughly\s+)?(?:\d[\d.,]*(?:\s+\d+/\d+|/\d+)?|[½¼¾⅓⅔]|\d+\s*-\s*\d+|"
    r"(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|an?)(?!\w))"
)
_UNIT = r"[^\W\d_][\w-]*(?:\s+(?!and\b|with\b|plus\b|of\b|the\b)[^\W\d_][\w-]*)?"
_G = r"(?:g|gr|gms?|grams?|kg|kilos?|kilograms?|oz|ounces?|lbs?|pounds?)"
_VESSEL = r"(?:pot|pan|dish|tray|tin|casserole|saucepan|bowl)"
_IS = r"(?:\s+(?:weighs?|weight|is|was|weighed))?\s*:?\s*"
_YIELDS: tuple[tuple[str, str], ...] = (
    ("serves", rf"(?:it\s+)?(?:serves|serving|feeds)\s+(?P<n>{_N})(?:\s+(?:people|persons))?"),
    ("serves", rf"for\s+(?P<n>{_N})(?:\s+(?P<unit>people|persons|portions|servings))?"),
    ("makes", rf"(?:(?:it|this|that|which)\s+)?(?:makes?|yields?|gives?|making)\s+(?P<n>{_N})"
              rf"(?:\s*(?P<unit>{_UNIT})(?:\s+of\s+[^,;:\n\d]+?)?)?"),
    ("empty", rf"(?:the\s+)?(?:empty\s+{_VESSEL}|{_VESSEL}\s+empty){_IS}(?P<n>{_N})\s*"
              rf"(?P<unit>{_G})"),
    ("full", rf"(?:the\s+)?(?:(?:full|whole)\s+)?{_VESSEL}(?:\s+full)?{_IS}(?P<n>{_N})\s*"
             rf"(?P<unit>{_G})"
             r"(?:\s+(?:full|in\s+all|with\s+everything))?"),
    ("cooked", rf"(?:(?:it|that|(?:the\s+)?(?:finished|cooked)\s+[\w\"“” -]+?)\s+)?"
               rf"(?:weighs|weighed)\s+(?P<n>{_N})\s*(?P<unit>{_G})"
               r"(?:\s+(?:cooked|finished|in\s+all))?"),
    ("cooked", rf"(?:cooked|finished)\s+weight{_IS}(?P<n>{_N})\s*(?P<unit>{_G})"),
)  # fmt: skip
_SURE = r"that\s+is\s+right"
_UNCOUNTED = r"not\s+counted\s*(?:(?P<colon>:)\s*(?P<many>[^;\n]+)|(?P<one>[^,;:\n]+?))"


class YieldSaid(Struct, frozen=True):
    """One thing said of what comes out. kind: serves, makes, full, empty, cooked."""

    kind: str
    said: str
    number: Quantity
    unit: str


class RecipeSentence(Struct, frozen=True):
    """One sentence about recipes.

    form: save (body has the ingredients), unclear (no colon), figure (in the name), long, follow,
    scale, half, show, list, forget, weight, makes, resume. body: as long as the text, blank but
    for the ingredients. sure: it says "that is right".
    """

    form: str
    parts: Mapping[str, str]
    yields: tuple[YieldSaid, ...] = ()
    body: str = ""
    uncounted: tuple[str, ...] = ()
    sure: bool = False


LONGEST, LONGEST_RECIPE = 500, 4000
"""Characters of a sentence about a recipe, and of a whole recipe."""

_FORMS: tuple[tuple[str, str], ...] = (
    ("list", rf"(?:(?:show|list)\s+(?:me\s+)?)?(?:all\s+)?(?:my\s+|the\s+)?(?:{_RECIPE}s|recipies)|"
             rf"what\s+{_RECIPE}s\s+do\s+(?:i|you)\s+have"),
    ("resume", rf"(?:go\s+on|carry\s+on|continue)\s+with\s+(?:the|my)\s+{_RECIPE}|"
               rf"finish\s+(?:the|my)\s+{_RECIPE}"),
    ("forget", rf"(?:forget|delete|remove)\s+(?:the\s+|my\s+)?{_RECIPE}\s+(?:of\s+|for\s+)?"
               r"(?P<name>.+?)"),
    ("follow", rf"{_RECIPE}\s+(?P<name>.+?)\s+(?P<how>follows|keeps)\s+the\s+(?:new|old)\s+"
               r"(?P<of>label|measure)\s+of\s+(?P<food>.+?)"),
    ("scale", r"(?:make\s+|save\s+)?(?P<by>double|triple|halve|(?<=make\s)half|(?<=save\s)half|"
              r"twice|\d+(?:\.\d+)?(?:/\d+)?\s*(?:x|times))\s+(?:of\s+)?(?:the\s+|my\s+)?"
              rf"{_RECIPE}(?:\s+(?:of\s+|for\s+)?(?P<name>(?!as\b|called\b)[^,;]+?))?"
              r"(?:\s+(?:as|called)\s+(?P<new>[^,;]+?))?"),
    ("scale", rf"(?P<by>half)\s+(?:the\s+|my\s+)?{_RECIPE}\s+(?:of\s+|for\s+)?"
              r"(?P<name>[^,;]+?)\s+(?:as|called)\s+(?P<new>[^,;]+?)"),
    ("scale", rf"scale\s+(?:the\s+|my\s+)?(?:{_RECIPE}\s+(?:of\s+|for\s+)?)?"
              r"(?P<name>[^,;]+?)\s+by\s+(?P<by>\d+(?:\.\d+)?(?:/\d+)?)(?:\s*(?:x|times))?"
              r"(?:\s+(?:as|called)\s+(?P<new>[^,;]+?))?"),
    ("half", rf"(?P<by>half)\s+(?:the\s+|my\s+)?{_RECIPE}\s+"
             r"(?P<name>(?!of\b|with\b|and\b)[^,;\d]+?)"),
    ("show", rf"(?:show|explain|what\s+is\s+in)\s+(?:me\s+)?(?:the\s+|my\s+)?{_RECIPE}"
             r"(?:\s+(?:of\s+|for\s+)?(?P<name>.+?))?"),
)  # fmt: skip
_WEIGHT = (
    rf"(?:the\s+)?(?:full\s+)?{_VESSEL}(?:\s+of\s+(?P<name>.+?))?\s+(?:weighs|is)\s+.+",
    rf"(?:the\s+)?(?:finished|cooked)\s+(?P<name>.+?)\s+weighs\s+{_N}\s*{_G}",
)
_MAKES = (
    rf"(?P<name>\"[^\"]+\"|[^,;\d\"]+?)\s+(?P<clause>(?:makes|serves|yields)\s+{_N}(?:\s*{_UNIT})?)"
)
_SAVE = (
    r"(?P<how>(?:save|new|replace|add)\s+(?:the\s+|a\s+|my\s+)?(?:new\s+)?)?"
    rf"{_RECIPE}\b\s*:?\s*(?:for\s+|of\s+|called\s+)?"
)
_END = r"\s*[.!?]*\s*"


@cache
def _pattern(pattern: str) -> re.Pattern[str]:
    return patterns.compile(rf"\s*(?:{pattern}){_END}", re.I | re.S)


@cache
def _clauses() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """What comes out, anywhere between separators; with the joiner before it."""
    begin = r"(?:(?<=[\n,;:(.])|(?<=^)|\b(?:and|plus)(?=\s))\s*(?:[-*•]\s+)?"
    end = r"(?=\s*(?:[,;:)\n]|\.(?:\s|$)|$|and\b|plus\b|\d))"
    return tuple(
        (kind, patterns.compile(rf"{begin}(?P<clause>{pattern}){end}", re.I))
        for kind, pattern in (*_YIELDS, ("uncounted", _UNCOUNTED), ("sure", _SURE))
    )


_HEADING_LINE = patterns.compile(
    r"(?:(?<=\n)|(?<=^)|(?<=:))[ \t]*ingredients[ \t]*:?[ \t]*(?=\n|$)", re.I
)
_HEAD_YIELD = patterns.compile(
    rf"(?:\s*[,(]\s*|\s+)(?=(?:that\s+|which\s+)?(?:makes?|serves|yields|gives|for)\s+{_N})", re.I
)


def read_recipe(text: str) -> RecipeSentence | None:
    """The sentence, or None when it is about no recipe.

    >>> read_recipe("recipe soup serves 4: 300 g lentils, 2 onions").parts["name"]
    'soup'
    """
    short = len(text) <= LONGEST and "\n" not in text.strip()
    for form, pattern in _FORMS if short else ():
        match = _pattern(pattern).fullmatch(text)
        if match:
            parts = {k: v.strip() for k, v in match.groupdict().items() if v}
            return RecipeSentence(form, parts)
    opening = patterns.compile(rf"\s*{_SAVE}", re.I).match(text)
    if opening and opening.end() < len(text) and not text[opening.end() :].isspace():
        return _save(text, opening)
    return _about_yield(text) if short else None


def _save(text: str, opening: re.Match[str]) -> RecipeSentence | None:
    """ "recipe NAME makes 6 bowls: ...", in any order of what comes behind the name."""
    start = opening.end()
    if len(text) > LONGEST_RECIPE:
        return RecipeSentence("long", {"name": text[start : start + 40]})
    how = (opening["how"] or "").strip().casefold()
    name_end = _name_end(text, start)
    name = text[start:name_end].strip().strip('"“”').strip(" :,(-")
    if not name:
        return None
    parts = {"name": name, "how": how}
    yields, uncounted, body, sure = _taken_out(text, name_end)
    if patterns.search(r"[\d½¼¾⅓⅔]", name) and '"' not in text[start:name_end]:
        # "soup 4 bowls: ..." is no name, and "7 grain bread" has to be in quotation marks
        return RecipeSentence("figure" if body.strip(" ,;:.()\n") else "unclear", parts)
    return RecipeSentence("save", parts, yields, body, uncounted, sure)


def _name_end(text: str, start: int) -> int:
    """Where the name ends: at its closing quote, a colon, a line's end, or what it makes."""
    quoted = patterns.compile(r'"[^"\n]+"').match(text, start)
    if quoted:
        return quoted.end()
    ends = [len(text)]
    ends += [at for at in (text.find(":", start), text.find("\n", start)) if at >= 0]
    made = _HEAD_YIELD.search(text, start, min(ends))
    return made.start() if made else min(ends)


def _taken_out(text: str, start: int) -> tuple[tuple[YieldSaid, ...], tuple[str, ...], str, bool]:
    """What comes out, what is not counted, the text with blanks in place of these, and whether it
    says that it is right."""
    body = " " * start + text[start:]
    body = _HEADING_LINE.sub(lambda match: " " * len(match[0]), body)
    if start < len(text) and text[start] in " \t(":  # a yield right behind the name
        body = body[:start] + "," + body[start + 1 :]
    yields: list[YieldSaid] = []
    uncounted: list[str] = []
    sure = False
    for kind, pattern in _clauses():
        while match := pattern.search(body):
            if kind == "uncounted":
                words = (
                    patterns.split(r",|\band\b|&", match["many"])
                    if match["many"]
                    else [match["one"]]
                )
                uncounted += [w.strip(" .") for w in words if w.strip(" .")]
            elif kind == "sure":
                sure = True
            else:
                unit = match.groupdict().get("unit") or ""
                yields.append(YieldSaid(kind, match["clause"].strip(), _number(match["n"]), unit))
            blank = patterns.sub(r"[^\n]", " ", match[0])
            body = body[: match.start()] + blank + body[match.end() :]
    body = patterns.sub(r"\(\s*\)", lambda match: " " * len(match[0]), body)
    if not patterns.search(r"\w", body):
        body = ""
    return tuple(yields), tuple(uncounted), body, sure


def _number(said: str) -> Quantity:
    low = said.strip().casefold()
    return read_number("1" if low in {"a", "an"} else said.strip())


def _about_yield(text: str) -> RecipeSentence | None:
    """ "the pot weighs 1450 g, the empty pot 600 g", "the finished stew weighs 850 g"."""
    confirmed = patterns.fullmatch(rf"(?P<said>.*?)\s*,?\s*\b{_SURE}{_END}", text, re.I | re.S)
    if confirmed is not None:
        said = _about_yield(confirmed["said"])
        return None if said is None else replace(said, sure=True)
    for pattern in _WEIGHT:
        match = _pattern(pattern).fullmatch(text)
        if match:
            clauses, _, rest, _ = _taken_out(re.sub(_of_name(match), "", text.rstrip(" .!")), 0)
            name = (match["name"] or "").strip().strip('"“”')
            if name.casefold() in {"food", "dish"}:
                name = ""
            if (
                clauses
                and not rest.strip(" ,;.")
                and all(c.kind in {"full", "empty", "cooked"} for c in clauses)
            ):
                return RecipeSentence("weight", {"name": name}, clauses)
    match = _pattern(_MAKES).fullmatch(text)
    if match and not patterns.search(r"\bhow\s+(?:much|many)\b", text, re.I):
        clauses, _, rest, _ = _taken_out(match["clause"], 0)
        if clauses and not rest.strip(" ,;."):
            return RecipeSentence("makes", {"name": match["name"].strip().strip('"“”')}, clauses)
    return None


def _of_name(match: re.Match[str]) -> str:
    """The words " of NAME" of a pot, as a pattern that takes them out."""
    name = match["name"]
    return r"(?<=\w)\s+of\s+" + re.escape(name) if name else r"(?!)"

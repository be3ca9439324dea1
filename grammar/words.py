"""How words are compared: case, accents, hyphens and plural apart, and nothing more."""

import re
import unicodedata
from functools import lru_cache

from grammar import patterns

_IRREGULAR = {
    "leaves": "leaf",
    "loaves": "loaf",
    "halves": "half",
    "knives": "knife",
    "cookies": "cookie",
    "brownies": "brownie",
    "smoothies": "smoothie",
    "pies": "pie",
    "ties": "tie",
    "calories": "calorie",
}
_PUNCTUATION = "-_/.,'’\"“”()"


@lru_cache(maxsize=1 << 15)
def singular(word: str) -> str:
    """The singular of one lower-case English word, by spelling alone.

    The same rule is used on both sides of every comparison, so a word that is not a plural
    ("hummus") only has to come out the same each time. A word that does not end in "s" is itself.
    Common practice, no source.
    """
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "sses", "xes", "zes", "toes")):
        return word[:-2]
    return word[:-1]


_NO_PLURAL = frozenset({"small", "medium", "large", "extra large", "half", "whole", "dozen"})
_LEAF_WORDS = {"loaf": "loaves", "leaf": "leaves", "half": "halves"}


def plural(words: str) -> str:
    """The plural of an English measure, by spelling alone: 'slice', 'pinch', 'berry', 'loaf'."""
    if words in _NO_PLURAL or not words:
        return words
    head, _, last = words.rpartition(" ")
    if last in _LEAF_WORDS:
        made = _LEAF_WORDS[last]
    elif patterns.search(r"[^aeiou]y$", last):
        made = last[:-1] + "ies"
    elif last.endswith(("s", "x", "z", "ch", "sh")):
        made = last + "es"
    elif last.isascii() and last[-1].isalpha():
        made = last + "s"
    else:
        made = last
    return f"{head} {made}".strip()


def plain(text: str) -> str:
    """Lower case without accents; "Crème" and "creme" are the same word."""
    if text.isascii():  # nothing to take apart; most names are, and an import has a million
        return text.lower()
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in decomposed if not unicodedata.combining(c))


def name_key(text: str) -> str:
    """The key under which a food's name is found.

    "Oat Cereals", "oat-cereal" and "oat cereal" share one; "2 % milk" and "2% milk" too. Letters
    and digits of every script are kept, so two names never meet for want of Latin letters.
    """
    joined = plain(text)
    if "%" in joined:
        joined = patterns.sub(r"(\d)\s+%", r"\1%", joined)
    if "&" in joined:
        joined = joined.replace("&", " & ")
    for mark in _PUNCTUATION:  # an import has a million names: this is the quickest way
        if mark in joined:
            joined = joined.replace(mark, " ")
    return " ".join([singular(w) if w[-1] == "s" else w for w in joined.split()])


def pattern(text: str, flags: int = re.I) -> re.Pattern[str]:
    """The pattern, compiled when it is first needed; capitals are not told apart."""
    return patterns.compile(text, flags)


def printable(text: str) -> str:
    """The text without control characters, terminal escapes and direction overrides.

    Replaces each with a space, so that no two words are joined by it.
    """
    if text.isprintable():
        return text
    without_escapes = patterns.sub(
        r"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)?|.)", " ", text
    )
    kept = (
        c if c in "\n\t" or unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Co"} else " "
        for c in without_escapes
    )
    return "".join(kept)


def squeezed(text: str) -> str:
    """The text with each run of blanks as one, and at most one empty line in a row.

    Blanks carry no meaning; long runs of them would only make reading slow.
    """
    lines = (" ".join(line.split()) for line in text.split("\n"))
    return patterns.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip()

"""Parts of sentences that questions build: the place of an answer, a name in quotation marks."""

import re

from grammar import patterns
from grammar.nodes import Item

ANSWER = "\ufffc"
"""Stands in a sentence where the answer goes; never part of what is typed (it is stripped)."""


_BUILT = (
    (patterns.compile(r"change the last meal to:\s*", re.I), ""),
    (patterns.compile(r"label guide .*", re.I | re.S), "guide me through a label"),
    (patterns.compile(r"undo turn \d+", re.I), "undo"),
)


def in_own_words(text: str) -> str:
    """A sentence that the program built for the user, as they would say it; theirs as it is."""
    for pattern, words in _BUILT:
        match = pattern.match(text)
        if match:
            return words + text[match.end() :]
    return text


def put(text: str, item: Item, words: str) -> str:
    """The text with these words in place of the item."""
    return text[: item.start] + words + text[item.end :]


def measure_behind(item: Item) -> str:
    """The item's measure as said, with a blank before it; empty where none was said."""
    return f" {item.measure.said}" if item.measure else ""


def quoted(name: str) -> str:
    """The name in quotation marks: it is that name and no other."""
    return '"' + name.replace('"', "") + '"'

"""Parts of sentences that questions build: the place of an answer, a name in quotation marks."""

from grammar.nodes import Item

ANSWER = "\ufffc"
"""Stands in a sentence where the answer goes; never part of what is typed (it is stripped)."""


def put(text: str, item: Item, words: str) -> str:
    """The text with these words in place of the item."""
    return text[: item.start] + words + text[item.end :]


def measure_behind(item: Item) -> str:
    """The item's measure as said, with a blank before it; empty where none was said."""
    return f" {item.measure.said}" if item.measure else ""


def quoted(name: str) -> str:
    """The name in quotation marks: it is that name and no other."""
    return '"' + name.replace('"', "") + '"'

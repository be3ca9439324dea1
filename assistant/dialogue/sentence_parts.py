"""Parts of sentences that questions build: the place of an answer, a name in quotation marks."""

ANSWER = "\ufffc"
"""Stands in a sentence where the answer goes; never part of what is typed (it is stripped)."""


def quoted(name: str) -> str:
    """The name in quotation marks: it is that name and no other."""
    return '"' + name.replace('"', "") + '"'

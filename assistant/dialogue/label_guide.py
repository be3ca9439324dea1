"""A label entered line by line, for someone who cannot paste: one short question at a time.

The answers so far stand in the waiting sentence itself ("label guide oat cereal: US label; ..."),
so the guide needs no memory of its own, and ends in an ordinary "new food" sentence.
"""

import re

from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.replies import Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.values import Name, Phrase
from grammar import patterns

START = patterns.compile(
    r"\s*(?:guide\s+me(?:\s+through\s+(?:a|the|my)\s+label)?|help\s+me\s+(?:type|enter)\s+a\s+label|"
    r"(?:enter|type)\s+a\s+label(?:\s+(?:line\s+by\s+line|step\s+by\s+step))?)\s*[.!?]*\s*",
    re.I,
)
_SO_FAR = patterns.compile(
    r"\s*label\s+guide\s+(?P<name>[^:\n]+?)\s*:\s*(?P<parts>.*)", re.I | re.S
)
_LAWS = (
    ("US", "US label"),
    ("CA", "Canadian label"),
    ("EU", "EU label"),
    ("UK", "UK label"),
    ("AU", "Australian label"),
    ("NZ", "NZ label"),
    ("JP", "Japanese label"),
)
_STEPS = ("law", "amount", "carbohydrate", "fibre", "pack")
_BEFORE = {"carbohydrate": "carbohydrate ", "fibre": "fibre ", "amount": "", "pack": ""}
_AFTER = {"carbohydrate": " g", "fibre": " g", "amount": "", "pack": " servings"}


def begin() -> Ask:
    """The first question: the name."""
    return Ask("label", "guide-name", slot=Slot("new-name", (f"label guide {ANSWER}:",)),
               hint=("cancel",))  # fmt: skip


def next_question(text: str) -> Ask | str | None:
    """The next question; the finished "new food" sentence; None when this is no guide."""
    match = _SO_FAR.fullmatch(text)
    if match is None:
        return None
    name, said = match["name"], match["parts"].strip()
    parts = [p.strip() for p in said.split(";") if p.strip()]
    if len(parts) >= len(_STEPS):
        kept = [p for p in parts if p != "skip"]
        return f"new food {name}: " + ", ".join(kept)
    step = _STEPS[len(parts)]
    head = f"label guide {name}: " + "".join(f"{p}; " for p in parts)
    args = {"food": Name(name)}
    if step == "law":
        choices = tuple(
            choice("choice-law", head + words, word=code, region=Phrase(f"region-{code}"))
            for code, words in _LAWS
        )
        return Ask("label", "guide-law", args, choices=choices)
    filled = head + _BEFORE[step] + ANSWER + _AFTER[step]
    accepts = "label-amount" if step == "amount" else "figure"
    skip = (head + "skip",) if step in {"fibre", "pack"} else ()
    hint = ("skip", "cancel") if skip else ("cancel",)
    return Ask("label", f"guide-{step}", args, slot=Slot(accepts, (filled, *skip)), hint=hint)

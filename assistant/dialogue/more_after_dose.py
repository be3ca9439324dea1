"""A meal that was changed to more after its dose was taken: what of it has no dose yet.

What is more is counted beside the meal that is in the journal, where it can be said as food of its
own; so its dose is worked out from that alone, and the day counts nothing twice.
"""

from collections.abc import Sequence

from assistant.dialogue.events import MealCounted
from assistant.dialogue.replies import Portion
from assistant.dialogue.sentence_parts import quoted
from assistant.values import decimal_text
from grammar.nodes import Complaint
from grammar.phrases import read_phrase
from grammar.words import plural

_NOTHING_LOST = frozenset({"glucose", "no-reading", "replaces", "confirmed"})
"""Clauses that a sentence of the added food may go without; it is asked for its own reading."""


def as_food(was: MealCounted, now: Sequence[Portion], text: str) -> str | None:
    """What is more, as a sentence; None where it cannot be said without losing something."""
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint) or any(c.kind not in _NOTHING_LOST for c in phrase.clauses):
        return None
    left = list(was.portions)
    more = []
    for portion in now:
        old = next((o for o in left if o.food == portion.food and o.unit == portion.unit), None)
        if old is None:
            if any(o.food == portion.food for o in left):
                return None
            more.append(portion.said)
            continue
        left.remove(old)
        added = portion.quantity - old.quantity
        if added < 0 or not _alike(old, portion):
            return None
        if added:
            unit = portion.unit if added == 1 else plural(portion.unit)
            more.append(f"{decimal_text(added)} {unit} {quoted(portion.food)}")
    return ", ".join(more) if more and not left else None


def _alike(old: Portion, new: Portion) -> bool:
    """Are both amounts as sure ("about 2 slices" is less so than "2 slices")?"""
    pairs = ((old.counted.low, new.counted.low), (old.counted.value, new.counted.value),
             (old.counted.high, new.counted.high))  # fmt: skip
    return all(was * new.quantity == now * old.quantity for was, now in pairs)

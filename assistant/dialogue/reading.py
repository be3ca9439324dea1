"""How words were read, without library or state: the reply of `countaloud read`."""

from collections.abc import Mapping
from fractions import Fraction

from assistant.dialogue.replies import Line, Reply
from assistant.values import Said
from grammar.nodes import Complaint, Item, Number, Unclear
from grammar.phrases import joined, read_phrase
from grammar.words import printable, squeezed


def _notes(item: Item) -> list[str]:
    notes = []
    if isinstance(item.quantity, Unclear):
        notes.append(f"amount unclear: {item.quantity.why}")
    elif not isinstance(item.quantity, Number):
        notes.append("no amount said")
    if not item.name:
        notes.append("no food said")
    if item.measure is not None and item.measure.size:
        notes.append(f"size: {item.measure.size}")
    if item.measure is not None and item.measure.kind == "oz":
        notes.append("ounce: mass or volume, the food decides")
    return notes


def _item(item: Item) -> Mapping[str, object]:
    value: Fraction | None = item.quantity.value if isinstance(item.quantity, Number) else None
    return {
        "quantity": value,
        "unit": item.measure.unit if item.measure else None,
        "name": item.name,
        "said": item.said,
        "notes": _notes(item),
    }


def _may_go_on(item: Item) -> bool:
    """May this piece be the rest of a name, as "cheese" in "mac and cheese"?"""
    return not isinstance(item.quantity, Number) or not item.name


def read_reply(text: str) -> Reply:
    """The reading as data (facts) and as lines, one a word group. Status read becomes answered."""
    cleaned = squeezed(printable(text))
    phrase = read_phrase(cleaned)
    if isinstance(phrase, Complaint):
        line = Line("question", f"phrase-{phrase.why}")
        unread = [phrase.said] if phrase.said else []
        facts = {"status": "asked", "items": [], "unread": unread, "readings": 0}
        return Reply("asked", (line,), unread=tuple(unread), facts=facts)
    items = [piece[0] for piece in phrase.pieces]
    count = len(items)
    # a piece with an amount of its own begins a new food; other joiners may stand inside a name
    joins = sum(
        1
        for first in range(count)
        for last in range(first + 1, count)
        if all(_may_go_on(items[i]) for i in range(first + 1, last + 1))
        and joined(phrase, first, last)
    )
    open_ends = [i for i in items if not isinstance(i.quantity, Number) or not i.name]
    status = "asked" if open_ends or not items else "read"
    facts = {
        "status": status,
        "items": [_item(i) for i in items],
        "unread": [w.said for w in phrase.words if w.role == "unread"],
        "readings": 1 + joins,
        "glucose": [
            {
                "said": c.said,
                "value": c.value.value if isinstance(c.value, Number) else None,
                "unit": c.unit,
            }
            for c in phrase.clauses
        ],
        "words": [{"said": w.said, "taken_as": w.role} for w in phrase.words],
    }
    lines = [
        Line("fact", f"word-{w.role.replace(' ', '-')}", {"said": Said(w.said)})
        for w in phrase.words
    ]
    lines.extend(Line("question", "read-open", {"said": Said(i.said)}) for i in open_ends)
    return Reply("asked" if status == "asked" else "answered", tuple(lines), facts=facts)

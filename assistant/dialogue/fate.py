"""What became of a sentence that ended in a question: what was understood, and its reading.

A person who reads "I did not understand coffee" has to know that the bread was not counted either,
and that the glucose beside it is not in the journal.
"""

from msgspec.structs import replace

from assistant.dialogue.outcome import Outcome, fact
from assistant.dialogue.replies import Line
from assistant.dialogue.resolve import Unresolved
from assistant.dialogue.state import Context
from assistant.values import Listed, Said
from grammar.nodes import Complaint, Item, Phrase
from grammar.phrases import read_phrase

_TELLS_ITSELF = frozenset({"ask-left-over"})
"""Questions whose own sentence says that nothing was counted."""


def with_reading(ctx: Context, outcome: Outcome) -> Outcome:
    """The question, with what becomes of a reading that stands in the sentence.

    A question about the reading itself tells that already.
    """
    question = outcome.reply.question
    phrase = read_phrase(ctx.text)
    if question is None or isinstance(phrase, Complaint) or question.kind.startswith("glucose"):
        return outcome
    readings = [c for c in phrase.clauses if c.kind in {"glucose", "high-said"}]
    if not readings or any(e.kind == "glucose-read" for e in outcome.events):
        return outcome
    waits = bool(question.choices or question.slot)
    code = "fate-reading-waits" if waits else "fate-reading-lost"
    said = tuple(Said(c.said) for c in readings)
    return _before_next(outcome, (fact(code, said=Listed(said)),))


def of_foods(phrase: Phrase, unresolved: Unresolved, outcome: Outcome) -> Outcome:
    """The question about a name, with the foods that were understood, all that were not, and that
    nothing was counted."""
    question = outcome.reply.question
    if question is None:
        return outcome
    missing = (unresolved.item, *unresolved.others)
    known = _known(phrase, missing)
    lines: list[Line] = []
    if known:
        lines.append(fact("fate-understood", said=Listed(known)))
    if unresolved.others:
        others = tuple(Said(i.said) for i in unresolved.others)
        lines.append(fact("fate-unread", said=Listed(others)))
    alone = not known and not phrase.clauses and question.asked.code == "not-understood"
    if question.asked.code not in _TELLS_ITSELF and not alone:
        lines.append(fact("fate-nothing"))
    return _before_next(outcome, tuple(lines))


def _known(phrase: Phrase, missing: tuple[Item, ...]) -> tuple[Said, ...]:
    """What was understood, as typed: neighbours stay together ("salt and vinegar crisps")."""
    runs: list[tuple[int, int]] = []
    for piece in phrase.pieces:
        item = piece[0]
        if item in missing:
            continue
        cut = [c.start for c in phrase.clauses] + [m.start for m in missing]
        if runs and not any(runs[-1][1] <= at <= item.start for at in cut):
            runs[-1] = (runs[-1][0], item.end)
        else:
            runs.append((item.start, item.end))
    return tuple(Said(phrase.text[first:last].strip(" ,;")) for first, last in runs)


def _before_next(outcome: Outcome, told: tuple[Line, ...]) -> Outcome:
    """What to type next stays the last line."""
    lines = outcome.reply.lines
    at = next((i for i, line in enumerate(lines) if line.role == "next"), len(lines))
    return replace(outcome, reply=replace(outcome.reply, lines=(*lines[:at], *told, *lines[at:])))

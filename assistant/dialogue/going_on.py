"""An answer that stands for several sentences, of which an earlier one leads to another question.

"The stew weighs 1450 g", then the meal: where the weight has to be asked about, the meal still
follows whatever answers that.
"""

from msgspec.structs import replace

from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.replies import Question

_WHOLE = frozenset({"grams", "volume", "number"})
"""Slots of which each sentence is said in turn; in others the sentences are alternatives."""


def with_rest(outcome: Outcome, rest: tuple[str, ...]) -> Outcome:
    """The question, whose answers are followed by the sentences that were still to come."""
    question = outcome.reply.question
    if question is None or not rest:
        return outcome
    asked = _then(question, rest)
    events = tuple(
        replace(e, question=asked) if isinstance(e, QuestionAsked) else e for e in outcome.events
    )
    return replace(outcome, reply=replace(outcome.reply, question=asked), events=events)


def _then(question: Question, rest: tuple[str, ...]) -> Question:
    choices = tuple(
        each if each.texts == ("cancel",) else replace(each, texts=(*each.texts, *rest))
        for each in question.choices
    )
    slot = question.slot
    if slot is not None and slot.accepts in _WHOLE:
        slot = replace(slot, texts=(*slot.texts, *rest))
    return replace(question, choices=choices, slot=slot)

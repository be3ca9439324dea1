"""The turn of a talk whose choices are told in the catalogue's words, so that these choose them."""

from datetime import datetime

from assistant.dialogue import turn as dialogue
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.record import Foods, Record
from assistant.dialogue.replies import Choice
from assistant.render.aloud import aloud
from assistant.render.arguments import sentence


def told_as(choice: Choice) -> tuple[str, ...]:
    """A choice as the eye reads it and as the ear hears it, and its word in both forms."""
    words = (choice.word, aloud(choice.word)) if choice.word else ()
    return (sentence(choice.label, "sighted"), sentence(choice.label, "spoken"), *words)


def turn(record: Record, foods: Foods, text: str, now: datetime) -> Outcome:
    """As dialogue.turn."""
    return dialogue.turn(record, foods, text, now, told_as)

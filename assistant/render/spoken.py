"""A reply for the ear: one sentence a line, in plain words, what to type next last."""

from collections.abc import Mapping

from assistant.dialogue.replies import Line, Reply
from assistant.render.arguments import cautioned, choice_opening, sentence, with_choices
from assistant.render.breath import breaths
from assistant.render.texts import TEXTS


def spoken(reply: Reply, texts: Mapping[str, str] = TEXTS) -> str:
    """The reply as sentences: no sign, no drawing, units in full, choices with their numbers."""
    parts: list[str] = []
    number = 0
    choices = reply.question.choices if reply.question else ()
    # What to type next is told last, whoever added a fact behind it.
    for line in sorted(with_choices(reply), key=lambda line: line.role == "next"):
        text = cautioned(line, sentence(line, "spoken", texts))
        if line.role == "choice":
            choice = choices[number] if number < len(choices) else None
            number += 1
            text = f"Choice {choice_opening(number, choice, text, 'spoken')}: {text}"
        parts.extend(breaths(text))
    return "\n".join(parts)


def spoken_line(line: Line, texts: Mapping[str, str] = TEXTS) -> str:
    """One line of a reply as a sentence."""
    return sentence(line, "spoken", texts)

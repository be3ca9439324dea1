"""A courtesy word at the start that may be part of a food's name ("hello panda" in the library)."""

from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Said
from grammar.nodes import Phrase
from grammar.words import name_key


def lead_or_name(ctx: Context, phrase: Phrase) -> Ask | None:
    """The question, where the opening words and the first name together are a food as well."""
    opening = [w for w in phrase.words if w.role in {"courtesy", "meal", "count only"}]
    if not opening or not phrase.pieces or opening[0].start > 0:
        return None
    lead = phrase.text[: phrase.pieces[0][0].start].split()
    for item in phrase.pieces[0]:
        if item.name_start != item.start or not item.name:
            continue
        for first in range(len(lead)):
            whole = " ".join((*lead[first:], item.name))
            if ctx.foods.exact(name_key(whole)):
                behind = phrase.text[item.name_end :]
                texts = (quoted(whole) + behind, quoted(item.name) + behind)
                choices = tuple(
                    choice("choice-text", text, text=Said(name))
                    for text, name in zip(texts, (whole, item.name), strict=True)
                )
                return Ask("meaning", "ask-lead-or-name", {"said": Said(whole)}, choices=choices)
    return None

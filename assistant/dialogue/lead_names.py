"""A courtesy word at the start that may be part of a food's name ("hello panda" in the library)."""

from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Said
from grammar.nodes import Phrase
from grammar.words import name_key


def lead_or_name(ctx: Context, phrase: Phrase) -> Ask | None:
    """The question, where the opening words and the first name together are a food.

    "count crunchies 30 g": a count of crunchies, or the food "count crunchies"? Only what the
    library holds is offered; None where it holds nothing that begins so.
    """
    opening = [w for w in phrase.words if w.role in {"courtesy", "meal", "count only"}]
    if not opening or not phrase.pieces or opening[0].start > 0:
        return None
    lead = phrase.text[: phrase.pieces[0][0].start].split()
    for item in phrase.pieces[0]:
        if item.name_start != item.start or not item.name or phrase.text[item.start] == '"':
            continue  # a name in quotation marks is that name and no other
        for first in range(len(lead)):
            whole = " ".join((*lead[first:], item.name))
            if ctx.foods.exact(name_key(whole)):
                behind = phrase.text[item.name_end :]
                # "just count crunchies": what stands before the name stays a count alone
                alone = ", count only" if first and opening[0].role == "count only" else ""
                told = [(whole, quoted(whole) + behind + alone)]
                if ctx.foods.exact(name_key(item.name)):
                    kept = phrase.text[: item.name_start] if opening[0].role == "count only" else ""
                    told.append((item.name, kept + quoted(item.name) + behind))
                choices = tuple(choice("choice-text", text, text=Said(name)) for name, text in told)
                return Ask("meaning", "ask-lead-or-name", {"said": Said(whole)}, choices=choices)
    return None

"""A recipe that is told line by line: which words end it, and what is one line of it.

A recipe that is not all told yet ends in a comma; so the sentence that waits tells by itself
whether more is to come, and nothing else has to be remembered.
"""

import re

from grammar import patterns
from grammar.changes import read_change
from grammar.nodes import Complaint
from grammar.phrases import read_phrase
from grammar.recipes import read_recipe
from grammar.words import name_key, pattern

_ALL = (
    r"(?:(?:and\s+)?(?:that\s*['’]?\s*s|that\s+is|this\s+is|it\s+is)\s+(?:all|it|everything)"
    r"(?:\s+(?:of\s+it|that\s+goes\s+in))?|end(?:\s+of\s+(?:the\s+)?recipe)?|done|finished|"
    r"(?:i\s*['’]?\s*m|i\s+am|all)\s+(?:done|finished)|nothing(?:\s+(?:else|more))?|no\s+more|"
    r"save(?:\s+(?:it|that|(?:the|my)\s+recipe))?)"
)
_JOINERS = r"(?:(?:and|plus|with|also|then)\b|[-*•+&](?=\s))"
_NOT_FOOD = patterns.compile(
    r"\b(?:bgl?|meter|sensor|hypo|shaky|ketones?|insulin|bolus|dose|units?|reading|took|ate|eaten|"
    r"eating)\b|\d\s*u\b|^\s*(?:bye|goodbye|quit|exit)\s*[.!]*\s*$",
    re.I,
)
"""Words of glucose, insulin, eating and leaving: such a line is never put in a pot."""


def says_all(text: str) -> bool:
    """ "that is all", "end": nothing more goes in."""
    return pattern(rf"\s*{_ALL}(?:\s*,?\s*(?:thanks|thank\s+you|please))?\s*[.!]*\s*").fullmatch(
        text
    ) is not None  # fmt: skip


def more_to_come(recipe: str) -> bool:
    """Does the text of a recipe end as one does that is not all told?"""
    return recipe.rstrip().endswith((",", ";"))


def all_told(recipe: str) -> str:
    """The same recipe as one to which nothing more is to come."""
    return recipe.rstrip(" ,;\n")


def without_end(recipe: str) -> str:
    """A recipe in lines without the line that says that this is all, if there is one."""
    before, _, last = recipe.rstrip().rpartition("\n")
    return all_told(before) if before and says_all(last) else recipe


def with_line(recipe: str, line: str) -> str:
    """The recipe and one more line (or several), more to come."""
    return f"{all_told(recipe).rstrip('.!?')}\n{all_told(line)},"


def without_last_line(recipe: str) -> str | None:
    """The recipe without its last line, more to come; None where it has one line only."""
    before, _, _ = all_told(recipe).rpartition("\n")
    if not before:
        return None
    return f"{all_told(before)}," if "\n" in before else all_told(before)


def last_line(recipe: str) -> str:
    """The last line of a recipe, as it was said."""
    return all_told(recipe).rpartition("\n")[2]


def line_of(text: str, name: str) -> str | None:
    """The text as a line of a recipe, without what only joins it; None where it is no such line.

    A line tells foods, what comes out, or what is not counted. Times, glucose and exercise are
    of a meal, and a correction ("no, 200 g") does not say what it corrects.
    """
    if _NOT_FOOD.search(text):
        return None
    line = pattern(rf"(?:{_JOINERS}\s*)+").sub("", text.strip(), count=1) if _joins(text) else text
    line = patterns.sub(r"(?:\s*[,;+&]|\s+(?:and|plus|with))+\s*$", "", line.strip(), flags=re.I)
    told = read_recipe(line)
    if told is not None and told.form in {"makes", "weight"}:
        about = told.parts["name"]
        if name_key(about) not in {"", "it", "this", "that", name_key(name)}:
            return None
        return ", ".join(each.said for each in told.yields)
    whole = read_recipe(f"recipe dish:\n{line}")
    if not line or read_change(line) is not None or whole is None or whole.form != "save":
        return None
    if not whole.body:
        heading = pattern(r"\s*ingredients\s*:?\s*").fullmatch(line) is not None
        return line if whole.yields or whole.uncounted or heading else None
    phrase = read_phrase(whole.body)
    if isinstance(phrase, Complaint) or phrase.clauses or not phrase.pieces:
        return None
    return line if any(item.name for piece in phrase.pieces for item in piece) else None


def _joins(text: str) -> bool:
    return pattern(rf"\s*{_JOINERS}").match(text) is not None


def names(text: str, name: str) -> bool:
    """Does a line name this food, as an amount of it does? ("1 serving of rice pudding, bg 130")"""
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint):
        return False
    return any(name_key(item.name) == name_key(name) for piece in phrase.pieces for item in piece)

"""A label that arrives line by line is one turn: which line starts one, and where it ends."""

import re
from collections.abc import Callable

from grammar import patterns

_HEADING = (
    r"(nutrition(al)? (facts|information|declaration|values)|supplement facts|typical values"
    r"|amount per serving|valeurs? nutriti\w+|nährwert\w*)"
)
_NAMING = r"((a |my )?new food|add( food)?|new label for|label( of)?)\b[^:]*:"
_STARTS = patterns.compile(rf"\s*((.*[:,]\s*)?{_HEADING}\s*:?|{_NAMING})\s*", re.IGNORECASE)
_NAMED = patterns.compile(rf"\s*{_NAMING}", re.IGNORECASE)
_WORTH_A_LOOK = patterns.compile(
    r"nutrition|supplement|typical|av(?:era)?g|quantity|valeur|label|100\s*(?:g|m)|per\b",
    re.IGNORECASE,
)
"""Cheap: only such a line is cut into the tokens of a label."""
_ENDS = frozenset({"end", "end."})


def starts_label(line: str, more_waits: Callable[[], bool] = lambda: False) -> bool:
    """True for a line that announces a label and holds none of its figures yet.

    "EU label" and "per 100 g" may also be answers, so by themselves they start one only where
    more lines are waiting, as in a paste.
    """
    if "\n" in line:
        return False
    if _STARTS.fullmatch(line):
        return True
    named = _NAMED.match(line)
    rest = line[named.end() :] if named else line
    if not _WORTH_A_LOOK.search(rest):
        return False
    opening = _opening(rest)
    return opening == "heading" or (opening == "answer" and (named is not None or more_waits()))


def _opening(line: str) -> str | None:
    """ "heading" for the head of a printed label, "answer" for a law or a basis alone; else None.

    The heads are those of 21 CFR 101.9(d), Regulation (EU) 1169/2011, the Canadian Food and Drug
    Regulations B.01.401 and the Food Standards Code 1.2.8; the tokens of labels know them.
    """
    from grammar.label_tokens import tokens

    found = [token for token in tokens(line) if token.type != "SEP"]
    kinds = [str(token.type) for token in found]
    if not found or {"NUTRIENT", "INGREDIENTS"} & set(kinds):
        return None
    plain = found[0].casefold() == "nutrition" and "BASIS" in kinds
    heads = {"HEADING", "BOILER"}
    if kinds[0] in heads or plain or (kinds[0] == "REGION" and heads & set(kinds)):
        return "heading"
    if set(kinds) <= {"REGION", "BASIS", "STATE"} and found[0][0].isalpha():
        return "answer"
    return None


def collected(first: str, next_line: Callable[[], str], more_waits: Callable[[], bool]) -> str:
    """The first line and those after it, up to an empty line, the word 'end', or the input's end.

    An empty line inside a paste does not end it: more_waits tells whether lines are waiting.
    """
    lines = [first]
    while True:
        try:
            line = next_line()
        except EOFError:
            break
        if line.strip().lower() in _ENDS or (not line.strip() and not more_waits()):
            break
        lines.append(line)
    return "\n".join(lines)


def input_waits() -> bool:
    """True while a paste is still arriving. Where that cannot be known, an empty line ends it."""
    import select
    import sys

    try:
        ready, _, _ = select.select([sys.stdin], [], [], 0.05)
    except (OSError, ValueError):
        return False
    return bool(ready)

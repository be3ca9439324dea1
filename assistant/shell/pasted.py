"""A label that arrives line by line is one turn: which line starts one, and where it ends."""

import re
from collections.abc import Callable

_HEADING = (
    r"(nutrition(al)? (facts|information|declaration|values)|supplement facts|typical values"
    r"|amount per serving|valeurs? nutriti\w+|nährwert\w*)"
)
_NAMING = r"((a |my )?new food|add( food)?|label( of)?)\b[^:]*:"
_STARTS = re.compile(rf"\s*((.*[:,]\s*)?{_HEADING}\s*:?|{_NAMING})\s*", re.IGNORECASE)
_ENDS = frozenset({"end", "end."})


def starts_label(line: str) -> bool:
    """True for a line that announces a label and holds none of it yet."""
    return "\n" not in line and _STARTS.fullmatch(line) is not None


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

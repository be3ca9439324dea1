"""What could come next while a line is typed: openings of sentences and the user's own foods.

Only whole words that were begun are offered; a figure is never completed.
"""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

OPENINGS = (
    "new food ",
    "glucose ",
    "took ",
    "not taken",
    "drop the suggestion",
    "cancel",
    "undo",
    "why",
    "how was my glucose ",
    "what happened after ",
    "report for the visit",
    "today",
    "what is active now",
    "what does the label of ",
    "how much ",
    "compare ",
    "show ",
    "show all ",
    "barcode ",
    "forget ",
    "foods like ",
    "my ratio is 1 unit per ",
    "correction factor ",
    "target ",
    "my insulin lasts ",
    "active insulin falls in a straight line",
    "active insulin follows the two-compartment curve",
    "active insulin comes off ",
    "a reading counts for ",
    "reductions up to ",
    "my pen goes in ",
    "never more than ",
    "active insulin falls ",
    "active insulin comes off ",
    "round ",
    "count ",
    "my labels are ",
    "my glucose is in ",
    "I avoid ",
    "set up",
    "show my numbers",
    "foods",
    "explain the label of ",
    "new label for ",
    "guide me through a label",
    "what can I say",
    "speak plainly",
    "short answers",
    "full working",
    "keep no history",
    "help",
    "help meals",
    "help labels",
    "help numbers",
    "help recipes",
    "help chat",
    "recipe ",
    "recipes",
    "show recipe ",
    "double the recipe ",
    "estimate ",
    "what can I have with ",
    "my goal is ",
    "what is left",
    "yesterday",
    "this week",
    "last 7 days",
    "where is my data",
    "export everything",
    "bye",
)
LEAST = 2
"""Letters that must be typed before anything is offered."""
MOST = 8


class Suggestion(Struct, frozen=True):
    """A text to put in place of the last so many characters that were typed."""

    text: str
    replaces: int


def suggestions(typed: str, names: Iterable[str]) -> tuple[Suggestion, ...]:
    """What could follow the text before the cursor, longest match first, at most MOST."""
    found: list[Suggestion] = []
    line = typed.lstrip()
    if "\n" in typed or len(line) < LEAST:
        return ()
    found += _fitting(line, OPENINGS)
    known: Sequence[str] = tuple(names)
    for start in _word_starts(typed):
        begun = typed[start:]
        if len(begun.strip()) >= LEAST and not begun[0].isdigit():
            found += _fitting(begun, known)
    return tuple(dict.fromkeys(found))[:MOST]


def _fitting(begun: str, texts: Iterable[str]) -> Iterator[Suggestion]:
    low = begun.casefold()
    for text in texts:
        if text.casefold().startswith(low) and text.casefold().rstrip() != low.rstrip():
            yield Suggestion(text, len(begun))


def _word_starts(typed: str) -> Iterator[int]:
    """Positions where a word starts, from the left, so that longer matches come first."""
    for at, character in enumerate(typed):
        if not character.isspace() and (at == 0 or typed[at - 1].isspace()):
            yield at

"""Long lists, some lines at a time: "Line 3 of 30", and "more" for those that follow."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.events import ListShown
from assistant.dialogue.outcome import Outcome, answered, next_step
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.values import Amount

PAGE = 12
"""Lines at a time: what can be held in mind (common practice, no source)."""


def numbered(rows: Sequence[Line], start: int = 0) -> list[Line]:
    """The rows from start on, at most PAGE, each with its number and how many there are."""
    count = Amount(Fraction(len(rows)), "")
    return [
        replace(row, args={**row.args, "line": Amount(Fraction(start + at + 1), ""),
                           "line_of": count})
        for at, row in enumerate(rows[start : start + PAGE])
    ]  # fmt: skip


def page(
    head: Line, rows: Sequence[Line], sentence: str, start: int, facts: Mapping[str, object]
) -> Outcome:
    """The head and so many rows; where rows are left, "more" goes on with the same sentence."""
    shown = numbered(rows, start)
    end = start + len(shown)
    if end >= len(rows):
        return answered(head, *shown, events=(ListShown("", 0),), facts=facts)
    event = ListShown(sentence, end)
    return answered(head, *shown, next_step("more"), events=(event,), facts=facts)


def rest_of(ctx: Context) -> ListShown | None:
    """The list that has lines left; None where the last one was told to its end."""
    kept = ctx.record.events(("list-shown",), last=1)
    event = kept[-1].event if kept else None
    return event if isinstance(event, ListShown) and event.sentence else None

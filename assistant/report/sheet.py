"""The report as CSV: one entry a line, in order of time, figures exact to six decimals."""

import csv
import io
from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction

from assistant.dialogue.visit import Visit
from assistant.render.arguments import figure

COLUMNS = ("time", "kind", "what", "value", "unit", "low", "high")
PLACES = 6
Row = tuple[datetime, str, str, str, str, str, str]


def sheet(visit: Visit) -> str:
    """The whole file. kind: reading, meal, food, dose, not taken, refused, low felt, setting; of
    imported files: high (without a figure), unread (a line that may be a low).

    A food's line follows its meal and is a part of it, so it is not to be added to the meals.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for at, kind, what, *rest in sorted(_rows(visit), key=lambda row: row[0]):
        writer.writerow((at.isoformat(), kind, _harmless(what), *rest))
    return out.getvalue()


def _rows(visit: Visit) -> Iterator[Row]:
    here = visit.figures.diary
    for reading in here.readings:
        source = "imported" if reading.imported else "typed"
        yield (reading.at, "reading", source, exact(reading.glucose.value), reading.glucose.unit,
               "", "")  # fmt: skip
    for meal in here.meals:
        counted = meal.counted
        yield (meal.at, "meal", meal.said, exact(counted.value), "g", exact(counted.low),
               exact(counted.high))  # fmt: skip
        for part in meal.parts:
            yield (meal.at, "food", part.food, exact(part.counted.value), "g",
                   exact(part.counted.low), exact(part.counted.high))  # fmt: skip
    for dose in here.doses:
        yield (dose.at, "dose", "", exact(dose.units), "unit", "", "")
    for declined in here.declined:
        yield (declined.at, "not taken", "", exact(declined.units), "unit", "", "")
    for refusal in here.refusals:
        what = f"{refusal.said} ({', '.join(refusal.rules)})"
        yield (refusal.at, "refused", what, "", "", "", "")
    for felt in here.felt:
        yield (felt, "low felt", "", "", "", "", "")
    for high in here.highs:
        yield (high, "high", "", "", "", "", "")
    for unread in here.unread:
        yield (unread, "unread", "", "", "", "", "")
    for change in here.changes:
        yield (change.at, "setting", change.said, "", "", "", "")


def exact(value: Fraction) -> str:
    """A figure as a plain decimal."""
    return figure(value, PLACES)[0]


def _harmless(text: str) -> str:
    """Words in one line that no spreadsheet takes for a formula."""
    line = " ".join(text.split())
    return f"'{line}" if line[:1] in {"=", "+", "-", "@"} else line

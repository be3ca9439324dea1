"""The report as CSV: one entry a line, in order of time, figures exact to six decimals."""

import csv
import io
from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from assistant.dialogue.visit import Visit
from assistant.render.arguments import figure
from assistant.values import Ranged
from grammar import patterns

COLUMNS = ("time", "kind", "what", "value", "unit", "low", "high", "counted", "estimate")
PLACES = 6


class Row(NamedTuple):
    """One line. counted: how carbohydrate was counted then; estimate: yes where a food had no
    label."""

    at: datetime
    kind: str
    what: str = ""
    value: str = ""
    unit: str = ""
    low: str = ""
    high: str = ""
    counted: str = ""
    estimate: str = ""


def sheet(visit: Visit) -> str:
    """The whole file. kind: reading, meal, food, dose, not taken, refused, low felt, setting; of
    imported files: high (without a figure), unread (a line that may be a low).

    A food's line follows its meal and is a part of it, so it is not to be added to the meals.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerow(COLUMNS)
    for row in sorted(_rows(visit), key=lambda row: row.at):
        writer.writerow((row.at.isoformat(), row.kind, _harmless(row.what), *row[3:]))
    return out.getvalue()


def _rows(visit: Visit) -> Iterator[Row]:
    here = visit.figures.diary
    for reading in here.readings:
        source = "imported" if reading.imported else "typed"
        yield Row(reading.at, "reading", source, exact(reading.glucose.value), reading.glucose.unit)
    for meal in here.meals:
        yield Row(meal.at, "meal", meal.said, *_carbohydrate(meal.counted), meal.policy,
                  "yes" if meal.estimates else "")  # fmt: skip
        for part in meal.parts:
            yield Row(meal.at, "food", part.food, *_carbohydrate(part.counted), meal.policy,
                      "yes" if part.estimated else "")  # fmt: skip
    for dose in here.doses:
        yield Row(dose.at, "dose", "", exact(dose.units), "unit")
    for declined in here.declined:
        yield Row(declined.at, "not taken", "", exact(declined.units), "unit")
    for refusal in here.refusals:
        yield Row(refusal.at, "refused", f"{refusal.said} ({', '.join(refusal.rules)})")
    for felt in here.felt:
        yield Row(felt, "low felt")
    for high in here.highs:
        yield Row(high, "high")
    for unread in here.unread:
        yield Row(unread, "unread")
    for change in here.changes:
        yield Row(change.at, "setting", change.said)


def _carbohydrate(counted: Ranged) -> tuple[str, str, str, str]:
    return exact(counted.value), "g", exact(counted.low), exact(counted.high)


def exact(value: Fraction) -> str:
    """A figure as a plain decimal."""
    return figure(value, PLACES)[0]


_FORMULA = patterns.compile(r"(^|[;,\t|])(\s*)(?=[=+\-@])")


def _harmless(text: str) -> str:
    """Words in one line that no spreadsheet takes for a formula, whatever parts its columns."""
    return _FORMULA.sub(r"\1\2'", " ".join(text.split()))

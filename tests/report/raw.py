"""The figures of the week, worked out again from the raw rows of the journal.

Nothing of the program is used here: SQL, JSON, exact fractions and the statistics module. The
rules are those that the report states in its last part.
"""

import json
import re
import sqlite3
import statistics
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_EVEN, Decimal, getcontext
from fractions import Fraction
from pathlib import Path

getcontext().prec = 50

ROWS = """
SELECT e.turn, e.kind, e.data, e.said_at FROM events AS e
WHERE e.kind <> 'undone' AND e.turn NOT IN (
    SELECT json_extract(u.data, '$.turn') FROM events AS u WHERE u.kind = 'undone')
ORDER BY e.id
"""
MMOL = Fraction("18.0156")
HOUR = timedelta(hours=1)
BANDS = ("Below 54 mg/dL", "54 to 69 mg/dL", "70 to 180 mg/dL", "181 to 250 mg/dL",
         "Above 250 mg/dL")  # fmt: skip


@dataclass
class Eaten:
    """A meal that stands."""

    at: datetime
    said: str
    counted: Fraction
    low: Fraction
    high: Fraction
    foods: list[str]
    part: str


@dataclass
class Raw:
    """What the rows hold, all of it and in order of time."""

    readings: list[tuple[datetime, Fraction, str, bool]] = field(default_factory=list)
    meals: list[Eaten] = field(default_factory=list)
    doses: list[tuple[datetime, Fraction]] = field(default_factory=list)
    refused: list[tuple[datetime, str, list[str]]] = field(default_factory=list)
    declined: list[tuple[datetime, Fraction]] = field(default_factory=list)
    unsettled: tuple[datetime, Fraction] | None = None
    felt: list[datetime] = field(default_factory=list)
    changes: list[tuple[datetime, str]] = field(default_factory=list)


def time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def part_of_day(at: datetime, said: str) -> str:
    named = re.search(r"\bfor (breakfast|lunch|dinner)\b", said)
    if named:
        return named[1]
    if 4 <= at.hour < 11:
        return "breakfast"
    if 11 <= at.hour < 16:
        return "lunch"
    return "dinner" if 16 <= at.hour < 22 else "meals at night"


def raw(home: Path) -> Raw:
    """Everything in the journal of this folder."""
    with sqlite3.connect(f"file:{home / 'countaloud.db'}?mode=ro", uri=True) as connection:
        rows = connection.execute(ROWS).fetchall()
        texts = dict(connection.execute("SELECT id, text FROM turns"))
    found = Raw()
    meals: dict[int, Eaten] = {}
    for turn, kind, data, said_at in rows:
        event, at = json.loads(data), time(said_at)
        if kind == "glucose-read":
            imported = texts[turn].startswith("readings import")
            _reading(found, event, imported=imported)
        elif kind == "readings-imported":
            for one in event["readings"]:
                _reading(found, one, imported=True)
        elif kind == "meal-counted":
            old = meals.pop(event["replaces"], None)
            start = old.at if old else at
            ends = [Fraction(event["counted"][k]) for k in ("value", "low", "high")]
            foods = [p["food"] for p in event["portions"]]
            part = part_of_day(start, event["said"])
            meals[turn] = Eaten(start, event["said"], *ends, foods, part)
        elif kind == "dose-suggested":
            found.unsettled = (at, Fraction(event["units"]))
        elif kind == "suggestion-closed":
            if event["how"] == "cancelled":
                meals.popitem()
            elif event["how"] == "not taken":
                found.declined.append(found.unsettled)
            found.unsettled = None
        elif kind == "dose-taken":
            found.doses.append((time(event["taken_at"]), Fraction(event["units"])))
        elif kind == "dose-refused":
            found.refused.append((at, event["said"], event["rules"]))
        elif kind == "low-felt":
            found.felt.append(at)
        elif kind == "setting-said" and (at, event["said"]) not in found.changes:
            found.changes.append((at, event["said"]))
    found.meals = sorted(meals.values(), key=lambda m: m.at)
    found.readings.sort(key=lambda r: r[0])
    return found


def _reading(found: Raw, event: dict, *, imported: bool) -> None:
    glucose = event["glucose"]
    value = Fraction(glucose["value"])
    row = (time(event["taken_at"]), value, glucose["unit"], imported)
    if not any((_minute(r[0]), *r[1:3]) == (_minute(row[0]), *row[1:3]) for r in found.readings):
        found.readings.append(row)


def _minute(at: datetime) -> int:
    """The same figure in the same minute is the same reading."""
    return int(at.timestamp()) // 60


def mg(value: Fraction, unit: str) -> Fraction:
    return value if unit == "mg/dL" else value * MMOL


def band(value: Fraction, unit: str) -> int:
    """0 to 4, by the edges of the reading's own unit."""
    edges = (54, 70, 180, 250) if unit == "mg/dL" else (
        Fraction(3), Fraction("3.9"), Fraction(10), Fraction("13.9"))  # fmt: skip
    if value < edges[0]:
        return 0
    if value < edges[1]:
        return 1
    if value <= edges[2]:
        return 2
    return 3 if value <= edges[3] else 4


def shown(value: Fraction | None, places: int) -> str:
    """A figure as a table has it: half even, no noughts at the end, a real minus."""
    if value is None:
        return "none"
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    text = str(exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN))
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-0", "0") if text in {"-0"} else text.replace("-", "\u2212")


def about(value: Fraction, places: int) -> str:
    """As a sentence has it: with "about" where it had to be rounded."""
    text = shown(value, places)
    return text if Fraction(text.replace("\u2212", "-")) == value else f"about {text}"


def deviation(values: list[Fraction]) -> Fraction | None:
    """The square root of the exact variance, by Decimal."""
    if len(values) < 2:
        return None
    variance = statistics.variance(values)
    return Fraction((Decimal(variance.numerator) / Decimal(variance.denominator)).sqrt())


def spelled(day: date) -> str:
    months = "January February March April May June July August September October November December"
    return f"{day.day} {months.split()[day.month - 1]} {day.year}"


def stamp(at: datetime) -> str:
    return f"{spelled(at.date())}, {at:%H:%M}"


def level(value: Fraction, unit: str) -> str:
    return f"{shown(value, 4)} {unit}"


@dataclass
class Around:
    """A meal, and its readings in mg/dL with their bands; None where there is none."""

    meal: Eaten
    close: bool
    start: tuple[Fraction, int] | None = None
    two: tuple[Fraction, int] | None = None
    four: tuple[Fraction, int] | None = None

    @property
    def measured(self) -> bool:
        return not self.close and self.start is not None and self.two is not None

    @property
    def rise(self) -> Fraction:
        return self.two[0] - self.start[0]


def around(everything: Raw, meal: Eaten) -> Around:
    """By the rules that the report states."""
    other = [m for m in everything.meals if m is not meal and abs(m.at - meal.at) < 4 * HOUR]
    own = timedelta(minutes=30)
    corrections = [at for at, _ in everything.doses if own < abs(at - meal.at) < 4 * HOUR]
    refused = [at for at, _, _ in everything.refused if own < abs(at - meal.at) < 4 * HOUR]
    if other or corrections or refused:
        return Around(meal, close=True)

    def near(wanted: datetime, before: int, after: int) -> tuple[Fraction, int] | None:
        best = None
        for at, value, unit, _ in everything.readings:
            if timedelta(minutes=-before) <= at - wanted <= timedelta(minutes=after):
                off = abs(at - wanted)
                if best is None or off <= best[0]:
                    best = (off, (mg(value, unit), band(value, unit)))
        return None if best is None else best[1]

    return Around(
        meal,
        False,
        near(meal.at, 15, 5),
        near(meal.at + 2 * HOUR, 30, 30),
        near(meal.at + 4 * HOUR, 30, 30),
    )

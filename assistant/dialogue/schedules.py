"""Ratio, correction factor and target by time of day."""

from fractions import Fraction

from assistant.dialogue.glucose import UNITS, user_unit
from assistant.dialogue.offers import RATIO_BY_TIME
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    ask,
    choice,
    yes_no,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.said_setting import SaidSetting, clear
from assistant.dialogue.state import Context
from assistant.dosing.settings import GlucoseSchedule, Schedule
from assistant.values import (
    Amount,
    ClockTime,
    Glucose,
    GlucoseUnit,
    Phrase,
    Said,
    Typed,
    decimal_text,
)
from grammar.nodes import Number
from grammar.statements import Statement, Timed

_Timed = list[tuple[int | None, Fraction]]
"""(minute from which it holds or None, value)."""


def _ratio_of(entry: Timed, ctx: Context) -> Fraction | Outcome:
    value, per = clear(entry.value, ctx), clear(entry.per, ctx)
    if isinstance(value, Outcome):
        return value
    return per if isinstance(per, Outcome) else value / per


def _entries(
    said: SaidSetting, statement: Statement
) -> list[tuple[int | None, Fraction]] | Outcome:
    entries = []
    for entry in statement.entries:
        value = _ratio_of(entry, said.ctx)
        if isinstance(value, Outcome):
            return value
        entries.append((entry.start, value))
    starts = [start for start, _ in entries]
    if len(set(starts)) < len(starts) or (len(starts) > 1 and None in starts):
        return ask(
            Ask(
                "schedule",
                "ask-times",
                hint=(RATIO_BY_TIME,) if statement.form == "ratio" else (),
            ),
            said.ctx.text,
        )
    return entries


def _fits(statement: Statement, unit: GlucoseUnit) -> bool:
    """Could these figures without a unit be meant in the user's own? "target 6" not in mg/dL."""
    low = Fraction(20) if statement.form == "target" else Fraction(8)
    values = [e.value.value for e in statement.entries if isinstance(e.value, Number)]
    if unit == "mg/dL":
        return all(value >= low for value in values)
    return all(value <= low for value in values)


def _unit_of(said: SaidSetting, statement: Statement) -> GlucoseUnit | Outcome:
    """One glucose unit for the whole sentence: said, or the user's own; else asked."""
    units = {e.unit for e in statement.entries if e.unit}
    if len(units) > 1:
        return ask(Ask("unit", "ask-one-unit"), said.ctx.text)
    if units:
        unit = units.pop()
        return "mg/dL" if unit == "mg/dL" else "mmol/L"
    usual = user_unit(said.ctx.settings)
    if usual is not None and _fits(statement, usual):
        return usual
    number = statement.entries[0].value
    figure = number.said if isinstance(number, Number) else ""
    at = said.ctx.text.find(figure)
    before, behind = said.ctx.text[:at], said.ctx.text[at + len(figure) :]
    many = len(statement.entries) > 1
    choices = (
        ()
        if many
        else tuple(
            choice(
                "choice-text", f"{before}{figure} {u}{behind}", word=u, text=Said(f"{figure} {u}")
            )
            for u in UNITS
        )
    )
    return ask(
        Ask("unit", "ask-glucose-unit", choices=choices,
            hint=("my glucose is in mg/dL", "my glucose is in mmol/L")), said.ctx.text
    )  # fmt: skip


def schedule(said: SaidSetting, statement: Statement) -> Outcome:
    """The turn for a ratio, a correction factor or a target."""
    name = statement.form
    entries = _entries(said, statement)
    if isinstance(entries, Outcome):
        return entries
    unit: GlucoseUnit | None = None
    if name != "ratio":
        found = _unit_of(said, statement)
        if isinstance(found, Outcome):
            return found
        unit = found
    shown_unit = "g/unit" if name == "ratio" else f"{unit}/unit" if name == "factor" else unit
    for _, value in entries:
        usual = value if unit is None else Glucose(value, unit).mg_dl
        odd = said.unusual(name, usual, Amount(value, shown_unit or ""))
        if odd:
            return odd
    kept = _merge(said, name, entries, unit)
    if isinstance(kept, Outcome):
        return kept
    data: dict[str, object] = {"from": [[start, str(v)] for start, v in kept]}
    if unit is not None:
        data["unit"] = unit
    return said.keep(name, data, *schedule_lines(name, kept, shown_unit or ""))


def _existing(said: SaidSetting, name: str) -> Schedule | GlucoseSchedule | None:
    found = getattr(said.ctx.settings, name)
    assert found is None or isinstance(found, Schedule | GlucoseSchedule)
    return found


def _merge(
    said: SaidSetting,
    name: str,
    entries: list[tuple[int | None, Fraction]],
    unit: GlucoseUnit | None,
) -> list[tuple[int, Fraction]] | Outcome:
    """The whole day's schedule. A part of a day beside an older schedule is asked about."""
    new = sorted((start or 0, value) for start, value in entries)
    old = _existing(said, name)
    if len(entries) > 1 or old is None:
        return new
    schedule = old.schedule if isinstance(old, GlucoseSchedule) else old
    if entries[0][0] is None:
        if len(schedule.entries) == 1 or said.sure:
            return new
        again = yes_no(f"{said.text}, confirmed with my care team")
        args = {"setting": Phrase(f"setting-{name}")}
        return ask(Ask("schedule", "ask-replace-schedule", args, choices=again), said.ctx.text)
    start, value = new[0]
    if schedule.entries == ((start, value),):
        return new
    rest = [e for e in schedule.entries if e[0] != start]
    merged = sorted([*rest, (start, value)])
    old_unit = old.unit if isinstance(old, GlucoseSchedule) else None
    if old_unit != unit:
        return ask(Ask("schedule", "ask-merge-units"), said.ctx.text)
    both = _sentence(name, merged, unit)
    alone = _sentence(name, [(0, value)], unit)
    return ask(
        Ask("schedule", "ask-merge", {"setting": Phrase(f"setting-{name}")},
            choices=(choice("choice-text", both, text=Typed(both)),
                     choice(
                    "choice-text",
                    f"{alone}, confirmed with my care team",
                    text=Typed(alone),
                ))), said.ctx.text
    )  # fmt: skip


def _sentence(name: str, entries: list[tuple[int, Fraction]], unit: GlucoseUnit | None) -> str:
    head = {"ratio": "my ratio is", "factor": "correction factor", "target": "target"}[name]
    tail = {"ratio": " g per unit", "factor": f" {unit} per unit", "target": f" {unit}"}[name]
    parts = [f"{decimal_text(v)}{tail}" for _, v in entries]
    if len(entries) == 1:
        return f"{head} {parts[0]}"
    times = [f"{m // 60:02d}:{m % 60:02d}" for m, _ in entries]
    return f"{head} " + " and ".join(f"{p} from {t}" for p, t in zip(parts, times, strict=True))


def schedule_lines(name: str, entries: list[tuple[int, Fraction]], unit: str) -> tuple[Line, ...]:
    """One line an entry, with from when until when it holds."""
    if len(entries) == 1:
        return (answer(f"set-{name}", value=Amount(entries[0][1], unit)),)
    lines = []
    for at, (start, value) in enumerate(entries):
        until = entries[(at + 1) % len(entries)][0]
        lines.append(
            answer(f"set-{name}-from", value=Amount(value, unit),
                   start=ClockTime(start), until=ClockTime(until))
        )  # fmt: skip
    return tuple(lines)

"""The numbers from the care team, said as sentences. Unusual ones are asked about first."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.counting.units import conversion
from assistant.dialogue.events import SettingSaid
from assistant.dialogue.glucose import UNITS, user_unit
from assistant.dialogue.meal_questions import SETTING_SENTENCES
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    choice,
    next_step,
    yes_no,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.dosing.settings import GlucoseSchedule, Schedule
from assistant.values import (
    Amount,
    Arg,
    ClockTime,
    Glucose,
    GlucoseUnit,
    Listed,
    Phrase,
    Said,
    Typed,
    decimal_text,
)
from grammar.measures import find_measure
from grammar.nodes import Number, Quantity, Unclear
from grammar.statements import Misread, Statement, Timed

SURE = re.compile(r"[,.]?\s*confirmed\s+with\s+my\s+care\s+team\s*[.!]*\s*$", re.I)
"""What is added to a sentence whose figure was questioned, and stands behind it in the journal."""

USUAL: Mapping[str, tuple[Fraction, Fraction]] = {
    "ratio": (Fraction(3), Fraction(60)),
    "factor": (Fraction(10), Fraction(300)),
    "target": (Fraction(72), Fraction(180)),
    "duration": (Fraction(120), Fraction(480)),
    "pen_step": (Fraction(1, 20), Fraction(2)),
    "cap_dose": (Fraction(1), Fraction(40)),
    "cap_window": (Fraction(1), Fraction(80)),
    "cap_meal": (Fraction(10), Fraction(400)),
    "kitchen-cup": (Fraction(150), Fraction(350)),
    "kitchen-tablespoon": (Fraction(10), Fraction(25)),
    "kitchen-teaspoon": (Fraction(3), Fraction(8)),
    "kitchen-fluid ounce": (Fraction(25), Fraction(35)),
    "kitchen-pint": (Fraction(400), Fraction(600)),
    "kitchen-quart": (Fraction(800), Fraction(1300)),
    "kitchen-gallon": (Fraction(3000), Fraction(5000)),
}
"""What people are usually given, in g per unit, mg/dL, minutes, units, grams, millilitres. Outside
it the figure is asked about, and may be kept (common practice, no source; rapid-acting insulin
lasts 2 to 5 hours in Am Fam Physician 2005;72:805)."""
HARD: Mapping[str, Fraction] = {
    "duration": Fraction(24 * 60),
    "cap_window_minutes": Fraction(1440),
    "cap_dose": Fraction(100),
    "cap_window": Fraction(300),
    "cap_meal": Fraction(1000),
}
"""Beyond these no confirmation helps: it is a slip (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Said:
    """The sentence being handled: without its confirmation, and whether it had one."""

    ctx: Context
    text: str
    sure: bool

    def keep(self, name: str, value: Mapping[str, object], *lines: Line) -> Outcome:
        return answered(
            *lines,
            events=(SettingSaid(name, value, self.ctx.text),),
            facts={"setting": {"name": name, **value}},
        )

    def unusual(self, name: str, value: Fraction, shown: Arg) -> Outcome | None:
        """The question when the value is outside what is usual and was not confirmed."""
        low, high = USUAL[name]
        if self.sure or low <= value <= high:
            return None
        kitchen = name.startswith("kitchen")
        code = name if kitchen else f"setting-{name}"
        question = "ask-unusual-kitchen" if kitchen else "ask-unusual"
        args = {"setting": Phrase(code), "value": shown}
        again = yes_no(f"{self.text}, confirmed with my care team")
        return ask(Ask("unusual", question, args, choices=again), self.ctx.text)


def misread(ctx: Context, wrong: Misread) -> Outcome:
    """A sentence that opens like a setting or an event, and goes on like none."""
    example = {
        "cap": ("never more than 8 units at once", "never more than 15 units in 4 hours"),
        "pen": ("my pen goes in half units, round down",),
        "policy": ("count total carbohydrate", "count net carbohydrate",
                   "count fibre over 5 g halved"),
        "kitchen": ("my cup is 250 ml",),
        "glucose_unit": ("my glucose is in mg/dL",),
        "took": ("took 4 units at 12:45",),
    }.get(wrong.form) or (SETTING_SENTENCES[wrong.form],)  # fmt: skip
    code = "misread" if wrong.said else "misread-end"
    args: dict[str, Arg] = {"form": Phrase(f"form-{wrong.form}"), "said": Said(wrong.said)}
    unread = (wrong.said,) if wrong.said else ()
    return ask(Ask("misread", code, args, hint=example, unread=unread), ctx.text)


def _clear(quantity: Quantity | None, ctx: Context) -> Fraction | Outcome:
    """The figure, above zero, or the question."""
    if isinstance(quantity, Number):
        return quantity.value
    assert isinstance(quantity, Unclear)
    return ask(Ask("number", f"figure-{quantity.why}", {"said": Said(quantity.said)}), ctx.text)


def handle(ctx: Context, statement: Statement) -> Outcome | None:
    """The turn for a setting; None for statements that are none."""
    sure = bool(SURE.search(ctx.text))
    said = _Said(ctx, SURE.sub("", ctx.text), sure)
    if statement.form in {"ratio", "factor", "target"}:
        return _schedule(said, statement)
    simple = {
        "policy": _policy,
        "active_rule": _active_rule,
        "rounding": _rounding,
        "glucose_unit": _glucose_unit,
        "pen": _pen,
        "duration": _duration,
        "cap_dose": _cap,
        "cap_window": _cap,
        "cap_meal": _cap,
        "kitchen": _kitchen,
    }
    handler = simple.get(statement.form)
    return handler(said, statement) if handler else None


# Schedules


def _ratio_of(entry: Timed, ctx: Context) -> Fraction | Outcome:
    value, per = _clear(entry.value, ctx), _clear(entry.per, ctx)
    if isinstance(value, Outcome):
        return value
    return per if isinstance(per, Outcome) else value / per


def _entries(said: _Said, statement: Statement) -> list[tuple[int | None, Fraction]] | Outcome:
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
                hint=("my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00",),
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


def _unit_of(said: _Said, statement: Statement) -> GlucoseUnit | Outcome:
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


def _schedule(said: _Said, statement: Statement) -> Outcome:
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


def _existing(said: _Said, name: str) -> Schedule | GlucoseSchedule | None:
    found = getattr(said.ctx.settings, name)
    assert found is None or isinstance(found, Schedule | GlucoseSchedule)
    return found


def _merge(
    said: _Said, name: str, entries: list[tuple[int | None, Fraction]], unit: GlucoseUnit | None
) -> list[tuple[int, Fraction]] | Outcome:
    """The whole day's schedule. A part of a day beside an older schedule is asked about."""
    new = sorted((start or 0, value) for start, value in entries)
    old = _existing(said, name)
    if len(entries) > 1 or entries[0][0] is None or old is None:
        return new
    schedule = old.schedule if isinstance(old, GlucoseSchedule) else old
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
                     choice("choice-text", alone, text=Typed(alone)))), said.ctx.text
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


# Single values


def _policy(said: _Said, statement: Statement) -> Outcome:
    return said.keep("policy", {"policy": statement.word}, answer(f"set-policy-{statement.word}"))


def _active_rule(said: _Said, statement: Statement) -> Outcome:
    line = answer(f"set-active-{statement.word}")
    return said.keep("active_rule", {"off": statement.word}, line)


def _rounding(said: _Said, statement: Statement) -> Outcome:
    if statement.word == "up":
        return ask(Ask("rounding", "no-rounding-up", hint=("round down", "round to the nearest")),
                   said.ctx.text)  # fmt: skip
    return said.keep("rounding", {"rule": statement.word}, answer(f"set-rounding-{statement.word}"))


def _glucose_unit(said: _Said, statement: Statement) -> Outcome:
    unit = statement.word or ""
    return said.keep(
        "glucose_unit", {"unit": unit}, answer("set-glucose-unit", unit=Phrase(f"unit-{unit}"))
    )


def _pen(said: _Said, statement: Statement) -> Outcome:
    step = _clear(statement.number, said.ctx)
    if isinstance(step, Outcome):
        return step
    if statement.second == "up":
        return _rounding(said, Statement("rounding", word="up"))
    shown = Amount(step, "unit")
    odd = said.unusual("pen_step", step, shown)
    if odd:
        return odd
    events = [SettingSaid("pen_step", {"units": str(step)}, said.ctx.text)]
    lines = [answer("set-pen-step", step=shown)]
    if statement.second:
        events.append(SettingSaid("rounding", {"rule": statement.second}, said.ctx.text))
        lines.append(answer(f"set-rounding-{statement.second}"))
    elif said.ctx.settings.rounding is None:
        lines.append(next_step("round down", "round to the nearest"))
    return answered(*lines, events=tuple(events), facts={"setting": {"name": "pen_step",
                    "units": step, "rounding": statement.second}})  # fmt: skip


def _duration(said: _Said, statement: Statement) -> Outcome:
    minutes = _clear(statement.number, said.ctx)
    if isinstance(minutes, Outcome):
        return minutes
    shown = Amount(minutes / 60, "hour")
    if minutes > HARD["duration"]:
        return ask(Ask("unusual", "too-long-duration", {"value": shown}), said.ctx.text)
    odd = said.unusual("duration", minutes, shown)
    if odd:
        return odd
    return said.keep("duration", {"minutes": str(minutes)}, answer("set-duration", value=shown))


def _cap(said: _Said, statement: Statement) -> Outcome:
    value = _clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    name = statement.form
    unit = "g" if name == "cap_meal" else "unit"
    odd = said.unusual(name, value, Amount(value, unit))
    if odd:
        return odd
    if value > HARD[name]:
        return ask(Ask("unusual", "cap-too-large", {"value": Amount(value, unit)}), said.ctx.text)
    data: dict[str, object] = {"grams" if name == "cap_meal" else "units": str(value)}
    args: dict[str, Arg] = {"value": Amount(value, unit)}
    if name == "cap_window":
        if statement.minutes is None or statement.minutes > HARD["cap_window_minutes"]:
            return ask(
                Ask("number", "window-unclear", hint=("never more than 15 units in 4 hours",)),
                said.ctx.text,
            )
        data["minutes"] = str(statement.minutes)
        args["hours"] = Amount(statement.minutes / 60, "hour")
    raised = _raises(said, name, value, statement.minutes)
    if raised and not said.sure:
        code = "ask-raise-window" if name == "cap_window" else "ask-raise-cap"
        again = yes_no(f"{said.text}, confirmed with my care team")
        return ask(Ask("raise", code, {**args, **raised}, choices=again), said.ctx.text)
    return said.keep(name, data, answer(f"set-{name}", **args))


def _raises(
    said: _Said, name: str, value: Fraction, minutes: Fraction | None
) -> Mapping[str, Arg] | None:
    """The old cap, as arguments, when the new one allows more."""
    s = said.ctx.settings
    if name == "cap_dose" and s.cap_dose is not None and value > s.cap_dose:
        return {"old": Amount(s.cap_dose, "unit"), "setting": Phrase(f"setting-{name}")}
    if name == "cap_meal" and s.cap_meal is not None and value > s.cap_meal:
        return {"old": Amount(s.cap_meal, "g"), "setting": Phrase(f"setting-{name}")}
    if name == "cap_window" and s.cap_window is not None:
        span = s.cap_window.span
        old = Fraction(span.days * 1440) + Fraction(span.seconds, 60)
        if value > s.cap_window.units or (minutes or 0) < old:
            return {
                "old": Amount(s.cap_window.units, "unit"),
                "old_hours": Amount(old / 60, "hour"),
            }
    return None


def _kitchen(said: _Said, statement: Statement) -> Outcome:
    value = _clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    found = find_measure(statement.word or "")
    volume = find_measure(statement.unit or "")
    assert found is not None
    assert volume is not None
    millilitres = value * conversion(volume[0], "millilitre")
    shown = Amount(millilitres, "ml")
    odd = said.unusual(f"kitchen-{found[0]}", millilitres, shown)
    if odd:
        return odd
    return said.keep(
        "kitchen", {"unit": found[0], "millilitres": str(millilitres)},
        answer("set-kitchen", unit=Phrase(f"kitchen-{found[0]}"), value=shown),
    )  # fmt: skip


# Showing them


def show(ctx: Context) -> Outcome:
    """ "show my numbers": each setting and since when; then what is missing."""
    s = ctx.settings
    lines: list[Line] = []
    for name in ("ratio", "factor", "target"):
        found = getattr(s, name)
        if found is None:
            continue
        schedule = found if name == "ratio" else found.schedule
        unit = "g/unit" if name == "ratio" else found.unit + ("/unit" if name == "factor" else "")
        lines.extend(schedule_lines(name, list(schedule.entries), unit))
    lines.extend(_single_lines(ctx))
    missing = s.missing()
    if missing:
        items = tuple(Phrase(f"setting-{n}") for n in missing)
        lines.append(Line("next", "numbers-missing", {"missing": Listed(items)}))
        lines.extend(
            Line("next", "say-setting",
                 {"setting": Phrase(f"setting-{n}"), "sentence": Typed(SETTING_SENTENCES[n])})
            for n in missing
        )  # fmt: skip
    return answered(*lines, facts={"settings": {n: str(getattr(s, n)) for n in s.NEEDED}})


def _single_lines(ctx: Context) -> list[Line]:
    s = ctx.settings
    lines = []
    if s.duration is not None:
        hours = Fraction(s.duration.days * 24) + Fraction(s.duration.seconds, 3600)
        lines.append(answer("set-duration", value=Amount(hours, "hour")))
    if s.active_rule:
        lines.append(answer(f"set-active-{s.active_rule}"))
    if s.pen_step is not None:
        lines.append(answer("set-pen-step", step=Amount(s.pen_step, "unit")))
    if s.rounding:
        lines.append(answer(f"set-rounding-{s.rounding}"))
    if s.cap_dose is not None:
        lines.append(answer("set-cap_dose", value=Amount(s.cap_dose, "unit")))
    if s.cap_window is not None:
        span = s.cap_window.span
        hours = Fraction(span.days * 24) + Fraction(span.seconds, 3600)
        lines.append(answer("set-cap_window", value=Amount(s.cap_window.units, "unit"),
                            hours=Amount(hours, "hour")))  # fmt: skip
    if s.cap_meal is not None:
        lines.append(answer("set-cap_meal", value=Amount(s.cap_meal, "g")))
    if s.policy:
        lines.append(answer(f"set-policy-{s.policy}"))
    if s.glucose_unit:
        lines.append(answer("set-glucose-unit", unit=Phrase(f"unit-{s.glucose_unit}")))
    for unit, held in s.kitchen.items():
        lines.append(
            answer("set-kitchen", unit=Phrase(f"kitchen-{unit}"), value=Amount(held, "ml"))
        )
    return lines

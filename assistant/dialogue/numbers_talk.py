"""The numbers from the care team, said as sentences."""

import re
from difflib import get_close_matches
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.units import KITCHEN, conversion
from assistant.dialogue import offers
from assistant.dialogue.clocks import clock_lines, clocks, settle_clock
from assistant.dialogue.events import SettingSaid
from assistant.dialogue.limits_talk import (
    ask_range,
    cap,
    limit_lines,
    max_reduction,
    reading_age,
)
from assistant.dialogue.meal_lines import since_lines
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    next_step,
)
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.said_setting import HARD, SURE, SaidSetting, clear
from assistant.dialogue.schedules import schedule, schedule_lines
from assistant.dialogue.state import Context
from assistant.dosing.settings import Settings
from assistant.values import (
    Amount,
    Arg,
    Listed,
    Name,
    Phrase,
    Said,
)
from grammar import patterns
from grammar.measures import find_measure
from grammar.statements import Misread, Statement
from grammar.words import name_key

_OTHER_INSULIN = patterns.compile(r"\b(?:long[\s-]*acting|basal|background)\b", re.I)
"""Insulin that is no part of what is active at a meal: it is not kept, and stops no dose."""


def misread(ctx: Context, wrong: Misread) -> Outcome:
    """A sentence that opens like a setting or an event, and goes on like none."""
    example = offers.of_form(wrong.form, ctx.settings, ctx.text)
    code = "misread" if wrong.said else "misread-end"
    args: dict[str, Arg] = {"form": Phrase(f"form-{wrong.form}"), "said": Said(wrong.said)}
    unread = (wrong.said,) if wrong.said else ()
    if wrong.form == "took" and _of_units(ctx.text) and not _OTHER_INSULIN.search(ctx.text):
        # mealtime insulin that may be in the body: no dose until it is settled
        code = "took-misread" if wrong.said else "took-misread-end"
        slot = Slot("dose", ())
        return ask(Ask("misread", code, args, slot=slot, hint=(*example, "cancel"),
                       unread=unread), ctx.text)  # fmt: skip
    return ask(Ask("misread", code, args, hint=example, unread=unread), ctx.text)


def _of_units(text: str) -> bool:
    """Has it a word like "units"? "took 2 slices of bread" tells no dose."""
    words = patterns.findall(r"[^\W\d_]+", text.casefold())
    return any(get_close_matches(word, ("unit", "units"), cutoff=0.7) for word in words)


def handle(ctx: Context, statement: Statement) -> Outcome | None:
    """The turn for a setting; None for statements that are none."""
    sure = bool(SURE.search(ctx.text))
    said = SaidSetting(ctx, SURE.sub("", ctx.text), sure)
    if statement.form == "clock":
        return settle_clock(ctx, statement)
    if statement.form in {"ratio", "factor", "target"}:
        return _known_to_suggestion(ctx, schedule(said, statement))
    simple = {
        "policy": _policy,
        "active_rule": _active_rule,
        "rounding": _rounding,
        "glucose_unit": _glucose_unit,
        "pen": _pen,
        "duration": _duration,
        "active_shape": _active_shape,
        "max_reduction": max_reduction,
        "reading_age": reading_age,
        "ask_range": ask_range,
        "cap_dose": cap,
        "cap_window": cap,
        "cap_meal": cap,
        "kitchen": _kitchen,
        "polyol": _polyol,
        "avoid": _avoid,
        "couple": _couple,
    }
    handler = simple.get(statement.form)
    return _known_to_suggestion(ctx, handler(said, statement)) if handler else None


def _known_to_suggestion(ctx: Context, outcome: Outcome) -> Outcome:
    """A number that is said while a suggestion is open was not in its working, and that is told."""
    waiting = ctx.open_suggestion()
    if waiting is None or not any(isinstance(e, SettingSaid) for e in outcome.events):
        return outcome
    args: dict[str, Arg] = {"units": Amount(waiting.units, "unit"), "moment": waiting.moment}
    told = caution("suggestion-before-setting", **args)
    reply = replace(outcome.reply, lines=(*outcome.reply.lines, told))
    return replace(outcome, reply=reply)


# Single values


def _policy(said: SaidSetting, statement: Statement) -> Outcome:
    return said.keep("policy", {"policy": statement.word}, answer(f"set-policy-{statement.word}"))


def _active_rule(said: SaidSetting, statement: Statement) -> Outcome:
    line = answer(f"set-active-{statement.word}")
    return said.keep("active_rule", {"off": statement.word}, line)


def _active_shape(said: SaidSetting, statement: Statement) -> Outcome:
    line = answer(f"set-active_shape-{statement.word}")
    return said.keep("active_shape", {"shape": statement.word}, line)


def _rounding(said: SaidSetting, statement: Statement) -> Outcome:
    if statement.word == "up":
        return ask(Ask("rounding", "no-rounding-up", hint=("round down", "round to the nearest")),
                   said.ctx.text)  # fmt: skip
    return said.keep("rounding", {"rule": statement.word}, answer(f"set-rounding-{statement.word}"))


def _glucose_unit(said: SaidSetting, statement: Statement) -> Outcome:
    unit = statement.word or ""
    return said.keep(
        "glucose_unit", {"unit": unit}, answer("set-glucose-unit", unit=Phrase(f"unit-{unit}"))
    )


def _pen(said: SaidSetting, statement: Statement) -> Outcome:
    step = clear(statement.number, said.ctx)
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


def _duration(said: SaidSetting, statement: Statement) -> Outcome:
    minutes = clear(statement.number, said.ctx)
    if isinstance(minutes, Outcome):
        return minutes
    shown = Amount(minutes / 60, "hour")
    if minutes > HARD["duration"]:
        return ask(Ask("unusual", "too-long-duration", {"value": shown}), said.ctx.text)
    odd = said.unusual("duration", minutes, shown)
    if odd:
        return odd
    return said.keep("duration", {"minutes": str(minutes)}, answer("set-duration", value=shown))


def _kitchen(said: SaidSetting, statement: Statement) -> Outcome:
    value = clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    found = find_measure(statement.word or "")
    volume = find_measure(statement.unit or "")
    assert volume is not None
    if found is not None and found[1] not in {"kitchen", "vessel"}:
        hint = offers.of_form("kitchen", said.ctx.settings, "")
        return ask(Ask("misread", "kitchen-not-own", {"said": Said(statement.word or "")},
                       hint=hint), said.ctx.text)  # fmt: skip
    unit = found[0] if found else name_key(statement.word or "")
    millilitres = value * conversion(volume[0], "millilitre")
    shown = Amount(millilitres, "ml")
    law = found is not None and found[1] == "kitchen"
    odd = said.unusual(f"kitchen-{unit}" if law else "kitchen-vessel", millilitres, shown)
    if odd:
        return odd
    return said.keep(
        "kitchen", {"unit": unit, "millilitres": str(millilitres)},
        answer("set-kitchen", unit=_kitchen_name(unit), value=shown),
    )  # fmt: skip


def _kitchen_name(unit: str) -> Arg:
    return Phrase(f"kitchen-{unit}") if unit in KITCHEN else Name(unit)


def _couple(said: SaidSetting, statement: Statement) -> Outcome:
    """How many "a couple" is, for good."""
    value = clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    if not 1 < value <= 3:
        return ask(Ask("number", "couple-unusual", hint=("a couple means ...",)), said.ctx.text)
    return said.keep(
        "couple", {"number": str(value)}, answer("set-couple", number=Amount(value, ""))
    )


def _polyol(said: SaidSetting, statement: Statement) -> Outcome:
    """How much of one sugar alcohol counts, instead of half."""
    share = clear(statement.number, said.ctx)
    if isinstance(share, Outcome):
        return share
    if share > 1:
        return ask(
            Ask("number", "polyol-over", hint=(f"{statement.word} counts as ...",)), said.ctx.text
        )
    name = statement.word or ""
    shown = Amount(share * 100, "percent")
    line = answer("set-polyol", name=Name(name), share=shown)
    return said.keep("polyols", {"name": name, "counts": str(share)}, line)


def _avoid(said: SaidSetting, statement: Statement) -> Outcome:
    """What the user avoids: added to the list, or taken off it."""
    words = [w for w in patterns.split(r"\s*,\s*|\s+and\s+|\s+or\s+", statement.word or "") if w]
    old = said.ctx.settings.avoid
    if statement.second == "less":
        gone = {name_key(w) for w in words}
        kept = tuple(w for w in old if name_key(w) not in gone)
    else:
        kept = tuple(dict.fromkeys((*old, *words)))
    if not kept:
        return said.keep("avoid", {"words": []}, answer("set-avoid-none"))
    listed = Listed(tuple(Name(w) for w in kept))
    return said.keep("avoid", {"words": list(kept)}, answer("set-avoid", words=listed))


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
    clock = clocks(ctx.record, s, ctx.now)
    if clock.goes_by not in {clock.here, None}:
        lines.extend(clock_lines(ctx, clock.goes_by or 0))
    lines.extend(since_lines(s, ctx.now))
    missing = s.missing()
    if missing:
        items = tuple(Phrase(f"setting-{n}") for n in missing)
        lines.append(Line("next", "numbers-missing", {"missing": Listed(items)}))
        lines.extend(line for n in missing for line in offers.setting_lines("next", n, s))
    return answered(*lines, facts={"settings": {n: str(getattr(s, n)) for n in s.NEEDED}})


def _single_lines(ctx: Context) -> list[Line]:
    s = ctx.settings
    lines = []
    if s.duration is not None:
        hours = Fraction(s.duration.days * 24) + Fraction(s.duration.seconds, 3600)
        lines.append(answer("set-duration", value=Amount(hours, "hour")))
    if s.active_shape:
        lines.append(answer(f"set-active_shape-{s.active_shape}"))
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
    lines += limit_lines(s)
    if s.policy:
        lines.append(answer(f"set-policy-{s.policy}"))
    if s.glucose_unit:
        lines.append(answer("set-glucose-unit", unit=Phrase(f"unit-{s.glucose_unit}")))
    if s.label_region:
        region = Phrase(f"region-{s.label_region}")
        lines.append(answer("set-label_region", region=region))
    return lines + _own_lines(s)


def _own_lines(s: Settings) -> list[Line]:
    """What is the user's own beside the care team's numbers: sugar alcohols, avoided, kitchen."""
    lines = []
    for name, share in s.polyols.items():
        lines.append(answer("set-polyol", name=Name(name), share=Amount(share * 100, "percent")))
    if s.avoid:
        lines.append(answer("set-avoid", words=Listed(tuple(Name(w) for w in s.avoid))))
    for unit, held in s.kitchen.items():
        lines.append(answer("set-kitchen", unit=_kitchen_name(unit), value=Amount(held, "ml")))
    if s.couple is not None:
        lines.append(answer("set-couple", number=Amount(s.couple, "")))
    return lines

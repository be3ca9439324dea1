"""What a report begins with: what a care team needs in two minutes, as lines."""

from dataclasses import dataclass, replace
from datetime import datetime
from fractions import Fraction

from assistant.dialogue import lookback_lines as told
from assistant.dialogue import numbers_talk
from assistant.dialogue.events import DoseRefused, SettingSaid
from assistant.dialogue.outcome import answer, fact
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.diary.figures import Figures
from assistant.diary.twins import twins
from assistant.dosing.settings import fold
from assistant.values import Amount, Arg, CalendarDay, Listed, Name


def summary_lines(found: Figures) -> list[Line]:
    """Range, carbohydrate, doses, refusals, glucose, lows, what is missing: a line each."""
    span: dict[str, Arg] = {
        "first": CalendarDay(found.days.first),
        "last": CalendarDay(found.days.last),
    }
    lines = [answer("visit-span", days=told.counted(found.with_data, "day"),
                    all=told.number(len(found.days)), **span)]  # fmt: skip
    lines += _glucose(found)
    lines += _meals(found)
    lines += _doses(found)
    if found.diary.changes:
        count = told.number(len(found.diary.changes))
        lines.append(fact("visit-changes", count=count))
    lines += told.pattern_lines(found)
    lines += missing_lines(found)
    return lines


def _glucose(found: Figures) -> list[Line]:
    if found.glucose is None:
        return [fact("visit-no-readings"), *(told.low_lines(found.lows) if found.lows else ())]
    spread, unit = found.glucose, found.unit
    days = told.counted(sum(1 for d in found.by_day if d.readings), "day")
    lines = [fact("visit-glucose", count=told.counted(spread.n, "reading"), days=days,
                  mean=told.level(spread.mean, unit), range=told.ends(spread, unit))]  # fmt: skip
    if spread.sd is not None and spread.cv is not None:
        lines.append(fact("visit-cv", sd=told.level(spread.sd, unit),
                          cv=Amount(spread.cv, "percent", 0)))  # fmt: skip
    inside = found.bands["in-range"]
    lines.append(told.band_line("in-range", unit, inside, spread.n))
    lines += told.low_lines(found.lows)
    lines += [line for each in found.after_meal if (line := told.rise_line(each, unit))]
    return lines


def _meals(found: Figures) -> list[Line]:
    if not found.diary.meals:
        return [fact("visit-no-meals")]
    count = len(found.diary.meals)
    lines = [fact("visit-meals", meals=told.counted(count, "meal"),
                  days=told.counted(found.meal_days, "day"), counted=_about(found.counted),
                  mean=_about(found.counted / found.meal_days))]  # fmt: skip
    lines += [
        fact("visit-by-meal", what=told.called(each.name), meals=told.counted(each.meals, "meal"),
             mean=_about(each.mean))
        for each in found.by_meal
    ]  # fmt: skip
    return lines


def _about(value: Fraction) -> Amount:
    """Grams to one decimal."""
    return Amount(value, "g", 1)


def _doses(found: Figures) -> list[Line]:
    doses = found.diary.doses
    lines = []
    if doses:
        lines.append(fact("visit-doses", doses=told.counted(len(doses), "dose"),
                          units=Amount(found.units, "unit"),
                          days=told.counted(found.dose_days, "day"),
                          mean=Amount(found.units / found.dose_days, "unit", 1)))  # fmt: skip
    else:
        lines.append(fact("visit-no-doses"))
    if found.diary.refusals:
        lines.append(fact("visit-refused", count=told.number(len(found.diary.refusals))))
        lines += [
            fact("visit-refused-by", rule=Name(rule.replace("-", " ")), count=told.number(count))
            for rule, count in found.refused.items()
        ]
    if found.diary.declined:
        lines.append(fact("visit-declined",
                          count=told.number(len(found.diary.declined))))  # fmt: skip
    return lines


def missing_lines(found: Figures) -> list[Line]:
    """What the record does not have."""
    lines = []
    if found.empty:
        days = Listed(tuple(CalendarDay(day) for day in found.empty))
        lines.append(fact("missing-days", days=days))
    all_meals = found.after
    if all_meals.unmeasured:
        count = told.counted(all_meals.unmeasured, "meal")
        lines.append(fact("missing-readings", count=count))
    if all_meals.paired.close:
        lines.append(fact("after-close", count=told.counted(len(all_meals.paired.close), "meal")))
    if found.diary.refusals:
        lines.append(fact("missing-refused"))
    if found.diary.unsettled:
        units = Amount(found.diary.unsettled[0].units, "unit")
        when = told.when(found.diary.unsettled[0].at)
        lines.append(fact("missing-unsettled", units=units, **when))
    lines += told.ways_lines(found.diary.meals)
    lines += told.estimate_lines(found.diary.meals)
    if found.diary.gaps:
        lines.append(fact("missing-gap"))
    if found.diary.unread:
        lines.append(fact("missing-unread"))
    if found.diary.highs:
        count = told.counted(len(found.diary.highs), "line")
        lines.append(fact("missing-highs", count=count))
    same = _twins(found)
    if same:
        lines.append(fact("missing-twins", count=told.counted(same, "reading")))
    lines.append(fact("missing-basal"))
    return lines


def _twins(found: Figures) -> int:
    """Readings of files that may be typed ones of another minute."""
    readings = found.diary.readings
    typed = [r for r in readings if not r.imported]
    return len(twins(typed, [r for r in readings if r.imported]))


@dataclass(frozen=True, slots=True)
class Refused:
    """A refused dose: its words and the rules' own sentences, as they were told."""

    at: datetime
    said: str
    why: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """Everything that a report tells. settings: as they were on the last day, a line each.

    since: setting -> when it was said. record: which record it is, the same in all its reports.
    """

    figures: Figures
    made_at: datetime
    summary: tuple[Line, ...]
    missing: tuple[Line, ...]
    settings: tuple[Line, ...]
    since: tuple[tuple[str, datetime], ...]
    refused: tuple[Refused, ...]
    record: str


def visit(ctx: Context, found: Figures) -> Visit:
    """The report's content for a range of days."""
    said = [
        (k.event.name, k.event.value, k.said_at)
        for k in ctx.record.events(("setting-said",))
        if isinstance(k.event, SettingSaid) and k.said_at.date() <= found.days.last
    ]
    then = fold(said)
    shown = numbers_talk.show(replace(ctx, settings=then)).reply.lines
    return Visit(
        found,
        ctx.now,
        tuple(summary_lines(found)),
        tuple(missing_lines(found)),
        tuple(line for line in shown if line.role == "answer"),
        tuple(sorted(then.since.items(), key=lambda pair: pair[1])),
        tuple(
            Refused(k.said_at, k.event.said, _why(k.event))
            for k in ctx.record.events(("dose-refused",))
            if isinstance(k.event, DoseRefused) and found.days.hold(k.said_at)
        ),
        _record_name(ctx),
    )


_ANY = ("food-saved", "meal-counted", "glucose-read", "readings-imported", "dose-taken")


def _record_name(ctx: Context) -> str:
    """Tells one record from others: its first setting, which nothing takes back, with its time."""
    first = ctx.record.events(("setting-said",))[:1] or ctx.record.events(_ANY)[:1]
    return " ".join(f"{k.turn} {k.said_at.isoformat()} {k.text}" for k in first)


def _why(event: DoseRefused) -> tuple[Line, ...]:
    codes = {f"rule-{rule}" for rule in event.rules}
    return tuple(line for line in event.lines if line.code in codes)

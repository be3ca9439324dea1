"""What a report begins with: what a care team needs in two minutes, as lines."""

from datetime import datetime
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue import lookback_lines as told
from assistant.dialogue import numbers_talk
from assistant.dialogue.events import DoseRefused, SettingSaid
from assistant.dialogue.outcome import answer, fact
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.diary.bands import band
from assistant.diary.figures import Figures
from assistant.diary.twins import twins
from assistant.dosing.settings import fold
from assistant.values import Amount, Arg, CalendarDay, Listed


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
    lines += _missing_first(found)
    lines.append(fact("visit-more"))
    return lines


def _glucose(found: Figures) -> list[Line]:
    if found.glucose is None:
        return [fact("visit-no-readings"), *_lows(found)]
    spread, unit = found.glucose, found.unit
    days = told.counted(sum(1 for d in found.by_day if d.readings), "day")
    lines = [fact("visit-glucose", count=told.counted(spread.n, "reading"), days=days,
                  mean=told.level(spread.mean, unit), range=told.ends(spread, unit))]  # fmt: skip
    if spread.sd is not None and spread.cv is not None:
        lines.append(fact("visit-cv", sd=told.level(spread.sd, unit),
                          cv=Amount(spread.cv, "percent", 0)))  # fmt: skip
    inside = found.bands["in-range"]
    lines.append(told.band_line("in-range", unit, inside, spread.n))
    return lines + _lows(found)


def _lows(found: Figures) -> list[Line]:
    """How many, and the newest; the report lists them all."""
    if not found.lows:
        return [fact("lows-none")]
    very = sum(1 for low in found.lows
               if low.reading is not None and band(low.reading.glucose) == "very-low")  # fmt: skip
    _, edge = told.band_label("very-low", found.unit)
    count = fact("visit-lows", count=told.number(len(found.lows)), very=told.number(very),
                 edge=edge)  # fmt: skip
    return [count, told.low_line(found.lows[-1])]


def _meals(found: Figures) -> list[Line]:
    if not found.diary.meals:
        return [fact("visit-no-meals")]
    count = len(found.diary.meals)
    return [fact("visit-meals", meals=told.counted(count, "meal"),
                 days=told.counted(found.meal_days, "day"), counted=_about(found.counted),
                 mean=_about(found.counted / found.meal_days))]  # fmt: skip


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
    lines += _missing_first(found)
    if found.diary.highs:
        count = told.counted(len(found.diary.highs), "line")
        lines.append(fact("missing-highs", count=count))
    same = _twins(found)
    if same:
        lines.append(fact("missing-twins", count=told.counted(same, "reading")))
    if found.diary.clocks_differ():
        lines.append(fact("days-clocks"))
    lines.append(fact("missing-basal"))
    return lines


def _missing_first(found: Figures) -> list[Line]:
    """What is missing, as far as it changes what the figures above say."""
    lines = told.refused_lines(found.diary)
    lines += _unsettled(found)
    lines += told.ways_lines(found.diary.meals)
    lines += told.estimate_lines(found.diary.meals)
    return lines + _doubts(found)


def _unsettled(found: Figures) -> list[Line]:
    if not found.diary.unsettled:
        return []
    first = found.diary.unsettled[0]
    return [fact("missing-unsettled", units=Amount(first.units, "unit"), **told.when(first.at))]


def _doubts(found: Figures) -> list[Line]:
    """Lows and doses that may be missing altogether."""
    lines = [fact("missing-gap")] if found.diary.gaps else []
    return lines + ([fact("missing-unread")] if found.diary.unread else [])


def _twins(found: Figures) -> int:
    """Readings of files that may be typed ones of another minute."""
    readings = found.diary.readings
    typed = [r for r in readings if not r.imported]
    return len(twins(typed, [r for r in readings if r.imported]))


class Refused(Struct, frozen=True):
    """A refused dose: its words and the rules' own sentences, as they were told."""

    at: datetime
    said: str
    why: tuple[Line, ...]


class Visit(Struct, frozen=True):
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


def _without_now(line: Line) -> Line:
    """A line on the settings; of the clock by which they go, without the time of now."""
    if line.code != "clock-settled":
        return line
    return answer("visit-clock", offset=line.args["offset"])


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
        tuple(map(_without_now, (line for line in shown if line.role == "answer"))),
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

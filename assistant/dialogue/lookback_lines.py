"""What a range of days comes to, as lines: for the talk and for the visit's report alike."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.dialogue.meal_lines import grams
from assistant.dialogue.outcome import fact
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import in_own_words
from assistant.diary.bands import BANDS, STABLE_CV, Band, share
from assistant.diary.entries import Diary, Meal
from assistant.diary.figures import (
    FEW,
    After,
    Figures,
    Low,
    high_after,
    lows_by_part,
    pairs_of,
)
from assistant.diary.pairing import Pair
from assistant.diary.parts_of_day import MEALS
from assistant.diary.spread import Spread
from assistant.values import (
    Amount,
    Arg,
    Between,
    CalendarDay,
    ClockTime,
    GlucoseUnit,
    Listed,
    Name,
    Phrase,
    Said,
)

PLACES = {"mg/dL": 0, "mmol/L": 1}
"""Decimals that are told of a glucose figure that was worked out."""
LOWS_TOLD = 5
MEALS_TOLD = 8
"""Newest lows and meals that the talk tells one by one; the report has them all."""


def number(count: int) -> Amount:
    """A count without a unit."""
    return Amount(Fraction(count), "")


def counted(count: int, what: str) -> Amount:
    """So many readings, meals, days."""
    return Amount(Fraction(count), what)


def level(value: Fraction, unit: GlucoseUnit) -> Amount:
    """A glucose figure that was worked out."""
    return Amount(value, unit, PLACES[unit])


def ends(spread: Spread, unit: GlucoseUnit) -> Between:
    """From the lowest to the highest."""
    return Between(spread.low, spread.high, unit, PLACES[unit])


def when(at: datetime) -> dict[str, Arg]:
    """day and clock of a time, by the clock that it carries."""
    return {"day": CalendarDay(at.date()), "clock": ClockTime(at.hour * 60 + at.minute)}


_SHOWN: Mapping[GlucoseUnit, Mapping[Band, tuple[str, str]]] = {
    "mg/dL": {"very-low": ("54", "54"), "low": ("54", "69"), "in-range": ("70", "180"),
              "high": ("181", "250"), "very-high": ("250", "250")},
    "mmol/L": {"very-low": ("3.0", "3.0"), "low": ("3.0", "3.8"), "in-range": ("3.9", "10.0"),
               "high": ("10.1", "13.9"), "very-high": ("13.9", "13.9")},
}  # fmt: skip
"""The bands as the consensus writes them."""


def band_label(name: Band, unit: GlucoseUnit) -> tuple[str, Arg]:
    """below, from or above, and the edges that go with it."""
    low, high = (Fraction(edge) for edge in _SHOWN[unit][name])
    if name in {"very-low", "very-high"}:
        return "below" if name == "very-low" else "above", Amount(low, unit)
    return "from", Between(low, high, unit)


def band_line(name: Band, unit: GlucoseUnit, count: int, total: int) -> Line:
    """How many readings are in a band, and the share."""
    code, edges = band_label(name, unit)
    return fact(f"glucose-band-{code}", edges=edges, count=number(count), total=number(total),
                share=Amount(share(count, total), "percent", 0))  # fmt: skip


def glucose_lines(figures: Figures) -> list[Line]:
    """Mean, spread and bands of all readings. The range has at least one."""
    found = figures.glucose
    assert found is not None
    unit = figures.unit
    lines = [fact("glucose-mean", mean=level(found.mean, unit), range=ends(found, unit))]
    if found.sd is not None and found.cv is not None:
        lines.append(fact("glucose-sd", sd=level(found.sd, unit), cv=Amount(found.cv, "percent", 0),
                          limit=Amount(STABLE_CV, "percent")))  # fmt: skip
    lines += band_lines(figures.bands, unit)
    lines.append(fact("glucose-not-time"))
    if found.n < FEW:
        lines.append(fact("few-readings", count=counted(found.n, "reading")))
    return lines


def band_lines(bands: dict[Band, int], unit: GlucoseUnit) -> list[Line]:
    """How many readings are in each band, and the share; every band is told."""
    total = sum(bands.values())
    return [band_line(name, unit, bands[name], total) for name in BANDS] if total else []


def low_line(low: Low) -> Line:
    """One low, and what was in the hours before."""
    args = when(low.at)
    if low.reading is None:
        return fact("low-felt-at", **args)
    glucose = low.reading.glucose
    return fact("low-at", glucose=Amount(glucose.value, glucose.unit), **args)


def before_lines(low: Low) -> list[Line]:
    """The last meal, dose and reading in the six hours before a low."""
    lines = []
    if low.meal is not None:
        lines.append(fact("low-after-meal", counted=grams(low.meal.counted.value),
                          ago=_ago(low.at, low.meal.at)))  # fmt: skip
    if low.dose is not None:
        units = Amount(low.dose.units, "unit")
        lines.append(fact("low-after-dose", units=units, ago=_ago(low.at, low.dose.at)))
    if low.before is not None:
        glucose = Amount(low.before.glucose.value, low.before.glucose.unit)
        lines.append(fact("low-after-reading", glucose=glucose, ago=_ago(low.at, low.before.at)))
    return lines or [fact("low-after-nothing")]


def _ago(later: datetime, earlier: datetime) -> Arg:
    """Whole hours and minutes between."""
    hours, minutes = divmod((later - earlier) // timedelta(minutes=1), 60)
    parts = ((hours, "hour"), (minutes, "minute"))
    told = tuple(counted(count, unit) for count, unit in parts if count)
    return Listed(told or (counted(0, "minute"),))


def low_lines(lows: Sequence[Low]) -> list[Line]:
    """How many, and the newest of them one by one."""
    if not lows:
        return [fact("lows-none")]
    lines = [fact("lows-count", count=number(len(lows)))]
    lines += [low_line(low) for low in reversed(lows[-LOWS_TOLD:])]
    if len(lows) > LOWS_TOLD:
        lines.append(fact("lows-more", count=number(len(lows) - LOWS_TOLD)))
    return lines


def ways_of(meals: Iterable[Meal]) -> tuple[str, ...]:
    """The ways of counting of these meals, in order of the meals."""
    return tuple(dict.fromkeys(meal.policy for meal in meals if meal.policy))


def refused_lines(here: Diary) -> list[Line]:
    """That a meal whose dose was refused is in no count, where there is one."""
    return [fact("missing-refused")] if here.refusals else []


def ways_lines(meals: Iterable[Meal]) -> list[Line]:
    """That meals counted in several ways are in one sum, where they are."""
    ways = ways_of(meals)
    if len(ways) < 2:
        return []
    return [fact("ways-differ", ways=Listed(tuple(Phrase(f"way-{way}") for way in ways)))]


def estimate_lines(meals: Iterable[Meal]) -> list[Line]:
    """That foods without a label are in a sum, and which."""
    those = [meal for meal in meals if meal.estimates]
    if not those:
        return []
    foods = dict.fromkeys(food for meal in those for food in meal.estimates)
    names = Listed(tuple(Name(food) for food in foods))
    return [fact("sum-has-estimates", meals=counted(len(those), "meal"), foods=names)]


def called(name: str) -> Arg:
    """A meal of the day as a word of the catalogue, or a food by its name."""
    return Phrase(f"meal-{name}") if name in MEALS else Name(name)


def rise_line(each: After, unit: GlucoseUnit) -> Line | None:
    """The rise after some meals in one line; None where none was measured."""
    rise = each.rise
    if rise is None:
        return None
    args: dict[str, Arg] = {"what": called(each.name), "meals": counted(rise.n, "meal")}
    args["rise"] = level(rise.mean, unit)
    if rise.n == 1:
        return fact("after-rise-one", **args)
    return fact("after-rise", range=ends(rise, unit), **args)


def after_lines(each: After, unit: GlucoseUnit) -> list[Line]:
    """The figures after some meals, of which at least one was measured."""
    rise = each.rise
    assert rise is not None
    lines = []
    for code, spread in (("start", each.start), ("two", each.two), ("four", each.four)):
        if spread is not None:
            args: dict[str, Arg] = {"mean": level(spread.mean, unit), "range": ends(spread, unit)}
            meals = counted(spread.n, "meal")
            lines.append(fact(f"after-{code}", meals=meals, **args))
    if rise.sd is not None:
        lines.append(fact("after-rise-sd", sd=level(rise.sd, unit)))
    lines.append(fact("after-bands"))
    lines += band_lines(each.bands, unit)
    if rise.n < FEW:
        lines.append(fact("few-meals", count=counted(rise.n, "meal")))
    return lines


def left_lines(each: After) -> list[Line]:
    """Which meals are not in the figures, and why."""
    lines = []
    if each.paired.close:
        lines.append(fact("after-close", count=counted(len(each.paired.close), "meal")))
    if each.unmeasured:
        lines.append(fact("after-unmeasured", count=counted(each.unmeasured, "meal")))
    return lines


def pair_lines(each: After, unit: GlucoseUnit) -> list[Line]:
    """The newest measured meals, one by one."""
    pairs = pairs_of(each)
    lines = [pair_line(pair, unit) for pair in pairs[:MEALS_TOLD]]
    if len(pairs) > MEALS_TOLD:
        lines.append(fact("after-more", count=counted(len(pairs) - MEALS_TOLD, "meal")))
    return lines


def pair_line(pair: Pair, unit: GlucoseUnit) -> Line:
    """One measured meal."""
    assert pair.start is not None
    assert pair.two is not None
    first, second = pair.start.glucose, pair.two.glucose
    change = pair.rise(unit)
    assert change is not None
    said = Said(in_own_words(pair.meal.said))
    return fact("after-pair" if change >= 0 else "after-pair-fall", said=said,
                counted=grams(pair.meal.counted.value), start=Amount(first.value, first.unit),
                two=Amount(second.value, second.unit), rise=level(abs(change), unit),
                **when(pair.meal.at))  # fmt: skip


def pattern_lines(figures: Figures) -> list[Line]:
    """What came again and again: something to show, never something to change by oneself."""
    lines = [
        fact("pattern-lows", part=Phrase(f"time-{part}"), days=counted(days, "day"))
        for part, days in lows_by_part(figures.lows)
    ]
    lines += [
        fact("pattern-high", what=called(name), count=number(high), total=number(total))
        for name, high, total in high_after(figures.after_meal)
    ]
    return [*lines, fact("pattern-care")] if lines else []


def spread_data(found: Spread | None) -> dict[str, object] | None:
    """A spread for JSON."""
    if found is None:
        return None
    return {"n": found.n, "mean": found.mean, "low": found.low, "high": found.high,
            "median": found.median, "sd": found.sd, "cv_percent": found.cv}  # fmt: skip


def after_data(each: After) -> dict[str, object]:
    """What was read after some meals, for JSON."""
    return {
        "name": each.name,
        "meals": each.meals,
        "measured": len(each.paired.measured),
        "too_close": len(each.paired.close),
        "unmeasured": each.unmeasured,
        "start": spread_data(each.start),
        "two_hours": spread_data(each.two),
        "four_hours": spread_data(each.four),
        "rise": spread_data(each.rise),
        "bands_two_hours": dict(each.bands),
    }


def figures_data(figures: Figures) -> dict[str, object]:
    """The figures of a range of days, for JSON."""
    return {
        "first": figures.days.first.isoformat(),
        "last": figures.days.last.isoformat(),
        "days_with_data": figures.with_data,
        "unit": figures.unit,
        "readings": len(figures.diary.readings),
        "glucose": spread_data(figures.glucose),
        "bands": dict(figures.bands),
        "lows": [low.at for low in figures.lows],
        "meals": len(figures.diary.meals),
        "counted_carbs_g": figures.counted,
        "doses": len(figures.diary.doses),
        "units": figures.units,
        "refused": dict(figures.refused),
        "after": [after_data(each) for each in figures.after_meal],
    }

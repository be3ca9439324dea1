"""The lines of a counted meal and of a dose: every figure on the way, in order."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.counting.facts import FoodFacts
from assistant.counting.policy import Counted, CountedPart
from assistant.counting.portions import Step, Weighed
from assistant.dialogue import recipe_shares
from assistant.dialogue.replies import Line, RuleHit
from assistant.dialogue.shown import PLACES, SHORT, measure
from assistant.dosing.active import TAIL, Left, Shape
from assistant.dosing.rules import Finding
from assistant.dosing.rules_range import ends_over_cap
from assistant.dosing.rules_time import minutes
from assistant.dosing.settings import Settings
from assistant.dosing.working import Facts, NoReading, Working
from assistant.values import (
    Amount,
    Arg,
    Between,
    ClockTime,
    Glucose,
    Listed,
    Moment,
    Name,
    Part,
    Phrase,
    Ranged,
    Said,
)
from grammar.measures import find_measure


def grams(value: Fraction) -> Amount:
    """Grams as shown."""
    return Amount(value, "g", PLACES)


def units(value: Fraction) -> Amount:
    """Units of insulin as shown."""
    return Amount(value, "unit")


def between(ranged: Ranged) -> Between:
    """The range of a count."""
    return Between(ranged.low, ranged.high, "g", PLACES)


def reference_of(facts: FoodFacts) -> Amount:
    """What the label's figures are for, as an amount."""
    if facts.per in {"serving", "recipe"}:
        return Amount(Fraction(1), facts.per)
    return Amount(Fraction(100), "g" if facts.per == "100 g" else "ml")


def _pack_line(step: Step, said: Amount, into: Amount) -> Line:
    """A part of a pack: what a whole one holds, so that the part can be worked out again."""
    args: dict[str, Arg] = {
        "unit": Name(step.unit),
        "one": measure(step.result / step.count, step.into),
        "into": into,
    }
    plain = (step.count * 10**PLACES).denominator == 1
    if plain or step.count > 1 or step.count.denominator > recipe_shares.SIMPLE:
        return Line("working", "step-pack", {**args, "from": said})
    return Line("working", "step-pack-part", {**args, "share": Part(step.count)})


def _step_line(step: Step, facts: FoodFacts) -> Line | None:
    if step.into == "reference" and facts.per in {"serving", "recipe"}:
        return None
    if step.into == "recipe":
        return recipe_shares.step_line(step)
    if step.unit.removeprefix("label ") == step.into.removeprefix("label "):
        return Line("working", "step-same-measure", {"unit": Name(step.unit)}, detail=True)
    said = measure(step.count, step.unit)
    if step.into == "reference":
        args = {
            "from": said,
            "times": Amount(step.result, "times", 4),
            "reference": reference_of(facts),
        }
        return Line("working", "step-reference", args)
    into = measure(step.result, step.into)
    found = find_measure(step.unit)
    if step.why == "label" and found is not None and found[1] == "pack" and step.count != 1:
        return _pack_line(step, said, into)
    if step.why == "source" and step.unit not in SHORT:
        times = Amount(step.count, "times", 4)
        told: dict[str, Arg] = {"times": times, "words": Said(step.unit), "into": into}
        return Line("working", "step-source", told)
    why = Phrase(f"because-{step.why}")
    return Line("working", "step", {"from": said, "into": into, "why": why})


def counted_lines(facts: FoodFacts, counted: Counted) -> tuple[Line, ...]:
    """What one reference amount counts, and why."""
    reference = reference_of(facts)
    region = Phrase(f"region-{facts.region}")
    lines: list[Line] = []
    base = {"reference": reference, "carbohydrate": grams(counted.carbohydrate.value)}
    if counted.reason == "recipe":
        return _recipe_lines(counted)
    if counted.reason == "subtracted":
        fibre = counted.subtractions[0]
        code = "count-less-fibre" if fibre.share == 1 else "count-less-half-fibre"
        less = counted.carbohydrate.value - fibre.taken.value
        lines.append(
            Line("working", code, {**base, "fibre": grams(fibre.figure.value),
                                   "taken": grams(fibre.taken.value), "less": grams(less),
                                   "region": region})
        )  # fmt: skip
    else:
        lines.append(Line("working", f"count-{counted.reason}", {**base, "region": region}))
    running = counted.carbohydrate.value
    for subtraction in counted.subtractions:
        running -= subtraction.taken.value
        if subtraction.nutrient == "fibre":
            continue
        named = subtraction.nutrient != "polyols"
        args: dict[str, Arg] = {
            "polyols": grams(subtraction.figure.value),
            "name": Name(subtraction.nutrient),
            "taken": grams(subtraction.taken.value),
            "less": grams(running),
        }
        code = "count-less-named-polyol" if named else "count-less-polyols"
        if (
            not named
            and len(counted.subtractions) > 1
            and any(s.nutrient not in {"fibre", "polyols"} for s in counted.subtractions)
        ):
            code = "count-less-other-polyols"
        lines.append(Line("working", code, args))
    return tuple(lines)


def part_line(part: CountedPart) -> Line:
    """What one ingredient counts in the whole recipe."""
    args: dict[str, Arg] = {"said": Said(part.ingredient.said), "counted": grams(part.result.value),
                            "range": between(part.result)}  # fmt: skip
    return Line("working", "count-part", args, detail=True)


def _recipe_lines(counted: Counted) -> tuple[Line, ...]:
    """What each ingredient counts, and the whole recipe."""
    args: dict[str, Arg] = {
        "counted": grams(counted.result.value),
        "range": between(counted.result),
    }
    parts = tuple(part_line(part) for part in counted.parts)
    return (*parts, Line("working", "count-recipe", args))


def times_line(
    factor: Fraction, share: recipe_shares.Share | None, one: Fraction, counted: Fraction
) -> Line:
    """The last step of a portion: the count of one reference amount, times how many.

    share: the part of a recipe, multiplied and divided as it is, since it may be no decimal.
    """
    args: dict[str, Arg] = {"one": grams(one), "counted": grams(counted)}
    if share is None:
        return Line("working", "count-times", {"times": Amount(factor, "times", 4), **args})
    count, parts = share
    args["parts"] = Amount(parts, "")
    if count == 1:
        return Line("working", "count-divided", args)
    return Line("working", "count-share", {"count": Amount(count, ""), **args})


def portion_lines(
    said: str, facts: FoodFacts, weighed: Weighed, counted: Counted, total: Ranged
) -> tuple[Line, ...]:
    """One food: what it counts, then each step of how."""
    lines = [
        Line(
            "portion",
            "portion",
            {
                "said": Said(said),
                "food": Name(facts.name),
                "counted": grams(total.value),
                "range": between(total),
            },
        )
    ]
    lines.extend(line for s in weighed.steps if (line := _step_line(s, facts)))
    lines.extend(counted_lines(facts, counted))
    hidden = _hidden_zero(facts, weighed, total)
    if hidden is not None:
        lines.append(hidden)
    if weighed.factor != 1:
        share = recipe_shares.of_whole(weighed) if facts.recipe is not None else None
        lines.append(times_line(weighed.factor, share, counted.result.value, total.value))
    return tuple(lines)


def _hidden_zero(facts: FoodFacts, weighed: Weighed, total: Ranged) -> Line | None:
    """ "0 g" may be up to half a gram; over many servings that adds up, and it is said."""
    figure = facts.nutrients.get("carbohydrate")
    if figure is None or figure.value != 0 or figure.below or total.high < 1:
        return None
    args = {"times": Amount(weighed.factor, "times", 2), "most": grams(total.high)}
    return Line("caution", "hidden-zero", args)


def total_line(total: Ranged, code: str = "total") -> Line:
    """The sum of the portions."""
    return Line("total", code, {"counted": grams(total.value), "range": between(total)})


def _reading_age(facts: Facts) -> list[Line]:
    """How old the reading is, where it is not of now."""
    at, now = facts.glucose_at, facts.now
    if at is None or at >= now or not isinstance(facts.glucose, Glucose):
        return []
    args: dict[str, Arg] = {"moment": Moment(at, now), "age": minutes(now - at)}
    return [Line("working", "work-reading-age", args)]


def _glucose_lines(facts: Facts, w: Working) -> list[Line]:
    if w.glucose is None or w.target is None or w.factor is None:
        code = "work-no-reading" if isinstance(facts.glucose, NoReading) else "work-no-correction"
        return [Line("working", code)]
    unit = w.factor.unit
    lines = []
    for code, level in (("glucose", w.glucose), ("target", w.target)):
        if level.unit != unit:
            args = {"said": Amount(level.value, level.unit),
                    "same": Amount(level.as_unit(unit), unit)}  # fmt: skip
            lines.append(Line("working", f"work-convert-{code}", args))
    above = w.glucose.as_unit(unit) - w.target.as_unit(unit)
    lines.append(
        Line(
            "working",
            "work-correction" if above >= 0 else "work-correction-below",
            {
                "glucose": Amount(w.glucose.as_unit(unit), unit),
                "target": Amount(w.target.as_unit(unit), unit),
                "above": Amount(above, unit),
                "factor": Amount(w.factor.value, f"{unit}/unit"),
                "correction": units(w.correction),
            },
        )
    )
    return lines


def _active_lines(facts: Facts, w: Working) -> list[Line]:
    if not w.lefts:
        return [Line("working", "work-no-active")]
    s = facts.settings
    assert s.active_shape is not None
    assert s.duration is not None
    lines = [active_line(left, s.active_shape, facts.now) for left in w.lefts]
    if s.active_shape == "curve":
        lines.append(curve_line(s.duration))
    args: dict[str, Arg] = {
        "active": units(w.active_total),
        "after": units(w.correction_after),
    }
    if facts.settings.active_rule == "whole":
        lines.append(Line("working", "work-active-whole", args))
    elif w.correction <= 0:
        lines.append(Line("working", "work-active-no-correction", args))
    else:
        code = "work-active-floored" if w.floored else "work-active-correction"
        lines.append(Line("working", code, args))
    return lines


def hours_of(span: timedelta) -> Amount:
    """A span in hours, exact."""
    return Amount(Fraction(span.days * 24) + Fraction(span.seconds, 3600), "hour")


def age_of(span: timedelta) -> Arg:
    """A span in hours and whole minutes: "1 hour and 40 minutes"."""
    whole = span // timedelta(minutes=1)
    parts = [(whole // 60, "hour"), (whole % 60, "minute")]
    said = tuple(Amount(Fraction(n), unit) for n, unit in parts if n)
    return Listed(said or (Amount(Fraction(0), "minute"),))


def active_line(left: Left, shape: Shape, now: datetime) -> Line:
    """What is left of one dose: its units, its time, its age."""
    args: dict[str, Arg] = {
        "taken": units(left.taken.units),
        "left": units(left.units),
        "moment": Moment(left.taken.at, now),
    }
    if left.age < timedelta(0):
        return Line("working", "work-active-ahead", args)
    return Line("working", f"work-active-{shape}", {**args, "age": age_of(left.age)})


def curve_line(duration: timedelta) -> Line:
    """The formula of the curve, so that it can be redone."""
    args = {"hours": hours_of(duration), "twice": hours_of(TAIL * duration)}
    return Line("working", "work-curve", args, detail=True)


def since_lines(settings: Settings, now: datetime) -> tuple[Line, ...]:
    """Which of the dose's settings were said on which day, the last of a day with its time."""
    days: dict[object, list[tuple[datetime, str]]] = {}
    for name in (*settings.NEEDED, "cap_meal", "max_reduction", "reading_age", "ask_range"):
        said_at = settings.since.get(name)
        if said_at is not None:
            at = said_at.astimezone(now.tzinfo)
            days.setdefault(at.date(), []).append((at, name))
    return tuple(
        Line("working", "work-since",
             {"moment": Moment(max(at for at, _ in said), now),
              "settings": Listed(tuple(Phrase(f"setting-{n}") for _, n in said))}, detail=True)
        for _, said in sorted(days.items(), key=lambda day: str(day[0]))
    )  # fmt: skip


_WIDEST = {
    "amount": "work-range-weigh", "label": "work-range-label", "inside": "work-range-inside",
}  # fmt: skip


def dose_lines(facts: Facts, w: Working) -> tuple[Line, ...]:
    """The dose working, each line redone by hand from the ones before."""
    s = facts.settings
    assert s.pen_step is not None
    ratio: dict[str, Arg] = {
        "counted": grams(facts.counted.value),
        "ratio": Amount(w.ratio, "g/unit"),
        "meal": units(w.meal.value),
        "time": ClockTime(w.ratio_from),
    }
    many = s.ratio is not None and len(s.ratio.entries) > 1
    lines = [Line("working", f"work-formula-{s.active_rule}", detail=True)]
    if facts.schedule_at is not None:
        shown = Moment(facts.now, facts.schedule_at)
        lines.append(Line("working", "work-clock", {"moment": shown}))
    lines.append(Line("working", "work-meal-from" if many else "work-meal", ratio))
    lines += _reading_age(facts)
    lines += _glucose_lines(facts, w)
    lines += _active_lines(facts, w)
    args: dict[str, Arg] = {
        "meal": units(w.meal.value),
        "correction": units(abs(w.correction_after)),
        "active": units(w.active_total),
        "exact": units(w.unreduced),
    }
    whole = s.active_rule == "whole" and w.active_total > 0
    sign = "plus" if w.correction_after >= 0 else "minus"
    lines.append(Line("working", f"work-sum-{sign}" + ("-active" if whole else ""), args))
    if facts.reduction is not None and facts.reduction.share > 0 and w.unreduced > 0:
        off: dict[str, Arg] = {
            "share": Amount(facts.reduction.share * 100, "percent"),
            "why": Phrase(f"reduction-{facts.reduction.why}"),
            "sum": units(w.unreduced),
            "off": units(w.taken_off),
            "exact": units(w.exact),
        }
        lines.append(Line("working", "work-reduction", off))
    if w.exact >= 0:
        lines.append(
            Line("working", f"work-round-{s.rounding}",
                 {"exact": units(w.exact), "step": units(s.pen_step), "units": units(w.rounded)})
        )  # fmt: skip
    low, high = w.spread
    if low != high and w.exact >= 0:
        low_r, high_r = w.spread_rounded
        least = units(max(Fraction(0), low))
        ends: dict[str, Arg] = {"range": between(facts.counted), "low": least}
        if ends_over_cap(facts, w):  # a dose above a cap is told nowhere
            ends["low_rounded"] = units(low_r)
            lines.append(Line("working", "work-range-over-cap", ends))
        else:
            ends |= {"high": units(high), "low_rounded": units(low_r),
                     "high_rounded": units(high_r)}  # fmt: skip
            code = "work-range-same" if low_r == high_r else "work-range"
            lines.append(Line("working", code, ends))
        if facts.widest is not None and low_r != high_r:
            why = _WIDEST[facts.widest_by]
            lines.append(Line("working", why, {"food": Name(facts.widest)}))
    return (*lines, *since_lines(s, facts.now))


def rule_hit(finding: Finding) -> RuleHit:
    """A finding of the review as a line."""
    role = "refusal" if finding.kind == "refuse" else "caution"
    code = f"rule-{finding.rule}"
    taken = finding.args.get("taken")
    if finding.rule == "over-window-cap" and isinstance(taken, Amount) and taken.value == 0:
        code = "rule-over-window-cap-none-taken"
    return RuleHit(finding.rule, Line(role, code, finding.args))  # type: ignore[arg-type]


def settings_used(settings: Settings, now_facts: Facts) -> Mapping[str, object]:
    """The settings behind a dose, as plain data with exact figures."""
    assert settings.ratio is not None
    assert settings.factor is not None
    assert settings.target is not None
    assert settings.duration is not None
    assert settings.cap_window is not None
    factor, target = settings.factor.at(now_facts.clock), settings.target.at(now_facts.clock)
    return {
        "grams_per_unit": settings.ratio.at(now_facts.clock)[1],
        "correction_factor": {"value": factor.value, "unit": factor.unit},
        "target": {"value": target.value, "unit": target.unit},
        "duration_minutes": settings.duration.days * 1440 + settings.duration.seconds // 60,
        "active_insulin_shape": settings.active_shape,
        "active_insulin_comes_off": settings.active_rule,
        "pen_step": settings.pen_step,
        "rounding": settings.rounding,
        "cap_at_once": settings.cap_dose,
        "cap_in_window": settings.cap_window.units,
        "cap_window_minutes": settings.cap_window.span.days * 1440
        + settings.cap_window.span.seconds // 60,
        "cap_meal_grams": settings.cap_meal,
        "policy": settings.policy,
        "since": dict(sorted(settings.since.items())),
    }

"""Mistakes in working out a dose: the same working, with one thing changed."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from msgspec.structs import replace

from assistant.dosing.settings import GlucoseSchedule, Schedule
from assistant.dosing.working import Facts, NoReading
from assistant.teaching.mistake import Change, Mistake
from assistant.teaching.scene import Finish, Scene
from assistant.values import Amount, Arg, ClockTime, Glucose, GlucoseUnit

_CORRECTION = ("work-correction", "work-correction-below")
_CONVERSION = ("work-convert-glucose", "work-convert-target", *_CORRECTION)
_MEAL = ("work-meal", "work-meal-from")
_ACTIVE = (
    "work-active-correction", "work-active-floored", "work-active-whole",
    "work-active-no-correction",
)  # fmt: skip
_ROUNDING = ("work-round-down", "work-round-nearest")


def _other(unit: GlucoseUnit) -> GlucoseUnit:
    return "mmol/L" if unit == "mg/dL" else "mg/dL"


def _facts(change: Callable[[Facts], Facts | None]) -> Change:
    def changed(scene: Scene) -> Scene | None:
        facts = None if scene.facts is None else change(scene.facts)
        return None if facts is None else replace(scene, facts=facts)

    return changed


def _reading(value: Fraction, unit: GlucoseUnit) -> Change:
    return _facts(lambda facts: replace(facts, glucose=Glucose(value, unit)))


_ROUGH = Fraction(18)
"""mg/dL in 1 mmol/L as it is often taken in the head; the exact figure is in assistant.values."""


def _units_of_glucose(scene: Scene) -> Iterator[Mistake]:
    """mg/dL taken for mmol/L, or the reverse: not converted, or converted without need."""
    facts = scene.facts
    if facts is None or not isinstance(facts.glucose, Glucose) or facts.settings.factor is None:
        return
    unit, glucose = facts.settings.factor.unit, facts.glucose
    said = Amount(glucose.value, glucose.unit)
    if glucose.unit != unit:
        args = {"said": said, "taken": Amount(glucose.value, unit)}
        yield Mistake("glucose-unit-mixed", _reading(glucose.value, unit), args, steps=_CONVERSION)
        # converted the wrong way round
        away = glucose.as_unit(unit) / glucose.value
        wrong = _reading(glucose.value / away, unit)
        yield Mistake("glucose-converted-wrong-way", wrong, {"said": said}, steps=_CONVERSION)
    else:
        exact = glucose.as_unit(_other(unit))
        rough = glucose.value / _ROUGH if unit == "mg/dL" else glucose.value * _ROUGH
        for value in (exact, rough):
            yield Mistake("glucose-converted-needlessly", _reading(value, unit), {"said": said},
                          steps=_CONVERSION)  # fmt: skip
    target = facts.settings.target
    if target is not None and target.unit != unit:
        mixed = replace(facts.settings, target=GlucoseSchedule(unit, target.schedule))
        change = _facts(lambda f: replace(f, settings=mixed))
        yield Mistake("target-unit-mixed", change, {}, steps=_CONVERSION)


def _correction(scene: Scene) -> Iterator[Mistake]:
    """The correction forgotten, or with the wrong sign."""
    working = scene.working()
    if working is None or working.glucose is None or working.target is None:
        return
    assert working.factor is not None
    forgotten = _facts(lambda facts: replace(facts, glucose=NoReading()))
    yield Mistake("correction-forgotten", forgotten, {}, steps=_CORRECTION)
    unit = working.factor.unit
    glucose, target = working.glucose.as_unit(unit), working.target.as_unit(unit)
    below = "correction-added-below-target"
    kind = below if glucose < target else "correction-taken-off-above-target"
    mirrored = _reading(2 * target - glucose, unit)
    yield Mistake(kind, mirrored, {}, steps=_CORRECTION)


def _active(scene: Scene) -> Iterator[Mistake]:
    """Active insulin forgotten, or taken off something else than was set."""
    working = scene.working()
    if working is None or scene.facts is None or working.active_total == 0:
        return
    forgotten = _facts(lambda facts: replace(facts, doses=()))
    args = {"active": Amount(working.active_total, "unit")}
    yield Mistake("active-forgotten", forgotten, args, steps=_ACTIVE)
    whole = scene.facts.settings.active_rule == "whole"
    settings = replace(scene.facts.settings, active_rule="correction" if whole else "whole")
    kind = "active-off-correction" if whole else "active-off-whole"
    change = _facts(lambda facts: replace(facts, settings=settings))
    yield Mistake(kind, change, args, steps=_ACTIVE)


def _ratios(scene: Scene) -> Iterator[Mistake]:
    """The ratio of another time of day, or multiplied by in place of divided by."""
    working = scene.working()
    if working is None or scene.facts is None or scene.facts.settings.ratio is None:
        return
    for minute, value in scene.facts.settings.ratio.entries:
        if value == working.ratio:
            continue
        args: dict[str, Arg] = {"time": ClockTime(minute), "ratio": Amount(value, "g/unit")}
        yield Mistake("other-ratio", _with_ratio(value), args, steps=_MEAL)
    args_now = {"ratio": Amount(working.ratio, "g/unit")}
    yield Mistake("ratio-multiplied", _with_ratio(1 / working.ratio), args_now, steps=_MEAL)


def _with_ratio(value: Fraction) -> Change:
    def changed(facts: Facts) -> Facts:
        ratio = Schedule(((0, value),))
        return replace(facts, settings=replace(facts.settings, ratio=ratio))

    return _facts(changed)


def _other_times(scene: Scene) -> Iterator[Mistake]:
    """The correction factor or the target of another time of day."""
    working = scene.working()
    if working is None or scene.facts is None or working.factor is None or working.target is None:
        return
    settings = scene.facts.settings
    for name, now in (("factor", working.factor), ("target", working.target)):
        held: GlucoseSchedule = getattr(settings, name)
        for minute, value in held.schedule.entries:
            if value == now.value:
                continue
            other = GlucoseSchedule(held.unit, Schedule(((0, value),)))
            change = _with_setting(name, other)
            yield Mistake(f"other-{name}", change, {"time": ClockTime(minute)}, steps=_CORRECTION)


def _with_setting(name: str, value: GlucoseSchedule) -> Change:
    def changed(facts: Facts) -> Facts:
        settings = replace(facts.settings, **{name: value})
        return replace(facts, settings=settings)

    return _facts(changed)


def _reduction(scene: Scene) -> Iterator[Mistake]:
    """A stated reduction that was not taken off."""
    if scene.facts is not None and scene.facts.reduction is not None:
        change = _facts(lambda facts: replace(facts, reduction=None))
        yield Mistake("reduction-forgotten", change, {}, steps=("work-reduction",))


def _rounding(_scene: Scene) -> Iterator[Mistake]:
    """Rounded another way than was set, or not rounded."""
    finishes: dict[Finish, str] = {
        "up": "rounded-up",
        "down": "rounded-down",
        "nearest": "rounded-nearest",
        "not at all": "not-rounded",
    }
    for finish, kind in finishes.items():
        yield Mistake(kind, _finished(finish), {}, steps=_ROUNDING)


def _finished(finish: Finish) -> Change:
    return lambda scene: replace(scene, finish=finish)


DOSE_KINDS: tuple[Callable[[Scene], Iterator[Mistake]], ...] = (
    _units_of_glucose,
    _correction,
    _active,
    _ratios,
    _other_times,
    _reduction,
    _rounding,
)
"""Every family of mistakes in a dose."""


def dose_mistakes(scene: Scene) -> Iterator[Mistake]:
    """Every mistake that can be made in working this dose out."""
    for family in DOSE_KINDS:
        yield from family(scene)


def own_count(grams: Fraction) -> Mistake:
    """The dose for the learner's own count, which was told to be another."""
    change: Change = lambda scene: replace(scene, own_count=grams)  # noqa: E731
    return Mistake("own-count", change, {"counted": Amount(grams, "g", 2)}, steps=_MEAL)

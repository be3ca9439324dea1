"""The numbers from the care team, as they stand at one moment. None has a default."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct, field
from msgspec.structs import replace

from assistant.counting.policy import Policy
from assistant.dosing.active import Shape
from assistant.values import Glucose, GlucoseUnit

ActiveRule = Literal["correction", "whole"]
Rounding = Literal["down", "nearest"]


class Schedule(Struct, frozen=True):
    """Values by time of day. Each entry holds from its minute until the next one's, over midnight.

    entries: (minutes since midnight, value), in order of time, at least one.
    """

    entries: tuple[tuple[int, Fraction], ...]

    def at(self, moment: datetime) -> tuple[int, Fraction]:
        """(minute from which it holds, value) at this local time of day."""
        minute = moment.hour * 60 + moment.minute
        earlier = [e for e in self.entries if e[0] <= minute]
        return earlier[-1] if earlier else self.entries[-1]


class GlucoseSchedule(Struct, frozen=True):
    """A schedule of glucose figures in the unit in which they were said."""

    unit: GlucoseUnit
    schedule: Schedule

    def at(self, moment: datetime) -> Glucose:
        """The figure at this local time of day."""
        return Glucose(self.schedule.at(moment)[1], self.unit)


class WindowCap(Struct, frozen=True):
    """Never more than units in any span of this length."""

    units: Fraction
    span: timedelta


class Settings(Struct, frozen=True):
    """Everything that the user has said, with since when. None: not said.

    max_reduction: the largest share that a stated reduction may take off a dose. reading_age: how
    old a reading may be. ask_range: the share of the count beyond which its range is asked about.
    """

    policy: Policy | None = None
    glucose_unit: GlucoseUnit | None = None
    label_region: str | None = None
    ratio: Schedule | None = None
    factor: GlucoseSchedule | None = None
    target: GlucoseSchedule | None = None
    duration: timedelta | None = None
    active_shape: Shape | None = None
    active_rule: ActiveRule | None = None
    pen_step: Fraction | None = None
    rounding: Rounding | None = None
    cap_dose: Fraction | None = None
    cap_window: WindowCap | None = None
    cap_meal: Fraction | None = None
    max_reduction: Fraction | None = None
    reading_age: timedelta | None = None
    ask_range: Fraction | None = None
    kitchen: Mapping[str, Fraction] = field(default_factory=dict)
    polyols: Mapping[str, Fraction] = field(default_factory=dict)
    avoid: tuple[str, ...] = ()
    couple: Fraction | None = None
    since: Mapping[str, datetime] = field(default_factory=dict)

    NEEDED = (
        "ratio",
        "factor",
        "target",
        "duration",
        "active_shape",
        "active_rule",
        "pen_step",
        "rounding",
        "cap_dose",
        "cap_window",
    )

    def missing(self) -> tuple[str, ...]:
        """Names of the settings that a dose needs and that were not said."""
        return tuple(name for name in self.NEEDED if getattr(self, name) is None)

    def by_time_of_day(self) -> tuple[str, ...]:
        """Names of the settings that hold more than one value a day."""
        named = {"ratio": self.ratio}
        named |= {
            name: found.schedule if found else None
            for name, found in (("factor", self.factor), ("target", self.target))
        }
        return tuple(n for n, schedule in named.items() if schedule and len(schedule.entries) > 1)

    @property
    def untouched(self) -> bool:
        """True when none of the dose settings was ever said: the user only counts."""
        return len(self.missing()) == len(self.NEEDED)


def span_of(minutes: Fraction) -> timedelta:
    """A span of so many minutes, to the microsecond; no float is made of it."""
    return timedelta(microseconds=round(minutes * 60_000_000))


def _schedule(value: Mapping[str, Any]) -> Schedule:
    return Schedule(tuple((int(m), Fraction(v)) for m, v in value["from"]))


_PLAIN: Mapping[str, str] = {
    "policy": "policy",
    "label_region": "region",
    "glucose_unit": "unit",
    "active_shape": "shape",
    "active_rule": "off",
    "rounding": "rule",
}
"""Settings that are one word, and the key under which the journal has it."""
_FIGURES: Mapping[str, str] = {
    "pen_step": "units",
    "cap_dose": "units",
    "cap_meal": "grams",
    "couple": "number",
    "max_reduction": "share",
    "ask_range": "share",
}
"""Settings that are one exact figure, likewise."""


def _one(name: str, value: Mapping[str, Any]) -> Any:
    if name in _PLAIN:
        return value[_PLAIN[name]]
    if name in _FIGURES:
        return Fraction(value[_FIGURES[name]])
    match name:
        case "ratio":
            return _schedule(value)
        case "factor" | "target":
            return GlucoseSchedule(value["unit"], _schedule(value))
        case "duration" | "reading_age":
            return span_of(Fraction(value["minutes"]))
        case "cap_window":
            return WindowCap(Fraction(value["units"]), span_of(Fraction(value["minutes"])))
        case "avoid":
            return tuple(value["words"])
    raise ValueError(f"no setting is called {name}")


def topic(name: str, value: Mapping[str, Any]) -> str:
    """What a said setting replaces: the last of each topic makes the settings, whatever was before.

    One name is one topic, except that each kitchen measure and each sugar alcohol has its own.
    """
    inner = {"kitchen": "unit", "polyols": "name"}.get(name)
    return name if inner is None else f"{name} {value.get(inner)}"


def fold(said: Iterable[tuple[str, Mapping[str, Any], datetime]]) -> Settings:
    """The settings after these (name, value, when), oldest first; the last of each name holds."""
    settings = Settings()
    since: dict[str, datetime] = {}
    kitchen: dict[str, Fraction] = {}
    polyols: dict[str, Fraction] = {}
    for name, value, when in said:
        since[name] = when
        if name == "kitchen":
            kitchen[str(value["unit"])] = Fraction(value["millilitres"])
            continue
        if name == "polyols":
            polyols[str(value["name"])] = Fraction(value["counts"])
            continue
        settings = replace(settings, **{name: _one(name, value)})
    return replace(settings, kitchen=kitchen, polyols=polyols, since=since)

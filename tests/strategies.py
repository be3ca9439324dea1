"""Settings, facts and Hypothesis strategies that the dosing and counting tests share.

Every figure here is invented unless a test names its source. No setting is a recommendation.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from fractions import Fraction

from hypothesis import strategies as st

from assistant.dosing.active import Taken
from assistant.dosing.settings import GlucoseSchedule, Schedule, Settings, WindowCap
from assistant.dosing.working import Facts, NotGiven
from assistant.values import Glucose, Ranged

NOW = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def all_day(value: str | Fraction) -> Schedule:
    """One value for the whole day."""
    return Schedule(((0, Fraction(value)),))


def invented_settings(
    ratio: str | Fraction = "10",
    factor: str | Fraction = "50",
    target: str | Fraction = "120",
    unit: str = "mg/dL",
    **changes: object,
) -> Settings:
    """Complete settings: wide caps, one-unit pen, rounding down, active insulin off correction."""
    values: dict[str, object] = {
        "policy": "total",
        "glucose_unit": unit,
        "ratio": all_day(ratio),
        "factor": GlucoseSchedule(unit, all_day(factor)),
        "target": GlucoseSchedule(unit, all_day(target)),
        "duration": timedelta(hours=4),
        "active_shape": "line",
        "active_rule": "correction",
        "pen_step": Fraction(1),
        "rounding": "down",
        "cap_dose": Fraction(100),
        "cap_window": WindowCap(Fraction(1000), timedelta(hours=4)),
        **changes,
    }
    return Settings(**values)


def invented_facts(
    carbs: str | Fraction | Ranged = "60",
    glucose: str | Fraction | Glucose | object | None = None,
    settings: Settings | None = None,
    doses: Iterable[Taken] = (),
    now: datetime = NOW,
    earlier: Glucose | None = None,
    **known: object,
) -> Facts:
    """Facts of one meal. glucose: a figure in the settings' own unit, or a whole reading."""
    settings = settings or invented_settings()
    if not isinstance(carbs, Ranged):
        carbs = Ranged.exactly(Fraction(carbs))
    if glucose is None:
        glucose = NotGiven()
    elif isinstance(glucose, str | Fraction):
        assert settings.glucose_unit is not None
        glucose = Glucose(Fraction(glucose), settings.glucose_unit)
    return Facts(carbs, glucose, settings, tuple(doses), now, earlier, **known)


def ago(units: str | Fraction, **age: float) -> Taken:
    """A dose taken this long before NOW: ago("4", hours=2)."""
    return Taken(Fraction(units), NOW - timedelta(**age))


# Strategies


def fractions(low: str, high: str) -> st.SearchStrategy[Fraction]:
    """Exact figures in [low, high] with halves, thirds, sevenths and hundredths among them."""
    parts = 2100
    ends = [int(Fraction(end) * parts) for end in (low, high)]
    return st.integers(*ends).map(lambda n: Fraction(n, parts))


@st.composite
def ranged(draw: st.DrawFn, high: str = "300") -> Ranged:
    """low <= value <= high, from nought."""
    ends = sorted(draw(fractions("0", high)) for _ in range(3))
    return Ranged(ends[1], ends[0], ends[2])


@st.composite
def schedules(draw: st.DrawFn, low: str, high: str) -> Schedule:
    """One to three entries, in order of time."""
    starts = draw(st.lists(st.integers(0, 1439), min_size=1, max_size=3, unique=True))
    return Schedule(tuple((start, draw(fractions(low, high))) for start in sorted(starts)))


moments = st.integers(0, 7 * 86_400).map(lambda second: NOW + timedelta(seconds=second))


@st.composite
def dose_settings(draw: st.DrawFn) -> Settings:
    """Complete settings, in mg/dL."""
    return Settings(
        policy="total",
        glucose_unit="mg/dL",
        ratio=draw(schedules("2", "60")),
        factor=GlucoseSchedule("mg/dL", draw(schedules("10", "300"))),
        target=GlucoseSchedule("mg/dL", draw(schedules("72", "180"))),
        duration=timedelta(minutes=draw(st.integers(120, 480))),
        active_shape=draw(st.sampled_from(["line", "curve"])),
        active_rule=draw(st.sampled_from(["correction", "whole"])),
        pen_step=draw(
            st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(1, 20)])
        ),
        rounding=draw(st.sampled_from(["down", "nearest"])),
        cap_dose=draw(fractions("1", "40")),
        cap_window=WindowCap(
            draw(fractions("1", "80")), timedelta(minutes=draw(st.integers(60, 1440)))
        ),
    )


@st.composite
def doses_before(draw: st.DrawFn, now: datetime, least: int = 0) -> tuple[Taken, ...]:
    """Up to four doses, from a day before now to an hour after it."""
    ages = draw(st.lists(st.integers(-3600, 86_400), min_size=least, max_size=4))
    return tuple(Taken(draw(fractions("1/20", "20")), now - timedelta(seconds=age)) for age in ages)


@st.composite
def dose_facts(draw: st.DrawFn) -> Facts:
    """Complete facts with a reading in mg/dL."""
    now = draw(moments)
    return Facts(
        draw(ranged()),
        Glucose(draw(fractions("20", "500")), "mg/dL"),
        draw(dose_settings()),
        draw(doses_before(now)),
        now,
    )

"""The published glucose bands, and how readings fall on them.

International consensus on time in range (Battelino et al., Diabetes Care 2019;42:1593): below 54
mg/dL (3.0 mmol/L), 54 to 69 (3.0 to 3.8), 70 to 180 (3.9 to 10.0), 181 to 250 (10.1 to 13.9), above
250 (13.9). A reading is held against the edges of its own unit, so a meter's figure falls as its
user reads it. The consensus counts time of a sensor; a share of readings is not a share of time.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Literal

from assistant.diary.entries import Reading
from assistant.values import Glucose, GlucoseUnit

Band = Literal["very-low", "low", "in-range", "high", "very-high"]

BANDS: tuple[Band, ...] = ("very-low", "low", "in-range", "high", "very-high")

EDGES: Mapping[GlucoseUnit, tuple[Fraction, Fraction, Fraction, Fraction]] = {
    "mg/dL": (Fraction(54), Fraction(70), Fraction(180), Fraction(250)),
    "mmol/L": (Fraction("3.0"), Fraction("3.9"), Fraction("10.0"), Fraction("13.9")),
}
"""Below the first, below the second, up to and with the third, up to and with the fourth, above."""

STABLE_CV = Fraction(36)
"""Percent: the consensus calls glucose stable up to this coefficient of variation."""


def band(glucose: Glucose) -> Band:
    """The band of a reading."""
    very_low, low, high, very_high = EDGES[glucose.unit]
    if glucose.value < very_low:
        return "very-low"
    if glucose.value < low:
        return "low"
    if glucose.value <= high:
        return "in-range"
    return "high" if glucose.value <= very_high else "very-high"


def is_low(glucose: Glucose) -> bool:
    """Below the range: low or very low."""
    return band(glucose) in {"very-low", "low"}


def counted(readings: Iterable[Reading]) -> dict[Band, int]:
    """How many readings fall in each band; every band is there."""
    found: dict[Band, int] = dict.fromkeys(BANDS, 0)
    for reading in readings:
        found[band(reading.glucose)] += 1
    return found


def share(part: int, whole: int) -> Fraction:
    """Percent, exact. whole is not nought."""
    return Fraction(100 * part, whole)

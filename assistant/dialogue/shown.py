"""How a count of a measure is shown."""

from fractions import Fraction

from assistant.values import Amount

PLACES = 2
SHORT = {"gram": "g", "millilitre": "ml", "kilogram": "kg", "litre": "l"}


def measure(count: Fraction, unit: str) -> Amount:
    """A count of a measure, in the renderer's codes."""
    return Amount(count, SHORT.get(unit, unit.removeprefix("label ")), PLACES)

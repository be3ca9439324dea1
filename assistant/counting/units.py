"""Metric and avoirdupois units, exact, by pint; and what a label's kitchen measures hold."""

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

LABEL_MILLILITRES: Mapping[str, Fraction] = {
    "cup": Fraction(240),
    "tablespoon": Fraction(15),
    "teaspoon": Fraction(5),
    "fluid ounce": Fraction(30),
}
"""Household measures on a US label: 21 CFR 101.9(b)(5)(viii)."""

KITCHEN = ("cup", "tablespoon", "teaspoon", "fluid ounce", "pint", "quart", "gallon")
"""Measures whose size differs from kitchen to kitchen; the user's own are a setting."""


@cache
def _registry() -> Any:  # pint's registry is generic in a way that strict typing cannot name here
    # Start-up pays for neither.
    from importlib.resources import files  # noqa: PLC0415

    from pint import UnitRegistry  # noqa: PLC0415

    text = files("assistant.counting").joinpath("units.txt").read_text(encoding="utf-8")
    return UnitRegistry(text.splitlines(), non_int_type=Fraction, cache_folder=None)


@cache
def conversion(unit: str, to: str) -> Fraction:
    """How many of `to` one `unit` is, exactly. Both are names of units.txt.

    Raises pint's errors on a unit that is not there or of another dimension: a bug, not input.
    """
    registry = _registry()
    value = registry.Quantity(Fraction(1), unit).to(to).magnitude
    assert isinstance(value, Fraction | int)
    return Fraction(value)

"""What a dose, or a count, is held against: the user's caps. The cap itself is allowed."""

from collections.abc import Mapping
from fractions import Fraction

from assistant.dosing.active import in_window
from assistant.dosing.rule import units
from assistant.dosing.working import Facts
from assistant.values import Amount, Arg


def over_dose(facts: Facts, dose: Fraction) -> Mapping[str, Arg] | None:
    """The cap on one dose, where so many units pass it; None where they do not, or none is set."""
    cap = facts.settings.cap_dose
    return None if cap is None or dose <= cap else {"cap": units(cap)}


def over_window(facts: Facts, dose: Fraction) -> Mapping[str, Arg] | None:
    """The cap on a span of hours and what was taken in it, where so many units more pass it.

    Whole doses count. A dose of nought adds nothing, so it passes nothing.
    """
    cap = facts.settings.cap_window
    if cap is None or dose <= 0:
        return None
    taken = in_window(facts.doses, facts.now, cap.span)
    total = sum((each.units for each in taken), Fraction(0))
    if total + dose <= cap.units:
        return None
    hours = Fraction(cap.span.days * 24) + Fraction(cap.span.seconds, 3600)
    return {"cap": units(cap.units), "hours": Amount(hours, "hour"), "taken": units(total)}


def over_meal(facts: Facts, counted: Fraction) -> Mapping[str, Arg] | None:
    """The cap on the carbohydrate of one meal, where so many grams pass it."""
    cap = facts.settings.cap_meal
    return None if cap is None or counted <= cap else {"cap": Amount(cap, "g")}

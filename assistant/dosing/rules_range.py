"""Rules on the range of a count: what its ends would do to the dose.

The suggestion is worked out from the middle. Its upper end is held against the caps as well: a dose
above a cap is never told, so where the upper end passes one, that is said in its place.
"""

from collections.abc import Mapping

from assistant.dosing.caps import over_dose, over_meal, over_window
from assistant.dosing.rule import Case, Finding, units
from assistant.values import Amount, Arg


def ends_over_cap(case: Case) -> bool:
    """Would the dose at the upper end of the range pass a cap on doses?"""
    if case.working is None:
        return False
    _, high = case.working.spread_rounded
    return over_dose(case.facts, high) is not None or over_window(case.facts, high) is not None


def _low_end(case: Case, cap: Mapping[str, Arg] | None) -> Mapping[str, Arg] | None:
    """The cap with the dose at the lower end of the range, which may be told."""
    if case.working is None or cap is None:
        return None
    return {"low": units(case.working.spread_rounded[0]), **cap}


class RangeOverDoseCap:
    """The upper end of the count would take the dose above the cap."""

    id = "range-over-dose-cap"

    def look(self, case: Case) -> Finding | None:
        """Cautions, where the dose of the middle itself stays within the cap."""
        if case.working is None or over_dose(case.facts, case.working.rounded) is not None:
            return None
        args = _low_end(case, over_dose(case.facts, case.working.spread_rounded[1]))
        return None if args is None else Finding(self.id, "caution", args, about_dose=True)


class RangeOverWindowCap:
    """The upper end would take the doses of some hours above their cap."""

    id = "range-over-window-cap"

    def look(self, case: Case) -> Finding | None:
        """Cautions, where the dose of the middle itself stays within the cap."""
        if case.working is None or over_window(case.facts, case.working.rounded) is not None:
            return None
        args = _low_end(case, over_window(case.facts, case.working.spread_rounded[1]))
        return None if args is None else Finding(self.id, "caution", args, about_dose=True)


class RangeOverMealCap:
    """The upper end of the count is above the cap on a meal."""

    id = "range-over-meal-cap"

    def look(self, case: Case) -> Finding | None:
        """Cautions, where the count itself stays within the cap."""
        counted = case.facts.counted
        cap = over_meal(case.facts, counted.high)
        if cap is None or over_meal(case.facts, counted.value) is not None:
            return None
        args = {**cap, "counted": Amount(counted.high, "g", 2)}
        return Finding(self.id, "caution", args)


class RangeMovesDose:
    """The range of the count reaches another step of the pen."""

    id = "range-moves-dose"

    def look(self, case: Case) -> Finding | None:
        """Cautions when the ends of the range are more than one pen step apart, and neither
        passes a cap (that is told by itself)."""
        step = case.facts.settings.pen_step
        if case.working is None or step is None or ends_over_cap(case):
            return None
        low, high = case.working.spread_rounded
        if high - low <= step:
            return None
        ends = {"low": units(low), "high": units(high)}
        return Finding(self.id, "caution", ends, about_dose=True)

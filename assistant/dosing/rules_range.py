"""Rules on the range of a count: what its ends would do to the dose.

The suggestion is worked out from the middle. Its upper end is held against the caps as well: a dose
above a cap is never told, so where the upper end passes one, that is said in its place.
"""

from assistant.dosing.caps import over_dose, over_meal, over_window
from assistant.dosing.rule import Case, Finding, units
from assistant.dosing.working import Facts, Working
from assistant.values import Amount


def ends_over_cap(facts: Facts, working: Working) -> bool:
    """Would the dose at the upper end of the range pass a cap on doses?"""
    _, high = working.spread_rounded
    return over_dose(facts, high) is not None or over_window(facts, high) is not None


class RangeOverDoseCap:
    """The upper end of the count would take the dose above the cap."""

    id = "range-over-dose-cap"

    def look(self, case: Case) -> Finding | None:
        """Cautions, where the dose of the middle itself stays within the cap."""
        if case.working is None or over_dose(case.facts, case.working.rounded) is not None:
            return None
        low, high = case.working.spread_rounded
        cap = over_dose(case.facts, high)
        if cap is None:
            return None
        return Finding(self.id, "caution", {"low": units(low), **cap}, about_dose=True)


class RangeOverWindowCap:
    """The upper end would take the doses of some hours above their cap."""

    id = "range-over-window-cap"

    def look(self, case: Case) -> Finding | None:
        """Cautions, where the dose of the middle itself stays within the cap."""
        if case.working is None or over_window(case.facts, case.working.rounded) is not None:
            return None
        low, high = case.working.spread_rounded
        cap = over_window(case.facts, high)
        if cap is None:
            return None
        return Finding(self.id, "caution", {"low": units(low), **cap}, about_dose=True)


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
        if case.working is None or step is None or ends_over_cap(case.facts, case.working):
            return None
        low, high = case.working.spread_rounded
        if high - low <= step:
            return None
        ends = {"low": units(low), "high": units(high)}
        return Finding(self.id, "caution", ends, about_dose=True)

"""Rules on the record: labels that failed a check, caps raised lately, a wide count."""

from collections.abc import Mapping
from fractions import Fraction

from assistant.dosing.rule import Case, Finding
from assistant.dosing.working import Raised
from assistant.values import Amount, Arg, Between, Listed, Moment, Name


class FoodDoubted:
    """A label whose carbohydrate figure contradicts itself is nothing to dose from."""

    id = "food-doubted"

    def look(self, case: Case) -> Finding | None:
        """Refuses where a failed check is about the carbohydrate figure itself."""
        doubted = case.facts.doubted
        if not doubted:
            return None
        return Finding(self.id, "refuse", {"foods": Listed(tuple(Name(n) for n in doubted))})


class FoodUnchecked:
    """A label on which some other check failed, and which the user kept all the same."""

    id = "food-failed-check"

    def look(self, case: Case) -> Finding | None:
        """Cautions: the check cannot tell which figure is off, and lawful labels may fail it."""
        unchecked = tuple(n for n in case.facts.unchecked if n not in case.facts.doubted)
        if not unchecked:
            return None
        return Finding(self.id, "caution", {"foods": Listed(tuple(Name(n) for n in unchecked))})


class SettingsChanged:
    """A number that was said since the open suggestion was made."""

    id = "settings-changed"

    def look(self, case: Case) -> Finding | None:
        """Cautions while a suggestion is open that did not know of the change."""
        waiting = case.open_suggestion
        if waiting is None or not waiting.settings_changed:
            return None
        return Finding(self.id, "caution", {"moment": waiting.moment})


_UNITS: Mapping[str, tuple[str, int]] = {
    "cap_meal": ("g", 1),
    "max_reduction": ("percent", 100),
    "ask_range": ("percent", 100),
    "reading_age": ("minute", 1),
}


def raised_args(raised: Raised) -> Mapping[str, Arg]:
    """The old figure and the new one in their unit; of a window, its hours too."""
    unit, times = _UNITS.get(raised.name, ("unit", 1))
    args: dict[str, Arg] = {
        "old": Amount(raised.old * times, unit),
        "new": Amount(raised.new * times, unit),
    }
    if raised.hours is not None and raised.old_hours is not None:
        args["old_hours"] = Amount(raised.old_hours, "hour")
        args["hours"] = Amount(raised.hours, "hour")
    return args


class LimitRaised:
    """A limit that was raised is told for three doses, so that no slip stays unseen."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.id = f"raised-{name}"

    def look(self, case: Case) -> Finding | None:
        """Cautions: what the limit was, what it is, since when."""
        last = next((r for r in reversed(case.facts.raised) if r.name == self.name), None)
        if last is None:
            return None
        moment = Moment(last.at, case.facts.now)
        return Finding(self.id, "caution", {**raised_args(last), "moment": moment})


ESTIMATE_SHARE = Fraction(1, 5)
"""Beyond this share of the count a plate with an estimated food is always asked about (our
choice; no source). The user's own share may be narrower, never wider."""


def _share(case: Case) -> Fraction | None:
    """The share of the count beyond which its range is asked about; None where nobody set one."""
    share = case.facts.settings.ask_range
    if not case.facts.estimated:
        return share
    return ESTIMATE_SHARE if share is None else min(share, ESTIMATE_SHARE)


def too_wide(case: Case) -> bool:
    """Is the range of the count wider than the share of it that the user, or an estimate, sets?"""
    counted, share = case.facts.counted, _share(case)
    return share is not None and counted.width > share * counted.value


def _range(case: Case) -> Mapping[str, Arg]:
    counted = case.facts.counted
    share = _share(case) or Fraction(0)
    return {
        "range": Between(counted.low, counted.high, "g", 2),
        "share": Amount(share * 100, "percent"),
    }


class RangeTooWide:
    """A count that is too unsure to dose from, by the user's own measure."""

    id = "range-too-wide"

    def look(self, case: Case) -> Finding | None:
        """Asks where the range is wider than that share of the count, unless it is confirmed."""
        if case.facts.confirmed or not too_wide(case):
            return None
        return Finding(self.id, "ask", _range(case))


class RangeWide:
    """The same range, where the user said that the count is right."""

    id = "range-wide"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        if not case.facts.confirmed or not too_wide(case):
            return None
        return Finding(self.id, "caution", _range(case))

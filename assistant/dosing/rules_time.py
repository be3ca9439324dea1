"""Rules on times: of the reading, of the meal, of the clock itself."""

from datetime import timedelta
from fractions import Fraction

from assistant.dosing.rule import Case, Finding
from assistant.values import Amount, Glucose, Listed, Moment, Phrase, Typed

SLACK = timedelta(minutes=2)
"""A clock that is set back by no more than this was only put right (common practice, no source)."""
SOON = timedelta(minutes=15)
"""A dose is worked out for a meal no further from now than this (common practice, no source:
rapid-acting insulin begins to act in about 15 minutes, Am Fam Physician 2005;72:805)."""


FRESH = timedelta(minutes=5)
"""A reading said this long ago still stands for now where its sentence only waited for an answer
(common practice, no source)."""


def minutes(span: timedelta) -> Amount:
    """A span in whole minutes, rounded up."""
    return Amount(Fraction(-(-span // timedelta(minutes=1))), "minute")


def offset_text(offset: int) -> str:
    """A clock's offset in minutes as it is typed: "+02:00"."""
    sign = "-" if offset < 0 else "+"
    return f"{sign}{abs(offset) // 60:02d}:{abs(offset) % 60:02d}"


def _age(case: Case) -> timedelta | None:
    """How old the reading is; None where there is none, or where it is of now."""
    facts = case.facts
    if not isinstance(facts.glucose, Glucose) or facts.glucose_at is None:
        return None
    age = facts.now - facts.glucose_at
    return age if age else None


class GlucoseOld:
    """A reading older than the user lets count."""

    id = "glucose-old"

    def look(self, case: Case) -> Finding | None:
        """Refuses above the user's limit; the limit itself is allowed."""
        age, limit = _age(case), case.facts.settings.reading_age
        if age is None or limit is None or age <= limit:
            return None
        return Finding(self.id, "refuse", {"age": minutes(age), "limit": minutes(limit)})


class ReadingAgeMissing:
    """A reading with an age, and no word on how old one may be: no limit is made up."""

    id = "reading-age-missing"

    def look(self, case: Case) -> Finding | None:
        """Refuses, and tells the sentence that sets the limit. A reading without a time, in a
        sentence that waited for an answer, is of now for 5 minutes."""
        age = _age(case)
        if age is None or age < timedelta(0) or case.facts.settings.reading_age is not None:
            return None
        if case.facts.glucose_waited and age <= FRESH:
            return None
        sentence = Typed("a reading counts for ... minutes")
        return Finding(self.id, "refuse", {"age": minutes(age), "sentence": sentence})


class GlucoseAhead:
    """A reading cannot be of a time that is still to come."""

    id = "glucose-ahead"

    def look(self, case: Case) -> Finding | None:
        """Refuses a reading dated after now."""
        age, at = _age(case), case.facts.glucose_at
        if age is None or at is None or age >= timedelta(0):
            return None
        return Finding(self.id, "refuse", {"moment": Moment(at, case.facts.now)})


class MealNotNow:
    """Glucose, active insulin and the plate are of now; another time has others."""

    id = "meal-not-now"

    def look(self, case: Case) -> Finding | None:
        """Refuses for a meal more than 15 minutes ahead of now, or behind it."""
        at, now = case.facts.meal_at, case.facts.now
        if at is None or abs(at - now) <= SOON:
            return None
        return Finding(self.id, "refuse", {"moment": Moment(at, now), "limit": minutes(SOON)})


class ClockWentBack:
    """With a clock that went back, the age of every dose is wrong."""

    id = "clock-went-back"

    def look(self, case: Case) -> Finding | None:
        """Refuses when now is earlier than the newest turn of the journal by over 2 minutes."""
        newest, now = case.facts.newest, case.facts.now
        if newest is None or newest - now <= SLACK:
            return None
        args = {"moment": Moment(newest, now), "now": Moment(now, now)}
        return Finding(self.id, "refuse", args)


class ClockChanged:
    """Travel, or summer time: which clock do the times of day go by?"""

    id = "clock-changed"

    def look(self, case: Case) -> Finding | None:
        """Asks while a schedule of several values has a clock that is not settled."""
        facts = case.facts
        if not facts.clocks:
            return None
        names = facts.settings.by_time_of_day()
        return Finding(
            self.id,
            "ask",
            {"settings": Listed(tuple(Phrase(f"setting-{n}") for n in names))},
        )


class SameMealTwice:
    """The same meal a moment after it was counted: typed twice, or eaten twice?"""

    id = "same-meal-twice"

    def look(self, case: Case) -> Finding | None:
        """Asks, unless the sentence says that it is right."""
        at = case.facts.same_meal_at
        if at is None or case.facts.confirmed:
            return None
        return Finding(self.id, "ask", {"moment": Moment(at, case.facts.now)})


class SameMealAgain:
    """The same meal a moment later, and the user said that it is right."""

    id = "same-meal-again"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        at = case.facts.same_meal_at
        if at is None or not case.facts.confirmed:
            return None
        return Finding(self.id, "caution", {"moment": Moment(at, case.facts.now)})

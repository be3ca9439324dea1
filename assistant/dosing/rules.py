"""The rules that every dose must pass. Each is one small object with an id.

A rule looks at the facts and the working and says nothing, or what it has to say: refuse (no
dose), ask (no dose until answered), caution (the dose stands, with a warning). The review runs
them all. To add one: write a class, put it in all_rules, give it a text and two tests. Rules on
times are in rules_time, on the day's life in rules_life, on the record in rules_record, on the
ends of a range in rules_range; what a cap is, in caps.
"""

from datetime import datetime
from fractions import Fraction

from assistant.dosing.caps import over_dose, over_meal, over_window
from assistant.dosing.limits import LIMITS
from assistant.dosing.rule import Case, Finding, OpenSuggestion, Rule, units
from assistant.dosing.rules_life import (
    ActivityNotSettled,
    ActivitySaid,
    AlcoholSaid,
    HighFatProtein,
    IllnessSaid,
    ReductionNoBound,
    ReductionOverBound,
)
from assistant.dosing.rules_range import (
    RangeMovesDose,
    RangeOverDoseCap,
    RangeOverMealCap,
    RangeOverWindowCap,
)
from assistant.dosing.rules_record import (
    FoodDoubted,
    FoodUnchecked,
    LimitRaised,
    RangeTooWide,
    RangeWide,
    SettingsChanged,
)
from assistant.dosing.rules_time import (
    ClockChanged,
    ClockWentBack,
    GlucoseAhead,
    GlucoseOld,
    MealNotNow,
    ReadingAgeMissing,
    SameMealAgain,
    SameMealTwice,
)
from assistant.dosing.working import Facts, NoReading, NotGiven
from assistant.values import Amount, Arg, Glucose, Listed, Moment, Phrase, Typed

__all__ = ["Case", "Finding", "OpenSuggestion", "Rule", "all_rules", "is_low"]

LOW = Glucose(Fraction(70), "mg/dL")
"""Below this no insulin is suggested: level 1 hypoglycaemia, under 70 mg/dL (3.9 mmol/L),
Battelino et al., Diabetes Care 2019;42:1593."""
LOW_MMOL = Glucose(Fraction("3.9"), "mmol/L")
VERY_HIGH = Glucose(Fraction(240), "mg/dL")
"""Above this the user is told to think of ketones: American Diabetes Association, 240 mg/dL."""
VERY_HIGH_MMOL = Glucose(Fraction(14), "mmol/L")
"""UK leaflets: above 14 mmol/L (NHS Forth Valley, type 1 illness page)."""


def is_low(glucose: Glucose) -> bool:
    """Under 3.9 mmol/L or 70 mg/dL, each in its own unit: 3.9 itself and 70 itself are not."""
    return glucose.value < (LOW if glucose.unit == "mg/dL" else LOW_MMOL).value


class SettingsMissing:
    """A dose needs every number from the care team."""

    id = "settings-missing"

    def look(self, case: Case) -> Finding | None:
        """Refuses, and names each missing setting with the sentence that sets it."""
        missing = case.facts.settings.missing()
        if not missing:
            return None
        items = tuple(Phrase(f"setting-{name}") for name in missing)
        return Finding(self.id, "refuse", {"missing": Listed(items)})


class UnconfirmedSuggestion:
    """While it is not known whether the last dose was taken, active insulin is not known."""

    id = "unconfirmed-suggestion"

    def look(self, case: Case) -> Finding | None:
        """Refuses while a suggestion is open."""
        waiting = case.open_suggestion
        if waiting is None:
            return None
        return Finding(self.id, "refuse", {"units": units(waiting.units), "moment": waiting.moment})


class GlucoseLow:
    """Low glucose is treated first."""

    id = "glucose-low"

    def look(self, case: Case) -> Finding | None:
        """Refuses under 3.9 mmol/L (70 mg/dL)."""
        glucose = case.facts.glucose
        if isinstance(glucose, Glucose) and is_low(glucose):
            return Finding(self.id, "refuse", {"glucose": Amount(glucose.value, glucose.unit)})
        return None


def _stands(facts: Facts, at: datetime) -> bool:
    """Does what was told of that time stand? A reading of after it says otherwise; not an older
    one, nor one of the same time, nor none."""
    if not isinstance(facts.glucose, Glucose):
        return True
    return facts.glucose_at is not None and at >= facts.glucose_at


class GlucoseWasLow:
    """Without a newer reading, the last one stands: a low is not left behind by not measuring."""

    id = "glucose-was-low"

    def look(self, case: Case) -> Finding | None:
        """Refuses "no reading", and a reading of before, while the newest of 24 hours is low."""
        facts, earlier = case.facts, case.facts.earlier
        if earlier is None or not is_low(earlier) or isinstance(facts.glucose, NotGiven):
            return None
        if not _stands(facts, facts.earlier_at or facts.now):
            return None
        return Finding(self.id, "refuse", {"glucose": Amount(earlier.value, earlier.unit)})


class LowWasFelt:
    """A low that was felt stands until a reading says otherwise."""

    id = "low-was-felt"

    def look(self, case: Case) -> Finding | None:
        """Refuses without a reading of after it while a felt low is newer than the last one."""
        felt = case.facts.felt_low_at
        return Finding(self.id, "refuse") if felt and _stands(case.facts, felt) else None


class GlucoseDoubted:
    """A figure that is a low in one of its units is not left behind unanswered."""

    id = "glucose-doubted"

    def look(self, case: Case) -> Finding | None:
        """Refuses "no reading", and a reading of before, while the unit is not settled."""
        facts, doubted = case.facts, case.facts.doubted_at
        if doubted is None or isinstance(facts.glucose, NotGiven) or not _stands(facts, doubted):
            return None
        sentence = Typed("glucose ... mmol/L")
        args: dict[str, Arg] = {"moment": Moment(doubted, facts.now), "sentence": sentence}
        return Finding(self.id, "refuse", args)


class NewerReading:
    """Of two readings the newer one is of now; which one holds is the user's to say."""

    id = "newer-reading"

    def look(self, case: Case) -> Finding | None:
        """Asks where the journal has another figure, no older than the one said with the meal."""
        facts, earlier, at = case.facts, case.facts.earlier, case.facts.earlier_at
        if earlier is None or at is None or earlier == facts.glucose:
            return None
        if not isinstance(facts.glucose, Glucose) or not _stands(facts, at):
            return None
        glucose = Amount(earlier.value, earlier.unit)
        return Finding(self.id, "ask", {"glucose": glucose, "moment": Moment(at, facts.now)})


class UnsettledDose:
    """A dose that was told but not understood is in the body all the same."""

    id = "unsettled-dose"

    def look(self, case: Case) -> Finding | None:
        """Refuses until the question about the dose is answered or cancelled."""
        return Finding(self.id, "refuse") if case.facts.unsettled_dose else None


class RecordGap:
    """A record that was put back from a backup does not know the newest doses."""

    id = "record-gap"

    def look(self, case: Case) -> Finding | None:
        """Refuses until the user says that the record is complete."""
        return Finding(self.id, "refuse") if case.facts.record_gap else None


class GlucoseNotGiven:
    """Whether glucose is low, or needs a correction, cannot be known without a reading."""

    id = "glucose-not-given"

    def look(self, case: Case) -> Finding | None:
        """Asks."""
        return Finding(self.id, "ask") if isinstance(case.facts.glucose, NotGiven) else None


class NoGlucoseReading:
    """The meal part alone, since the user said that there is no reading."""

    id = "no-reading"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        return Finding(self.id, "caution") if isinstance(case.facts.glucose, NoReading) else None


class OverDoseCap:
    """The user's cap on one dose."""

    id = "over-dose-cap"

    def look(self, case: Case) -> Finding | None:
        """Refuses a dose above the cap; the cap itself is allowed."""
        if case.working is None:
            return None
        cap = over_dose(case.facts, case.working.rounded)
        return None if cap is None else Finding(self.id, "refuse", cap)


class OverWindowCap:
    """The user's cap on all doses in a span of hours; whole doses count."""

    id = "over-window-cap"

    def look(self, case: Case) -> Finding | None:
        """Refuses when the doses taken in the span and this one come above the cap."""
        if case.working is None:
            return None
        cap = over_window(case.facts, case.working.rounded)
        return None if cap is None else Finding(self.id, "refuse", cap)


class OverMealCap:
    """The user's cap on the carbohydrate of one meal, where set."""

    id = "over-meal-cap"

    def look(self, case: Case) -> Finding | None:
        """Refuses a count above the cap; the cap itself is allowed."""
        counted = case.facts.counted.value
        cap = over_meal(case.facts, counted)
        if cap is None:
            return None
        return Finding(self.id, "refuse", {**cap, "counted": Amount(counted, "g")})


class BelowZero:
    """The working comes to less than nothing: insulin is not the answer."""

    id = "below-zero"

    def look(self, case: Case) -> Finding | None:
        """Refuses below zero; nought itself is no refusal."""
        if case.working is None or case.working.exact >= 0:
            return None
        return Finding(self.id, "refuse")


class VeryHigh:
    """Very high glucose: think of ketones and of the care team."""

    id = "glucose-very-high"

    def look(self, case: Case) -> Finding | None:
        """Cautions above 14 mmol/L or 240 mg/dL."""
        glucose = case.facts.glucose
        if not isinstance(glucose, Glucose):
            return None
        limit = VERY_HIGH if glucose.unit == "mg/dL" else VERY_HIGH_MMOL
        if glucose.value <= limit.value:
            return None
        return Finding(
            self.id,
            "caution",
            {
                "glucose": Amount(glucose.value, glucose.unit),
                "limit": Amount(limit.value, limit.unit),
            },
        )


class BelowTarget:
    """Glucose under target: the correction is negative, and it is said."""

    id = "glucose-below-target"

    def look(self, case: Case) -> Finding | None:
        """Cautions when the correction is negative."""
        if case.working is None or case.working.correction >= 0:
            return None
        correction = units(case.working.correction)
        return Finding(self.id, "caution", {"correction": correction}, about_dose=True)


def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order in which a reply tells them; of several questions the first."""
    return (
        SettingsMissing(),
        GlucoseLow(),
        GlucoseWasLow(),
        LowWasFelt(),
        GlucoseDoubted(),
        UnconfirmedSuggestion(),
        SettingsChanged(),
        UnsettledDose(),
        ClockWentBack(),
        GlucoseOld(),
        ReadingAgeMissing(),
        GlucoseAhead(),
        MealNotNow(),
        RecordGap(),
        OverDoseCap(),
        OverWindowCap(),
        OverMealCap(),
        BelowZero(),
        ReductionNoBound(),
        ReductionOverBound(),
        FoodDoubted(),
        ClockChanged(),
        GlucoseNotGiven(),
        NewerReading(),
        ActivityNotSettled(),
        SameMealTwice(),
        RangeTooWide(),
        NoGlucoseReading(),
        VeryHigh(),
        BelowTarget(),
        *(LimitRaised(name) for name in LIMITS),
        IllnessSaid(),
        ActivitySaid(),
        AlcoholSaid(),
        HighFatProtein(),
        FoodUnchecked(),
        SameMealAgain(),
        RangeWide(),
        RangeOverDoseCap(),
        RangeOverWindowCap(),
        RangeOverMealCap(),
        RangeMovesDose(),
    )

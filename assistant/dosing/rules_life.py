"""Rules on what the day holds: activity, illness, alcohol, a rich meal, and stated reductions."""

from fractions import Fraction

from assistant.dosing.rule import Case, Finding
from assistant.values import Amount, Arg, Listed, Typed

MUCH_FAT = Fraction(40)
"""Grams of fat in a meal above which it is told. With 45 g of carbohydrate, 40 g of fat needed 6
per cent more insulin and 60 g needed 21 (Diabetes Care 2020;43:59): the step lies above 40."""
MUCH_PROTEIN = Fraction(40)
"""Grams of protein likewise (from memory: Smart et al., Diabetes Care 2013;36:3897 studied 40)."""


def _percent(share: Fraction) -> Amount:
    return Amount(share * 100, "percent")


class ReductionNoBound:
    """A reduction is only taken within a bound that the user set with their care team."""

    id = "reduction-no-bound"

    def look(self, case: Case) -> Finding | None:
        """Refuses a reduction above nought while no bound is set, and tells the sentence."""
        reduction, bound = case.facts.reduction, case.facts.settings.max_reduction
        if reduction is None or reduction.share == 0 or bound is not None:
            return None
        args: dict[str, Arg] = {
            "share": _percent(reduction.share),
            "sentence": Typed("reductions up to ... percent"),
        }
        return Finding(self.id, "refuse", args)


class ReductionOverBound:
    """The user's bound on what a reduction may take off."""

    id = "reduction-over-bound"

    def look(self, case: Case) -> Finding | None:
        """Refuses above the bound; the bound itself is allowed."""
        reduction, bound = case.facts.reduction, case.facts.settings.max_reduction
        if reduction is None or bound is None or reduction.share <= bound:
            return None
        args = {"share": _percent(reduction.share), "bound": _percent(bound)}
        return Finding(self.id, "refuse", args)


class ActivityNotSettled:
    """Activity was said, and not what the dose is to be: it is asked, and never assumed."""

    id = "activity-not-settled"

    def look(self, case: Case) -> Finding | None:
        """Asks while no reduction is stated; a stated nought settles it."""
        if not case.facts.activity or case.facts.reduction is not None:
            return None
        return Finding(self.id, "ask")


class ActivitySaid:
    """Activity lowers glucose, at times for hours (from memory: common teaching; exercise from
    over 90 minutes after a meal, BMJ Open Sport Exerc Med, is not settled by the meal's dose)."""

    id = "activity"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        return Finding(self.id, "caution") if case.facts.activity else None


class IllnessSaid:
    """Sick days: never stop insulin, test glucose and ketones every 2 to 4 hours, ordinary ratios
    do not hold (NHS Forth Valley, type 1 illness page)."""

    id = "illness"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        return Finding(self.id, "caution") if case.facts.illness else None


class AlcoholSaid:
    """Alcohol can lower glucose for many hours (from memory: American Diabetes Association)."""

    id = "alcohol"

    def look(self, case: Case) -> Finding | None:
        """Cautions."""
        return Finding(self.id, "caution") if case.facts.alcohol else None


class HighFatProtein:
    """A rich meal raises glucose later and longer; no units are added for it (no method is agreed
    on: Furthner et al., Nutrients 2021;13:3558)."""

    id = "high-fat-protein"

    def look(self, case: Case) -> Finding | None:
        """Tells above 40 g of fat or 40 g of protein, as far as the labels state them."""
        fat, protein = case.facts.fat, case.facts.protein
        rich = (fat is not None and fat > MUCH_FAT) or (
            protein is not None and protein > MUCH_PROTEIN
        )
        if not rich:
            return None
        stated = {"fat": fat, "protein": protein}
        told = tuple(Amount(v, f"g of {n}", 1) for n, v in stated.items() if v is not None)
        return Finding(self.id, "caution", {"figures": Listed(told)})

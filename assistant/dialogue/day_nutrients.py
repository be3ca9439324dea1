"""Nutrients of meals against the daily values; what labels lack is told, never taken as nought."""

from collections.abc import Sequence
from fractions import Fraction

from assistant.counting.daily_values import US_2016
from assistant.dialogue.events import (
    Eaten,
    MealCounted,
)
from assistant.dialogue.outcome import fact
from assistant.dialogue.replies import Line
from assistant.values import Amount, Arg, Listed, Name


def nutrient_lines(meals: Sequence[MealCounted]) -> list[Line]:
    """Each nutrient against its daily value; missing figures are told, never taken as nought."""
    totals: dict[str, Eaten] = {}
    for meal in meals:
        for each in meal.eaten:
            old = totals.get(each.nutrient)
            totals[each.nutrient] = each if old is None else Eaten(
                each.nutrient, old.amount + each.amount, each.unit,
                old.known + each.known, old.missing + each.missing)  # fmt: skip
    lines = [_nutrient_line(total) for total in totals.values() if total.known]
    unknown = [total for total in totals.values() if not total.known]
    if unknown:
        names = Listed(tuple(_name(total.nutrient) for total in unknown))
        lines.append(fact("day-nutrients-unknown", nutrients=names))
    older = sum(1 for meal in meals if not totals.keys() <= {each.nutrient for each in meal.eaten})
    if older and totals:
        lines.append(fact("day-nutrients-older", count=Amount(Fraction(older), "meal")))
    return lines


def _name(nutrient: str) -> Name:
    """As it is told: the daily value is of total carbohydrate, which is not what is counted."""
    return Name("total carbohydrate" if nutrient == "carbohydrate" else nutrient)


def _nutrient_line(total: Eaten) -> Line:
    value, unit = US_2016[total.nutrient]
    args: dict[str, Arg] = {
        "nutrient": _name(total.nutrient),
        "amount": Amount(total.amount, total.unit, 1),
        "share": Amount(total.amount / value * 100, "percent", 0),
        "value": Amount(value, unit),
    }
    if not total.missing:
        return fact("day-nutrient", **args)
    args["missing"] = Amount(Fraction(total.missing), "label")
    args["labels"] = Amount(Fraction(total.missing + total.known), "")
    return fact("day-nutrient-at-least", **args)


def mean_lines(meals: Sequence[MealCounted], count: int) -> list[Line]:
    """Nutrients as the mean of a day with meals, so that they meet the daily values."""
    shared = [
        MealCounted(m.said, m.portions, m.counted, m.lines, m.replaces, tuple(
            Eaten(e.nutrient, e.amount / count, e.unit, e.known, e.missing) for e in m.eaten))
        for m in meals
    ]  # fmt: skip
    return [fact("span-nutrients"), *nutrient_lines(shared)]

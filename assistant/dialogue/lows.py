"""The steps for low glucose, as the published guidance has them, with the user's own foods."""

from fractions import Fraction

from assistant.counting.facts import FoodFacts
from assistant.counting.policy import NAMED_POLYOLS
from assistant.counting.rounding import printed_range
from assistant.counting.units import LABEL_MILLILITRES
from assistant.dialogue.replies import Line
from assistant.dialogue.shown import measure
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name
from grammar.measures import find_measure
from grammar.words import name_key

WANTED = Fraction(15)
"""Grams of fast carbohydrate: American Diabetes Association, the 15-15 rule."""
LOWS = frozenset({"glucose-low", "glucose-was-low", "low-was-felt"})
"""The rules that find a low."""
SHOWN = 3
"""So many of the user's own foods are told; a low is no time to read."""


def treat_low(ctx: Context) -> tuple[Line, ...]:
    """15 g of fast carbohydrate, wait 15 minutes, measure again: American Diabetes Association."""
    steps = [Line("refusal", f"treat-low-{n}") for n in range(1, 6)]
    return (steps[0], *_own_foods(ctx), *steps[1:])


def _own_foods(ctx: Context) -> tuple[Line, ...]:
    found: list[Line] = []
    for name in ctx.foods.names():
        for food in ctx.foods.exact(name_key(name)):
            amount = fast_amount(food.facts) if food.facts.fast else None
            if amount is not None and len(found) < SHOWN:
                args: dict[str, Arg] = {"amount": amount, "food": Name(food.facts.name)}
                found.append(Line("refusal", "treat-low-food", args))
    return tuple(found)


def _fast_carbohydrate(facts: FoodFacts) -> Fraction | None:
    """Grams that act fast in the reference amount, at the least that the label's rounding allows:
    sugars where stated, else what is no fibre and no sugar alcohol. None where it is not told."""
    sugars = facts.nutrients.get("sugars")
    if sugars is not None:
        return printed_range(sugars, facts.region).low
    carbs = facts.nutrients.get("carbohydrate")
    if carbs is None or {"polyols", *NAMED_POLYOLS} & set(facts.nutrients):
        return None
    fibre = facts.nutrients.get("fibre") if facts.fibre_inside else None
    least = printed_range(carbs, facts.region).low
    return least if fibre is None else least - printed_range(fibre, facts.region).high


def _up(value: Fraction, step: int) -> Fraction:
    return Fraction(-(-value // step) * step)


def fast_amount(facts: FoodFacts) -> Amount | None:
    """So much of the food has 15 g: up to the next 10 ml, 5 g or whole piece. None: not known."""
    fast = _fast_carbohydrate(facts)
    if fast is None or fast < 1:  # more than 15 servings is no way to treat a low
        return None
    times = WANTED / fast
    if facts.per != "serving":
        ml = facts.per == "100 ml"
        return Amount(_up(times * 100, 10 if ml else 5), "ml" if ml else "g")
    if facts.serving_millilitres is not None:
        return Amount(_up(times * facts.serving_millilitres, 10), "ml")
    unit = facts.household_unit
    found = find_measure(unit) if unit else None
    piece = found is None or found[0] not in LABEL_MILLILITRES
    if unit and facts.household_count and piece:
        return measure(_up(times * facts.household_count, 1), unit)
    if facts.serving_grams is not None:
        return Amount(_up(times * facts.serving_grams, 5), "g")
    return None

"""Does a label add up? Slips in copying are caught before a dose rests on them.

Each check compares two figures that the label itself gives, with every rounding that the law
allows on both. A finding is no proof of a wrong figure: the user is shown both and asked.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.daily_values import (
    US_2016,
    US_BEFORE_2016,
    Values,
    share,
    values_for,
)
from assistant.counting.facts import FoodFacts, Nutrient
from assistant.counting.policy import NAMED_POLYOLS
from assistant.counting.rounding import printed_range
from assistant.counting.units import LABEL_MILLILITRES
from assistant.values import Ranged
from grammar.measures import find_measure
from grammar.words import name_key

Code = Literal["energy", "energy-units", "daily-value", "sum", "salt", "pack", "density", "like"]

FAT, CARBOHYDRATE, PROTEIN, FIBRE, ALCOHOL = (Fraction(n) for n in (9, 4, 4, 2, 7))
"""kcal per gram: 21 CFR 101.9(c)(1)(i)(B) and Regulation (EU) 1169/2011 Annex XIV."""
KJ_PER_KCAL = Fraction("4.184")
"""Thermochemical calorie; the laws' own factors round it to 17/4 and 37/9, hence the tolerance."""


class Finding(Struct, frozen=True):
    """Two figures of one label that do not meet. stated and computed are in unit.

    nutrient names the line for daily-value; low and high bound what the other figures allow.
    """

    code: Code
    stated: Fraction
    low: Fraction
    high: Fraction
    unit: str
    nutrient: str = ""


def _range(facts: FoodFacts, name: str) -> Ranged | None:
    figure = facts.nutrients.get(name)
    if figure is None or figure.unit != "g":
        return None
    if name == "fat":
        return _fat_range(figure, facts)
    return printed_range(figure, facts.region)


def _fat_range(figure: Nutrient, facts: FoodFacts) -> Ranged:
    """US: under 5 g to the nearest 0.5 g, 21 CFR 101.9(c)(2); else as other nutrients."""
    if not facts.fibre_inside or figure.value >= 5 or figure.below:
        return printed_range(figure, facts.region)
    half = Fraction(1, 4)
    if figure.value == 0:
        return Ranged(figure.value, figure.value, Fraction(1, 2))
    return Ranged(figure.value, figure.value - half, figure.value + half)


_ZERO = Ranged.exactly(Fraction(0))


def _polyols(facts: FoodFacts) -> Ranged:
    whole = _range(facts, "polyols")
    if whole is not None:
        return whole
    named = (_range(facts, name) for name in NAMED_POLYOLS)
    return sum((n for n in named if n is not None), _ZERO)


def _energy_bounds(facts: FoodFacts) -> tuple[Fraction, Fraction] | None:
    """kcal that the other figures allow, over every method of the label's law."""
    fat, carbs, protein = (_range(facts, n) for n in ("fat", "carbohydrate", "protein"))
    if fat is None or carbs is None or protein is None:
        return None
    fibre = _range(facts, "fibre")
    polyols = _polyols(facts)
    alcohol = _range(facts, "alcohol") or _ZERO
    base_low = FAT * fat.low + PROTEIN * protein.low + ALCOHOL * alcohol.low
    base_high = FAT * fat.high + PROTEIN * protein.high + ALCOHOL * alcohol.high
    if facts.fibre_inside:
        # from all carbohydrate at 4, down to none for fibre and polyols
        inside = (fibre.high if fibre else Fraction(0)) + polyols.high
        low = CARBOHYDRATE * max(Fraction(0), carbs.low - inside)
        return base_low + low, base_high + CARBOHYDRATE * carbs.high
    sweet = polyols.high
    low = CARBOHYDRATE * max(Fraction(0), carbs.low - sweet)
    # fibre is voluntary: where it is not stated its energy is not known, up to 10 g
    extra = FIBRE * (fibre.high if fibre else Fraction(10))
    least = FIBRE * (fibre.low if fibre else Fraction(0))
    return base_low + low + least, base_high + CARBOHYDRATE * carbs.high + extra


def _energy_step(kcal: Fraction, facts: FoodFacts) -> Fraction:
    """Half of the law's rounding step: US 5 to 50 kcal, 10 above; else 1 kcal."""
    if not facts.fibre_inside:
        return Fraction(1)
    return Fraction(5, 2) if kcal <= 50 else Fraction(5)


def _energy(facts: FoodFacts) -> Iterator[Finding]:
    stated = facts.nutrients.get("energy kcal")
    bounds = _energy_bounds(facts)
    if stated is None or bounds is None:
        return
    step = _energy_step(stated.value, facts)
    low, high = bounds
    # the factors themselves are rounded (specific Atwater factors are lawful too): 3 per cent
    slack = step + Fraction(3, 100) * stated.value
    if not low - slack <= stated.value <= high + slack:
        yield Finding("energy", stated.value, low, high, "kcal")


def _energy_units(facts: FoodFacts) -> Iterator[Finding]:
    """kJ against kcal: 1 kcal is 4.184 kJ, within 3 per cent and both roundings."""
    kcal, kj = facts.nutrients.get("energy kcal"), facts.nutrients.get("energy kJ")
    if kcal is None or kj is None:
        return
    middle = kcal.value * KJ_PER_KCAL
    slack = middle * Fraction(3, 100) + 5
    if abs(kj.value - middle) > slack:
        yield Finding("energy-units", kj.value, middle - slack, middle + slack, "kJ")


def _percent_bounds(
    name: str, figure: Nutrient, facts: FoodFacts, values: Values
) -> tuple[Fraction, Fraction] | None:
    one = share(name, Nutrient(Fraction(1), figure.unit), values)
    if one is None or figure.below:
        return None
    spread = _range(facts, name) or _trace_range(figure)
    step = _percent_step(one * figure.value, name)
    return one * spread.low - step, one * spread.high + step


def _trace_range(figure: Nutrient) -> Ranged:
    """What is printed in mg, mcg, kJ or kcal, by half of the last step that is printed."""
    half = _trace_half(figure)
    return Ranged(figure.value, figure.value - half, figure.value + half)


def _trace_half(figure: Nutrient) -> Fraction:
    """Half of the last printed digit, or of 10 mg for figures printed in tens (sodium)."""
    if figure.decimals == 0 and figure.value >= 140:
        return Fraction(5)
    if figure.decimals == 0 and figure.unit == "mg":
        return Fraction(5, 2)
    return Fraction(1, 2 * 10**figure.decimals)


_MACRO = {"fat", "saturated fat", "cholesterol", "carbohydrate", "sodium", "fibre", "protein",
          "added sugars"}  # fmt: skip


def _percent_step(percent: Fraction, name: str) -> Fraction:
    """Half of the rounding of a per cent: 1 for nutrients with a DRV; else 2, 5, 10 (c)(8)(iii)."""
    if name in _MACRO:
        return Fraction(1, 2)
    if percent <= 10:
        return Fraction(1)
    return Fraction(5, 2) if percent <= 50 else Fraction(5)


def _percent_findings(facts: FoodFacts, values: Values) -> list[Finding]:
    found = []
    for name, printed in facts.percents.items():
        figure = facts.nutrients.get(name)
        if figure is None:
            continue
        bounds = _percent_bounds(name, figure, facts, values)
        if bounds is not None and not bounds[0] <= printed <= bounds[1]:
            low, high = (max(Fraction(0), b) for b in bounds)
            found.append(Finding("daily-value", printed, low, high, "percent", name))
    return found


def _daily_values(facts: FoodFacts) -> Iterator[Finding]:
    """Printed per cents against the table; the older table is taken where it fits better."""
    if not facts.fibre_inside:
        yield from _percent_findings(facts, values_for(facts.region))
        return
    tables = (_percent_findings(facts, US_2016), _percent_findings(facts, US_BEFORE_2016))
    yield from min(tables, key=len)


def _sum(facts: FoodFacts) -> Iterator[Finding]:
    """Fat, carbohydrate and protein (and fibre where it is outside) in more than they weigh."""
    weight = facts.serving_grams if facts.per == "serving" else Fraction(100)
    if weight is None or facts.per == "100 ml":
        return
    names = ["fat", "carbohydrate", "protein"] + ([] if facts.fibre_inside else ["fibre"])
    least = sum((r.low for n in names if (r := _range(facts, n)) is not None), Fraction(0))
    if least > weight:
        yield Finding("sum", least, Fraction(0), weight, "g")


def _salt(facts: FoodFacts) -> Iterator[Finding]:
    """Salt is sodium times 2.5, Regulation (EU) 1169/2011 Annex I."""
    salt, sodium = facts.nutrients.get("salt"), facts.nutrients.get("sodium")
    if salt is None or sodium is None or salt.unit != "g" or sodium.unit != "mg":
        return
    middle = sodium.value / 1000 * Fraction(5, 2)
    slack = middle / 10 + Fraction(1, 20)
    if abs(salt.value - middle) > slack:
        yield Finding("salt", salt.value, middle - slack, middle + slack, "g")


PACK_SHARE = Fraction(1, 5)
"""Servings are printed rounded (to whole numbers above 5, to halves from 2 to 5, "about"; 21 CFR
101.9(b)(8)), so a pack may be this far from servings times serving size."""
DENSITY = (Fraction(1, 50), Fraction(8, 5))
"""Grams a millilitre: puffed cereal weighs about 0.06, syrup and honey up to 1.43 (household
measures of the US food tables); beyond this a household measure and its grams do not belong."""


def _pack(facts: FoodFacts) -> Iterator[Finding]:
    """Servings times serving size against the net weight."""
    count, serving, pack = facts.servings_per_pack, facts.serving_grams, facts.pack_grams
    unit = "g"
    if serving is None or pack is None:
        serving, pack, unit = facts.serving_millilitres, facts.pack_millilitres, "ml"
    if count is None or serving is None or pack is None:
        return
    low, high = pack * (1 - PACK_SHARE), pack * (1 + PACK_SHARE)
    if not low <= count * serving <= high:
        yield Finding("pack", count * serving, low, high, unit)


def _density(facts: FoodFacts) -> Iterator[Finding]:
    """The grams of a cup or spoon against what anything eaten weighs."""
    grams, count, unit = facts.serving_grams, facts.household_count, facts.household_unit
    if grams is None or count is None or unit is None:
        return
    found = find_measure(unit)
    if found is None or found[0] not in LABEL_MILLILITRES:
        return
    volume = count * LABEL_MILLILITRES[found[0]]
    low, high = (volume * d for d in DENSITY)
    if not low <= grams <= high:
        yield Finding("density", grams, low, high, "g")


LIKE = Fraction(3)
"""A slice, bar or cup of like foods may differ by this factor (common practice, no source)."""


def against_like(facts: FoodFacts, others: Iterable[FoodFacts]) -> tuple[Finding, ...]:
    """The grams of one household measure against the same measure of foods of a like name."""
    if facts.serving_grams is None or not facts.household_count or not facts.household_unit:
        return ()
    one = facts.serving_grams / facts.household_count
    for other in others:
        if other.serving_grams is None or not other.household_count or not other.household_unit:
            continue
        if name_key(other.household_unit) != name_key(facts.household_unit):
            continue
        like = other.serving_grams / other.household_count
        if not like / LIKE <= one <= like * LIKE:
            return (Finding("like", one, like / LIKE, like * LIKE, "g", other.name),)
    return ()


def check(facts: FoodFacts) -> tuple[Finding, ...]:
    """Every check of the label, in a fixed order; empty when it adds up."""
    parts = (_energy, _energy_units, _daily_values, _sum, _salt, _pack, _density)
    return tuple(finding for part in parts for finding in part(facts))


ABOUT_CARBOHYDRATE = frozenset(
    {"daily-value", "daily-value carbohydrate", "daily-value fibre", "sum"}
)
"""Failed label checks that make the counted figure itself doubtful: the percent of the daily value
says another, or the parts weigh more than the whole. "daily-value" alone is how older journals
kept it, for any nutrient; in doubt it counts. The energy check cannot tell which figure is off and
lawful labels may fail it; the others are not about carbohydrate: these are cautions."""


def doubts_carbohydrate(food: FoodFacts) -> bool:
    """Did a check fail that is about the carbohydrate figure itself?"""
    return bool(ABOUT_CARBOHYDRATE & set(food.failed_checks))

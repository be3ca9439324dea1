"""From a label as read to the facts of a food, or to what has to be asked first."""

from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import FIBRE_INSIDE, FoodFacts, Nutrient
from grammar.label_nodes import Column, LabelReading


class LabelProblem(Struct, frozen=True):
    """Why no facts were made. figures: what the code is about, as printed.

    why: region, no-carbohydrate, doubt, columns, no-basis, part-over-whole, over-hundred.
    """

    why: Literal[
        "region", "no-carbohydrate", "doubt", "columns", "no-basis", "part-over-whole",
        "over-hundred", "columns-disagree",
    ]  # fmt: skip
    part: str = ""
    whole: str = ""


_PARTS = (("sugars", "carbohydrate"), ("added sugars", "sugars"), ("saturated fat", "fat"))


def _pick(reading: LabelReading) -> Column | LabelProblem:
    """The column to count from: per serving on a US-type label, else per 100 g or 100 ml."""
    if len(reading.columns) > 1 and any(c.state for c in reading.columns):
        return LabelProblem("columns")
    by_per = {c.per: c for c in reading.columns}
    if len(by_per) < len(reading.columns):
        return LabelProblem("columns")
    inside = reading.region is not None and FIBRE_INSIDE[reading.region]
    hundreds = ("100 g", "100 ml")
    for per in ("serving", *hundreds) if inside else (*hundreds, "serving"):
        column: Column | None = by_per.get(per)  # type: ignore[call-overload]
        if column is not None and "carbohydrate" in column.figures:
            return column
    if any("carbohydrate" in c.figures for c in reading.columns):
        return LabelProblem("no-basis")
    return LabelProblem("no-carbohydrate")


def _grams(facts: FoodFacts, name: str) -> Fraction | None:
    figure = facts.nutrients.get(name)
    if figure is None or figure.unit not in {"g", "mg"}:
        return None
    return figure.value if figure.unit == "g" else figure.value / 1000


def impossible(facts: FoodFacts) -> LabelProblem | None:
    """A part larger than its whole, or more than 100 g in 100: a slip in copying the label.

    A part may be 1 g larger: both figures are rounded apart.
    """
    parts = [*_PARTS, ("fibre", "carbohydrate")] if facts.fibre_inside else list(_PARTS)
    for part, whole in parts:
        small, large = _grams(facts, part), _grams(facts, whole)
        if small is not None and large is not None and small > large + 1:
            return LabelProblem("part-over-whole", part, whole)
    inside = ["sugars", "polyols", *(["fibre"] if facts.fibre_inside else [])]
    found = [v for v in (_grams(facts, n) for n in inside) if v is not None]
    carbohydrate = _grams(facts, "carbohydrate")
    if carbohydrate is not None and sum(found, Fraction(0)) > carbohydrate + Fraction(3, 2):
        return LabelProblem("part-over-whole", "sugars, sugar alcohol and fibre together",
                            "carbohydrate")  # fmt: skip
    weight = Fraction(100) if facts.per == "100 g" else facts.serving_grams
    if weight is not None and facts.per != "100 ml":
        for name in facts.nutrients:
            value = _grams(facts, name)
            if value is not None and value > weight + 1:
                return LabelProblem("over-hundred", name)
    return None


def _columns_disagree(facts: FoodFacts, reading: LabelReading) -> LabelProblem | None:
    """Per 100 and per serving of one label, by its own serving size: a tenth apart is a slip."""
    by_per = {c.per: c.figures.get("carbohydrate") for c in reading.columns}
    serving = by_per.get("serving")
    for per, size in (("100 g", facts.serving_grams), ("100 ml", facts.serving_millilitres)):
        hundred = by_per.get(per)  # type: ignore[call-overload]
        if serving is None or hundred is None or size is None:
            continue
        expected = hundred.value * size / 100
        if abs(expected - serving.value) > max(Fraction(1), expected / 10):
            return LabelProblem("columns-disagree")
    return None


def facts_from_label(name: str, reading: LabelReading) -> FoodFacts | LabelProblem:
    """The food that a label describes. Doubts of the reading must be settled before."""
    if reading.doubts:
        return LabelProblem("doubt")
    if not any("carbohydrate" in c.figures for c in reading.columns):
        return LabelProblem("no-carbohydrate")
    if reading.region is None:
        return LabelProblem("region")
    column = _pick(reading)
    if isinstance(column, LabelProblem):
        return column
    assert column.per in {"serving", "100 g", "100 ml"}
    facts = FoodFacts(
        name=name,
        region=reading.region,
        per=column.per,
        nutrients={
            k: Nutrient(f.value, f.unit, f.below, f.decimals) for k, f in column.figures.items()
        },
        percents=dict(column.percents),
        servings_per_pack=reading.servings_per_pack,
        pack_grams=reading.pack_grams,
        pack_millilitres=reading.pack_millilitres,
        prepared=column.state == "prepared",
        ingredients=reading.ingredients,
        allergens=reading.allergens,
        may_contain=reading.may_contain,
        barcode=reading.barcode,
    )
    serving = reading.serving
    if serving is not None:
        facts = replace(
            facts,
            serving_grams=serving.grams,
            serving_millilitres=serving.millilitres,
            household_count=serving.count if serving.measure else None,
            household_unit=serving.measure,
        )
    return impossible(facts) or _columns_disagree(facts, reading) or facts

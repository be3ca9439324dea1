"""The lines that tell a food's facts, and the same as data."""

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from assistant.counting.checks import Finding
from assistant.counting.facts import Food, FoodFacts, Measure
from assistant.counting.policy import NAMED_POLYOLS
from assistant.dialogue.meal_lines import reference_of
from assistant.dialogue.outcome import caution, fact
from assistant.dialogue.replies import Line
from assistant.dialogue.shown import measure as measure_amount
from assistant.values import Amount, Arg, Between, Listed, Name, Phrase, Said, Typed
from grammar import patterns
from grammar.label_nodes import Doubt, LabelReading
from grammar.measures import find_measure

__all__ = [
    "as_data",
    "doubt",
    "everything",
    "finding",
    "left_out",
    "measure_amount",
    "nutrient_name",
    "read_so_far",
    "summary",
]


def _serving(facts: FoodFacts) -> Line | None:
    parts: list[Arg] = []
    if facts.household_count and facts.household_unit:
        parts.append(measure_amount(facts.household_count, facts.household_unit))
    if facts.serving_grams is not None:
        parts.append(Amount(facts.serving_grams, "g"))
    if facts.serving_millilitres is not None:
        parts.append(Amount(facts.serving_millilitres, "ml"))
    return fact("food-serving", parts=Listed(tuple(parts))) if parts else None


def summary(facts: FoodFacts) -> tuple[Line, ...]:
    """Serving, pack, carbohydrate, fibre, and where fibre stands: what a count rests on."""
    lines: list[Line | None] = [_serving(facts)]
    if facts.servings_per_pack is not None:
        lines.append(fact("food-pack", count=Amount(facts.servings_per_pack, "serving")))
    for name in ("carbohydrate", "fibre", "polyols", *NAMED_POLYOLS, "allulose"):
        lines.append(_nutrient(facts, name))
    if facts.pack_grams is not None:
        lines.append(fact("food-pack-weighs", amount=Amount(facts.pack_grams, "g")))
    if facts.prepared:
        lines.append(caution("food-prepared"))
    code = "food-fibre-inside" if facts.fibre_inside else "food-fibre-outside"
    lines.append(fact(code, region=Phrase(f"region-{facts.region}")))
    if "fibre" not in facts.nutrients and facts.fibre_inside:
        lines.append(caution("food-no-fibre"))
    return tuple(line for line in lines if line)


_SHOWN = {
    "energy kcal": "energy",
    "energy kJ": "energy",
    "polyols": "sugar alcohol",
}


def nutrient_name(name: str) -> Name:
    """A nutrient as it is said."""
    return Name(_SHOWN.get(name, name))


def _nutrient(facts: FoodFacts, name: str) -> Line | None:
    figure = facts.nutrients.get(name)
    if figure is None:
        return None
    code = "food-nutrient-below" if figure.below else "food-nutrient"
    return fact(
        code,
        nutrient=nutrient_name(name),
        amount=Amount(figure.value, figure.unit),
        reference=reference_of(facts),
    )


def everything(food: Food) -> tuple[Line, ...]:
    """All that the library knows of a food."""
    facts = food.facts
    lines = list(summary(facts))
    in_summary = {"carbohydrate", "fibre", "polyols", *NAMED_POLYOLS, "allulose"}
    for name in facts.nutrients:
        if name not in in_summary:
            line = _nutrient(facts, name)
            if line:
                lines.append(line)
    for told in facts.extra:
        amount = Amount(told.grams, "g") if told.grams is not None else None
        if amount is None and told.millilitres is not None:
            amount = Amount(told.millilitres, "ml")
        if amount is not None and told.of_source:
            lines.append(
                fact("food-measure-source", count=Amount(told.count, ""), words=Said(told.told),
                     amount=amount)
            )  # fmt: skip
        elif amount is not None:
            lines.append(
                fact("food-measure", count=measure_amount(told.count, told.unit), amount=amount)
            )
    for code, words in (
        ("food-ingredients", facts.ingredients),
        ("food-allergens", facts.allergens),
        ("food-may-contain", facts.may_contain),
        ("food-aliases", food.aliases),
    ):
        if words:
            lines.append(fact(code, words=Listed(tuple(Name(w) for w in words))))
    if facts.barcode:
        lines.append(fact("food-barcode", digits=Name(facts.barcode)))
    lines.extend(_source(facts))
    lines.append(fact("food-version", version=Amount(Fraction(food.version), "")))
    return tuple(lines)


def _source(facts: FoodFacts) -> Iterator[Line]:
    """Where an imported food is from, of which day, and on what terms."""
    if not facts.licence and not facts.dated:
        return
    yield fact("food-source", source=Name(facts.source))
    if facts.dated:
        yield fact("food-dated", day=Name(facts.dated))
    if facts.licence:
        yield fact("food-licence", licence=Name(facts.licence))


def finding(found: Finding) -> Line:
    """Two figures of a label that do not meet."""
    return caution(
        f"check-{found.code}",
        stated=Amount(found.stated, found.unit, 1),
        range=Between(found.low, found.high, found.unit, 1),
        nutrient=nutrient_name(found.nutrient),
    )


def doubt(found: Doubt) -> Line:
    """A place of a label that could be read two ways."""
    args: dict[str, Arg] = {"said": Said(found.said)}
    code = f"doubt-{found.code}"
    if found.readings:
        args["readings"] = Listed(tuple(Said(r) for r in found.readings))
        code += "-readings"
    return Line("unread", code, args)


def read_so_far(reading: LabelReading) -> tuple[Line, ...]:
    """The figures that were read, so that the user sees what would be saved."""
    lines = []
    for column in reading.columns:
        for name, figure in column.figures.items():
            lines.append(
                fact(
                    "label-read",
                    nutrient=nutrient_name(name),
                    amount=Amount(figure.value, figure.unit),
                    per=Phrase(f"per-{column.per}"),
                )
            )
    return tuple(lines)


def left_out(reading: LabelReading) -> tuple[Line, ...]:
    """What the label held that is not kept as a figure, told again at saving."""
    lines = []
    if reading.unread:
        listed = Listed(tuple(Said(u.said) for u in reading.unread))
        lines.append(Line("unread", "label-left-out", {"unread": listed}))
    for claim in reading.claims:
        lines.append(caution("label-claim", claim=Said(claim)))
    return tuple(lines)


_PIECE_WEIGHS = patterns.compile(
    r"\b(?:1|one|an?|each)\s+(?P<unit>[^\W\d_]+)\s*(?:weighs|is|[=:(]|about)?\s*"
    r"(?P<grams>\d+(?:\.\d+)?)\s*(?:g|grams?)\b\)?",
    re.I,
)


def _kind(unit: str) -> str | None:
    found = find_measure(unit)
    return found[1] if found else None


def measures_apart(label: str, name: str) -> tuple[Line, ...]:
    """Words such as "1 slice 35 g", which are no part of a label: how to tell them."""
    pieces = ("piece", "word")
    found = (m for m in _PIECE_WEIGHS.finditer(label) if _kind(m["unit"]) in pieces)
    return tuple(
        fact("label-measure-apart", said=Said(m[0].strip()),
             sentence=Typed(f"1 {m['unit'].lower()} of {name} weighs {m['grams']} g"))
        for m in found
    )  # fmt: skip


def as_data(facts: FoodFacts) -> Mapping[str, object]:
    """The facts as plain data for the JSON form."""
    return {
        "name": facts.name,
        "region": facts.region,
        "fibre_inside_carbohydrate": facts.fibre_inside,
        "per": facts.per,
        "nutrients": {
            n: {"value": f.value, "unit": f.unit, "less_than": f.below}
            for n, f in facts.nutrients.items()
        },
        "percent_daily_value": dict(facts.percents),
        "serving_grams": facts.serving_grams,
        "serving_millilitres": facts.serving_millilitres,
        "household": None
        if facts.household_unit is None
        else {"count": facts.household_count, "unit": facts.household_unit},
        "servings_per_pack": facts.servings_per_pack,
        "measures": [_measure(m) for m in facts.extra],
        "ingredients": list(facts.ingredients),
        "allergens": list(facts.allergens),
        "barcode": facts.barcode,
        "source": facts.source,
        "licence": facts.licence,
        "dated": facts.dated,
    }


def _measure(told: Measure) -> Mapping[str, object]:
    return {
        "count": told.count,
        "unit": told.unit,
        "grams": told.grams,
        "millilitres": told.millilitres,
        "how": told.how,
        "note": told.note,
        "of_source": told.of_source,
    }

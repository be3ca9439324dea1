"""Mistakes in how much of a food there is, and in what a figure of its label is for."""

from collections.abc import Callable, Iterator
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import FoodFacts
from assistant.teaching.mistake import CARBOHYDRATE, Mistake, by_label, food_of, in_food
from assistant.teaching.scene import Counted, Helping, Scene
from assistant.values import Amount
from grammar.nodes import MeasureWord, Number

SERVING = MeasureWord("serving", "serving", "serving")
PACK = MeasureWord("pack", "pack", "pack")
METRIC = frozenset({"mass", "volume", "oz"})


_WEIGHED = (
    "step", "step-pack", "step-pack-part", "step-all", "step-share", "step-share-of", "step-part",
    "step-part-of",
    "step-reference", "step-same-measure", "count-times", "count-divided", "count-share",
)  # fmt: skip


def _amount(quantity: Fraction, measure: MeasureWord | None) -> Callable[[Helping], Helping | None]:
    """Another amount of the same food; one in brackets is left out with the old one."""

    def changed(helping: Helping) -> Helping | None:
        item = replace(
            helping.found.item, quantity=Number(quantity, ""), measure=measure, also=None
        )
        return replace(helping, found=replace(helping.found, item=item), factor=None)

    return changed


def forgotten(scene: Scene) -> Iterator[Mistake]:
    """A food that was left out."""
    if len(scene.helpings) < 2:
        return
    for at, helping in enumerate(scene.helpings):
        yield Mistake(
            "forgot", in_food(at, lambda h: replace(h, eaten=False)), food_of(helping), at
        )


def portions(scene: Scene) -> Iterator[Mistake]:
    """Another amount of one food than was said."""
    for at, (helping, counted) in enumerate(zip(scene.helpings, scene.counts, strict=True)):
        food, item = food_of(helping), helping.found.item
        kind = item.measure.kind if item.measure else None
        number = Amount(counted.quantity, counted.unit, 2)
        if kind not in METRIC and counted.quantity != 1:
            change = in_food(at, _amount(Fraction(1), item.measure))
            yield Mistake("one-of-many", change, {**food, "said": number}, at, _WEIGHED)
        if kind != "serving":
            change = in_food(at, _amount(Fraction(1), SERVING))
            yield Mistake("one-serving", change, food, at, _WEIGHED)
        yield from _as_servings(at, helping, counted)
        if kind != "pack":
            change = in_food(at, _amount(Fraction(1), PACK))
            yield Mistake("whole-pack", change, food, at, _WEIGHED)


def _as_servings(at: int, helping: Helping, counted: Counted) -> Iterator[Mistake]:
    """The number of pieces taken as the number of servings, and the other way round."""
    item, held = helping.found.item, helping.facts.household_count
    kind = item.measure.kind if item.measure else None
    many = counted.quantity
    if kind == "serving" and held is not None:
        many = counted.quantity * held
    elif kind in METRIC or kind == "pack":
        return
    if many == counted.quantity and kind == "serving":
        return
    args = {**food_of(helping), "many": Amount(many, "serving", 2)}
    yield Mistake("pieces-as-servings", in_food(at, _amount(many, SERVING)), args, at, _WEIGHED)


def labels(scene: Scene) -> Iterator[Mistake]:
    """A figure of the label taken for another amount than it is for."""
    for at, (helping, counted) in enumerate(zip(scene.helpings, scene.counts, strict=True)):
        food = food_of(helping)
        if helping.facts.per == "serving":
            change = in_food(at, by_label(_per_hundred))
            yield Mistake("serving-as-hundred", change, food, at, _WEIGHED)
        else:
            per = {**food, "hundred": Amount(Fraction(100), helping.facts.per[-2:].strip())}
            change = in_food(at, by_label(lambda facts: replace(facts, per="serving")))
            yield Mistake("hundred-as-serving", change, per, at, _WEIGHED)
            if counted.factor != 1:
                printed = in_food(at, lambda h: replace(h, factor=Fraction(1)))
                yield Mistake("as-printed", printed, per, at, _WEIGHED)
        weight = in_food(at, lambda h: replace(h, as_weight=True))
        yield Mistake("weight-as-carbohydrate", weight, food, at, CARBOHYDRATE)


def _per_hundred(facts: FoodFacts) -> FoodFacts:
    by_volume = facts.serving_grams is None and facts.serving_millilitres is not None
    return replace(facts, per="100 ml" if by_volume else "100 g")

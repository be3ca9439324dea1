"""Mistakes in counting. Each is found by counting again with it, through the core.

A mistake is a change of a scene. Its figure is what the changed scene comes to; no figure is kept
in a table. A change that comes to the right figure, or cannot be counted, is no mistake.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

from assistant.counting.facts import FoodFacts
from assistant.counting.policy import NAMED_POLYOLS, POLICIES, Policy
from assistant.teaching.scene import Counted, Helping, Scene, count_helping
from assistant.values import Amount, Arg, Listed, Name
from grammar.nodes import MeasureWord, Number

Figure = Literal["count", "grams", "millilitres", "dose"]
Change = Callable[[Scene], Scene | None]

SERVING = MeasureWord("serving", "serving", "serving")
PACK = MeasureWord("pack", "pack", "pack")
METRIC = frozenset({"mass", "volume", "oz"})


@dataclass(frozen=True, slots=True)
class Mistake:
    """One way to go wrong: its kind, its sentence, and the change that it is.

    at: the place of the food (the first, where everywhere is true), None for the dose. steps:
    codes of the lines of the working at which it leaves the right way; the first there counts.
    """

    id: str
    change: Change
    args: Mapping[str, Arg] = field(default_factory=dict)
    at: int | None = None
    steps: tuple[str, ...] = ()
    everywhere: bool = False

    @property
    def code(self) -> str:
        """The code of its sentence."""
        return f"mistake-{self.id}"

    def figure(self, scene: Scene, of: Figure, at: int | None = None) -> Fraction | None:
        """What comes of the scene with this mistake; None where it cannot be made there."""
        return figure_of(self.change(scene), of, at)


def figure_of(scene: Scene | None, of: Figure, at: int | None = None) -> Fraction | None:
    """The figure of a scene that a question is about; at: the food whose weight is asked."""
    if scene is None:
        return None
    match of:
        case "count":
            return scene.count
        case "dose":
            return scene.dose()
    if at is None or not scene.helpings[at].eaten:
        return None
    counted = scene.counts[at]
    return counted.grams if of == "grams" else counted.millilitres


def _one(at: int, change: Callable[[Helping], Helping | None]) -> Change:
    """The change of one helping."""

    def changed(scene: Scene) -> Scene | None:
        helping = change(scene.helpings[at])
        return None if helping is None else scene.with_helping(at, helping)

    return changed


def _amount(quantity: Fraction, measure: MeasureWord | None) -> Callable[[Helping], Helping | None]:
    """Another amount of the same food; one in brackets is left out with the old one."""

    def changed(helping: Helping) -> Helping | None:
        item = replace(
            helping.found.item, quantity=Number(quantity, ""), measure=measure, also=None
        )
        return replace(helping, found=replace(helping.found, item=item), factor=None)

    return changed


def _label(change: Callable[[FoodFacts], FoodFacts | None]) -> Callable[[Helping], Helping | None]:
    """The same amount by another reading of the label."""

    def changed(helping: Helping) -> Helping | None:
        facts = change(helping.facts)
        return None if facts is None else helping.with_facts(facts)

    return changed


_WEIGHED = ("step", "step-reference", "step-same-measure", "count-times")
_CARBOHYDRATE = (
    "count-less-fibre", "count-less-half-fibre", "count-total", "count-fibre-outside",
    "count-under-threshold",
)  # fmt: skip
_POLYOLS = ("count-less-polyols", "count-less-named-polyol", *_CARBOHYDRATE)


def _forgotten(scene: Scene) -> Iterator[Mistake]:
    if len(scene.helpings) < 2:
        return
    for at, helping in enumerate(scene.helpings):
        yield Mistake("forgot", _one(at, lambda h: replace(h, eaten=False)), _food(helping), at)


def _food(helping: Helping) -> dict[str, Arg]:
    return {"food": Name(helping.facts.name)}


def _portions(scene: Scene) -> Iterator[Mistake]:
    """Another amount of one food than was said."""
    for at, (helping, counted) in enumerate(zip(scene.helpings, scene.counts, strict=True)):
        food, item = _food(helping), helping.found.item
        kind = item.measure.kind if item.measure else None
        number = Amount(counted.quantity, counted.unit, 2)
        if kind not in METRIC and counted.quantity != 1:
            change = _one(at, _amount(Fraction(1), item.measure))
            yield Mistake("one-of-many", change, {**food, "said": number}, at, _WEIGHED)
        if kind != "serving":
            change = _one(at, _amount(Fraction(1), SERVING))
            yield Mistake("one-serving", change, food, at, _WEIGHED)
        yield from _as_servings(at, helping, counted)
        if kind != "pack":
            change = _one(at, _amount(Fraction(1), PACK))
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
    args = {**_food(helping), "many": Amount(many, "serving", 2)}
    yield Mistake("pieces-as-servings", _one(at, _amount(many, SERVING)), args, at, _WEIGHED)


def _labels(scene: Scene) -> Iterator[Mistake]:
    """A figure of the label taken for another amount than it is for."""
    for at, (helping, counted) in enumerate(zip(scene.helpings, scene.counts, strict=True)):
        food = _food(helping)
        if helping.facts.per == "serving":
            change = _one(at, _label(_per_hundred))
            yield Mistake("serving-as-hundred", change, food, at, _WEIGHED)
        else:
            per = {**food, "hundred": Amount(Fraction(100), helping.facts.per[-2:].strip())}
            change = _one(at, _label(lambda facts: replace(facts, per="serving")))
            yield Mistake("hundred-as-serving", change, per, at, _WEIGHED)
            if counted.factor != 1:
                printed = _one(at, lambda h: replace(h, factor=Fraction(1)))
                yield Mistake("as-printed", printed, per, at, _WEIGHED)
        weight = _one(at, lambda h: replace(h, as_weight=True))
        yield Mistake("weight-as-carbohydrate", weight, food, at, _CARBOHYDRATE)


def _per_hundred(facts: FoodFacts) -> FoodFacts:
    by_volume = facts.serving_grams is None and facts.serving_millilitres is not None
    return replace(facts, per="100 ml" if by_volume else "100 g")


def _policies(scene: Scene) -> Iterator[Mistake]:
    """Total instead of net, net instead of total, half of the fibre instead of all: of one food,
    or of all where it changes several."""
    for policy in POLICIES:
        touched = [at for at in range(len(scene.helpings)) if _touched(scene, at, policy)]
        change = _policy_everywhere(policy)
        if len(touched) > 1:
            yield Mistake(f"counted-{policy}", change, {}, touched[0], _CARBOHYDRATE, True)
        for at in touched:
            one = _one(at, _with_policy(policy))
            args = _food(scene.helpings[at])
            yield Mistake(f"counted-{policy}-of", one, args, at, _CARBOHYDRATE)


def _with_policy(policy: Policy) -> Callable[[Helping], Helping]:
    return lambda helping: replace(helping, policy=policy)


def _touched(scene: Scene, at: int, policy: Policy) -> bool:
    """Does this way to count change the food, and is it not just the total by another name?"""
    counts = {p: count_helping(replace(scene.helpings[at], policy=p), scene.ctx) for p in POLICIES}
    changed, total = counts[policy], counts["total"]
    if changed is None or changed.carbohydrate == scene.counts[at].carbohydrate:
        return False
    return policy == "total" or total is None or changed.carbohydrate != total.carbohydrate


def _policy_everywhere(policy: Policy) -> Change:
    def changed(scene: Scene) -> Scene | None:
        """Foods whose label does not state what the policy needs stay as they are."""
        now: Scene = scene
        for at, helping in enumerate(scene.helpings):
            now = now.with_helping(at, replace(helping, policy=policy)) or now
        return now

    return changed


def _less(facts: FoodFacts, off: Fraction, without: tuple[str, ...]) -> FoodFacts | None:
    """The label with so many grams less carbohydrate, and without some of its lines."""
    figure = facts.nutrients.get("carbohydrate")
    if figure is None or off > figure.value:
        return None
    kept = {name: n for name, n in facts.nutrients.items() if name not in without}
    return replace(
        facts, nutrients={**kept, "carbohydrate": replace(figure, value=figure.value - off)}
    )


def _grams(facts: FoodFacts, name: str) -> Fraction | None:
    figure = facts.nutrients.get(name)
    return figure.value if figure is not None and figure.unit == "g" else None


def _each(changes: Sequence[Change]) -> Change:
    """Several changes, one after the other."""

    def changed(scene: Scene) -> Scene | None:
        now: Scene | None = scene
        for change in changes:
            now = None if now is None else change(now)
        return now

    return changed


def _of_foods(
    scene: Scene,
    kind: str,
    at: Sequence[int],
    change: Callable[[Helping], Helping | None],
    steps: tuple[str, ...],
) -> Iterator[Mistake]:
    """The same mistake with each of these foods, and with all of them."""
    ones = [_one(place, change) for place in at]
    for place, one in zip(at, ones, strict=True):
        yield Mistake(kind, one, _food(scene.helpings[place]), place, steps)
    if len(at) > 1:
        names = Listed(tuple(Name(scene.helpings[place].facts.name) for place in at))
        yield Mistake(kind, _each(ones), {"food": names}, at[0], steps, everywhere=True)


def _fibre(scene: Scene) -> Iterator[Mistake]:
    """Fibre taken off that was not inside the carbohydrate of the label."""
    at = [
        place
        for place, helping in enumerate(scene.helpings)
        if not helping.facts.fibre_inside and _grams(helping.facts, "fibre")
    ]
    yield from _of_foods(scene, "fibre-outside", at, _label(_fibre_off), _CARBOHYDRATE)


def _fibre_off(facts: FoodFacts) -> FoodFacts | None:
    return _less(facts, _grams(facts, "fibre") or Fraction(0), ())


def _sugar_alcohols(scene: Scene) -> Iterator[Mistake]:
    """Sugar alcohol taken off whole, by half, or not at all, where that is not the rule chosen."""
    kinds = ("polyols-none", "polyols-half", "polyols-whole")
    at = [n for n, helping in enumerate(scene.helpings) if _polyols(helping.facts) is not None]
    for half, kind in enumerate(kinds):
        change = _label(_polyols_off(Fraction(half, 2)))
        yield from _of_foods(scene, kind, at, change, _POLYOLS)


def _polyols(facts: FoodFacts) -> Fraction | None:
    """Grams of sugar alcohol: the line for all of them, else the named ones together."""
    whole = _grams(facts, "polyols")
    named = [g for g in (_grams(facts, name) for name in NAMED_POLYOLS) if g is not None]
    return whole if whole is not None else sum(named, Fraction(0)) if named else None


def _polyols_off(share: Fraction) -> Callable[[FoodFacts], FoodFacts | None]:
    def changed(facts: FoodFacts) -> FoodFacts | None:
        polyols = _polyols(facts)
        if polyols is None:
            return None
        return _less(facts, polyols * share, ("polyols", *NAMED_POLYOLS))

    return changed


COUNT_KINDS: tuple[Callable[[Scene], Iterator[Mistake]], ...] = (
    _forgotten,
    _portions,
    _labels,
    _policies,
    _fibre,
    _sugar_alcohols,
)
"""Every family of mistakes in a count."""


def count_mistakes(scene: Scene) -> Iterator[Mistake]:
    """Every mistake that can be made in counting this meal."""
    for family in COUNT_KINDS:
        yield from family(scene)

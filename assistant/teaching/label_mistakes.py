"""Mistakes in what is taken off: ways to count, fibre, sugar alcohol."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import FoodFacts
from assistant.counting.policy import NAMED_POLYOLS, POLICIES, Policy
from assistant.teaching.mistake import CARBOHYDRATE, Change, Mistake, by_label, food_of, in_food
from assistant.teaching.scene import Helping, Scene, count_helping
from assistant.values import Listed, Name

_POLYOLS = (
    "count-less-polyols",
    "count-less-other-polyols",
    "count-less-named-polyol",
    *CARBOHYDRATE,
)


def policies(scene: Scene) -> Iterator[Mistake]:
    """Total instead of net, net instead of total, half of the fibre instead of all: of one food,
    or of all where it changes several."""
    for policy in POLICIES:
        touched = [at for at in range(len(scene.helpings)) if _touched(scene, at, policy)]
        change = _policy_everywhere(policy)
        if len(touched) > 1:
            yield Mistake(f"counted-{policy}", change, {}, touched[0], CARBOHYDRATE, True)
        for at in touched:
            one = in_food(at, _with_policy(policy))
            args = food_of(scene.helpings[at])
            yield Mistake(f"counted-{policy}-of", one, args, at, CARBOHYDRATE)


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
    ones = [in_food(place, change) for place in at]
    for place, one in zip(at, ones, strict=True):
        yield Mistake(kind, one, food_of(scene.helpings[place]), place, steps)
    if len(at) > 1:
        names = Listed(tuple(Name(scene.helpings[place].facts.name) for place in at))
        yield Mistake(kind, _each(ones), {"food": names}, at[0], steps, everywhere=True)


def fibre(scene: Scene) -> Iterator[Mistake]:
    """Fibre taken off that was not inside the carbohydrate of the label."""
    at = [
        place
        for place, helping in enumerate(scene.helpings)
        if not helping.facts.fibre_inside and _grams(helping.facts, "fibre")
    ]
    yield from _of_foods(scene, "fibre-outside", at, by_label(_fibre_off), CARBOHYDRATE)


def _fibre_off(facts: FoodFacts) -> FoodFacts | None:
    return _less(facts, _grams(facts, "fibre") or Fraction(0), ())


def sugar_alcohols(scene: Scene) -> Iterator[Mistake]:
    """Sugar alcohol taken off whole, by half, or not at all, where that is not the rule chosen."""
    kinds = ("polyols-none", "polyols-half", "polyols-whole")
    at = [n for n, helping in enumerate(scene.helpings) if _polyols(helping.facts) is not None]
    for half, kind in enumerate(kinds):
        change = by_label(_polyols_off(Fraction(half, 2)))
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

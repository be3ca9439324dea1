"""Recipes: what is in them now, whether an ingredient changed, circles, scaling. All pure."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Ingredient, Measure, Recipe
from assistant.counting.portions import Need, Weighed, weigh
from assistant.values import Ranged, decimal_text

Find = Callable[[str], FoodFacts | None]
"""The facts of a food as they are now, by its id; None where there is no such food."""


class Changed(Struct, frozen=True):
    """An ingredient that would count otherwise if the recipe were said now.

    now: the facts of its food as they are. read: how much its words come to by them and by the
    measures of now. only_measure: nothing but a measure changed.
    """

    recipe: str
    ingredient: Ingredient
    now: FoodFacts
    read: Weighed | Need
    only_measure: bool = False


def _rests_on(facts: FoodFacts) -> tuple[object, ...]:
    """What a count of the food can rest on, besides figures and measures that were only added."""
    serving = (facts.serving_grams, facts.serving_millilitres)
    household = (facts.household_count, facts.household_unit)
    pack = (facts.servings_per_pack, facts.pack_grams, facts.pack_millilitres)
    return (facts.region, facts.per, serving, household, pack, facts.prepared, facts.like)


def differs(then: FoodFacts, now: FoodFacts) -> bool:
    """Would a count of the food come out otherwise now?

    A figure or a measure that was not there before and changes none that was (the fibre of a
    label, told later) is no change: the recipe takes it up.
    """
    if _rests_on(then) != _rests_on(now):
        return True
    if any(now.nutrients.get(name) != figure for name, figure in then.nutrients.items()):
        return True
    if any(measure not in now.extra for measure in then.extra):
        return True
    if then.recipe is None or now.recipe is None:
        return then.recipe is not now.recipe
    return _recipe_differs(then.recipe, now.recipe)


def _recipe_differs(then: Recipe, now: Recipe) -> bool:
    made = (then.makes, then.cooked_grams, then.cooked_millilitres)
    if made != (now.makes, now.cooked_grams, now.cooked_millilitres):
        return True
    if _how_much(then) != _how_much(now):
        return True
    before, after = ([each.facts for each in recipe.ingredients] for recipe in (then, now))
    return any(map(differs, before, after))


def _how_much(recipe: Recipe) -> list[tuple[str, Ranged]]:
    return [(each.food_id, each.factor) for each in recipe.ingredients]


def mark(facts: FoodFacts) -> str:
    """A short mark that is the same for facts that count the same."""
    from hashlib import sha256  # noqa: PLC0415 - most turns have no recipe, and it loads slowly

    return sha256(repr(_plain(facts)).encode()).hexdigest()[:16]


def _plain(facts: FoodFacts) -> tuple[object, ...]:
    recipe: object = None
    if facts.recipe is not None:
        parts = tuple((i.food_id, i.factor, _plain(i.facts)) for i in facts.recipe.ingredients)
        recipe = (parts, facts.recipe.makes, facts.recipe.cooked_grams,
                  facts.recipe.cooked_millilitres)  # fmt: skip
    return (_rests_on(facts), sorted(facts.nutrients.items()), facts.extra, recipe)


def said_now(each: Ingredient, now: FoodFacts, kitchen: Mapping[str, Fraction]) -> Weighed | Need:
    """What the ingredient's words come to by these facts of its food and the measures of now."""
    return weigh(now, each.quantity.value, each.measure, each.name, kitchen)


def passing(now: FoodFacts, read: Weighed | Need) -> str:
    """A mark of all that the user passes over when a recipe keeps an ingredient as it was."""
    return f"{mark(now)} {read.factor if isinstance(read, Weighed) else read.why}"


def changed_in(
    recipe: str, each: Ingredient, now: FoodFacts, kitchen: Mapping[str, Fraction]
) -> Changed | None:
    """The ingredient, where saying it now would count otherwise; None where it would not.

    An amount that was told in two ways ("1 can (400 g)") may have been counted by the second: words
    that lead nowhere, then as now, are no change.
    """
    read = said_now(each, now, kitchen)
    if isinstance(read, Weighed):
        amount = read.factor != each.factor.value
    else:
        amount = isinstance(said_now(each, each.facts, kitchen), Weighed)
    if not amount and not differs(each.facts, now):
        return None
    return Changed(recipe, each, now, read, not differs(replace(each.facts, extra=now.extra), now))


def as_now(facts: FoodFacts, find: Find, kitchen: Mapping[str, Fraction]) -> FoodFacts | Changed:
    """The food with each ingredient as it is now, or the first one that has to be asked about.

    kitchen: what the user's own measures hold, in millilitres. A recipe inside another is looked
    through first. A food that is gone stays as it was.
    """
    if facts.recipe is None:
        return facts
    kept = []
    for each in facts.recipe.ingredients:
        now = find(each.food_id)
        if now is None:
            kept.append(each)
            continue
        inner = as_now(now, find, kitchen)
        if isinstance(inner, Changed):
            return inner
        changed = changed_in(facts.name, each, inner, kitchen)
        if changed is None:
            kept.append(replace(each, facts=inner))
        elif passing(inner, changed.read) == each.passed_over:
            kept.append(each)
        else:
            return changed
    return replace(facts, recipe=replace(facts.recipe, ingredients=tuple(kept)))


def circle(name: str, food_id: str, inside: Iterable[Ingredient], find: Find) -> tuple[str, ...]:
    """The names on the way from a recipe back to itself; empty where there is no way."""
    for each in inside:
        if each.food_id == food_id:
            return (name, name)
        now = find(each.food_id) or each.facts
        recipe = now.recipe
        if recipe is not None:
            rest = circle(name, food_id, recipe.ingredients, find)
            if rest:
                return (name, now.name, *rest[1:])
    return ()


def flattened(facts: FoodFacts, factor: Fraction) -> Iterator[tuple[FoodFacts, Fraction]]:
    """The foods with a label that a portion comes down to, each with its multiple."""
    if facts.recipe is None:
        yield facts, factor
        return
    for each in facts.recipe.ingredients:
        yield from flattened(each.facts, factor * each.factor.value)


def scaled(recipe: Recipe, by: Fraction) -> Recipe:
    """Another recipe of so many times as much. It was not cooked yet, so it has no weight."""
    times = Ranged.exactly(by)
    ingredients = tuple(
        replace(each, said=f"{decimal_text(by)} times {each.said}",
                factor=each.factor.by(times), quantity=each.quantity.by(times),
                grams=None if each.grams is None else each.grams * by)
        for each in recipe.ingredients
    )  # fmt: skip
    makes = tuple(Measure(made.count * by, made.unit) for made in recipe.makes)
    return Recipe(ingredients, makes, uncounted=recipe.uncounted)

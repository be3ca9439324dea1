"""Sentences that change a recipe or make another: weighed, yielding, scaled, following."""

from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import FoodFacts
from assistant.counting.portions import Weighed, weigh
from assistant.counting.recipes import Changed, as_now, changed_in, circle, passing, scaled
from assistant.dialogue.naming import MAX_NAME, bad_name
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
)
from assistant.dialogue.recipe_ingredients import EXAMPLE
from assistant.dialogue.recipe_it import recipes
from assistant.dialogue.recipe_named import called, one_recipe, with_name
from assistant.dialogue.recipe_now import current, finder
from assistant.dialogue.recipe_pot import outcome_of_pot
from assistant.dialogue.recipe_saving import cannot_be, saved
from assistant.dialogue.recipe_weight import weight_doubt
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Ranged, Said
from grammar.nodes import MeasureWord, Number
from grammar.numbers import read_number
from grammar.recipes import RecipeSentence
from grammar.words import name_key


def weight(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "the pot weighs 1450 g, the empty pot 600 g", "the finished stew weighs 850 g"."""
    name = said.parts["name"]
    known = ctx.foods.exact(name_key(name)) if name else ()
    if not recipes(ctx) or any(food.facts.recipe is None for food in known):
        return None  # "a pot of yoghurt weighs 150 g" is a measure of a food
    food = one_recipe(ctx, said)
    if isinstance(food, Outcome):
        return food
    recipe = food.facts.recipe
    assert recipe is not None
    named = with_name(ctx.text, food.facts.name)
    with_it = ctx if name else replace(ctx, text=named)  # so that an answer is of this recipe
    comes = outcome_of_pot(with_it, food.facts.name, said.yields)
    if isinstance(comes, Ask):
        return ask(comes, with_it.text)
    told = [fact("recipe-weighs-now", weight=Amount(comes.grams or Fraction(0), "g"))]
    if recipe.cooked_grams is not None and recipe.cooked_grams != comes.grams:
        told.append(fact("recipe-weighed-before", weight=Amount(recipe.cooked_grams, "g")))
    facts = replace(food.facts, recipe=replace(recipe, cooked_grams=comes.grams))
    doubt = cannot_be(facts) or weight_doubt(with_it, facts, said)
    if doubt is not None:
        return ask(doubt, with_it.text)
    return saved(ctx, food.food_id, facts, "recipe-changed", *told)


def makes(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "lentil stew makes 6 bowls"; None where that is no recipe."""
    food = called(ctx, said.parts["name"])
    if food is None:
        return None
    recipe = food.facts.recipe
    assert recipe is not None
    comes = outcome_of_pot(ctx, food.facts.name, said.yields)
    if isinstance(comes, Ask):
        return ask(comes, ctx.text)
    units = {made.unit for made in comes.makes}
    kept = tuple(made for made in recipe.makes if made.unit not in units)
    gone = [m for m in recipe.makes if m.unit in units and m not in comes.makes]
    told = [fact("recipe-made-before", count=Amount(m.count, m.unit)) for m in gone]
    changed = replace(
        recipe,
        makes=(*kept, *comes.makes),
        cooked_grams=recipe.cooked_grams if comes.grams is None else comes.grams,
        cooked_millilitres=comes.millilitres or recipe.cooked_millilitres,
    )
    facts = replace(food.facts, recipe=changed)
    doubt = cannot_be(facts) or weight_doubt(ctx, facts, said)
    if doubt is not None:
        return ask(doubt, ctx.text)
    return saved(ctx, food.food_id, facts, "recipe-changed", *told)


_TIMES = {"double": 2, "twice": 2, "triple": 3}


def scale(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "double the recipe lentil stew": a new recipe of its own, with a name of its own."""
    food = one_recipe(ctx, said)
    if isinstance(food, Outcome):
        return food
    by_words = said.parts["by"].casefold()
    by = _share(by_words)
    if by is None:
        return ask(Ask("number", "recipe-times-unclear", {"said": Said(by_words)}), ctx.text)
    now = current(ctx, food)
    if isinstance(now, Ask):
        return ask(now, ctx.text)
    recipe = now.facts.recipe
    assert recipe is not None
    word = {"halve": "half", "twice": "double"}.get(by_words, by_words)
    if "new" not in said.parts and word not in {"half", "double", "triple"}:
        again = (
            f"{_times_said(by_words)} the recipe {quoted(now.facts.name)} as big {now.facts.name}"
        )
        return ask(Ask("name", "recipe-scale-name", hint=(again,)), ctx.text)
    name = said.parts.get("new", "").strip('"“”') or f"{word} {now.facts.name}"
    bad = bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])}), ctx.text)
    taken = ctx.foods.exact(name_key(name))
    if taken:
        args: dict[str, Arg] = {"said": Said(name), "food": Name(taken[0].facts.name)}
        again = f'{_times_said(by_words)} the recipe {quoted(now.facts.name)} as "..."'
        return ask(Ask("name", "recipe-name-taken", args, hint=(again,)), ctx.text)
    facts = FoodFacts(name, "EU", "recipe", {}, source="recipe", recipe=scaled(recipe, by))
    told = [fact("recipe-scaled", times=Amount(by, "times"), food=Name(now.facts.name))]
    if recipe.cooked_grams is not None or recipe.cooked_millilitres is not None:
        told.append(caution("recipe-weigh-again"))
    return saved(ctx, name_key(name), facts, "recipe-saved", *told)


def _times_said(by_words: str) -> str:
    """How many times, as a sentence of its own begins: "double", "1.5 times"."""
    return f"{by_words} times" if by_words[-1].isdigit() else by_words


def _share(words: str) -> Fraction | None:
    if words in {"half", "halve"}:
        return Fraction(1, 2)
    if words in _TIMES:
        return Fraction(_TIMES[words])
    number = read_number(words.removesuffix("times").removesuffix("x").strip())
    return number.value if isinstance(number, Number) and number.value > 0 else None


def half(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "half the recipe lentil stew": eaten, or a recipe of half the size?"""
    food = called(ctx, said.parts["name"])
    if food is None:
        return None
    name, shown_as = quoted(food.facts.name), Name(food.facts.name)
    choices = (
        choice("choice-half-eaten", f"1/2 recipe of {name}", word="eaten", food=shown_as),
        choice("choice-half-new", f"halve the recipe {name}", word="new", food=shown_as),
    )
    return ask(Ask("which-recipe", "ask-half-recipe", {"food": shown_as}, choices=choices),
               ctx.text)  # fmt: skip


def follow(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "recipe stew follows the new label of lentils", or keeps the old one, or its measure."""
    food = one_recipe(ctx, said)
    if isinstance(food, Outcome):
        return food
    recipe = food.facts.recipe
    assert recipe is not None
    find = finder(ctx)
    inside = list(recipe.ingredients)
    named = said.parts["food"].strip('"“”')
    key = name_key(named)
    args: dict[str, Arg] = {"food": Name(food.facts.name), "ingredient": Name(named)}
    found = False
    kitchen = ctx.settings.kitchen
    for at, each in enumerate(inside):
        now = find(each.food_id)
        names = {name_key(each.facts.name), name_key(now.name) if now else ""}
        if key not in names or now is None:
            continue
        inner = as_now(now, find, kitchen)
        now = now if isinstance(inner, Changed) else inner
        changed = changed_in(food.facts.name, each, now, kitchen)
        if changed is None:
            continue
        found = True
        if said.parts["how"].casefold() == "keeps":
            inside[at] = replace(each, passed_over=passing(now, changed.read))
            continue
        figures = _weighed_again(ctx, each.quantity, each.measure, each.name, now)
        if figures is None:
            return ask(Ask("recipe", "recipe-cannot-follow", {**args, "said": Said(each.said)},
                           hint=(EXAMPLE,)), ctx.text)  # fmt: skip
        inside[at] = replace(each, facts=now, factor=figures[0], grams=figures[1], passed_over="")
    if not found:
        return answered(answer("recipe-follows-already", **args))
    way = circle(food.facts.name, food.food_id, inside, find)
    if way:
        listed = Listed(tuple(Name(n) for n in way))
        return ask(Ask("recipe", "recipe-circle", {"way": listed}), ctx.text)
    facts = replace(food.facts, recipe=replace(recipe, ingredients=tuple(inside)))
    of_measure = said.parts["of"].casefold() == "measure"
    if said.parts["how"].casefold() == "follows":
        code = "recipe-follows-measure" if of_measure else "recipe-follows"
    else:
        code = "recipe-keeps-measure" if of_measure else "recipe-keeps"
    return saved(ctx, food.food_id, facts, "recipe-changed", fact(code, **args))


def _weighed_again(
    ctx: Context, quantity: Ranged, measure: MeasureWord | None, name: str, facts: FoodFacts
) -> tuple[Ranged, Fraction | None] | None:
    """The amount in terms of another label; None where that label does not tell it."""
    one = weigh(facts, Fraction(1), measure, name, ctx.settings.kitchen)
    if not isinstance(one, Weighed):
        return None
    weight_of_one = None if one.grams is None else one.grams * quantity.value
    return quantity.times(one.factor), weight_of_one

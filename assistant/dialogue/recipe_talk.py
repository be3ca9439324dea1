"""Sentences about recipes that are there: shown, weighed, scaled, followed, forgotten."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

from assistant.counting.facts import Food, FoodFacts
from assistant.counting.policy import Unknown, count_reference
from assistant.counting.portions import Weighed, weigh
from assistant.counting.recipes import circle, differs, mark, scaled
from assistant.dialogue.events import FoodForgotten, RecipeBegun, RecipeNamed
from assistant.dialogue.meal_lines import counted_lines, grams, reference_of
from assistant.dialogue.naming import MAX_NAME, bad_name, one_food
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
    next_step,
)
from assistant.dialogue.recipe_it import recipes, spoken_of, which
from assistant.dialogue.recipe_now import current, finder
from assistant.dialogue.recipe_saving import (
    EXAMPLE,
    as_data,
    count_lines,
    doubts,
    outcome_of_pot,
    save,
    saved,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Ranged, Said
from grammar.nodes import MeasureWord, Number
from grammar.numbers import read_number
from grammar.recipes import RecipeSentence
from grammar.words import name_key

WAITS = timedelta(days=1)
"""How long a recipe that was begun can be gone on with."""


def handle(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """The turn for a sentence about recipes; None where its name is no recipe's after all."""
    if said.form == "save":
        known = _recipe_called(ctx, said.parts["name"])
        bare = not said.body and not said.yields and not said.uncounted
        return show(ctx, said) if bare and known is not None else save(ctx, said)
    if said.form == "unclear":
        return ask(Ask("recipe", "recipe-no-colon", hint=(EXAMPLE,)), ctx.text)
    if said.form == "figure":
        args: dict[str, Arg] = {"said": Said(said.parts["name"])}
        return ask(Ask("recipe", "recipe-name-figure", args, hint=(EXAMPLE,)), ctx.text)
    if said.form == "long":
        return ask(Ask("recipe", "recipe-too-long", hint=(EXAMPLE,)), ctx.text)
    handlers: dict[str, Callable[[Context, RecipeSentence], Outcome | None]] = {
        "list": list_recipes,
        "resume": _nothing_waits,
        "forget": forget,
        "follow": follow,
        "scale": scale,
        "half": half,
        "show": show,
        "weight": weight,
        "makes": makes,
    }
    return handlers[said.form](ctx, said)


def _nothing_waits(_: Context, __: RecipeSentence) -> Outcome:
    return answered(answer("recipe-none-waits"), next_step(EXAMPLE))


def _recipe_called(ctx: Context, name: str) -> Food | None:
    found = ctx.foods.exact(name_key(name.strip().strip('"“”')))
    return found[0] if len(found) == 1 and found[0].facts.recipe is not None else None


def _one(ctx: Context, said: RecipeSentence) -> Food | Outcome:
    """The recipe that is named, or spoken of; or the question which."""
    name = said.parts.get("name", "")
    if not name:
        food = spoken_of(ctx)
        if food is not None:
            return food
        known = recipes(ctx)
        if not known:
            return answered(answer("no-recipes"), next_step(EXAMPLE))
        return which(ctx, {f.facts.name: _with_name(ctx.text, f.facts.name) for f in known})
    found = one_food(ctx, name)
    if isinstance(found, Outcome) or found.facts.recipe is not None:
        return found
    hint = next_step(f"show {found.facts.name}", "recipes")
    return answered(answer("no-recipe", food=Name(found.facts.name)), hint)


_RECIPE_WORD = re.compile(r"\brec\w*p\w*", re.I)
_WEIGHS = re.compile(r"(?P<head>.+?)\s+(?:weighs|is)\s+(?P<rest>.+)", re.I)


def _with_name(text: str, name: str) -> str:
    """A sentence on "the recipe" or "the pot" with its name."""
    bare = text.rstrip(" .!?")
    word = _RECIPE_WORD.search(bare)
    if word is not None:
        return f"{bare[: word.end()]} {quoted(name)}{bare[word.end() :]}"
    weighs = _WEIGHS.fullmatch(bare)
    if weighs is None:
        return f"{bare} of {quoted(name)}"
    if re.match(r"(?:the\s+)?(?:finished|cooked)\b", bare, re.I):
        return f"the finished {quoted(name)} weighs {weighs['rest']}"
    return f"{weighs['head']} of {quoted(name)} weighs {weighs['rest']}"


def list_recipes(ctx: Context, _: RecipeSentence) -> Outcome:
    """ "recipes"."""
    known = recipes(ctx)
    if not known:
        return answered(answer("no-recipes"), next_step(EXAMPLE))
    names = Listed(tuple(Name(food.facts.name) for food in known))
    return answered(
        answer("recipes", count=Amount(Fraction(len(known)), "recipe"), foods=names),
        next_step(f"show recipe {known[0].facts.name}"),
        facts={"recipes": [food.facts.name for food in known]},
    )


def forget(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "forget recipe lentil stew": recipes that hold it keep what they know of it."""
    food = _one(ctx, said)
    if isinstance(food, Outcome):
        return food
    return answered(answer("food-forgotten", food=Name(food.facts.name)), next_step("undo"),
                    events=(FoodForgotten(food.food_id),))  # fmt: skip


def show(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "show recipe lentil stew": each ingredient with its working, the whole, the portions."""
    food = _one(ctx, said)
    return food if isinstance(food, Outcome) else shown(ctx, food)


def shown(ctx: Context, food: Food) -> Outcome:
    """All that is known of a recipe, as it stands now."""
    food_now = current(ctx, food)
    if isinstance(food_now, Ask):
        return ask(food_now, ctx.text)
    facts = food_now.facts
    assert facts.recipe is not None
    lines = [answer("recipe-shown", food=Name(facts.name))]
    at = 0
    for each in count_lines(ctx, facts):
        lines.append(each)
        if each.code == "count-part":
            lines.extend(_working(ctx, facts, at))
            at += 1
    if not any(line.code == "count-part" for line in lines):
        parts = facts.recipe.ingredients
        lines[1:1] = [fact("recipe-part", said=Said(i.said), food=Name(i.facts.name))
                      for i in parts]  # fmt: skip
    for measure in facts.extra:
        if measure.grams is not None:
            args: dict[str, Arg] = {"count": Amount(measure.count, measure.unit),
                                    "amount": Amount(measure.grams, "g")}  # fmt: skip
            lines.append(fact("food-measure", **args))
    lines.extend(doubts(facts))
    return answered(*lines, events=(RecipeNamed(food.food_id),), facts=as_data(facts))


def _working(ctx: Context, facts: FoodFacts, at: int) -> list[Line]:
    """How one ingredient counts: by its label, times how much goes in."""
    assert facts.recipe is not None
    each = facts.recipe.ingredients[at]
    policy = ctx.settings.policy
    counted = count_reference(each.facts, policy, ctx.settings.polyols) if policy else None
    if counted is None or isinstance(counted, Unknown):
        return []
    args: dict[str, Arg] = {
        "said": Said(each.said),
        "times": Amount(each.factor.value, "times"),
        "reference": reference_of(each.facts),
        "food": Name(each.facts.name),
    }
    lines = [Line("working", "count-part-times", args)]
    lines.extend(counted_lines(each.facts, counted))
    total = counted.result.by(each.factor)
    lines.append(Line("working", "count-times", {
        "times": Amount(each.factor.value, "times", 4), "one": grams(counted.result.value),
        "counted": grams(total.value)}))  # fmt: skip
    return lines


def weight(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "the pot weighs 1450 g, the empty pot 600 g", "the finished stew weighs 850 g"."""
    name = said.parts["name"]
    known = ctx.foods.exact(name_key(name)) if name else ()
    if not recipes(ctx) or any(food.facts.recipe is None for food in known):
        return None  # "a pot of yoghurt weighs 150 g" is a measure of a food
    food = _one(ctx, said)
    if isinstance(food, Outcome):
        return food
    recipe = food.facts.recipe
    assert recipe is not None
    named = _with_name(ctx.text, food.facts.name)
    with_it = ctx if name else replace(ctx, text=named)  # so that an answer is of this recipe
    comes = outcome_of_pot(with_it, food.facts.name, said.yields)
    if isinstance(comes, Ask):
        return ask(comes, with_it.text)
    told = [fact("recipe-weighs-now", weight=Amount(comes.grams or Fraction(0), "g"))]
    if recipe.cooked_grams is not None and recipe.cooked_grams != comes.grams:
        told.append(fact("recipe-weighed-before", weight=Amount(recipe.cooked_grams, "g")))
    facts = replace(food.facts, recipe=replace(recipe, cooked_grams=comes.grams))
    return saved(ctx, food.food_id, facts, "recipe-changed", *told)


def makes(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "lentil stew makes 6 bowls"; None where that is no recipe."""
    food = _recipe_called(ctx, said.parts["name"])
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
    return saved(ctx, food.food_id, replace(food.facts, recipe=changed), "recipe-changed", *told)


_TIMES = {"double": 2, "twice": 2, "triple": 3}


def scale(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "double the recipe lentil stew": a new recipe of its own, with a name of its own."""
    food = _one(ctx, said)
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
        again = f"{by_words} the recipe {quoted(now.facts.name)} as big {now.facts.name}"
        return ask(Ask("name", "recipe-scale-name", hint=(again,)), ctx.text)
    name = said.parts.get("new", "").strip('"“”') or f"{word} {now.facts.name}"
    bad = bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])}), ctx.text)
    taken = ctx.foods.exact(name_key(name))
    if taken:
        args: dict[str, Arg] = {"said": Said(name), "food": Name(taken[0].facts.name)}
        again = f'{by_words} the recipe {quoted(now.facts.name)} as "..."'
        return ask(Ask("name", "recipe-name-taken", args, hint=(again,)), ctx.text)
    facts = FoodFacts(name, "EU", "recipe", {}, source="recipe", recipe=scaled(recipe, by))
    told = [fact("recipe-scaled", times=Amount(by, "times"), food=Name(now.facts.name))]
    if recipe.cooked_grams is not None or recipe.cooked_millilitres is not None:
        told.append(caution("recipe-weigh-again"))
    return saved(ctx, name_key(name), facts, "recipe-saved", *told)


def _share(words: str) -> Fraction | None:
    if words in {"half", "halve"}:
        return Fraction(1, 2)
    if words in _TIMES:
        return Fraction(_TIMES[words])
    number = read_number(words.removesuffix("times").removesuffix("x").strip())
    return number.value if isinstance(number, Number) and number.value > 0 else None


def half(ctx: Context, said: RecipeSentence) -> Outcome | None:
    """ "half the recipe lentil stew": eaten, or a recipe of half the size?"""
    food = _recipe_called(ctx, said.parts["name"])
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
    """ "recipe stew follows the new label of lentils", or keeps the old one."""
    food = _one(ctx, said)
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
    for at, each in enumerate(inside):
        now = find(each.food_id)
        names = {name_key(each.facts.name), name_key(now.name) if now else ""}
        if key not in names or now is None or not differs(each.facts, now):
            continue
        found = True
        if said.parts["how"].casefold() == "keeps":
            inside[at] = replace(each, passed_over=mark(now))
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
    code = "recipe-follows" if said.parts["how"].casefold() == "follows" else "recipe-keeps"
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


def waiting(ctx: Context) -> str | None:
    """The sentence of a recipe that was begun and neither saved nor dropped; None without one."""
    last = ctx.record.events(("recipe-begun",), since=ctx.now - WAITS, last=1)
    event = last[-1].event if last else None
    return event.said if isinstance(event, RecipeBegun) and event.said else None


def no_figures(facts: FoodFacts) -> Outcome:
    """A figure told of a recipe or an estimate: they have none of their own."""
    code = "recipe-no-figures" if facts.recipe is not None else "estimate-no-figures"
    return answered(answer(code, food=Name(facts.name)), next_step(f"show {facts.name}"))

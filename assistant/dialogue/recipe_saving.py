"""A recipe said: its ingredients found and weighed, or asked about; what it makes; saved.

Questions are those of a meal, put into the recipe's own sentence, so that each answer says the
whole recipe again and nothing is held half made.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.counting.facts import Food, FoodFacts, Ingredient, Measure, Recipe
from assistant.counting.policy import Counted, count_reference
from assistant.counting.recipes import Changed, as_now, circle, raw_weight
from assistant.counting.units import conversion
from assistant.dialogue import amount_questions
from assistant.dialogue import meal_questions as questions
from assistant.dialogue.events import RecipeBegun, RecipeSaved
from assistant.dialogue.item_counts import count_item
from assistant.dialogue.meal_lines import between, grams, measure, part_line
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
    next_step,
    yes_no,
)
from assistant.dialogue.plates import CountedItem, Plate
from assistant.dialogue.recipe_now import finder
from assistant.dialogue.replies import Choice, Line, Slot
from assistant.dialogue.resolve import Meaning, Resolved, Unresolved, resolve
from assistant.dialogue.sentence_parts import ANSWER, quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Ranged, Said
from grammar.measures import find_measure
from grammar.nodes import Complaint, Item, Number, Span
from grammar.phrases import loose_joiner, read_phrase
from grammar.recipes import RecipeSentence, YieldSaid
from grammar.words import name_key

MAX_INGREDIENTS = 40
TAKEN_UP = Fraction(102, 100)
"""A finished pot above the raw weight by more than this took up water that was not said, or the
pot itself was weighed (2 per cent for the scales; common practice, no source)."""

EXAMPLE = "recipe lentil stew makes 6 bowls: 300 g red lentils, 2 onions, 1.2 l stock"


@dataclass(frozen=True, slots=True)
class Comes:
    """What comes out of the pot, as far as it was said."""

    makes: tuple[Measure, ...] = ()
    grams: Fraction | None = None
    millilitres: Fraction | None = None


def opened(ctx: Context, wanted: Ask) -> Outcome:
    """A question about a recipe: the recipe stays open until it is saved or dropped."""
    outcome = ask(replace(wanted, kind="recipe"), ctx.text)
    if wanted.code == "recipe-circle":
        return outcome  # it has to be said in another way
    return Outcome(outcome.reply, (RecipeBegun(ctx.text), *outcome.events))


def save(ctx: Context, said: RecipeSentence) -> Outcome:
    """ "recipe NAME makes 6 bowls: INGREDIENTS"."""
    name = said.parts["name"]
    bad = bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])}, hint=(EXAMPLE,)), ctx.text)
    old = _in_the_library(ctx, name)
    if isinstance(old, Outcome):
        return old
    comes = outcome_of_pot(ctx, name, said.yields)
    if isinstance(comes, Ask):
        return opened(ctx, comes)
    if not said.body:
        return opened(ctx, _no_ingredients(ctx, name))
    food_id = old.food_id if old else name_key(name)
    inside = _ingredients(ctx, said, name, food_id)
    if isinstance(inside, Outcome):
        return inside
    if old is not None and said.parts["how"] != "replace":
        return opened(ctx, _replace(ctx, old, said.parts["how"]))
    recipe = Recipe(inside, comes.makes, comes.grams, comes.millilitres, said.uncounted)
    extra = old.facts.extra if old is not None and old.facts.recipe is not None else ()
    facts = FoodFacts(old.facts.name if old else name, "EU", "recipe", {}, source="recipe",
                      extra=extra, recipe=recipe)  # fmt: skip
    return saved(ctx, food_id, facts, "recipe-replaced" if old else "recipe-saved")


def saved(ctx: Context, food_id: str, facts: FoodFacts, code: str, *told: Line) -> Outcome:
    """The reply to a recipe that is saved: each ingredient, the whole, a portion of it."""
    assert facts.recipe is not None
    lines = [answer(code, food=Name(facts.name)), *told, *count_lines(ctx, facts)]
    lines.extend(doubts(facts))
    first = example_of(facts)
    lines.append(next_step(first, f"show recipe {facts.name}"))
    events = (RecipeSaved(food_id, facts), RecipeBegun(""))
    return answered(*lines, events=events, facts=as_data(facts))


def example_of(facts: FoodFacts) -> str:
    """How a portion of it could be said."""
    assert facts.recipe is not None
    made = facts.recipe.makes[0].unit if facts.recipe.makes else None
    if made is None and facts.recipe.cooked_grams is not None:
        return f"250 g of {facts.name}"
    if made is not None and made == name_key(facts.name).split()[-1]:
        return f"2 {facts.name}"
    return f"1 {made} of {facts.name}" if made else f"a quarter of the pot of {facts.name}"


def count_lines(ctx: Context, facts: FoodFacts) -> list[Line]:
    """What the whole recipe counts by the user's policy, and one of each portion."""
    assert facts.recipe is not None
    policy = ctx.settings.policy
    lines: list[Line] = []
    if policy is None:
        return [*made_lines(facts.recipe), fact("recipe-policy-first"),
                next_step("count total carbohydrate", "count net carbohydrate")]  # fmt: skip
    if isinstance(as_now(facts, finder(ctx)), Changed):
        return [*made_lines(facts.recipe), caution("recipe-not-settled")]
    counted = count_reference(facts, policy, ctx.settings.polyols)
    if not isinstance(counted, Counted):
        args: dict[str, Arg] = {"food": Name(counted.food), "nutrient": Name(counted.nutrient)}
        return [*made_lines(facts.recipe), caution("recipe-unknown-figure", **args)]
    lines.extend(replace(part_line(p), role="portion") for p in counted.parts)
    lines.append(Line("total", "recipe-whole", {
        "counted": grams(counted.result.value), "range": between(counted.result)}))  # fmt: skip
    for made in facts.recipe.makes:
        one = counted.result.times(1 / made.count)
        args = {"count": measure(made.count, made.unit), "one": measure(Fraction(1), made.unit),
                "counted": grams(one.value), "range": between(one)}  # fmt: skip
        lines.append(fact("recipe-makes", **args))
    return [*lines, *made_lines(facts.recipe, portions=False)]


def made_lines(recipe: Recipe, portions: bool = True) -> list[Line]:
    """What comes out, without counts."""
    lines = []
    for made in recipe.makes if portions else ():
        lines.append(fact("recipe-makes-only", count=measure(made.count, made.unit)))
    if recipe.cooked_grams is not None:
        lines.append(fact("recipe-weighs", weight=Amount(recipe.cooked_grams, "g")))
    if recipe.cooked_millilitres is not None:
        lines.append(fact("recipe-holds", volume=Amount(recipe.cooked_millilitres, "ml")))
    return lines


def doubts(facts: FoodFacts) -> list[Line]:
    """What the user should know of the recipe: not counted, no yield, heavier than it can be."""
    recipe = facts.recipe
    assert recipe is not None
    lines = []
    if recipe.uncounted:
        words = Listed(tuple(Name(w) for w in recipe.uncounted))
        lines.append(caution("recipe-uncounted", words=words))
    raw = raw_weight(recipe)
    cooked = recipe.cooked_grams
    if cooked is not None and raw is not None and cooked > raw * TAKEN_UP and not recipe.uncounted:
        lines.append(caution("recipe-heavier", cooked=Amount(cooked, "g"), raw=Amount(raw, "g", 1)))
    if not recipe.makes and cooked is None and recipe.cooked_millilitres is None:
        lines.append(caution("recipe-makes-nothing"))
        lines.append(next_step(f"{facts.name} makes 6 bowls",
                               f"the finished {facts.name} weighs 850 g"))  # fmt: skip
    return lines


def as_data(facts: FoodFacts) -> dict[str, object]:
    """The recipe as plain data."""
    assert facts.recipe is not None
    recipe = facts.recipe
    return {
        "recipe": {
            "name": facts.name,
            "ingredients": [
                {"said": i.said, "food": i.facts.name, "times_label_amount": i.factor.value}
                for i in recipe.ingredients
            ],
            "makes": [{"count": m.count, "unit": m.unit} for m in recipe.makes],
            "cooked_grams": recipe.cooked_grams,
            "cooked_millilitres": recipe.cooked_millilitres,
            "not_counted": list(recipe.uncounted),
        }
    }


def _in_the_library(ctx: Context, name: str) -> Food | Outcome | None:
    """The user's own food or recipe of this name, which a recipe would replace."""
    found = ctx.foods.exact(name_key(name))
    names = {name_key(each) for each in ctx.foods.names()} if found else set()
    own = [f for f in found if name_key(f.facts.name) in names]  # an imported name may be had
    if not own:
        return None
    if name_key(own[0].facts.name) != name_key(name):
        args: dict[str, Arg] = {"said": Said(name), "food": Name(own[0].facts.name)}
        return ask(Ask("name", "recipe-name-taken", args), ctx.text)
    return own[0]


def _replace(ctx: Context, old: Food, how: str) -> Ask:
    """The name is taken: the whole sentence again, as a replacement."""
    text = ctx.text.lstrip()
    text = text[len(how) :].lstrip() if how else text
    code = "ask-replace-recipe" if old.facts.recipe is not None else "ask-replace-by-recipe"
    return Ask("recipe", code, {"food": Name(old.facts.name)}, choices=yes_no(f"replace {text}"))


def _no_ingredients(ctx: Context, name: str) -> Ask:
    text = ctx.text.rstrip(" .:!?\n")
    return Ask("recipe", "ask-ingredients", {"food": Name(name)},
               slot=Slot("ingredients", (f"{text}: {ANSWER}",)),
               hint=("300 g red lentils, 2 onions, 1.2 l stock", "cancel"))  # fmt: skip


def outcome_of_pot(ctx: Context, name: str, said: Iterable[YieldSaid]) -> Comes | Ask:
    """What comes out, from all that was said of it; a pot's own weight is taken off."""
    args: dict[str, Arg]
    makes: dict[str, Measure] = {}
    weights: dict[str, Fraction] = {}
    volume: Fraction | None = None
    for each in said:
        number = each.number
        if not isinstance(number, Number) or number.value <= 0:
            return Ask("number", "recipe-yield-unclear", {"said": Said(each.said)},
                       hint=("makes 6 bowls", "the finished food weighs 850 g"))  # fmt: skip
        kind, unit = _unit_of(each, name)
        if kind == "volume":
            volume = number.value * conversion(unit, "millilitre")
        elif kind == "mass":
            into = "cooked" if each.kind == "makes" else each.kind
            value = number.value * conversion(unit, "gram")
            if weights.setdefault(into, value) != value:
                return Ask("number", "recipe-two-weights", {"said": Said(each.said)})
        elif unit in makes and makes[unit].count != number.value:
            args = {"said": Said(each.said), "unit": Name(unit)}
            return Ask("number", "recipe-two-yields", args)
        else:
            makes[unit] = Measure(number.value, unit)
    weight = _finished(ctx, weights)
    return weight if isinstance(weight, Ask) else Comes(tuple(makes.values()), weight, volume)


def _unit_of(said: YieldSaid, name: str) -> tuple[str, str]:
    """What kind of unit, and its canonical name: a mass, a volume, or a portion of the pot."""
    if said.kind == "serves" or (said.kind != "makes" and not said.unit):
        return "portion", "serving"
    key = name_key(said.unit)
    if not key:
        return "portion", name_key(name).split()[-1]
    found = find_measure(said.unit)
    if found is None or found[1] == "pack":
        return "portion", key  # a jar of a recipe is that jar
    if found[1] in {"mass", "oz"}:
        return "mass", found[0]
    return ("volume" if found[1] == "volume" else "portion"), found[0]


def _finished(ctx: Context, weights: dict[str, Fraction]) -> Fraction | Ask | None:
    """Grams of the finished food. A full pot without the empty one is asked about."""
    full, empty, cooked = weights.get("full"), weights.get("empty"), weights.get("cooked")
    if full is None and empty is None:
        return cooked
    if full is None:
        assert empty is not None
        return Ask("number", "recipe-full-missing", {"empty": Amount(empty, "g")},
                   hint=("the pot weighs 1450 g, the empty pot 600 g",))  # fmt: skip
    if empty is None:
        slot = Slot("grams", (f"{ctx.text.rstrip(' .!,;')}, the empty pot {ANSWER}",))
        return Ask("number", "recipe-empty-missing", {"full": Amount(full, "g")}, slot=slot,
                   hint=("cancel",))  # fmt: skip
    inside = full - empty
    args: dict[str, Arg] = {"full": Amount(full, "g"), "empty": Amount(empty, "g")}
    if inside <= 0:
        return Ask("number", "recipe-pot-heavier", args)
    if cooked is not None and cooked != inside:
        return Ask("number", "recipe-weights-differ",
                   {**args, "inside": Amount(inside, "g"),
                    "cooked": Amount(cooked, "g")})  # fmt: skip
    return inside


def _ingredients(
    ctx: Context, said: RecipeSentence, name: str, food_id: str
) -> tuple[Ingredient, ...] | Outcome:
    """Every ingredient, weighed against its label; or the first question on the way."""
    phrase = read_phrase(said.body)
    if isinstance(phrase, Complaint):
        long = len(said.body) > 2000
        code = "recipe-too-long" if long else "recipe-unread"
        return opened(ctx, Ask("recipe", code, hint=(EXAMPLE,)))
    if phrase.clauses:
        clause = phrase.clauses[0]
        args: dict[str, Arg] = {"said": Said(clause.said)}
        return opened(ctx, Ask("recipe", "recipe-no-clause", args, unread=(clause.said,)))
    dangling = loose_joiner(phrase)
    if dangling is not None and phrase.pieces and dangling.start > phrase.pieces[0][0].start:
        return opened(ctx, Ask("recipe", "recipe-loose", {"said": Said(dangling.said)}))
    if not phrase.pieces:
        return opened(ctx, _no_ingredients(ctx, name))
    if len(phrase.pieces) > MAX_INGREDIENTS:
        return opened(ctx, Ask("recipe", "recipe-too-long", hint=(EXAMPLE,)))
    resolved = resolve(phrase, ctx.foods)
    if not isinstance(resolved, Resolved):
        if name_key(resolved.item.name) == name_key(name):
            return opened(ctx, _in_itself((name, name)))
        return opened(ctx, _unknown(ctx, questions.unknown_name(ctx, resolved), resolved))
    readings = [_weighed(ctx, meaning, name, food_id) for meaning in resolved.meanings]
    first = readings[0]
    if resolved.cut or any(_key(r) != _key(first) for r in readings[1:]):
        return opened(ctx, _which(ctx, resolved))
    return opened(ctx, first) if isinstance(first, Ask) else first


def _key(reading: tuple[Ingredient, ...] | Ask) -> object:
    if isinstance(reading, Ask):
        return None
    return sorted((i.food_id, i.factor.value) for i in reading)


def _which(ctx: Context, resolved: Resolved) -> Ask:
    """Several readings: each as a whole sentence with its names in quotation marks."""
    choices = []
    for meaning in resolved.meanings[:9]:
        text = ctx.text
        for found in reversed(meaning):
            item = found.item
            text = text[: item.name_start] + quoted(found.food.facts.name) + text[item.name_end :]
        said = Listed(tuple(Name(found.food.facts.name) for found in meaning))
        choices.append(Choice(Line("choice", "choice-recipe-reading", {"foods": said}), (text,)))
    return Ask("recipe", "ask-which-recipe-reading", choices=tuple(choices))


_JOINER_BEFORE = re.compile(r"(?:\s*(?:[,;&+\n]|\b(?:and|plus|with)\b)\s*(?:[-*•]\s+)?)+$", re.I)
_JOINER_BEHIND = re.compile(r"(?:\s*(?:[,;&+\n]|\b(?:and|plus|with)\b)\s*)+", re.I)
_SOFT = re.compile(r"\s*(?:[&+]|(?:and|plus|with)\b)\s*", re.I)


def _left_out(text: str, items: Sequence[Item]) -> str:
    """The sentence without these ingredients, which it says at its end instead.

    One joiner goes with each: the word behind it, or else the one before it.
    """
    for item in sorted(items, key=lambda each: -each.start):
        before, behind = text[: item.start], text[item.end :]
        first, after = _JOINER_BEFORE.search(before), _SOFT.match(behind)
        if after is None and first is None:
            after = _JOINER_BEHIND.match(behind)
        if after is not None:
            text = before + behind[after.end() :]
        else:
            text = (before[: first.start()] if first else before) + behind
    words = "".join(f"; not counted {_bare(item)}" for item in items)
    return text.rstrip(" .,;\n") + words


def _bare(item: Item) -> str:
    """An ingredient's words without signs that end them."""
    return re.sub(r'[:,;"\n]', " ", item.said).strip()


def _unknown(ctx: Context, wanted: Ask, unresolved: Unresolved) -> Ask:
    """An ingredient that no food is called: like names; its label; or the user leaves it out."""
    item = unresolved.item
    if wanted.code == "ask-left-over":
        return replace(wanted, code="ask-recipe-left-over")
    if not item.name:
        return wanted
    slot = Slot("ingredient", (ctx.text[: item.name_start] + ANSWER + ctx.text[item.name_end :],))
    choices = [*wanted.choices]
    choices.append(choice("choice-recipe-uncounted", _left_out(ctx.text, (item,)),
                          word="leave it out", said=Said(item.said)))  # fmt: skip
    alone = tuple(i for i in unresolved.others if i.name and not ctx.foods.near(i.name))
    if alone and not wanted.choices:
        all_of_them = (item, *alone)
        said = Listed(tuple(Said(each.said) for each in all_of_them))
        choices.append(choice("choice-recipe-uncounted", _left_out(ctx.text, all_of_them),
                              word="leave all out", said=said))  # fmt: skip
    hints = (f"new food {item.name}: ...", "cancel") if len(item.name) < 60 else ("cancel",)
    code = "ask-ingredient-near" if wanted.choices else "ask-ingredient"
    return replace(wanted, code=code, args={"said": Said(item.name)}, choices=tuple(choices),
                   slot=slot, hint=hints)  # fmt: skip


def _in_itself(way: tuple[str, ...]) -> Ask:
    """A recipe that would be inside itself: the way round, by name."""
    return Ask("recipe", "recipe-circle", {"way": Listed(tuple(Name(n) for n in way))})


def _weighed(
    ctx: Context, meaning: Meaning, name: str, food_id: str
) -> tuple[Ingredient, ...] | Ask:
    """One reading as ingredients; or the first thing that has to be asked of it."""
    inside: list[Ingredient] = []
    for found in meaning:
        facts = found.food.facts
        if facts.like:
            return Ask("recipe", "recipe-estimate", {"food": Name(facts.name)})
        result = count_item(found, ctx.settings.policy or "total", ctx)
        if isinstance(result, Ask):
            return result
        if result.open:
            plate = Plate((result.portion,), (), result.portion.counted, (found,))
            return replace(amount_questions.narrow(ctx, plate), code="ask-narrow-recipe")
        inside.append(_ingredient(result))
    round_about = circle(name, food_id, inside, finder(ctx))
    return _in_itself(round_about) if round_about else tuple(inside)


def _ingredient(result: CountedItem) -> Ingredient:
    food, item = result.food, result.item
    one = Ranged.exactly(Fraction(1))
    quantity = item.quantity
    if isinstance(quantity, Span) and quantity.middle is not None:
        one = Ranged(one.value, quantity.low / quantity.middle, quantity.high / quantity.middle)
        said = Ranged(quantity.middle, quantity.low, quantity.high)
    else:
        assert isinstance(quantity, Number)
        said = Ranged.exactly(quantity.value)
    return Ingredient(item.said.replace('"', ""), food.food_id, food.facts,
                      one.times(result.factor), said, item.measure, item.name,
                      result.portion.grams)  # fmt: skip

"""Sentences about the library: other names, measures, showing, forgetting."""

import re
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts, Measure, Nutrient
from assistant.counting.labels import impossible
from assistant.counting.units import conversion
from assistant.dialogue import estimate_talk, food_lines, recipe_talk
from assistant.dialogue.events import AliasSaved, FoodForgotten, FoodSaved, MeasureSaved
from assistant.dialogue.label_explained import explain
from assistant.dialogue.label_talk import label_problem, new_food, new_food_open
from assistant.dialogue.lows import fast_amount
from assistant.dialogue.meal_questions import bare
from assistant.dialogue.measure_doubts import unlikely
from assistant.dialogue.naming import (
    MAX_NAME,
    bad_name,
    choices_of,
    exactly_named,
    one_food,
)
from assistant.dialogue.offers import MEASURE, label
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    fact,
    next_step,
    yes_no,
)
from assistant.dialogue.paging import PAGE, numbered, page
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Said
from grammar import patterns
from grammar.foods import FoodSentence, unquoted
from grammar.label_lists import check_digit_holds
from grammar.measures import find_measure
from grammar.nodes import Complaint, Number, Unclear
from grammar.phrases import read_phrase
from grammar.words import name_key


def alias(ctx: Context, said: FoodSentence) -> Outcome:
    """ "oat cereal is also called morning oats"."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    other = unquoted(said.parts["alias"])
    bad = bad_name(other)
    if bad:
        return ask(Ask("name", bad, {"said": Said(other[:MAX_NAME])}), ctx.text)
    taken = ctx.foods.exact(name_key(other))
    if taken:
        same = taken[0].food_id == food.food_id
        code = "alias-known" if same else "alias-taken"
        return answered(answer(code, alias=Name(other), food=Name(taken[0].facts.name)))
    return answered(
        answer("alias-saved", alias=Name(other), food=Name(food.facts.name)),
        events=(AliasSaved(food.food_id, other),),
    )


def forget(ctx: Context, said: FoodSentence) -> Outcome:
    """ "forget oat cereal". "remove the milk" may be about a plate, so it is asked."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return exactly_named(ctx, food)
    if not ctx.text.strip().casefold().startswith("forget"):
        name = food.facts.name
        return ask(
            Ask("forget", "ask-forget", {"food": Name(name)}, choices=yes_no(f"forget {name}")),
            ctx.text,
        )
    return answered(
        answer("food-forgotten", food=Name(food.facts.name)),
        next_step("undo"),
        events=(FoodForgotten(food.food_id),),
    )


def measure(ctx: Context, said: FoodSentence) -> Outcome:
    """ "a slice of rye bread weighs 35 g", "100 ml of milk weighs 103 g"."""
    if not isinstance(said.number, Number):
        return _bad_figure(ctx, said)
    mine = said.parts.get("mine")
    left = f"1 {mine}" if mine else said.parts["left"]
    phrase = read_phrase(patterns.sub(r"^(?:my|an?)\s+(?=handful\b)", "1 ", left, flags=re.I))
    if isinstance(phrase, Complaint) or len(phrase.pieces) != 1 or phrase.clauses:
        return ask(Ask("measure", "measure-unreadable", hint=(MEASURE,)),
                   ctx.text)  # fmt: skip
    item = next((i for i in phrase.pieces[0] if ctx.foods.exact(name_key(i.name))), None)
    item = item or phrase.pieces[0][0]
    if not item.name:
        hint = (MEASURE,)
        return ask(Ask("measure", "measure-of-what", hint=hint), ctx.text)
    food = one_food(ctx, item.name)
    if isinstance(food, Outcome):
        return food
    if not isinstance(item.quantity, Number):
        return ask(Ask("measure", "measure-unreadable", hint=(MEASURE,)),
                   ctx.text)  # fmt: skip
    if item.measure is None:
        unit = name_key(item.name).split()[-1]
    else:
        by_word = item.measure.kind in {"word", "pack"}
        unit = name_key(item.measure.said) if by_word else item.measure.unit
        if item.measure.size and item.measure.kind != "pack":
            unit = f"{item.measure.size} {unit}"
        if item.measure.kind == "size":
            unit = f"{unit} {name_key(item.name).split()[-1]}"
    if unit == "serving" and (food.facts.serving_grams or food.facts.serving_millilitres):
        args: dict[str, Arg] = {"food": Name(food.facts.name)}
        return ask(Ask("measure", "serving-is-on-label", args), ctx.text)
    found = find_measure(said.parts["unit"])
    assert found is not None
    into = "gram" if found[1] in {"mass", "oz"} else "millilitre"
    amount = said.number.value * conversion(found[0], into)
    told = Measure(
        item.quantity.value, unit,
        amount if into == "gram" else None, amount if into == "millilitre" else None,
    )  # fmt: skip
    if not said.parts.get("sure") and unlikely(ctx, food.facts, told, item.measure, item.name):
        args = {"food": Name(food.facts.name), "said": Said(bare(ctx.text))}
        again = yes_no(bare(ctx.text) + ", that is right")
        return ask(Ask("implausible", "ask-unlikely-measure", args, choices=again), ctx.text)
    return answered(
        answer(
            "measure-saved",
            count=food_lines.measure_amount(item.quantity.value, unit),
            food=Name(food.facts.name),
            amount=Amount(amount, "g" if into == "gram" else "ml"),
        ),
        events=(MeasureSaved(food.food_id, told),),
    )


def _bad_figure(ctx: Context, said: FoodSentence) -> Outcome:
    why = said.number.why if isinstance(said.number, Unclear) else "odd"
    args = {"said": Said(said.parts.get("number", ""))}
    return ask(Ask("number", f"figure-{why}", args), ctx.text)


def _changed(facts: FoodFacts, food: Food) -> Outcome:
    return answered(
        answer("food-changed", food=Name(facts.name)),
        *food_lines.summary(facts),
        events=(FoodSaved(food.food_id, facts),),
    )


def pack(ctx: Context, said: FoodSentence) -> Outcome:
    """ "a pack of crackers holds 8 servings"."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    if _has_no_label(food.facts):
        return recipe_talk.no_figures(food.facts)
    if not isinstance(said.number, Number):
        return _bad_figure(ctx, said)
    return _changed(replace(food.facts, servings_per_pack=said.number.value), food)


def _has_no_label(facts: FoodFacts) -> bool:
    """Recipes and estimates have no figures of their own."""
    return facts.recipe is not None or bool(facts.like)


def nutrient(ctx: Context, said: FoodSentence) -> Outcome:
    """ "fibre of oat cereal is 6 g"."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    if _has_no_label(food.facts):
        return recipe_talk.no_figures(food.facts)
    zero = isinstance(said.number, Unclear) and said.number.why == "zero"
    if not isinstance(said.number, Number) and not zero:
        return _bad_figure(ctx, said)
    value = said.number.value if isinstance(said.number, Number) else Fraction(0)
    low = said.parts["nutrient"].casefold()
    name = "fibre" if low.startswith("fib") else "carbohydrate"
    if low.startswith(("sugar", "polyol")):
        name = "polyols"
    decimals = len(said.parts["number"].partition(".")[2])
    figures = {**food.facts.nutrients, name: _figure(value, decimals)}
    changed = replace(food.facts, nutrients=figures)
    wrong = impossible(changed)
    if wrong:
        return ask(label_problem(ctx, food.facts.name, wrong), ctx.text)
    return _changed(changed, food)


def fast(ctx: Context, said: FoodSentence) -> Outcome:
    """ "orange juice is fast acting": it is told when glucose is low."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    marked = "how" not in said.parts
    args: dict[str, Arg] = {"food": Name(food.facts.name)}
    if not marked:
        events = (FoodSaved(food.food_id, replace(food.facts, fast=False)),)
        return answered(answer("food-not-fast", **args), events=events)
    amount = fast_amount(food.facts)
    if amount is None:
        hint = (f"show {food.facts.name}",)
        return ask(Ask("label", "fast-unknown", args, hint=hint), ctx.text)
    return answered(
        answer("food-fast", **args),
        fact("treat-low-food", amount=amount, **args),
        events=(FoodSaved(food.food_id, replace(food.facts, fast=True)),),
    )


def _figure(value: Fraction, decimals: int) -> Nutrient:
    return Nutrient(value, "g", decimals=decimals)


def show(ctx: Context, said: FoodSentence) -> Outcome:
    """ "show oat cereal", "what does the label of oat cereal say"."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    if food.facts.recipe is not None:
        return recipe_talk.shown(ctx, food)
    if food.facts.like:
        return estimate_talk.shown(ctx, food)
    return answered(
        answer("label-of", food=Name(food.facts.name)),
        *food_lines.everything(food),
        facts={"food": food_lines.as_data(food.facts)},
    )


def explained(ctx: Context, said: FoodSentence) -> Outcome:
    """ "explain the label of oat cereal"."""
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    if food.facts.recipe is not None:
        return recipe_talk.shown(ctx, food)
    if food.facts.like:
        return estimate_talk.shown(ctx, food)
    lines = explain(food, ctx.settings)
    return answered(
        answer("explained", food=Name(food.facts.name)),
        *lines,
        facts={"food": food_lines.as_data(food.facts)},
    )


def barcode(ctx: Context) -> Outcome | None:
    """Digits alone: a food's barcode. None where a food has it, so that its amount is asked."""
    digits = ctx.text.strip()
    if not patterns.fullmatch(r"\d{8}|\d{12,14}", digits) or ctx.foods.exact(name_key(digits)):
        return None
    code = "barcode-unknown" if check_digit_holds(digits) else "barcode-wrong"
    return answered(answer(code, digits=Name(digits)))


def like(ctx: Context, said: FoodSentence) -> Outcome:
    """ "foods like oat"."""
    names = ctx.foods.near(unquoted(said.parts["name"]), 10)
    if not names:
        return answered(answer("no-foods-like", said=Said(said.parts["name"])), next_step("foods"))
    head = answer("foods-like", said=Said(said.parts["name"]),
                  count=Amount(Fraction(len(names)), "food"))  # fmt: skip
    rows = [fact("list-food", food=Name(name)) for name in names]  # names hold commas: a line each
    return answered(head, *numbered(rows), facts={"foods": list(names)})


MOST_HOLDING = 200
"""Names that one list of foods with a word holds."""
HOLDING = "holding: "
"""How such a list is called in the record, before its word."""


def holding(ctx: Context, said: FoodSentence) -> Outcome:
    """ "show all breads": every food with the word, the user's own first."""
    return holding_word(ctx, unquoted(said.parts["name"]), 0)


def holding_word(ctx: Context, word: str, start: int) -> Outcome:
    """The foods with a word, from start on."""
    names = ctx.foods.holding(word, MOST_HOLDING)
    if not names:
        return answered(
            answer("no-foods-holding", said=Said(word)), next_step(f"foods like {word}")
        )
    code = "foods-holding" if len(names) < MOST_HOLDING else "foods-holding-first"
    head = answer(code, said=Said(word), count=Amount(Fraction(len(names)), "food"))
    rows = [fact("list-food", food=Name(name)) for name in names]
    return page(head, rows, f"{HOLDING}{word}", start, {"foods": list(names)})


def by_barcode(ctx: Context, said: FoodSentence) -> Outcome:
    """ "barcode 4006381333931": which food has it."""
    digits = patterns.sub(r"\D", "", said.parts["digits"])
    found = ctx.foods.exact(digits)
    if not found:
        code = "barcode-unknown" if check_digit_holds(digits) else "barcode-wrong"
        return answered(answer(code, digits=Name(digits)))
    if len(found) > 1:
        choices = choices_of(ctx.foods, found, lambda name: f"show {name}")
        wanted = Ask("name", "ask-which-food", {"said": Said(digits)}, choices=choices,
                     hint=("1", "cancel"))  # fmt: skip
        return ask(wanted, ctx.text)
    facts = found[0].facts
    return answered(
        answer("barcode-is", digits=Name(digits), food=Name(facts.name)),
        *food_lines.summary(facts),
        next_step(f"... {'ml' if facts.per == '100 ml' else 'g'} of {digits}"),
        facts={"food": food_lines.as_data(facts)},
    )


def list_foods(ctx: Context, start: int = 0) -> Outcome:
    """ "foods": few in one sentence, many line by line from start on."""
    names = ctx.foods.names()
    if not names:
        return answered(
            answer("no-foods"),
            next_step(f"new food ...: {label(ctx.settings)}"),
        )
    if len(names) > PAGE:
        head = answer("foods-many", count=Amount(Fraction(len(names)), "food"))
        rows = [fact("list-food", food=Name(n)) for n in names]
        return page(head, rows, "foods", start, {"foods": list(names)})
    return answered(
        answer("foods", count=Amount(Fraction(len(names)), "food"),
               foods=Listed(tuple(Name(n) for n in names))),
        facts={"foods": list(names)},
    )  # fmt: skip


def handle(ctx: Context, said: FoodSentence) -> Outcome | None:
    """The turn for a sentence about foods; None for forms that live elsewhere."""
    handlers = {
        "new-food": new_food,
        "new-food-open": new_food_open,
        "alias": alias,
        "forget": forget,
        "measure": measure,
        "pack": pack,
        "nutrient": nutrient,
        "fast": fast,
        "show": show,
        "explain": explained,
        "like": like,
        "holding": holding,
        "barcode": by_barcode,
    }
    if said.form == "list":
        return list_foods(ctx)
    handler = handlers.get(said.form)
    return handler(ctx, said) if handler else None

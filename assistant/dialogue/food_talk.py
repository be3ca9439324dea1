"""Sentences about the library: new foods and labels, other names, measures, forgetting."""

import re
from dataclasses import replace
from fractions import Fraction

from assistant.counting.checks import Finding, check
from assistant.counting.facts import Food, FoodFacts, Measure, Nutrient
from assistant.counting.labels import LabelProblem, facts_from_label, impossible
from assistant.counting.units import conversion
from assistant.dialogue import food_lines
from assistant.dialogue.events import AliasSaved, Event, FoodForgotten, FoodSaved, MeasureSaved
from assistant.dialogue.label_explained import explain
from assistant.dialogue.meal_questions import ANSWER
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    next_step,
    yes_no,
)
from assistant.dialogue.replies import Slot
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Phrase, Said
from grammar.foods import FoodSentence, unquoted
from grammar.label_lists import check_digit_holds
from grammar.label_nodes import LabelReading
from grammar.labels import read_label
from grammar.measures import find_measure
from grammar.nodes import Complaint, Number, Unclear
from grammar.phrases import read_phrase
from grammar.words import name_key

MAX_NAME = 80


def _one_food(ctx: Context, said: str) -> Food | Outcome:
    """The food of exactly this name, or the question which one is meant."""
    name = unquoted(said)
    found = ctx.foods.exact(name_key(name)) if name_key(name) else ()
    if len(found) == 1:
        return found[0]
    near = tuple(f.facts.name for f in found) or ctx.foods.near(name)
    at = ctx.text.find(said)
    before, behind = ctx.text[:at], ctx.text[at + len(said) :]
    choices = tuple(choice("choice-name", before + f'"{n}"' + behind, food=Name(n)) for n in near)
    code = "ask-name" if choices else "no-such-food"
    return ask(
        Ask("name", code, {"said": Said(name)}, choices=choices, unread=(name,),
            hint=("foods", "cancel")), ctx.text
    )  # fmt: skip


def _bad_name(name: str) -> str | None:
    if not name_key(name) or not any(c.isalpha() for c in name):
        return "name-no-letters"
    return "name-too-long" if len(name) > MAX_NAME else None


def new_food(ctx: Context, said: FoodSentence) -> Outcome:
    """ "new food NAME: LABEL", "new label for NAME: LABEL"."""
    name = unquoted(said.parts["name"])
    bad = _bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])},
                       hint=("new food oat cereal: ...",)), ctx.text)  # fmt: skip
    label = said.parts["label"]
    if not label:
        return new_food_open(ctx, said)
    reading = read_label(label)
    problem = _label_questions(ctx, name, label, reading, "sure" in said.parts)
    if problem:
        return problem
    facts = facts_from_label(name, reading)
    if isinstance(facts, LabelProblem):
        return ask(_problem(ctx, name, facts), ctx.text)
    findings = check(facts)
    if findings and "checked" not in said.parts:
        return _does_not_add_up(ctx, facts, label, findings)
    facts = replace(facts, failed_checks=tuple(sorted({f.code for f in findings})))
    existing = ctx.foods.exact(name_key(name))
    replacing = said.parts["how"].casefold().startswith("new label")
    if existing and not replacing:
        again = f"new label for {ctx.text[ctx.text.index(said.parts['name']) :]}"
        return ask(
            Ask("replace", "ask-replace", {"food": Name(existing[0].facts.name)},
                choices=yes_no(again)), ctx.text
        )  # fmt: skip
    old = existing[0] if existing else None
    if old is not None:
        facts = replace(facts, name=old.facts.name, extra=_kept_measures(old.facts, facts))
    food_id = old.food_id if old else name_key(name)
    code = "food-replaced" if old else "food-saved"
    lines = (
        answer(code, food=Name(facts.name)),
        *food_lines.summary(facts),
        *food_lines.left_out(reading),
        *((caution("label-kept-unchecked"),) if facts.failed_checks else ()),
        next_step(f"1 serving of {facts.name}", f"show {facts.name}")
        if facts.per == "serving"
        else next_step(
            f"{facts.per.replace('100 ', '100 ')} of {facts.name}", f"show {facts.name}"
        ),
    )
    events: tuple[Event, ...] = (FoodSaved(food_id, facts),)
    if facts.barcode and not ctx.foods.exact(name_key(facts.barcode)):
        events = (
            *events,
            AliasSaved(food_id, facts.barcode),
        )  # typed or scanned, it finds the food
    return answered(*lines, events=events, facts={"food": food_lines.as_data(facts)})


def _kept_measures(old: FoodFacts, new: FoodFacts) -> tuple[Measure, ...]:
    """The user's own measures, less one that the new label now states itself."""
    stated = name_key(new.household_unit or "")
    return tuple(m for m in old.extra if name_key(m.unit) != stated)


def _does_not_add_up(
    ctx: Context, facts: FoodFacts, label: str, findings: tuple[Finding, ...]
) -> Outcome:
    """Two figures of the label do not meet: shown, and asked before anything is saved."""
    at = ctx.text.index(label)
    head = ctx.text[:at].rstrip().rstrip(":").rstrip()
    again = f"{head}, figures checked: {label}"
    return ask(
        Ask(
            "label",
            "ask-label-check",
            {"food": Name(facts.name)},
            before=(*food_lines.summary(facts), *(food_lines.finding(f) for f in findings)),
            choices=yes_no(again),
        ),
        ctx.text,
    )


def _label_questions(
    ctx: Context, name: str, label: str, reading: LabelReading, sure: bool
) -> Outcome | None:
    """Doubts first; then, unless the user said to leave them out, words without a role."""
    if reading.doubts:
        lines = tuple(food_lines.doubt(d) for d in reading.doubts)
        return ask(
            Ask("label", "ask-label-doubts", {"food": Name(name)}, before=lines,
                unread=tuple(d.said for d in reading.doubts), hint=(f"new food {name}: ...",)),
            ctx.text,
        )  # fmt: skip
    if reading.unread and not sure:
        said = tuple(u.said for u in reading.unread)
        listed = Listed(tuple(Said(s) for s in said))
        if not any(c.figures for c in reading.columns):
            return ask(
                Ask("label", "ask-label-nothing", {"food": Name(name), "unread": listed},
                    unread=said,
                    hint=(f"new food {name}: US label, serving 1 cup (40 g), carbohydrate 27 g",)),
                ctx.text,
            )  # fmt: skip
        at = ctx.text.index(label)
        head = ctx.text[:at].rstrip().rstrip(":").rstrip()
        again = f"{head}, unread words left out: {label}"
        return ask(
            Ask("label", "ask-label-unread", {"food": Name(name), "unread": listed},
                before=food_lines.read_so_far(reading), choices=yes_no(again), unread=said),
            ctx.text,
        )  # fmt: skip
    return None


def _problem(ctx: Context, name: str, problem: LabelProblem) -> Ask:
    args: dict[str, Arg] = {"food": Name(name)}
    if problem.why == "region":
        at = ctx.text.index(":") + 1
        regions = ("US", "CA", "EU", "UK", "AU", "NZ", "JP")
        words = {"CA": "Canadian label", "AU": "Australian label", "JP": "Japanese label"}
        choices = tuple(
            choice(
                "choice-region",
                f"{ctx.text[:at]} {words.get(r, r + ' label')}, {ctx.text[at:].lstrip()}",
                word=r,
                region=Phrase(f"region-{r}"),
                fibre=Phrase("fibre-inside" if r in {"US", "CA", "JP"} else "fibre-outside"),
            )
            for r in regions
        )
        return Ask("region", "ask-region", args, choices=choices)
    if problem.why in {"part-over-whole", "over-hundred"}:
        args |= {"part": food_lines.nutrient_name(problem.part)}
        if problem.whole:
            args |= {"whole": food_lines.nutrient_name(problem.whole)}
    return Ask("label", f"label-{problem.why}", args, hint=(f"new food {name}: ...",))


def new_food_open(ctx: Context, said: FoodSentence) -> Outcome:
    """ "new food NAME" without its label."""
    name = unquoted(said.parts["name"])
    return ask(
        Ask("label", "ask-label", {"food": Name(name)},
            slot=Slot("label", (f"new food {name}: {ANSWER}",)),
            hint=("US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g",)), ctx.text
    )  # fmt: skip


def _cannot_paste(ctx: Context, reading: LabelReading) -> Outcome:
    """A pasted label that cannot be counted from is said so before a name is asked."""
    lines = [*food_lines.read_so_far(reading), *(food_lines.doubt(d) for d in reading.doubts)]
    code = "paste-doubts" if reading.doubts else "paste-no-carbohydrate"
    unread = tuple(d.said for d in reading.doubts)
    return ask(Ask("label", code, before=tuple(lines), unread=unread), ctx.text)


def pasted_label(ctx: Context) -> Outcome:
    """A label without a name."""
    reading = read_label(ctx.text)
    if reading.doubts or not any("carbohydrate" in c.figures for c in reading.columns):
        return _cannot_paste(ctx, reading)
    args = {"title": Said(reading.title)} if reading.title else {}
    return ask(
        Ask("label-name", "ask-label-name-title" if reading.title else "ask-label-name", args,
            before=food_lines.read_so_far(reading),
            slot=Slot("new-name", (f"new food {ANSWER}: {ctx.text}",)),
            hint=("cancel",)), ctx.text
    )  # fmt: skip


def alias(ctx: Context, said: FoodSentence) -> Outcome:
    """ "oat cereal is also called morning oats"."""
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    other = unquoted(said.parts["alias"])
    bad = _bad_name(other)
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
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
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
    phrase = read_phrase(said.parts["left"])
    if isinstance(phrase, Complaint) or len(phrase.pieces) != 1 or phrase.clauses:
        return ask(Ask("measure", "measure-unreadable", hint=("1 slice of rye bread weighs 35 g",)),
                   ctx.text)  # fmt: skip
    item = next((i for i in phrase.pieces[0] if ctx.foods.exact(name_key(i.name))), None)
    item = item or phrase.pieces[0][0]
    food = _one_food(ctx, item.name)
    if isinstance(food, Outcome):
        return food
    if not isinstance(item.quantity, Number):
        return ask(Ask("measure", "measure-unreadable", hint=("1 slice of rye bread weighs 35 g",)),
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
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    if not isinstance(said.number, Number):
        return _bad_figure(ctx, said)
    return _changed(replace(food.facts, servings_per_pack=said.number.value), food)


def nutrient(ctx: Context, said: FoodSentence) -> Outcome:
    """ "fibre of oat cereal is 6 g"."""
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
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
        return ask(_problem(ctx, food.facts.name, wrong), ctx.text)
    return _changed(changed, food)


def _figure(value: Fraction, decimals: int) -> Nutrient:
    return Nutrient(value, "g", decimals=decimals)


def show(ctx: Context, said: FoodSentence) -> Outcome:
    """ "show oat cereal", "what does the label of oat cereal say"."""
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    return answered(
        answer("label-of", food=Name(food.facts.name)),
        *food_lines.everything(food),
        facts={"food": food_lines.as_data(food.facts)},
    )


def explained(ctx: Context, said: FoodSentence) -> Outcome:
    """ "explain the label of oat cereal"."""
    food = _one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    lines = explain(food, ctx.settings.policy)
    return answered(
        answer("explained", food=Name(food.facts.name)),
        *lines,
        facts={"food": food_lines.as_data(food.facts)},
    )


def barcode(ctx: Context) -> Outcome | None:
    """Digits alone: a food's barcode. None where a food has it, so that its amount is asked."""
    digits = ctx.text.strip()
    if not re.fullmatch(r"\d{8}|\d{12,14}", digits) or ctx.foods.exact(name_key(digits)):
        return None
    code = "barcode-unknown" if check_digit_holds(digits) else "barcode-wrong"
    return answered(answer(code, digits=Name(digits)))


def like(ctx: Context, said: FoodSentence) -> Outcome:
    """ "foods like oat"."""
    names = ctx.foods.near(unquoted(said.parts["name"]), 10)
    if not names:
        return answered(answer("no-foods-like", said=Said(said.parts["name"])), next_step("foods"))
    return answered(
        answer("foods-like", said=Said(said.parts["name"]),
               foods=Listed(tuple(Name(n) for n in names))),
        facts={"foods": list(names)},
    )  # fmt: skip


def list_foods(ctx: Context) -> Outcome:
    """ "foods"."""
    names = ctx.foods.names(200)
    if not names:
        return answered(
            answer("no-foods"),
            next_step("new food oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 27 g"),
        )
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
        "show": show,
        "explain": explained,
        "like": like,
    }
    if said.form == "list":
        return list_foods(ctx)
    handler = handlers.get(said.form)
    return handler(ctx, said) if handler else None

""" "estimate a bowl of ramen like lentil stew": an estimate is saved as such, and counted."""

import re

from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts
from assistant.dialogue.estimates import bases
from assistant.dialogue.events import FoodSaved
from assistant.dialogue.naming import MAX_NAME, bad_name, one_food
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, caution, fact, next_step
from assistant.dialogue.pending import PendingFoods, PendingRecord
from assistant.dialogue.replies import Line
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context, context
from assistant.values import Arg, Listed, Name, Said
from grammar import patterns
from grammar.kitchen import KitchenSentence
from grammar.nodes import Complaint, Item, Unstated
from grammar.phrases import read_phrase
from grammar.words import name_key

EXAMPLE = "estimate ... like ..."
MOST = 8


def estimate(ctx: Context, said: KitchenSentence) -> tuple[Outcome, str | None, Context]:
    """The saved estimate; the meal that is to be counted with it, if any, and what it may read."""
    item = _one_item(said.parts["what"])
    if item is None or not name_key(item.name):
        return ask(Ask("recipe", "estimate-unread", hint=(EXAMPLE,)), ctx.text), None, ctx
    name = item.name
    bad = bad_name(name)
    if bad:
        wrong = Ask("name", bad, {"said": Said(name[:MAX_NAME])}, hint=(EXAMPLE,))
        return ask(wrong, ctx.text), None, ctx
    known = ctx.foods.exact(name_key(name))
    if known and not known[0].facts.like:
        args: dict[str, Arg] = {"food": Name(known[0].facts.name)}
        told = answered(answer("estimate-not-needed", **args), next_step(f"show {name}"))
        return told, None, ctx
    names, around = _like(said.parts["like"])
    found = _foods(ctx, names)
    if isinstance(found, Outcome):
        return found, None, ctx
    food_id = known[0].food_id if known else name_key(name)
    facts = FoodFacts(name, "EU", "100 g", {}, source="estimate",
                      extra=known[0].facts.extra if known else (),
                      like=tuple(food.food_id for food in found))  # fmt: skip
    events = (FoodSaved(food_id, facts),)
    listed = Listed(tuple(Name(food.facts.name) for food in found))
    lines: tuple[Line, ...] = (
        answer("estimate-saved", food=Name(name), bases=listed),
        caution("estimate-is-no-label", food=Name(name)),
    )
    outcome = answered(*lines, events=events)
    if isinstance(item.quantity, Unstated):
        return _without_amount(outcome, name), None, ctx
    what = said.parts["what"]
    text = what[: item.name_start] + quoted(name) + what[item.name_end :] + around
    record = PendingRecord(ctx.record, events, ctx.text, ctx.now)
    return outcome, text, context(record, PendingFoods(ctx.foods, events), text, ctx.now)


def _without_amount(outcome: Outcome, name: str) -> Outcome:
    lines = (*outcome.reply.lines, next_step(f"... g of {name}", f"show {name}"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def _one_item(what: str) -> Item | None:
    phrase = read_phrase(what)
    if isinstance(phrase, Complaint) or len(phrase.pieces) != 1 or phrase.clauses:
        return None
    return phrase.pieces[0][0]


def _like(said: str) -> tuple[str, str]:
    """The names, and the clauses behind them ("glucose 110"), each as a sentence goes on."""
    phrase = read_phrase(said)
    if isinstance(phrase, Complaint):
        return said, ""
    names, around = said, ""
    for clause in reversed(phrase.clauses):
        names = names[: clause.start] + names[clause.end :]
        around = f", {clause.said}{around}"
    return names.strip(" ,;.!"), around


def _foods(ctx: Context, names: str) -> tuple[Food, ...] | Outcome:
    """The foods that are named, each exactly; or the question which one is meant."""
    parts = (
        [names]
        if ctx.foods.exact(name_key(names))
        else patterns.split(r",|\band\b|\bor\b|;", names)
    )
    found = []
    for part in parts:
        if not part.strip():
            continue
        food = one_food(ctx, patterns.sub(r"^\s*(?:an?|the|my)\s+", "", part, flags=re.I).strip())
        if isinstance(food, Outcome):
            return food
        if food.facts.like:
            args: dict[str, Arg] = {"food": Name(food.facts.name)}
            return ask(Ask("recipe", "estimate-of-estimate", args), ctx.text)
        found.append(food)
    if not found or len(found) > MOST:
        return ask(Ask("recipe", "estimate-unread", hint=(EXAMPLE,)), ctx.text)
    return tuple({food.food_id: food for food in found}.values())


def shown(ctx: Context, food: Food) -> Outcome:
    """ "show ramen", where ramen is an estimate."""
    known = bases(ctx, food)
    if isinstance(known, Ask):
        return ask(known, ctx.text)
    listed = Listed(tuple(Name(base.facts.name) for base in known))
    lines = [answer("estimate-shown", food=Name(food.facts.name), bases=listed)]
    lines.append(fact("estimate-how"))
    lines.append(next_step(*(f"show {base.facts.name}" for base in known)))
    return answered(*lines, facts={"estimate": [base.facts.name for base in known]})

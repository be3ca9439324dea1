"""A recipe's ingredients, found in the library and weighed, or asked about.

Questions are those of a meal, put into the recipe's own sentence, so that each answer says the
whole recipe again and nothing is held half made.
"""

import re
from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import Ingredient
from assistant.counting.recipes import circle
from assistant.dialogue import amount_questions, recipe_collecting
from assistant.dialogue import meal_questions as questions
from assistant.dialogue.events import RecipeBegun
from assistant.dialogue.item_counts import count_item
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    ask,
    choice,
)
from assistant.dialogue.plates import CountedItem, Plate
from assistant.dialogue.recipe_now import finder
from assistant.dialogue.replies import Choice, Line, Slot
from assistant.dialogue.resolve import Meaning, Resolved, Unresolved, resolve
from assistant.dialogue.sentence_parts import ANSWER, quoted
from assistant.dialogue.state import Context
from assistant.values import Arg, Listed, Name, Ranged, Said
from grammar import patterns
from grammar.nodes import Complaint, Item, Number, Span
from grammar.phrases import loose_joiner, read_phrase
from grammar.recipes import RecipeSentence
from grammar.words import name_key

MAX_INGREDIENTS = 40


EXAMPLE = "recipe ... makes ... bowls: ... g of ..., ... g of ..."


def opened(ctx: Context, wanted: Ask) -> Outcome:
    """A question about a recipe: the recipe stays open until it is saved or dropped."""
    outcome = ask(replace(wanted, kind="recipe"), ctx.text)
    if wanted.code == "recipe-circle":
        return outcome  # it has to be said in another way
    return Outcome(outcome.reply, (RecipeBegun(ctx.text), *outcome.events))


def ingredients(
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
        return opened(ctx, recipe_collecting.begin(ctx.text, name))
    if len(phrase.pieces) > MAX_INGREDIENTS:
        return opened(ctx, Ask("recipe", "recipe-too-long", hint=(EXAMPLE,)))
    resolved = resolve(phrase, ctx.foods)
    if not isinstance(resolved, Resolved):
        if name_key(resolved.item.name) == name_key(name):
            return opened(ctx, in_itself((name, name)))
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


_JOINER_BEFORE = patterns.compile(
    r"(?:\s*(?:[,;&+\n]|\b(?:and|plus|with)\b)\s*(?:[-*•]\s+)?)+$", re.I
)


_JOINER_BEHIND = patterns.compile(r"(?:\s*(?:[,;&+\n]|\b(?:and|plus|with)\b)\s*)+", re.I)


_SOFT = patterns.compile(r"\s*(?:[&+]|(?:and|plus|with)\b)\s*", re.I)


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
    return patterns.sub(r'[:,;"\n]', " ", item.said).strip()


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


def in_itself(way: tuple[str, ...]) -> Ask:
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
    return in_itself(round_about) if round_about else tuple(inside)


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

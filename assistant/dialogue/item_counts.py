"""One food of a phrase, counted: its amount weighed against its label, or what has to be asked."""

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Ingredient
from assistant.counting.policy import Counted, Policy, Unknown, count_reference
from assistant.counting.portions import TOLERANCE, Need, Weighed, weigh
from assistant.counting.recipes import flattened
from assistant.dialogue import amount_questions, estimates
from assistant.dialogue import meal_questions as questions
from assistant.dialogue.label_explained import avoided
from assistant.dialogue.meal_lines import between, portion_lines
from assistant.dialogue.outcome import Ask, caution, fact
from assistant.dialogue.plates import CountedItem, Plate
from assistant.dialogue.recipe_now import current
from assistant.dialogue.replies import Line, Portion
from assistant.dialogue.resolve import Found, Meaning
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name, Ranged, Said
from grammar.amounts import ABOUT_SHARE
from grammar.measures import HANDFUL
from grammar.nodes import Item, MeasureWord, Number, Span, Unclear, Unstated


def count_item(found: Found, policy: Policy, ctx: Context) -> CountedItem | Ask:
    """One food, counted; or what has to be asked."""
    found, told = _remembered(found, ctx)
    food = current(ctx, found.food)
    if isinstance(food, Ask):
        return food
    found = replace(found, food=food)
    item, facts = found.item, food.facts
    if isinstance(item.quantity, Unstated):
        return questions.how_much(ctx, found)
    if isinstance(item.quantity, Unclear):
        part = facts.recipe is not None and item.quantity.why == "part-of-what"
        return (
            amount_questions.part_of_recipe(ctx, found)
            if part
            else amount_questions.unclear(ctx, item)
        )
    if item.measure is not None and item.measure.kind == "letter":
        return amount_questions.which_spoon(ctx, item)
    if facts.like:
        return estimates.count(found, ctx, lambda each: count_item(each, policy, ctx))
    result = _weighed(found, ctx)
    if isinstance(result, Ask):
        return result
    weighed, bracket = result
    counted = count_reference(facts, policy, ctx.settings.polyols)
    if isinstance(counted, Unknown):
        return questions.unknown_figure(ctx, found, counted)
    total, widened = _total(item, counted, weighed.factor)
    parts = tuple(flattened(facts, weighed.factor))
    portion = Portion(
        item.said, facts.name, weighed.quantity, weighed.unit.removeprefix("label "),
        weighed.grams, weighed.millilitres, total,
    )  # fmt: skip
    if isinstance(item.quantity, Span) and item.quantity.middle is None:
        args: dict[str, Arg] = {"said": Said(item.said), "food": Name(facts.name)}
        line = Line("portion", "portion-range", {**args, "range": between(total)})
        return CountedItem(portion, (line,), weighed.factor, food, item, parts, open=True)
    inside = {f.name: f for f, _ in (*flattened(facts, Fraction(1)), (facts, 1))}
    warned = tuple(w for f in inside.values() for w in avoided(f, ctx.settings.avoid))
    lines = (
        *warned,
        *portion_lines(item.said, facts, weighed, counted, total),
        *widened,
        *told,
        *bracket,
    )
    return CountedItem(portion, lines, weighed.factor, food, item, parts)


def _remembered(found: Found, ctx: Context) -> tuple[Found, tuple[Line, ...]]:
    """ "a couple", "a handful", where the user once said how much that is."""
    quantity, couple = found.item.quantity, ctx.settings.couple
    own = {measure.unit for measure in found.food.facts.extra}
    if isinstance(quantity, Unclear) and HANDFUL in quantity.said.casefold() and HANDFUL in own:
        hand = MeasureWord(HANDFUL, "word", HANDFUL)
        return replace(found, item=replace(found.item, quantity=Number(Fraction(1), quantity.said),
                                           measure=hand)), ()  # fmt: skip
    if couple is None or not isinstance(quantity, Unclear) or quantity.why != "couple":
        return found, ()
    item = replace(found.item, quantity=Number(couple, quantity.said))
    line = fact("couple-is", said=Said(quantity.said), number=Amount(couple, ""))
    return replace(found, item=item), (line,)


def _weigh(found: Found, item: Item, ctx: Context) -> Weighed | Need:
    quantity = item.quantity
    assert isinstance(quantity, Number | Span)
    if isinstance(quantity, Number):
        value = quantity.value
    else:
        value = quantity.low if quantity.middle is None else quantity.middle
    return weigh(found.food.facts, value, item.measure, item.name, ctx.settings.kitchen)


def _second(found: Found, ctx: Context) -> Weighed | Need | None:
    """The amount in brackets, weighed; None where it is no clear amount."""
    also = found.item.also
    if also is None or not isinstance(also.quantity, Number):
        return None
    inner = replace(found.item, quantity=also.quantity, measure=also.measure, also=None)
    return _weigh(found, inner, ctx)


def _weighed(found: Found, ctx: Context) -> tuple[Weighed, tuple[Line, ...]] | Ask:
    """The portion, and what became of an amount in brackets: it has to come to the same."""
    item = found.item
    first = _weigh(found, item, ctx)
    if item.also is None:
        return (
            questions.missing_measure(ctx, found, first) if isinstance(first, Need) else (first, ())
        )
    second = _second(found, ctx)
    if second is None or not isinstance(item.quantity, Number):
        return amount_questions.two_amounts(ctx, found)
    said = Said(item.also.said)
    if isinstance(first, Need):
        if isinstance(second, Need):
            return questions.missing_measure(ctx, found, first)
        one = item.quantity.value == 1
        used = (second, (fact("bracket-used", said=said),))
        return used if one else amount_questions.two_amounts(ctx, found)
    if isinstance(second, Need):
        return first, (caution("bracket-unchecked", said=said),)
    low, high = sorted((first.factor, second.factor))
    if high > low * (1 + TOLERANCE):
        return amount_questions.two_amounts(ctx, found)
    code = "bracket-used" if second.unit == first.unit else "bracket-agrees"
    return first, (fact(code, said=said),)


def _total(item: Item, counted: Counted, factor: Fraction) -> tuple[Ranged, tuple[Line, ...]]:
    """What the portion counts, with the range of its amount, and a line that says so."""
    total = counted.result.times(factor)
    quantity = item.quantity
    if not isinstance(quantity, Span):
        return total, ()
    if quantity.middle is None:  # factor is of the low end
        high = counted.result.times(factor * quantity.high / quantity.low)
        middle = (total.value + high.value) / 2
        return Ranged(middle, total.low, high.high), ()
    wide = Ranged(
        total.value,
        total.low * quantity.low / quantity.middle,
        total.high * quantity.high / quantity.middle,
    )
    share = Amount(ABOUT_SHARE * 100, "percent")
    return wide, (Line("working", "about-widened", {"share": share, "range": between(wide)}),)


def count_meaning(meaning: Meaning, policy: Policy, ctx: Context) -> Plate | Ask:
    """A whole reading, counted; or the first thing that has to be asked."""
    portions: list[Portion] = []
    lines: list[Line] = []
    still: list[Found] = []
    parts: list[tuple[FoodFacts, Fraction]] = []
    called: list[str] = []
    rough: set[str] = set()
    inside: set[str] = set()
    for found in meaning:
        result = count_item(found, policy, ctx)
        if isinstance(result, Ask):
            return questions.after(result, tuple(lines))
        portions.append(result.portion)
        lines.extend(result.lines)
        parts.extend(result.parts)
        called.extend(_called(result, ctx))
        facts = result.food.facts
        if isinstance(result.item.quantity, Span):
            rough.add(facts.name)
        if facts.recipe is not None or facts.like:
            inside.add(facts.name)
        if result.open:
            still.append(found)
    counted = sum((p.counted for p in portions), Ranged.exactly(Fraction(0)))
    return Plate(tuple(portions), tuple(lines), counted, tuple(still), tuple(parts),
                 tuple(called), frozenset(rough), frozenset(inside))  # fmt: skip


def _called(counted: CountedItem, ctx: Context) -> Iterator[str]:
    """Every name of a food: as said, of its label, its other names; and so of what is inside it."""
    yield counted.item.name
    yield from (counted.food.facts.name, *counted.food.aliases)
    yield from (facts.name for facts, _ in counted.parts)
    for ingredient in _ingredients(counted.food.facts):
        yield ingredient.said
        food = ctx.foods.by_id(ingredient.food_id)
        yield from food.aliases if food is not None else ()
    for food_id in counted.food.facts.like:
        food = ctx.foods.by_id(food_id)
        yield from food.aliases if food is not None else ()


def _ingredients(facts: FoodFacts) -> Iterator[Ingredient]:
    """Every ingredient of a recipe, and of the recipes in it."""
    for each in facts.recipe.ingredients if facts.recipe is not None else ():
        yield each
        yield from _ingredients(each.facts)

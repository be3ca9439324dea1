"""Foods without a label: counted like others of the library, with a wide range, and named so.

An estimate has no figures of its own and nothing is made up for it: its amount is counted as if it
were each of the foods that it is like, and the range covers them all and more.
"""

from collections.abc import Callable
from fractions import Fraction

from assistant.counting.facts import Food
from assistant.dialogue.outcome import Ask, caution
from assistant.dialogue.plates import CountedItem
from assistant.dialogue.replies import Line, Portion
from assistant.dialogue.resolve import Found
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Between, Listed, Name, Ranged, Said
from grammar.nodes import Span

LIKE_ONE, LIKE_SEVERAL = Fraction(2, 5), Fraction(1, 5)
"""How far the range goes beyond the foods themselves, either way: where one food is all there is
to go by, and where several show how much such foods differ (our choice, wide on purpose; no
source)."""

CountOne = Callable[[Found], CountedItem | Ask]


def spread(counts: tuple[Ranged, ...]) -> Ranged:
    """The middle of several counts, and a range that covers all of theirs and more."""
    share = LIKE_ONE if len(counts) == 1 else LIKE_SEVERAL
    middle = sum((c.value for c in counts), Fraction(0)) / len(counts)
    low = min(c.low for c in counts) * (1 - share)
    return Ranged(middle, low, max(c.high for c in counts) * (1 + share))


def bases(ctx: Context, food: Food) -> tuple[Food, ...] | Ask:
    """The foods that an estimate is like, as they are now; or that one of them is gone."""
    found = []
    for food_id in food.facts.like:
        base = ctx.foods.by_id(food_id)
        if base is None or base.retired or base.facts.like:
            name = base.facts.name if base is not None else food_id
            args: dict[str, Arg] = {"food": Name(food.facts.name), "base": Name(name)}
            return Ask("label", "estimate-base-gone", args,
                       hint=(f"estimate {food.facts.name} like ...", "foods"))  # fmt: skip
        found.append(base)
    return tuple(found)


def count(found: Found, ctx: Context, count_one: CountOne) -> CountedItem | Ask:
    """One estimated food, counted by each of the foods that it is like."""
    food, item = found.food, found.item
    known = bases(ctx, food)
    if isinstance(known, Ask):
        return known
    results = []
    for base in known:
        result = count_one(Found(item, base))
        if isinstance(result, Ask):
            return result
        results.append(result)
    counts = tuple(r.portion.counted for r in results)
    total = spread(counts)
    first = results[0].portion
    grams = {r.portion.grams for r in results}
    portion = Portion(item.said, food.facts.name, first.quantity, first.unit,
                      first.grams if len(grams) == 1 else None, None, total)  # fmt: skip
    lines = (*_lines(found, results, total), *(x for r in results for x in r.lines
                                                if x.code == "avoid-hit"))  # fmt: skip
    # a base counts nothing here, but what is wrong with its label is told and may stop a dose
    parts = ((food.facts, Fraction(1)), *((f, Fraction(0)) for r in results for f, _ in r.parts))
    is_open = isinstance(item.quantity, Span) and item.quantity.middle is None
    return CountedItem(portion, lines, Fraction(1), food, item, parts, open=is_open)


def _lines(found: Found, results: list[CountedItem], total: Ranged) -> tuple[Line, ...]:
    names = Listed(tuple(Name(r.food.facts.name) for r in results))
    shown = Between(total.low, total.high, "g", 2)
    name = Name(found.food.facts.name)
    args: dict[str, Arg] = {"food": name, "said": Said(found.item.said),
                            "counted": Amount(total.value, "g", 2), "range": shown}  # fmt: skip
    lines = [Line("portion", "portion-estimate", args)]
    for each in results:
        counted = each.portion.counted
        like: dict[str, Arg] = {"food": Name(each.food.facts.name),
                                "counted": Amount(counted.value, "g", 2),
                                "range": Between(counted.low, counted.high, "g", 2)}  # fmt: skip
        lines.append(Line("working", "count-like", like))
    share = LIKE_ONE if len(results) == 1 else LIKE_SEVERAL
    wide: dict[str, Arg] = {"share": Amount(share * 100, "percent"), "range": shown,
                            "counted": Amount(total.value, "g", 2)}  # fmt: skip
    code = "count-spread-one" if len(results) == 1 else "count-spread"
    lines.append(Line("working", code, wide))
    lines.append(caution("estimate-used", food=name, bases=names, range=shown))
    return tuple(lines)

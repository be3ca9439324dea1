"""A label explained the way an educator would: what is in it, how much that is, what counts."""

from fractions import Fraction

from assistant.counting.daily_values import level, share, values_for
from assistant.counting.facts import Food, FoodFacts
from assistant.counting.ingredients import POLYOLS, SUGARS, found_in, undeclared_polyols
from assistant.counting.policy import Counted, count_reference
from assistant.dialogue.food_lines import nutrient_name, summary
from assistant.dialogue.meal_lines import counted_lines, grams, reference_of
from assistant.dialogue.outcome import caution, fact
from assistant.dialogue.replies import Line
from assistant.dosing.settings import Settings
from assistant.values import Amount, Arg, Listed, Name, Phrase
from grammar.words import name_key

_FIRST = ("energy kcal", "energy kJ", "fat", "saturated fat", "carbohydrate", "sugars",
          "added sugars", "fibre", "polyols", "protein", "salt", "sodium")  # fmt: skip


def _names(words: tuple[str, ...]) -> Listed:
    return Listed(tuple(Name(w) for w in words))


def explain(food: Food, settings: Settings) -> tuple[Line, ...]:
    """All lines: allergens first, then pack, nutrients, what counts, ingredients."""
    facts = food.facts
    lines: list[Line] = [*avoided(facts, settings.avoid)]
    if facts.allergens:
        lines.append(caution("food-allergens", words=_names(facts.allergens)))
    if facts.may_contain:
        lines.append(caution("food-may-contain", words=_names(facts.may_contain)))
    lines.extend(line for line in summary(facts) if line.code in {"food-serving", "food-pack"})
    lines.extend(_pack(facts))
    lines.extend(_nutrients(facts))
    lines.extend(_counted(facts, settings))
    lines.extend(_ingredients(facts))
    if facts.failed_checks:
        lines.append(caution("food-failed-check", food=Name(facts.name)))
    return tuple(lines)


def avoided(facts: FoodFacts, avoid: tuple[str, ...]) -> tuple[Line, ...]:
    """A warning for each thing that the user avoids and the label names; nothing else is known."""
    named = (*facts.allergens, *facts.may_contain, *facts.ingredients, facts.name)
    keys = [f" {name_key(n)} " for n in named]
    hits = [w for w in avoid if any(f" {name_key(w)} " in k for k in keys)]
    return tuple(caution("avoid-hit", word=Name(w), food=Name(facts.name)) for w in hits)


def _pack(facts: FoodFacts) -> list[Line]:
    carbohydrate = facts.nutrients.get("carbohydrate")
    pack = facts.servings_per_pack
    if carbohydrate is None or pack is None or facts.per != "serving":
        return []
    if pack <= 1:
        return [fact("explain-one-serving")]
    whole = carbohydrate.value * pack
    return [
        fact(
            "explain-pack",
            servings=Amount(pack, "serving"),
            one=grams(carbohydrate.value),
            whole=grams(whole),
        )
    ]


def _nutrients(facts: FoodFacts) -> list[Line]:
    """Each figure with its share of a day, and low, high or between."""
    values = values_for(facts.region)
    kind = "dv" if facts.region in {"US", "CA"} else "intake"
    order = [n for n in _FIRST if n in facts.nutrients]
    order += [n for n in facts.nutrients if n not in _FIRST]
    lines = []
    for name in order:
        figure = facts.nutrients[name]
        args: dict[str, Arg] = {
            "nutrient": nutrient_name(name),
            "amount": Amount(figure.value, figure.unit),
            "reference": reference_of(facts),
        }
        percent = None if figure.below else share(name, figure, values)
        if percent is None or name.startswith("energy"):
            code = "food-nutrient-below" if figure.below else "food-nutrient"
            lines.append(fact(code, **args))
            continue
        word = Phrase(f"level-{level(percent, facts.region)}")
        share_of = Amount(Fraction(round(percent)), "percent")
        lines.append(fact(f"explain-{kind}", **args, percent=share_of, level=word))
    return lines


def _counted(facts: FoodFacts, settings: Settings) -> list[Line]:
    if settings.policy is None:
        return [fact("policy-first")]
    counted = count_reference(facts, settings.policy, settings.polyols)
    if not isinstance(counted, Counted):
        return [caution("food-no-fibre")]
    return [
        *counted_lines(facts, counted),
        fact("explain-counted", reference=reference_of(facts), counted=grams(counted.result.value)),
    ]


def _ingredients(facts: FoodFacts) -> list[Line]:
    found = facts.ingredients
    if not found:
        return []
    lines = [
        fact("food-ingredients", words=_names(found)),
        fact("explain-first", first=Name(found[0])),
    ]
    polyols = found_in(found, POLYOLS)
    if polyols:
        lines.append(fact("explain-polyols", words=_names(polyols)))
    hidden = undeclared_polyols(found, tuple(facts.nutrients))
    if hidden:
        lines.append(caution("explain-hidden-polyols", words=_names(hidden)))
    fast = found_in(found[:3], SUGARS)
    fibre, fat = facts.nutrients.get("fibre"), facts.nutrients.get("fat")
    if fast:
        lines.append(fact("explain-fast", words=_names(fast)))
    elif (fibre and fibre.value >= 5) or (fat and fat.value >= 10):
        lines.append(fact("explain-slow"))
    return lines

"""The other way round: how much of a food makes so many grams, exact and then rounded.

Nothing here is logged or dosed: the amount is a proposal, and is typed as a meal when it is eaten.
"""

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts
from assistant.counting.policy import Counted, Unknown, count_reference
from assistant.counting.portions import Weighed, known_measures, weigh
from assistant.dialogue.item_counts import count_meaning
from assistant.dialogue.meal_lines import between, grams, reference_of, total_line
from assistant.dialogue.meal_questions import unknown_name
from assistant.dialogue.naming import one_food
from assistant.dialogue.outcome import Ask, Outcome, answer, answered, ask, fact, next_step
from assistant.dialogue.plates import Plate
from assistant.dialogue.recipe_it import spoken_of
from assistant.dialogue.recipe_now import current
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.resolve import Resolved, resolve
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.shown import measure
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Ranged, Said
from grammar.foods import FoodSentence
from grammar.kitchen import KitchenSentence
from grammar.measures import find_measure
from grammar.nodes import Complaint, MeasureWord, Number
from grammar.phrases import read_phrase
from grammar.words import name_key, plural

FINE, COARSE, FROM = Fraction(1), Fraction(5), Fraction(100)
"""Grams and millilitres are rounded to 1, from 100 on to 5, as a kitchen scale or jug shows them;
servings and measures to a quarter, pieces to a half (common practice, no source)."""


QUARTER, HALF = Fraction(1, 4), Fraction(1, 2)


MOST_UNITS = 5


class Way(Struct, frozen=True):
    """An amount in one unit: exact, rounded to a step, and what the rounded one counts."""

    unit: str
    exact: Fraction
    rounded: Fraction
    step: Fraction
    counted: Ranged


class Found(Struct, frozen=True):
    """A food, what one reference amount of it counts, how many of them, and the ways to say it."""

    facts: FoodFacts
    one: Counted
    times: Fraction
    ways: tuple[Way, ...]


def _word(unit: str) -> MeasureWord:
    found = find_measure(unit)
    kinds = {"mass", "volume", "kitchen", "serving", "vessel"}
    return MeasureWord(unit, found[1] if found and found[1] in kinds else "word", unit)


def _units(facts: FoodFacts) -> Iterable[str]:
    """Units to try, the plainest first; most of them lead nowhere for a food."""
    own = [u for u in known_measures(facts) if u]
    names = [found[0] if (found := find_measure(u)) and found[1] != "pack" else name_key(u)
             for u in own]  # fmt: skip
    whole = ("serving", "recipe") if facts.recipe is not None else ("serving",)
    wet = facts.per == "100 ml" or facts.serving_millilitres is not None
    metric = ("millilitre", "gram") if wet or facts.recipe is not None else ("gram",)
    return dict.fromkeys((*metric, *names, *whole, "cup", "tablespoon"))


def _step(unit: str, exact: Fraction) -> Fraction:
    found = find_measure(unit)
    if unit in {"gram", "millilitre"}:
        return COARSE if exact >= FROM else FINE
    return QUARTER if unit == "recipe" or (found and found[1] != "piece") else HALF


def _rounded(exact: Fraction, step: Fraction, down: bool) -> Fraction:
    """To the nearest step, a middle one down; or down."""
    whole = exact / step
    floor = whole.numerator // whole.denominator
    return (floor if down or whole - floor <= HALF else floor + 1) * step


def find(ctx: Context, food: Food, wanted: Fraction, down: bool = False) -> Found | Ask | Unknown:
    """How much of the food counts so many grams; Unknown where its label cannot tell."""
    policy = ctx.settings.policy
    assert policy is not None
    now = current(ctx, food)
    if isinstance(now, Ask):
        return now
    facts = now.facts
    one = count_reference(facts, policy, ctx.settings.polyols)
    if isinstance(one, Unknown):
        return one
    if one.result.value <= 0:
        return Found(facts, one, Fraction(0), ())
    times = wanted / one.result.value
    ways: list[Way] = []
    for unit in _units(facts):
        weighed = weigh(facts, Fraction(1), _word(unit), facts.name, ctx.settings.kitchen)
        if not isinstance(weighed, Weighed) or len(ways) == MOST_UNITS:
            continue
        exact = times / weighed.factor
        step = _step(unit, exact)
        rounded = _rounded(exact, step, down)
        if rounded > 0:
            counted = one.result.times(weighed.factor * rounded)
            ways.append(Way(unit, exact, rounded, step, counted))
    return Found(facts, one, times, tuple(ways))


def shown_amount(count: Fraction, unit: str) -> Amount:
    """A count of a unit with four decimals: what comes before the rounding is shown."""
    return replace(measure(count, unit), places=4)


def _way_line(way: Way) -> Line:
    args: dict[str, Arg] = {
        "exact": shown_amount(way.exact, way.unit),
        "rounded": shown_amount(way.rounded, way.unit),
        "step": shown_amount(way.step, way.unit),
        "counted": grams(way.counted.value),
        "range": between(way.counted),
    }
    return fact("find-way-even" if way.exact == way.rounded else "find-way", **args)


def _data(found: Found) -> dict[str, object]:
    return {
        "times_reference": found.times,
        "ways": [
            {"unit": w.unit, "exact": w.exact, "rounded": w.rounded, "counted": w.counted.value}
            for w in found.ways
        ],
    }


def _cannot(ctx: Context, food: Food, found: Found | Ask | Unknown) -> Outcome | None:
    """What there is to say where no amount can be told."""
    if isinstance(found, Ask):
        return ask(found, ctx.text)
    name = food.facts.name
    if food.facts.like:
        return answered(answer("find-estimate", food=Name(name)), next_step(f"show {name}"))
    if isinstance(found, Unknown) or not found.ways:
        return answered(answer("how-much-none", food=Name(name)), next_step(f"show {name}"))
    return None


def asked_for(ctx: Context, number: object, said: str) -> Fraction | Outcome:
    """The grams that were asked for; or what has to be said first."""
    if not isinstance(number, Number):
        return ask(Ask("number", "figure-odd", {"said": Said(said)}), ctx.text)
    if ctx.settings.policy is None:
        return answered(answer("policy-first"), next_step("count total carbohydrate"))
    return number.value


def how_much(ctx: Context, said: FoodSentence | KitchenSentence) -> Outcome:
    """ "how much rice is 45 g of carbohydrate", "how many slices of rye bread is 45 g"."""
    it = spoken_of(ctx) if said.parts["name"].casefold() == "it" else None
    food = it or one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    wanted = asked_for(ctx, said.number, said.parts["number"])
    if isinstance(wanted, Outcome):
        return wanted
    found = find(ctx, food, wanted)
    cannot = _cannot(ctx, food, found)
    if cannot is not None:
        return cannot
    assert isinstance(found, Found)
    ways = list(found.ways)
    unit = said.parts.get("unit")
    if unit is not None:
        known = find_measure(unit)
        canonical = known[0] if known and known[1] != "pack" else name_key(unit)
        ways = [w for w in found.ways if w.unit == canonical]
        if not ways:
            other = [w.unit for w in found.ways]
            return _not_in(found.facts.name, unit, other, said.parts["number"])
    first = ways[0]
    shown: dict[str, Arg] = {"food": Name(found.facts.name), "counted": grams(wanted),
                             "amount": shown_amount(first.exact, first.unit)}  # fmt: skip
    working: dict[str, Arg] = {
        "reference": reference_of(found.facts),
        "times": Amount(found.times, "times"),
        "one": grams(found.one.result.value),
        "counted": grams(wanted),
    }
    code = "how-much"
    if first.exact != first.rounded:  # what can be measured leads; the exact amount follows
        code = "how-much-rounded"
        shown |= {"amount": shown_amount(first.rounded, first.unit),
                  "got": grams(first.counted.value)}  # fmt: skip
    lines = [answer(code, **shown), *(_way_line(w) for w in ways),
             Line("working", "how-much-working", working), fact("find-no-dose")]  # fmt: skip
    lines.append(next_step(_typed(first, found.facts.name)))
    return answered(*lines, facts=_data(found))


def _not_in(name: str, unit: str, others: list[str], number: str) -> Outcome:
    """No amount can be told in the unit that was asked for: those in which it can be."""
    known = Listed(tuple(Name(measure(Fraction(2), each).unit) for each in others))
    return answered(answer("how-many-not-in", food=Name(name), unit=Said(unit), known=known),
                    next_step(f"how much {name} is {number} g"))  # fmt: skip


def _typed(way: Way, name: str) -> str:
    """The rounded amount as a meal would say it."""
    number = way.rounded
    whole, part = divmod(number, 1)
    unit = way.unit if number == 1 else plural(way.unit)
    short = {"gram": "g", "millilitre": "ml"}.get(way.unit, unit)
    figure = f"{whole} {part}" if whole and part else f"{part or whole}"
    return f"{figure} {short} of {name}"


def fill(ctx: Context, said: KitchenSentence) -> Outcome | None:
    """ "1 slice of rye bread plus how much milk makes 40 g": the rest of a plate."""
    wanted = asked_for(ctx, said.number, said.parts["number"])
    if isinstance(wanted, Outcome):
        return wanted
    plate = _plate(ctx, said)
    if isinstance(plate, Outcome):
        return plate
    food = one_food(ctx, said.parts["name"])
    if isinstance(food, Outcome):
        return food
    rest = wanted - plate.counted.value
    args: dict[str, Arg] = {"wanted": grams(wanted), "counted": grams(plate.counted.value)}
    if rest <= 0:
        return answered(answer("fill-full", **args), *plate.lines, total_line(plate.counted))
    found = find(ctx, food, rest)
    cannot = _cannot(ctx, food, found)
    if cannot is not None:
        return cannot
    assert isinstance(found, Found)
    first = found.ways[0]
    whole = plate.counted + first.counted
    lines = [
        answer("fill", food=Name(found.facts.name), amount=shown_amount(first.exact, first.unit),
               rest=grams(rest), **args),
        *plate.lines,
        total_line(plate.counted),
        *(_way_line(w) for w in found.ways),
        fact("fill-whole", rounded=shown_amount(first.rounded, first.unit),
             food=Name(found.facts.name), counted=grams(whole.value), range=between(whole)),
        fact("find-no-dose"),
        next_step(f"{said.parts['plate']} plus {_typed(first, found.facts.name)}"),
    ]  # fmt: skip
    data = {**_data(found), "plate_counted": plate.counted.value, "rest": rest}
    return answered(*lines, facts=data)


FILL_EXAMPLE = "1 slice of rye bread, fill the rest with milk to 40 g"


def fill_to_what(ctx: Context, said: KitchenSentence) -> Outcome:
    """ "1 apple, fill the rest with milk": up to how many grams? Without a plate that is said."""
    name = Name(said.parts["name"])
    if said.form == "fill-empty":
        return ask(Ask("unread", "fill-no-plate", {"food": name}, hint=(FILL_EXAMPLE,)), ctx.text)
    slot = Slot("grams", (f"{ctx.text.rstrip(' .!?')} to {ANSWER}",))
    return ask(Ask("number", "fill-to-what", {"food": name}, slot=slot, hint=("45 g", "cancel")),
               ctx.text)  # fmt: skip


def _plate(ctx: Context, said: KitchenSentence) -> Plate | Outcome:
    """The plate before the question, counted; its own questions come first."""
    text = ctx.text[: said.plate_end] + " " * (len(ctx.text) - said.plate_end)
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint) or not phrase.pieces or phrase.clauses:
        return ask(Ask("unread", "fill-unread", {"said": Said(said.parts["plate"])}), ctx.text)
    resolved = resolve(phrase, ctx.foods)
    if not isinstance(resolved, Resolved):
        return ask(unknown_name(ctx, resolved), ctx.text)
    assert ctx.settings.policy is not None
    plates = [count_meaning(m, ctx.settings.policy, ctx) for m in resolved.meanings]
    first = plates[0]
    if isinstance(first, Ask):
        return ask(first, ctx.text)
    differ = any(not isinstance(p, Plate) or p.counted != first.counted for p in plates[1:])
    if differ or resolved.cut or first.open:
        return ask(Ask("unread", "fill-unclear", {"said": Said(said.parts["plate"])}), ctx.text)
    return first

"""What comes out of a pot: portions, the weight of the finished food, its volume."""

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import Measure
from assistant.counting.units import conversion
from assistant.dialogue.outcome import (
    Ask,
)
from assistant.dialogue.replies import Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name, Said
from grammar.measures import find_measure
from grammar.nodes import Number
from grammar.recipes import YieldSaid
from grammar.words import name_key


class Comes(Struct, frozen=True):
    """What comes out of the pot, as far as it was said."""

    makes: tuple[Measure, ...] = ()
    grams: Fraction | None = None
    millilitres: Fraction | None = None


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
                       hint=(f"{name} makes ... bowls",
                             f"the finished {name} weighs ... g"))  # fmt: skip
        kind, unit = kind_of(each, name)
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


def kind_of(said: YieldSaid, name: str) -> tuple[str, str]:
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
                   hint=("the pot weighs ... g, the empty pot ... g",))  # fmt: skip
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

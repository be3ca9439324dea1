"""Questions about an amount: it could be two things, or it is a range, or two amounts differ."""

from assistant.dialogue.outcome import Ask, choice, yes_no
from assistant.dialogue.plates import Plate
from assistant.dialogue.replies import Choice, Slot
from assistant.dialogue.resolve import Found
from assistant.dialogue.sentence_parts import ANSWER, measure_behind, put, quoted
from assistant.dialogue.state import Context
from assistant.values import Arg, Between, Listed, Name, Said, Typed, decimal_text
from grammar.nodes import Item, Number, Span, Unclear
from grammar.numbers import read_number

COUPLE = "a couple means 2"


def _behind(item: Item, amount: str) -> str:
    """The item with this amount in place of its own: "30 g" and its name."""
    return f"{amount} {quoted(item.name)}" if item.name else amount


def _slot(ctx: Context, item: Item) -> Slot:
    """A bare number goes with the measure that was said; an amount has its own."""
    amounts = (ANSWER + measure_behind(item), ANSWER)
    texts = tuple(put(ctx.text, item, _behind(item, amount)) for amount in amounts)
    return Slot("number-or-amount", texts)


def unclear(ctx: Context, item: Item) -> Ask:
    """An amount that could be two things, or none."""
    assert isinstance(item.quantity, Unclear)
    why, said, readings = item.quantity.why, item.quantity.said, item.quantity.readings
    args: dict[str, Arg] = {"said": Said(said), "item": Said(item.said)}
    at = ctx.text.find(said, item.start)
    if why == "comma" and len(readings) == 1 and at >= 0:
        whole = ctx.text[:at] + readings[0] + ctx.text[at + len(said) :]
        return Ask("number", "ask-comma-one", {**args, "reading": Said(readings[0])},
                   choices=yes_no(whole))  # fmt: skip
    if readings:
        args["readings"] = Listed(tuple(Typed(r) for r in readings))
    choices: tuple[Choice, ...] = ()
    if why == "couple" and at >= 0:
        whole = ctx.text[:at] + "2" + ctx.text[at + len(said) :]
        choices = (choice("choice-couple", whole, remember=COUPLE, text=Said("2")),)
    hint = ("1 always", "cancel") if choices else ("cancel",)
    return Ask("number", f"ask-number-{why}", args, choices=choices, slot=_slot(ctx, item),
               hint=hint)  # fmt: skip


def which_spoon(ctx: Context, item: Item) -> Ask:
    """ "2 T" or "2 t": in some recipes the large letter is the large spoon, in others not."""
    assert item.measure is not None
    at = ctx.text.index(item.measure.said, item.start)
    behind = ctx.text[at + len(item.measure.said) :].removeprefix(".")
    choices = tuple(
        choice("choice-text", ctx.text[:at] + unit + behind, word=unit, text=Said(unit))
        for unit in ("tablespoon", "teaspoon")
    )
    return Ask("measure", "ask-spoon-letter", {"said": Said(item.measure.said)}, choices=choices)


def narrow(ctx: Context, plate: Plate) -> Ask:
    """A range is counted as a range; a dose needs one amount."""
    found = plate.open[0]
    item = found.item
    assert isinstance(item.quantity, Span)
    ends = (item.quantity.low, item.quantity.high)
    examples = tuple(Typed(decimal_text(end) + measure_behind(item)) for end in ends)
    total = Between(plate.counted.low, plate.counted.high, "g", 2)
    args: dict[str, Arg] = {
        "said": Said(item.quantity.said),
        "food": Name(found.food.facts.name),
        "range": total,
        "readings": Listed(examples),
    }
    return Ask("range", "ask-narrow", args, before=plate.lines, slot=_slot(ctx, item),
               hint=("cancel",), between=plate.counted)  # fmt: skip


def two_amounts(ctx: Context, found: Found) -> Ask:
    """ "2 cans (400 g)": in all, or each? Or the two amounts do not come to the same."""
    item = found.item
    assert item.also is not None
    args: dict[str, Arg] = {"item": Said(item.said), "said": Said(item.also.said)}
    texts = [item.also.said]
    if isinstance(item.quantity, Number):
        if item.quantity.value != 1 and isinstance(item.also.quantity, Number):
            texts.append(f"{decimal_text(item.quantity.value)} x {item.also.said}")
        texts.append(decimal_text(item.quantity.value) + measure_behind(item))
    choices = tuple(
        choice("choice-text", put(ctx.text, item, _behind(item, text)), text=Said(text))
        for text in texts
    )
    return Ask("amount", "ask-two-amounts", args, choices=choices, hint=("cancel",))


def part_of_recipe(ctx: Context, found: Found) -> Ask:
    """ "half the stew": half of the whole pot, or of one bowl?"""
    item, facts = found.item, found.food.facts
    assert isinstance(item.quantity, Unclear)
    assert facts.recipe is not None
    said = item.quantity.said
    number = read_number(said)
    figure = decimal_text(number.value) if isinstance(number, Number) else said
    units = ("recipe", *(made.unit for made in facts.recipe.makes))
    choices = tuple(
        choice("choice-text", put(ctx.text, item, _behind(item, f"{figure} {unit} of")),
               text=Said(f"{said} of the {unit}" if unit == "recipe" else f"{said} of a {unit}"))
        for unit in units
    )  # fmt: skip
    args: dict[str, Arg] = {"said": Said(item.said), "food": Name(facts.name)}
    return Ask("amount", "ask-part-of-recipe", args, choices=choices, hint=("1", "cancel"))

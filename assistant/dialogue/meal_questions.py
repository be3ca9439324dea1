"""The questions that a meal can lead to. Each is built so that its answer makes a whole sentence.

An answer is put into the user's own sentence (ANSWER marks the place) and that sentence is then
read as if it had been typed: no second path through the program exists for answers.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import islice

from msgspec.structs import replace

from assistant.counting.facts import TYPED, FoodFacts
from assistant.counting.policy import Unknown
from assistant.counting.portions import Need
from assistant.counting.source_measures import meant, of_source, told_apart
from assistant.dialogue import offers
from assistant.dialogue.food_lines import nutrient_name
from assistant.dialogue.food_names import may_be_name
from assistant.dialogue.leftover import another_food, left_over, may_be_left_out
from assistant.dialogue.lows import LOWS, treat_low
from assistant.dialogue.naming import bad_name, reference
from assistant.dialogue.outcome import DROP, Ask, choice, took_text, yes_no
from assistant.dialogue.plates import Plate
from assistant.dialogue.replies import Choice, Line, Portion, Slot
from assistant.dialogue.resolve import Found, Meaning, Unresolved, how_and_name, knows_how
from assistant.dialogue.sentence_parts import ANSWER, quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Listed, Name, Said, Typed, decimal_text
from grammar import patterns
from grammar.measures import find_measure
from grammar.nodes import Complaint, Item, Number, Span, Unstated
from grammar.nodes import Phrase as ReadPhrase
from grammar.phrases import read_phrase
from grammar.words import name_key, plural

MAX_GRAMS = Fraction(3000)
MAX_COUNTED = Fraction(300)
MAX_PIECES = 50
"""A portion above these is asked about before it counts (common practice, no source)."""


def _is_weighed(unit: str) -> bool:
    found = find_measure(unit)
    return found is not None and found[1] in {"mass", "volume", "oz"}


def after(wanted: Ask, lines: tuple[Line, ...]) -> Ask:
    """The question, with what is already counted before it."""
    return replace(wanted, before=(*lines, *wanted.before))


def how_much(ctx: Context, found: Found) -> Ask:
    """A food without an amount."""
    item = found.item
    text = ctx.text[: item.start] + f"{ANSWER} {quoted(item.name)}" + ctx.text[item.end :]
    return Ask(
        "amount",
        "ask-how-much",
        {"food": Name(found.food.facts.name)},
        slot=Slot("amount", (text,)),
        hint=("cancel",),
    )


def missing_measure(ctx: Context, found: Found, need: Need) -> Ask:
    """A measure from which nothing leads to the label."""
    item, food = found.item, found.food.facts
    name = quoted(food.name)
    args: dict[str, Arg] = {
        "food": Name(food.name),
        "unit": Name(need.unit),
        "item": Said(item.said),
    }
    if need.why == "which":
        return which_measure(ctx, found, need)
    if food.recipe is not None and need.why not in {"count", "conflict"}:
        return _of_recipe(ctx, food, need)
    if need.why == "count":
        return _count_of_what(ctx, found, need)
    if need.why == "ounce":
        return _which_ounce(ctx, item, args)
    if need.why == "conflict":
        return Ask("measure", "ask-conflict", args, hint=(f"... g of {food.name}",))
    if need.why == "kitchen":
        slot = Slot("volume", (f"my {need.unit} is {ANSWER}", ctx.text))
        return Ask("measure", "ask-kitchen", args, slot=slot, hint=("cancel",))
    if need.why in {"volume", "mass"}:
        slot = Slot("grams", (f"100 ml of {name} weighs {ANSWER}", ctx.text))
        return Ask("measure", f"ask-{need.why}", args, slot=slot, hint=("cancel",))
    code = "ask-pack" if need.why == "pack" else "ask-measure"
    if need.known:
        args["known"] = Listed(tuple(Name(k) for k in need.known))
        code += "-known"
    slot = Slot("grams", (f"1 {need.unit} of {name} weighs {ANSWER}", ctx.text))
    if food.per == "100 ml" and need.why == "measure":
        slot = Slot("volume", (f"1 {need.unit} of {name} holds {ANSWER}", ctx.text))
        return Ask("measure", "ask-measure-volume", args, slot=slot, hint=("cancel",))
    return Ask("measure", code, args, slot=slot, hint=("cancel",))


def _of_recipe(ctx: Context, food: FoodFacts, need: Need) -> Ask:
    """What a recipe makes in this measure, or what the finished food weighs: never raw weights."""
    args: dict[str, Arg] = {"food": Name(food.name), "unit": Name(need.unit)}
    name = quoted(food.name)
    if need.why in {"mass", "ounce"} or need.unit == "ounce":
        slot = Slot("grams", (f"the finished {name} weighs {ANSWER}", ctx.text))
        return Ask("measure", "ask-finished-weight", args, slot=slot, hint=("cancel",))
    if need.why == "volume":
        slot = Slot("volume", (f"{name} makes {ANSWER}", ctx.text))
        return Ask("measure", "ask-finished-volume", args, slot=slot, hint=("cancel",))
    slot = Slot("number", (f"{name} makes {ANSWER} {need.unit}", ctx.text))
    return Ask("measure", "ask-recipe-makes", args, slot=slot, hint=("cancel",))


def _count_of_what(ctx: Context, found: Found, need: Need) -> Ask:
    """ "2 oat cereal": two of what?"""
    item = found.item
    assert isinstance(item.quantity, Number | Span)
    said = _quantity_said(item)
    name = quoted(item.name)

    def put(unit: str) -> str:
        return ctx.text[: item.start] + f"{said} {unit} {name}" + ctx.text[item.end :]

    whole = ctx.text[: item.start] + f"{ANSWER} {name}" + ctx.text[item.end :]
    metric = {"100 g": "g", "100 ml": "ml"}.get(found.food.facts.per)
    named = ["serving", *need.known]
    if said != "1":
        named = [plural(u) for u in named]
    # a large bare figure is most like the label's own unit, so that one is offered first
    units = [metric, *named] if metric else named
    choices = tuple(choice("choice-text", put(u), text=Said(f"{said} {u}")) for u in units)
    return Ask(
        "measure",
        "ask-count-of-what",
        {"item": Said(item.said), "food": Name(found.food.facts.name)},
        choices=choices,
        slot=Slot("measure-word", (put(ANSWER), whole)),
        hint=("cancel",),
    )


MOST_MEASURES = 9
"""Measures that are laid before a person."""


def which_measure(ctx: Context, found: Found, need: Need) -> Ask:
    """Several measures of the food's source answer the same words, or one that says more."""
    item, food = found.item, found.food.facts
    said = _quantity_said(item)
    choices = []
    for measure in need.measures[:MOST_MEASURES]:
        named = told_apart(measure, of_source(food))
        words = f"{said} {quoted(named)} of {quoted(reference(ctx.foods, found.food))}"
        weight = measure.grams if measure.grams is not None else measure.millilitres
        assert weight is not None
        choices.append(
            choice("choice-source-measure", ctx.text[: item.start] + words + ctx.text[item.end :],
                   text=Said(named), count=Amount(measure.count, ""),
                   amount=Amount(weight, "ml" if measure.grams is None else "g", 2))
        )  # fmt: skip
    code = "ask-which-measure" if len(choices) > 1 else "ask-this-measure"
    args: dict[str, Arg] = {"item": Said(item.said), "food": Name(food.name)}
    unlisted = len(need.measures) - len(choices)
    if unlisted:
        code = "ask-which-measure-of-many"
        args["count"] = Amount(Fraction(unlisted), "measure")
    return Ask("measure", code, args, choices=tuple(choices), hint=("1", "cancel"))


def _quantity_said(item: Item) -> str:
    assert isinstance(item.quantity, Number | Span)
    if isinstance(item.quantity, Number):
        return decimal_text(item.quantity.value)
    return item.quantity.said


def _which_ounce(ctx: Context, item: Item, args: dict[str, Arg]) -> Ask:
    assert item.measure is not None
    at = ctx.text.index(item.measure.said, item.start)

    def put(word: str) -> str:
        assert item.measure is not None
        return ctx.text[:at] + word + ctx.text[at + len(item.measure.said) :]

    return Ask(
        "measure",
        "ask-ounce",
        args,
        choices=(
            choice("choice-ounce-weight", put("ounce-weight"), word="weight"),
            choice("choice-ounce-fluid", put("fl oz"), word="volume"),
        ),
    )


def unknown_figure(ctx: Context, found: Found, unknown: Unknown) -> Ask:
    """A figure that the policy needs and the label does not state."""
    name = unknown.food or found.food.facts.name
    args: dict[str, Arg] = {"food": Name(name), "nutrient": nutrient_name(unknown.nutrient)}
    if unknown.why == "no-serving":
        return Ask("label", "ask-no-serving", args, hint=offers.POLICIES[:1])
    if unknown.why == "more-than-carbohydrate":
        return Ask("label", "ask-more-than-carbohydrate", args, hint=(f"show {name}",))
    slot = Slot("grams", (f"{unknown.nutrient} of {quoted(name)} is {ANSWER}", ctx.text))
    return Ask("label", "ask-unknown-figure", args, slot=slot, hint=("cancel",))


def unreadable_paste(unresolved: Unresolved) -> Ask:
    """Several lines that are no label that I read and no meal of known foods."""
    items = (unresolved.item, *unresolved.others)
    said = tuple(i.said for i in items)
    shown = Listed(tuple(Said(s) for s in said[:6]))
    return Ask("unread", "paste-unreadable", {"said": shown}, hint=("help labels",), unread=said)


def unknown_name(ctx: Context, unresolved: Unresolved) -> Ask:
    """Words that no food is called by: near names are offered, never taken."""
    item = unresolved.item
    if not item.name:
        before, behind = ctx.text[: item.end], ctx.text[item.end :]
        slot = Slot("name", (f"{before} {ANSWER}{behind}",))
        return Ask("name", "ask-of-what", {"item": Said(item.said)}, slot=slot, hint=("cancel",))
    unread = (item.name, *(o.name for o in unresolved.others if o.name))
    said_words = len(name_key(item.name).split())
    all_near = _near(ctx, item)
    others = tuple(n for n in all_near if _another(ctx, item, n) and not _kind(ctx, item, n))
    near = [(n, left_over(item.name, n)) for n in all_near]
    near = [(n, left) for n, left in near if len(left) < said_words]
    kinds = sum(_heads(item, n) for n in all_near)  # which one is meant may change with the day
    offered = [
        _offer(ctx, item, n, left, once=kinds > 1)
        for n, left in near
        if n not in others and may_be_left_out(left)
    ]
    choices = (*_offers_with_how(ctx, item), *offered)[:MOST_KINDS]
    args: dict[str, Arg] = {"said": Said(item.name)}
    if choices:
        first = "1 always" if choices[0].remember else "1"
        more = (
            (f"show all {item.name}",) if len(ctx.foods.holding(item.name)) > MOST_OFFERED else ()
        )
        code = "ask-name-always" if any(c.remember for c in choices) else "ask-name"
        hint = (first, *more, "cancel")
        return Ask("name", code, args, choices=choices, hint=hint, unread=unread)
    not_read = [(n, left) for n, left in near if not may_be_left_out(left)]
    if not_read:
        name, left = not_read[0]
        left = _strange(left)
        args |= {
            "said": Said(item.said),
            "food": Name(name),
            "left": Listed(tuple(Said(w) for w in left)),
        }
        return Ask("name", "ask-left-over", args, hint=("cancel",), unread=unread)
    fits = len(item.name) < 60 and bad_name(item.name) is None
    example = f"new food {item.name}"
    named = fits and may_be_name(item.name)
    if others and fits:
        args["foods"] = Listed(tuple(Name(n) for n in others))
        hint = (example, "cancel") if named else ("help",)
        return Ask("name", "ask-name-other", args, hint=hint, unread=unread)
    alone = not unresolved.others and isinstance(item.quantity, Unstated)
    return Ask(
        "name",
        "not-understood" if alone else "ask-name-none",
        args,
        hint=(example, "help") if named else ("help",),
        unread=unread,
    )


def _strange(left: tuple[str, ...]) -> tuple[str, ...]:
    """Without figures and measures, which are known words, where any other word is left."""
    other = tuple(
        w for w in left if find_measure(w) is None and not patterns.fullmatch(r"[\d.,/½¼¾]+", w)
    )
    return other or left


MOST_OFFERED = 5
"""Names that are offered for one that is not known."""
MOST_KINDS = 9
"""The same where a table has several kinds of just that food ("Lentils, raw")."""
_LOOKED_AT = 25
"""Near names of which those that are the food said, and know the measure, stand first."""


def _near(ctx: Context, item: Item) -> list[str]:
    """Names like the one said. First those of the table's food of that name, then those whose foods
    know the measure that was said with it, so that no other food hides the plain one."""
    found = ctx.foods.near(item.name, _LOOKED_AT)
    names = list({name_key(name): name for name in reversed(found)}.values())[::-1]
    ours = {name for name in names if _heads(item, name)}
    household = _of_household(item)
    names.sort(key=lambda n: (household and not _knows_measure(ctx, item, n), n not in ours))
    return names[: min(max(MOST_OFFERED, len(ours)), MOST_KINDS)]


def _heads(item: Item, name: str) -> bool:
    """Tables put the food first and its kind behind a comma: "Lentils, mature seeds, cooked"."""
    head, _, kind = name.partition(",")
    alike = not left_over(item.name, head) and not left_over(head, item.name)
    return bool(kind) and alike


def _kind(ctx: Context, item: Item, name: str) -> bool:
    """A table's name that holds all that was said and tells a state of it ("Lentils, raw"): one of
    the kinds that have to be asked about. A food of the user's own is what they called it."""
    foods = ctx.foods.exact(name_key(name))
    table = bool(foods) and all(food.facts.source != TYPED for food in foods)
    return table and not left_over(item.name, name)


def _another(ctx: Context, item: Item, name: str) -> bool:
    """Is it another food than the one said? Tables call a whole fruit "Apples, raw": where the
    food knows the size that was said, that word alone does not make it another."""
    by_size = item.measure is not None and (item.measure.kind == "size" or item.measure.size)
    if by_size and _knows_measure(ctx, item, name):
        name = name.removesuffix(", raw")
    return another_food(item.name, name)


def _of_household(item: Item) -> bool:
    return item.measure is not None and not _is_weighed(item.measure.unit)


def _knows_measure(ctx: Context, item: Item, name: str) -> bool:
    foods = ctx.foods.exact(name_key(name))
    return any(meant(food.facts, item.measure, item.name) is not None for food in foods)


def _offers_with_how(ctx: Context, item: Item) -> list[Choice]:
    """ "1 cup chopped onion": foods like "onion" that know a cup of chopped ones."""
    if item.measure is None:
        return []
    offers: dict[str, Choice] = {}
    before, behind = ctx.text[: item.name_start], ctx.text[item.name_end :]
    for how, rest, _, _ in islice(how_and_name(ctx.text, item), 4):
        measure = replace(item.measure, how=how)
        for name in ctx.foods.near(rest, _LOOKED_AT):
            said = replace(item, measure=measure, name=rest)
            if left_over(rest, name):
                continue
            for food in ctx.foods.exact(name_key(name)):
                if not knows_how(said, food):
                    continue
                known = reference(ctx.foods, food)
                text, read = (f"{before}{how} {n}{behind}" for n in (quoted(known), known))
                args: dict[str, Arg] = {"food": Name(name), "text": Said(read)}
                line = Line("choice", "choice-name-in", args)
                remember = f"{known} is also called {rest}"
                offers.setdefault(food.food_id, Choice(line, (text,), remember=remember))
    return list(offers.values())


def _offer(ctx: Context, item: Item, name: str, left: tuple[str, ...], *, once: bool) -> Choice:
    """A near name as a choice; words that it leaves out are told in it, and never remembered.

    once: no choice is remembered.
    """
    before, behind = ctx.text[: item.name_start], ctx.text[item.name_end :]
    text = before + quoted(name) + behind
    args: dict[str, Arg] = {"food": Name(name), "text": Said(before + name + behind)}
    if left:
        args["left"] = Listed(tuple(Said(w) for w in left))
        return Choice(Line("choice", "choice-name-left-out", args), (text,))
    one = len(ctx.foods.exact(name_key(name))) == 1 and not _another(ctx, item, name)
    remember = f"{name} is also called {item.name}" if one and not once else None
    plain = once or (item.start == 0 and item.end == len(ctx.text))  # names of tables are long
    line = Line("choice", "choice-name" if plain else "choice-name-in", args)
    return Choice(line, (text,), remember=remember)


_OPENING = frozenset({"replaces", "count-only"})
"""Clauses that may open a sentence."""


def which_meaning(
    ctx: Context, phrase: ReadPhrase, meanings: Sequence[Meaning], plates: Sequence[object]
) -> Ask:
    """Several whole readings: each is shown with what it counts."""
    choices: list[Choice] = []
    start = phrase.pieces[0][0].start
    opening = [c for c in phrase.clauses if c.kind in _OPENING and c.start < start]
    first = "".join(f"{c.said} " for c in opening)
    clauses = "".join(f", {c.said}" for c in phrase.clauses if c not in opening)
    for meaning, plate in zip(meanings, plates, strict=True):
        said = ", ".join(_spelt_out(ctx, found) for found in meaning)
        if isinstance(plate, Plate):
            counted = Amount(plate.counted.value, "g", 2)
            choices.append(
                choice("choice-meaning", first + said + clauses, text=Said(said), counted=counted)
            )
        else:
            choices.append(choice("choice-meaning-open", first + said + clauses, text=Said(said)))
    return Ask("meaning", "ask-which-meaning", choices=tuple(choices))


def _spelt_out(ctx: Context, found: Found) -> str:
    item, text = found.item, ctx.text
    name = quoted(reference(ctx.foods, found.food))
    if item.measure is not None and item.measure.how and item.name_end < item.end:
        return f"{text[item.start : item.name_start]}{item.measure.how} {name}"
    if item.name_start == item.name_end:
        return text[item.start : item.end]
    return text[item.start : item.name_start] + name + text[item.name_end : item.end]


def implausible(ctx: Context, portions: Sequence[Portion]) -> Ask | None:
    """A portion that nobody eats is questioned before it is counted."""
    phrase = read_phrase(ctx.text)
    if not isinstance(phrase, Complaint) and phrase.confirmed:
        return None
    for portion in portions:
        heavy = portion.grams is not None and portion.grams > MAX_GRAMS
        wet = portion.millilitres is not None and portion.millilitres > MAX_GRAMS
        many = portion.quantity > MAX_PIECES and not _is_weighed(portion.unit)
        if heavy or wet or many or portion.counted.value > MAX_COUNTED:
            args: dict[str, Arg] = {
                "said": Said(portion.said),
                "counted": Amount(portion.counted.value, "g", 2),
            }
            return Ask(
                "implausible",
                "ask-implausible",
                args,
                choices=yes_no(bare(ctx.text) + ", that is right"),
            )
    return None


def bare(text: str) -> str:
    """The sentence without "please" or a full stop at its end, so that it can be added to."""
    phrase = read_phrase(text)
    if not isinstance(phrase, Complaint):
        for word in phrase.words:
            if word.role == "courtesy" and word.start > 0 and word.end == len(text.rstrip()):
                text = text[: word.start]
    return text.rstrip(" \t\r\n.,!?;:")


def glucose(ctx: Context, lines: tuple[Line, ...]) -> Ask:
    """A meal without a word on glucose."""
    last = ctx.last_reading()
    before = list(lines)
    if last is not None:
        before.append(
            Line(
                "fact",
                "last-reading",
                {
                    "glucose": Amount(last.glucose.value, last.glucose.unit),
                    "moment": ctx.moment(last.taken_at),
                },
            )
        )
    text = bare(ctx.text)
    return Ask(
        "glucose",
        "rule-glucose-not-given",
        before=tuple(before),
        slot=Slot("glucose", (f"{text}, glucose {ANSWER}", f"{text}, no reading")),
        hint=("no reading", "cancel"),
    )


def after_refusal(rule: str, ctx: Context) -> tuple[Line, ...]:
    """What a refusal adds: the sentences that are missing, or the steps for low glucose."""
    if rule == "settings-missing":
        return tuple(
            line
            for n in ctx.settings.missing()
            for line in offers.setting_lines("fact", n, ctx.settings)
        )
    if rule in LOWS:
        return treat_low(ctx)
    if rule == "unconfirmed-suggestion" and ctx.suggestion is not None:
        waiting = ctx.open_suggestion()
        assert waiting is not None
        took = Typed(took_text(waiting.units))
        return (
            Line("fact", "settle-suggestion",
                 {"sentences": Listed((took, Typed("not taken"), Typed(DROP)))}),
        )  # fmt: skip
    return ()

"""Slips put into plain phrases: a word dropped or inserted, a unit swapped, a typo, a negation.

Each slip knows what is left of the truth: what the changed phrase counts where it still says one
thing, by the tables of the trials; None where the only good reply is a question.
"""

import random
from collections.abc import Callable
from fractions import Fraction

from msgspec.structs import replace

from assistant.shell.phrase_foods import Known
from assistant.shell.phrase_tokens import SPELLINGS, Made, Token
from assistant.shell.phrase_truths import (
    Slip,
    changed,
    less,
    name_of,
    slip_of,
    truth_of,
    with_food,
    with_unit,
)


def word_dropped(rng: random.Random, made: Made, foods: tuple[Known, ...]) -> Slip | None:
    """One word less; joiners have a slip of their own."""
    at = rng.choice([n for n, t in enumerate(made.tokens) if t.role not in {"joiner", "mark"}])
    tokens = [*made.tokens[:at], *made.tokens[at + 1 :]]
    if not tokens or _runs_on(made, tokens, at):
        return None
    return slip_of(made, tokens, less(made, tokens, made.tokens[at], foods))


def _runs_on(made: Made, tokens: list[Token], at: int) -> bool:
    """ "4 eggs and 2/3 cl milk" without its eggs is 4 and 2/3 cl: true, but not of this making."""
    if at == 0 or at >= len(tokens) or made.tokens[at].role != "name":
        return False
    return tokens[at - 1].role == "amount" and tokens[at].text == "and"


def joiner_removed(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """Two foods run into each other: the same count, or a question."""
    places = [n for n, t in enumerate(made.tokens) if t.role == "joiner"]
    if not places:
        return None
    at = rng.choice(places)
    return slip_of(made, [*made.tokens[:at], *made.tokens[at + 1 :]], truth_of(made))


def unit_swapped(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """Another measure: its own count where the food knows it."""
    places = [n for n, t in enumerate(made.tokens) if t.role == "unit"]
    if not places:
        return None
    at = rng.choice(places)
    old = made.tokens[at]
    assert old.item is not None
    h = made.helpings[old.item]
    unit = rng.choice([u for u in SPELLINGS if u != h.unit])
    text = rng.choice(SPELLINGS[unit][0 if h.amount.single else 1])
    tokens = [*made.tokens[:at], replace(old, text=text, glued=False), *made.tokens[at + 1 :]]
    return slip_of(made, tokens, changed(made, old.item, with_unit(h, unit)))


def _mistyped(rng: random.Random, word: str) -> str:
    letters = [n for n, c in enumerate(word) if c.isalpha()]
    at = rng.choice(letters)
    match rng.randrange(4):
        case 0:
            return word[:at] + word[at + 1 :]
        case 1:
            return word[:at] + word[at] + word[at:]
        case 2 if at + 1 < len(word) and word[at + 1].isalpha():
            return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
        case _:
            return word[:at] + rng.choice("abcdefghijklmnopqrstuvwxyz") + word[at + 1 :]


def typo(rng: random.Random, made: Made, foods: tuple[Known, ...]) -> Slip | None:
    """One letter wrong in a name or a measure."""
    places = [
        n
        for n, t in enumerate(made.tokens)
        if (t.role == "name" and len(t.text) > 2) or (t.role == "unit" and len(t.text) > 1)
    ]
    if not places:
        return None
    at = rng.choice(places)
    old = made.tokens[at]
    assert old.item is not None
    h = made.helpings[old.item]
    new = replace(old, text=_mistyped(rng, old.text))
    tokens = [*made.tokens[:at], new, *made.tokens[at + 1 :]]
    if old.role == "name":
        return slip_of(made, tokens, changed(
            made, old.item, with_food(h, name_of(tokens, old.item), foods)))  # fmt: skip
    said = new.text.casefold()
    unit = next((u for u, (a, b) in SPELLINGS.items() if said in {s.casefold() for s in a + b}), "")
    return slip_of(made, tokens, changed(made, old.item, with_unit(h, unit)))


def _places(made: Made, item: int) -> tuple[int, int, int]:
    """Where an item begins, where its name begins, where it ends."""
    own = [n for n, t in enumerate(made.tokens) if t.item == item]
    name = next(n for n in own if made.tokens[n].role == "name")
    return own[0], name, own[-1] + 1


def _inserted(rng: random.Random, made: Made, words: tuple[str, ...]) -> Slip | None:
    """A word before a food, before its name, or behind it."""
    place = rng.choice(_places(made, rng.randrange(len(made.helpings))))
    new = Token(rng.choice(words), "name")
    return slip_of(made, [*made.tokens[:place], new, *made.tokens[place:]], None)


NEGATIONS = ("without", "no", "not", "except", "minus", "instead of", "but not", "never")
TELLING = (
    *("each", "twice", "double", "another", "more", "only", "left", "but", "else", "again"),
    *("extra", "uneaten", "zorp", "quell", "shared", "if", "maybe", "spilled"),
)
STATES = ("dry", "raw", "cooked", "drained", "frozen", "sugar-free", "light", "small", "large",
          "toasted", "dried", "unsweetened")  # fmt: skip


def negated(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """A negation put in, or put in the place of a joiner."""
    joiners = [n for n, t in enumerate(made.tokens) if t.role == "joiner"]
    if joiners and rng.random() < 0.4:
        at = rng.choice(joiners)
        new = Token(rng.choice(NEGATIONS), "name")
        return slip_of(made, [*made.tokens[:at], new, *made.tokens[at + 1 :]], None)
    return _inserted(rng, made, NEGATIONS)


def word_inserted(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """A word that changes the meaning, or that nobody knows. "count only" asks for a count."""
    counts = any(token.text.casefold().endswith("count") for token in made.tokens)
    telling = tuple(word for word in TELLING if word != "only") if counts else TELLING
    return _inserted(rng, made, telling)


def state_inserted(rng: random.Random, made: Made, foods: tuple[Known, ...]) -> Slip | None:
    """A state before a name: another food of the library, a size that it has, or a question."""
    item = rng.randrange(len(made.helpings))
    h = made.helpings[item]
    word = rng.choice(STATES)
    place = _places(made, item)[1]
    tokens = [*made.tokens[:place], Token(word, "name", item), *made.tokens[place:]]
    if word in h.food.sizes:
        if h.unit is not None or h.size is not None:
            return None
        sized = replace(h, size=word, each=h.food.sizes[word])
        return slip_of(made, tokens, changed(made, item, sized))
    other = with_food(h, name_of(tokens, item), foods)
    return slip_of(made, tokens, changed(made, item, other))


def _new_amount(rng: random.Random, made: Made, said: tuple[str, ...]) -> Slip | None:
    """Another text in the place of an amount, with which the phrase has to be asked about."""
    items = [n for n, h in enumerate(made.helpings) if h.amount.split is None and h.times == 1]
    if not items:
        return None
    item = rng.choice(items)
    own = [n for n, t in enumerate(made.tokens) if t.item == item and t.role == "amount"]
    new = Token(rng.choice(said), "amount", item, made.tokens[own[0]].glued)
    return slip_of(made, [*made.tokens[: own[0]], new, *made.tokens[own[-1] + 1 :]], None)


RANGES = ("2-3", "2 to 3", "2 or 3", "two or three", "between 2 and 3", "30-40", "1/2 to 1",
          "2–3", "30 to 40", "one to two", "1.5-2")  # fmt: skip
VAGUE = ("a few", "some", "several", "a couple of", "a handful of", "a splash of", "a bit of",
         "nearly 2", "almost 2", "at least 2", "up to 3", "more than 1", "less than 3", "under 3",
         "over 2", "the rest of the", "lots of", "a pinch of", "0", "-2", "2/0")  # fmt: skip


def ranged(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """A range in the place of an amount."""
    return _new_amount(rng, made, RANGES)


def vague(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """Words that tell no amount, or an amount that cannot be."""
    return _new_amount(rng, made, VAGUE)


def comma(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """A comma inside a number: "1,5" and "1,200" could be two things."""
    places = [
        n
        for n, t in enumerate(made.tokens)
        if t.role == "amount" and t.text.replace(".", "").isdigit() and t.text[0] != "."
    ]
    if not places:
        return None
    at = rng.choice(places)
    old = made.tokens[at]
    text = old.text.replace(".", ",") if "." in old.text else old.text + rng.choice((",5", ",000"))
    return slip_of(made, [*made.tokens[:at], replace(old, text=text), *made.tokens[at + 1 :]], None)


def second_amount(rng: random.Random, made: Made, _foods: tuple[Known, ...]) -> Slip | None:
    """Another amount behind a food, far from the first."""
    item = rng.randrange(len(made.helpings))
    h = made.helpings[item]
    if "gram" not in h.food.each:
        return None
    grams = rng.randint(5, 300)
    ratio = h.food.each["gram"] * grams / h.counted
    if Fraction(9, 10) < ratio < Fraction(11, 10):
        return None
    place = _places(made, item)[2]
    said = rng.choice((f"({grams} g)", f"{grams} g", f"({grams}g)"))
    new = Token(said, "amount", item)
    return slip_of(made, [*made.tokens[:place], new, *made.tokens[place:]], None)


SLIPS: dict[str, Callable[[random.Random, Made, tuple[Known, ...]], Slip | None]] = {
    "word dropped": word_dropped,
    "joiner removed": joiner_removed,
    "unit swapped": unit_swapped,
    "typo": typo,
    "negation": negated,
    "word inserted": word_inserted,
    "state word": state_inserted,
    "range": ranged,
    "vague amount": vague,
    "comma": comma,
    "second amount": second_amount,
}
"""Every kind of slip by name; each gives None where it does not fit the phrase."""

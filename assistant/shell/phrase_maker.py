"""Plain phrases with a known count, made from tables of their own, apart from the grammar.

A phrase is a row of tokens. Each token knows what it is for, so that a slip put into it (see
phrase_slips) knows what is left of the truth.
"""

import random
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from assistant.shell.phrase_amounts import counted_amount, weighed_amount
from assistant.shell.phrase_foods import Known
from assistant.shell.phrase_tokens import SPELLINGS, Helping, Made, Token
from assistant.shell.phrase_wrapping import glucose_said, wrapped

METRIC = frozenset({"gram", "millilitre", "milligram"})
GLUED = METRIC | {"kilogram", "litre"}
HEAVY = GLUED | {"pound", "ounce", "centilitre", "decilitre", "fluid ounce"}
NEEDS_OF = frozenset({"pot", "glass"})
"""Measures that are no words of measure by themselves: "2 pots of yogurt"."""


def helping(rng: random.Random, food: Known) -> Helping:
    """A food and a plausible amount of it: at most 120 g counted, and 1.2 kg or litres."""
    while True:
        kinds: list[tuple[str | None, str | None, Fraction]] = [
            (unit, None, food.each[unit]) for unit in food.said
        ]
        if food.bare is not None:
            kinds += [(None, None, food.bare)] * 4
        kinds += [(None, size, each) for size, each in food.sizes.items()] * 4
        unit, size, each = rng.choice(kinds)
        if unit in METRIC:
            amount = weighed_amount(rng)
        else:
            amount = counted_amount(rng, small=unit in {"kilogram", "litre", "pound", "pack"})
        timed = amount.words[0][0].isdigit() or amount.article
        times = rng.choice((2, 2, 3)) if timed and rng.random() < 0.1 else 1
        about = times == 1 and amount.split is None and rng.random() < 0.07
        found = Helping(food, amount, unit, size, about, times, each)
        heavy = unit in {"kilogram", "litre"} and amount.value * times > Fraction("1.2")
        if found.counted <= 120 and not heavy and _sayable(found):
            return found


def _sayable(found: Helping) -> bool:
    """Forms that people use: "a gram and a half" and "two dozen cups" are not among them."""
    if found.amount.dozen and (found.unit is not None or found.size is not None):
        return False
    if found.amount.split is not None:
        return found.unit in {"cup", "pound", "slice", "serving", "litre", "pack", "tablespoon"}
    return True


def _measured(rng: random.Random, at: int, h: Helping, trailing: bool) -> list[Token]:
    """The amount and measure: "about 60 g", "2 x 1 1/2 cups", "a cup and a half"."""
    words, one = h.amount.words, h.amount.single
    tokens, behind, glued = _about(rng, at, h)
    if h.times > 1 and not (trailing or h.amount.article or h.amount.split or rng.random() < 0.3):
        if h.amount.value == 1 and h.unit not in HEAVY and rng.random() < 0.4:
            words, one = (), False
            tokens.append(Token(rng.choice(("x{}", "{}x")).format(h.times), "times", at))
        else:
            stuck = rng.random() < 0.3
            sign = Token(rng.choice(("x", "x", "×")), "times", at, stuck)
            tokens += [Token(str(h.times), "times", at), sign]
            glued = stuck and words[0][0].isdigit()
    tokens += [Token(word, "amount", at, glued and n == 0) for n, word in enumerate(words)]
    if h.size:
        tokens.append(Token(h.size, "size", at))
    if h.unit:
        digit = bool(words) and words[-1][-1].isdigit()
        stuck = digit and h.unit in GLUED and rng.random() < 0.4
        spellings = SPELLINGS[h.unit][0 if one else 1]
        text = spellings[0] if stuck else rng.choice(spellings)
        tokens.append(Token(text, "unit", at, stuck))
    tokens += [Token(word, "amount", at) for word in h.amount.split or ()]
    return _with_an([*tokens, *behind])


def _about(rng: random.Random, at: int, h: Helping) -> tuple[list[Token], list[Token], bool]:
    """The word before or behind an amount that is not exact; true where the amount sticks to it."""
    if not h.about:
        return [], [], False
    how = rng.choice(ABOUT)
    if how == "or so":
        return [], [Token("or", "about", at), Token("so", "about", at)], False
    digit = h.amount.words[0][0].isdigit()
    if how == "~" and not digit:
        how = "about"
    return [Token(how, "about", at)], [], how == "~"


def _with_an(tokens: list[Token]) -> list[Token]:
    """ "a" as "an" before a vowel."""
    found = list(tokens)
    for n, (token, after) in enumerate(pairwise(tokens)):
        if token.text == "a" and after.text[0] in "aeiouAEIOU":
            found[n] = replace(token, text="an")
    return found


ABOUT = ("about", "around", "roughly", "approximately", "approx", "approx.", "circa", "ca.", "~",
         "or so")  # fmt: skip


def _name(rng: random.Random, at: int, h: Helping) -> list[Token]:
    """The food's name; in another case, with or without its hyphen and accents; plural if bare."""
    name = h.food.name
    counted = h.unit is None
    if counted and h.amount.value <= 1 and (h.times == 1 or h.amount.article):
        name = name.removesuffix("s")
    elif counted and not name.endswith("s"):
        name += "es" if name.endswith("ch") else "s"
    how = rng.random()
    if how < 0.05:
        name = name.upper()
    elif how < 0.15:
        name = name.capitalize()
    elif how < 0.2:
        name = name.translate(str.maketrans("èî", "ei"))
    elif how < 0.25 and " " in name and " and " not in name and name[0].isalpha():
        name = name.replace(" ", "-")
    return [Token(word, "name", at) for word in name.split()]


AFTER = (" ", ",", ":", "(", "-")


def item(rng: random.Random, at: int, h: Helping, after: str | None) -> list[Token]:
    """One food: amount before the name, or behind it in the manner of `after`."""
    name = _name(rng, at, h)
    bare = h.unit is None
    if after is not None and not bare and h.amount.split is None:
        measured = _measured(rng, at, h, trailing=True)
        opened = {",": ",", ":": ":"}.get(after)
        if opened:
            name.append(Token(opened, "mark", at, glued=True))
        elif after == "-":
            name.append(Token("-", "mark", at))
        elif after == "(":
            name += [Token("(", "mark", at), replace(measured[0], glued=True), *measured[1:]]
            measured = [Token(")", "mark", at, glued=True)]
        tokens = [*name, *measured]
    else:
        tokens = _measured(rng, at, h, trailing=False)
        need = h.unit in NEEDS_OF or h.amount.split is not None or tokens[-1].role == "about"
        if not bare and (need or rng.random() < 0.5):
            tokens.append(Token("of", "link", at))
            if rng.random() < 0.2:
                tokens.append(Token("the", "link", at))
        tokens = _with_an([*tokens, *name])
    if h.times > 1 and not any(t.role == "times" for t in tokens):
        tokens += (
            [Token(f"x{h.times}", "times", at)]
            if rng.random() < 0.5
            else [Token("x", "times", at), Token(str(h.times), "times", at)]
        )
    return tokens


_JOINERS: tuple[tuple[str, bool], ...] = (
    *(("and", False), ("and", False), ("plus", False), (",", True), (",", True), ("with", False)),
    *(("&", False), ("+", False), (";", True), ("\n", True), (", and", True), (", plus", True)),
)


def joined(rng: random.Random, items: list[list[Token]], commas: bool) -> list[Token]:
    """Items in a list. commas is false where a comma already stands inside the items."""
    usual = [j for j in _JOINERS if commas or "," not in j[0]]
    one = rng.choice(usual)
    tokens = list(items[0])
    for after in items[1:]:
        text, glued = one if rng.random() < 0.5 and one[0] != "\n" else rng.choice(usual[:6])
        if one[0] == "\n":
            text, glued = one
        if text == "and" and tokens[-1].role == "times":
            text = "plus"  # "x 3 and 2/3 muffin" could be three and two thirds
        tokens += [Token(text, "joiner", None, glued), *after]
    return tokens


def made(rng: random.Random, foods: tuple[Known, ...]) -> Made:
    """One plain phrase, with its truth in its helpings."""
    count = rng.choice((1, 1, 1, 2, 2, 2, 3, 3, 4, 5, 6))
    helpings = tuple(helping(rng, food) for food in rng.sample(foods, count))
    after: Callable[[], str | None]
    style = rng.random()
    if style < 0.6:
        after = _never
    elif style < 0.85:
        one = rng.choice(AFTER)
        after = lambda: one  # noqa: E731 - one manner for the whole list
    else:
        after = lambda: rng.choice((None, " ", "("))  # noqa: E731 - mixed
    items = [item(rng, at, h, after()) for at, h in enumerate(helpings)]
    marked = any(t.text in {",", ":"} and t.role == "mark" for i in items for t in i)
    tokens = joined(rng, items, commas=not marked)
    glucose = None
    if rng.random() < 0.15:
        said, glucose = glucose_said(rng)
        if rng.random() < 0.8:
            tokens = [*tokens, Token(",", "glucose mark", glued=True), *said]
        else:
            tokens = [*said, Token(",", "glucose mark", glued=True), *tokens]
    return Made(tuple(wrapped(rng, tokens, glucose is not None)), helpings, glucose)


def _never() -> str | None:
    return None

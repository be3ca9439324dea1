"""Amounts as people write them, each with its exact value; tables apart from the grammar's."""

import random
from fractions import Fraction
from functools import cache

from msgspec import Struct

SMALL = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


class Amount(Struct, frozen=True):
    """An amount: its words, its value, whether its measure stands in the singular.

    article: its last word is "a". split: words that come behind the measure ("a cup and a half").
    """

    words: tuple[str, ...]
    value: Fraction
    single: bool = False
    article: bool = False
    split: tuple[str, ...] | None = None
    dozen: bool = False


def in_words(value: int) -> str:
    """A whole number from 1 to 9999 in words: "two hundred and fifty"."""
    if value < 20:
        return SMALL[value - 1]
    if value < 100:
        ten, one = divmod(value, 10)
        return TENS[ten - 2] + (f" {SMALL[one - 1]}" if one else "")
    if value < 1000:
        hundred, rest = divmod(value, 100)
        return SMALL[hundred - 1] + " hundred" + (f" and {in_words(rest)}" if rest else "")
    thousand, rest = divmod(value, 1000)
    link = " " if rest >= 100 else " and "
    return SMALL[thousand - 1] + " thousand" + (link + in_words(rest) if rest else "")


def _amount(text: str, value: str | Fraction, single: bool = False) -> Amount:
    words = tuple(text.split())
    return Amount(words, Fraction(value), single, words[-1] in {"a", "an"})


@cache
def counted_forms() -> tuple[Amount, ...]:
    """Amounts of cups, slices, servings."""
    forms = [_amount(str(n), Fraction(n), n == 1) for n in range(1, 7)]
    forms += [_amount(in_words(n), Fraction(n), n == 1) for n in range(1, 7)]
    forms += [
        *(_amount(t, t) for t in ("1.5", "2.5", "2.25", "1.25", "3.0")),
        *(_amount(t, "0" + t if t[0] == "." else t, True) for t in (".5", "0.5", "0.75", ".25")),
        *(_amount(t, t, True) for t in ("1/2", "3/4", "2/3", "1/3", "1/4")),
        _amount("½", "1/2", True),
        _amount("¾", "3/4", True),
        _amount("⅓", "1/3", True),
        *(_amount(t, "3/2") for t in ("1 1/2", "1½", "1 ½", "one and a half", "1 and a half")),
        *(_amount(t, "5/2") for t in ("2 1/2", "2½", "two and a half", "2 and a half")),
        _amount("1 3/4", "7/4"),
        _amount("half a", "1/2", True),
        _amount("half", "1/2", True),
        _amount("a half", "1/2", True),
        _amount("three quarters of a", "3/4", True),
        _amount("two thirds of a", "2/3", True),
        _amount("a quarter of a", "1/4", True),
        _amount("a third of a", "1/3", True),
        *([_amount("a", "1", True)] * 3),
        Amount(("a",), Fraction(3, 2), True, True, ("and", "a", "half")),
        Amount(("1",), Fraction(3, 2), True, False, ("and", "a", "half")),
        Amount(("2",), Fraction(5, 2), False, False, ("and", "a", "half")),
        Amount(("two",), Fraction(5, 2), False, False, ("and", "a", "half")),
        *(
            Amount(tuple(t.split()), Fraction(v), dozen=True)
            for t, v in (
                ("a dozen", 12),
                ("half a dozen", 6),
                ("two dozen", 24),
                ("a dozen and a half", 18),
                ("twelve", 12),
                ("21", 21),
                ("twenty one", 21),
            )
        ),
    ]
    return tuple(forms)


def counted_amount(rng: random.Random, small: bool) -> Amount:
    """An amount of a countable measure; small keeps to 2 and less."""
    forms = counted_forms()
    while True:
        found = rng.choice(forms)
        if not small or found.value <= 2:
            return found


def weighed_amount(rng: random.Random) -> Amount:
    """An amount in grams or millilitres."""
    how = rng.random()
    if how < 0.6:
        value = rng.choice((*range(5, 100, 5), *range(100, 401, 10), 33, 47, 118, 125, 175))
        return _amount(str(value), Fraction(value))
    if how < 0.75:
        text = f"{rng.randint(1, 150)}.{rng.choice('1257')}"
        return _amount(text, text)
    if how < 0.78:
        return _amount("a hundred", "100")
    if how < 0.82:
        rest = rng.choice((20, 25, 50, 75))
        return _amount(f"a hundred and {in_words(rest)}", Fraction(100 + rest))
    if how < 0.84:
        value = rng.choice((1000, 1050, 1200))
        said = rng.choice((in_words(value), in_words(value).replace("one", "a", 1)))
        return _amount(said, Fraction(value))
    value = rng.choice((10, 15, 20, 25, 30, 45, 60, 75, 100, 120, 150, 200, 250, 300, 350))
    return _amount(in_words(value), Fraction(value))

"""What is left of a made phrase's truth once something in it has changed.

None stands for a phrase that no longer says one thing: the only good reply is a question.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from assistant.shell.phrase_amounts import Amount, counted_forms, in_words
from assistant.shell.phrase_foods import Known, same_name
from assistant.shell.phrase_tokens import Helping, Made, Token, spelt


class Truth(Struct, frozen=True):
    """What a phrase counts: each food by name with its grams; the glucose in it.

    about: positions of portions whose range must be widened. glucose: figure and unit, or None.
    """

    portions: tuple[tuple[str, Fraction], ...]
    glucose: tuple[Fraction, str] | None = None
    about: frozenset[int] = frozenset()


class Slip(Struct, frozen=True):
    """A changed phrase: its text, and its truth or None where it has to be asked about."""

    text: str
    truth: Truth | None


def truth_of(made: Made) -> Truth:
    """What the phrase counts as it stands."""
    portions = tuple((h.food.name, h.counted) for h in made.helpings)
    about = frozenset(n for n, h in enumerate(made.helpings) if h.about)
    return Truth(portions, made.glucose, about)


def slip_of(made: Made, tokens: list[Token], truth: Truth | None) -> Slip | None:
    """The changed phrase; None where nothing has changed."""
    text = spelt(tuple(tokens)).strip()
    return None if text == made.text.strip() else Slip(text, truth)


def changed(made: Made, at: int, helping: Helping | None) -> Truth | None:
    """The truth with one food's helping replaced; None for none."""
    if helping is None:
        return None
    helpings = (*made.helpings[:at], helping, *made.helpings[at + 1 :])
    return truth_of(replace(made, helpings=helpings))


def with_unit(h: Helping, unit: str) -> Helping | None:
    """The same amount in another measure; None where the food does not know it."""
    each = h.food.each.get(unit)
    return None if each is None else replace(h, unit=unit, size=None, each=each)


def _bare(h: Helping) -> Helping | None:
    if h.food.bare is None or h.amount.split is not None:
        return None
    return replace(h, unit=None, size=None, each=h.food.bare)


def with_food(h: Helping, name: str, foods: tuple[Known, ...]) -> Helping | None:
    """The same amount of the food of this name, where there is one and its measures know it."""
    food = next((f for f in foods if same_name(f.name) == same_name(name)), None)
    if food is None:
        return None
    if h.unit is not None:
        each = food.each.get(h.unit)
    else:
        each = food.bare if h.size is None else food.sizes.get(h.size)
    return None if each is None else replace(h, food=food, each=each)


def name_of(tokens: list[Token], item: int | None) -> str:
    """The words that are left of a food's name."""
    return " ".join(t.text for t in tokens if t.role == "name" and t.item == item)


@cache
def _elided() -> Mapping[str, Fraction]:
    """Amounts with their values, and those that still say one thing with a word left out."""
    known = {" ".join(a.words): a.value for a in counted_forms() if a.split is None}
    known |= {str(n): Fraction(n) for n in range(1, 25)}
    for n in range(1, 1300):
        said = in_words(n)
        for form in (said, said.replace(" and ", " ")):
            known[form] = Fraction(n)
            if form.startswith(("one hundred", "one thousand")):
                known["a" + form[3:]] = known[form[4:]] = Fraction(n)
    short = {"half": "1/2", "three quarters": "3/4", "two thirds": "2/3", "quarter": "1/4",
             "third": "1/3", "a quarter": "1/4", "a third": "1/3"}  # fmt: skip
    for said, value in short.items():
        for link in ("", " of", " a", " of a"):
            known[said + link] = Fraction(value)
    for said, halves in (("one", 3), ("two", 5), ("1", 3), ("2", 5)):
        known[f"{said} and half"] = known[f"{said} and a half"] = Fraction(halves, 2)
    known |= {"dozen": Fraction(12), "half dozen": Fraction(6), "an": Fraction(1)}
    known |= {"dozen and a half": Fraction(18), "a dozen and half": Fraction(18)}
    return known


def _less_amount(made: Made, tokens: list[Token], dropped: Token) -> Truth | None:
    """The truth once a word of an amount is gone."""
    assert dropped.item is not None
    h = made.helpings[dropped.item]
    words = [t.text for t in tokens if t.role == "amount" and t.item == dropped.item]
    if h.amount.split is not None:
        same = dropped.text in {"a", "an"} or (dropped.text == "1" and "half" in words)
        return truth_of(made) if same else None
    said = " ".join("a" if w == "an" else w for w in words)
    value = _elided().get(said)
    first = next(t for t in tokens if t.item == dropped.item)
    if said == "and a half" and first.role == "amount":
        value = Fraction(1, 2)  # "milk, one and a half bananas" without its "one"
    if value is None:
        return None
    amount = Amount(tuple(words), value)
    return changed(made, dropped.item, replace(h, amount=amount))


def _less_glucose(made: Made, tokens: list[Token], dropped: Token) -> Truth | None:
    left = {t.text for t in tokens if t.role == "glucose word"}
    said = bool(left & {"glucose", "bg:", "blood", "sugar"})
    unit = any(t.role == "glucose unit" for t in tokens)
    if dropped.role == "glucose figure":
        return None
    if dropped.role == "glucose unit":
        mg = made.glucose is not None and made.glucose[1] == "mg/dL"
        return truth_of(made) if mg else None
    return truth_of(made) if said or unit else None


def _less_times(h: Helping, tokens: list[Token], dropped: Token) -> Helping | None:
    """What a helping is once a part of "2 x" is gone: "2 x 3/4" without its x is 2 3/4."""
    own = [t for t in tokens if t.item == dropped.item]
    amount = any(t.role == "amount" for t in own)
    if dropped.text.startswith("x") and dropped.text[1:].isdigit() and amount:
        return replace(h, times=1)
    if not own or own[0].role not in {"times", "amount"}:
        return None
    led = [t for t in own if t.role in {"times", "amount"}]
    figure = _figure(spelt(tuple(led)).lstrip("x× "))
    if figure is None or h.amount.split is not None or own[len(led) - 1] is not led[-1]:
        return None
    return replace(h, amount=Amount((), figure), times=1)


_VULGAR = {"½": "1/2", "¾": "3/4", "⅓": "1/3"}


def _figure(said: str) -> Fraction | None:
    """The value of a figure in digits: "2.25", "3/4", "2 3/4", "2½"; else None."""
    for sign, value in _VULGAR.items():
        said = said.replace(sign, " " + value)
    match = re.fullmatch(r"(?:(\d+) +)?(\d*\.?\d+(?:/\d+)?)", said.strip())
    if not match or (match[1] and "/" not in match[2]):
        return None
    return Fraction(match[1] or 0) + Fraction(match[2])


def less(made: Made, tokens: list[Token], dropped: Token, foods: tuple[Known, ...]
          ) -> Truth | None:  # fmt: skip
    """What the phrase counts once a token is gone."""
    if dropped.role.startswith("glucose") and dropped.role != "glucose mark":
        return _less_glucose(made, tokens, dropped)
    if dropped.item is None or dropped.role in {"link", "mark"}:
        return truth_of(made)
    h = made.helpings[dropped.item]
    match dropped.role:
        case "amount":
            return _less_amount(made, tokens, dropped)
        case "about":
            return changed(made, dropped.item, replace(h, about=False))
        case "times":
            return changed(made, dropped.item, _less_times(h, tokens, dropped))
        case "unit" | "size":
            return changed(made, dropped.item, _bare(h))
        case _:
            name = name_of(tokens, dropped.item)
            return changed(made, dropped.item, with_food(h, name, foods) if name else None)

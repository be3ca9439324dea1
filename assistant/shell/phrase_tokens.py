"""A made phrase as a row of tokens, each with its purpose; and how measures are spelt."""

from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.shell.phrase_amounts import Amount
from assistant.shell.phrase_foods import Known

Role = Literal[
    "amount", "times", "about", "unit", "size", "link", "name", "mark", "joiner",
    "courtesy", "glucose word", "glucose figure", "glucose unit", "glucose mark",
]  # fmt: skip


class Token(Struct, frozen=True):
    """A word of the phrase. glued: no blank before it. item: the number of its food."""

    text: str
    role: Role
    item: int | None = None
    glued: bool = False


class Helping(Struct, frozen=True):
    """One food as said: its amount, its measure (None where it is counted bare), its count."""

    food: Known
    amount: Amount
    unit: str | None
    size: str | None
    about: bool
    times: int
    each: Fraction

    @property
    def counted(self) -> Fraction:
        """Grams of carbohydrate, exact."""
        return self.amount.value * self.times * self.each


class Made(Struct, frozen=True):
    """A plain phrase: its tokens, its foods, and the glucose in it (figure, unit)."""

    tokens: tuple[Token, ...]
    helpings: tuple[Helping, ...]
    glucose: tuple[Fraction, str] | None = None

    @property
    def text(self) -> str:
        """The phrase as typed."""
        return spelt(self.tokens)


def spelt(tokens: tuple[Token, ...]) -> str:
    """Tokens as text: a blank between two, none before a glued one."""
    text = ""
    for token in tokens:
        text += token.text if token.glued or not text or text.endswith("\n") else " " + token.text
    return text


SPELLINGS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "gram": (("g", "gr", "gram"), ("g", "gr", "gm", "grams", "grammes", "gms")),
    "kilogram": (("kg", "kilo", "kilogram"), ("kg", "kilos", "kilograms")),
    "milligram": (("mg",), ("mg", "milligrams")),
    "pound": (("lb", "pound"), ("lb", "lbs", "pounds")),
    "ounce": (("oz", "ounce"), ("oz", "ounces")),
    "millilitre": (("ml",), ("ml", "mls", "millilitres", "milliliters", "cc", "mL")),
    "centilitre": (("cl",), ("cl", "centilitres")),
    "decilitre": (("dl",), ("dl", "decilitres")),
    "litre": (("l", "litre", "liter"), ("l", "litres", "liters")),
    "cup": (("cup",), ("cups",)),
    "tablespoon": (("tbsp", "tbs", "tablespoon"), ("tbsp", "tbsps", "tablespoons", "tbsp.")),
    "teaspoon": (("tsp", "teaspoon"), ("tsp", "tsps", "teaspoons", "tsp.")),
    "fluid ounce": (("fl oz", "fluid ounce"), ("fl oz", "fl. oz.", "fluid ounces", "fl oz")),
    "serving": (("serving", "portion"), ("servings", "portions")),
    "pack": (("pack", "packet", "package"), ("packs", "packets", "packages")),
    **{
        word: ((word,), (word + "s",))
        for word in ("slice", "piece", "bag", "pot", "glass", "can", "bottle", "jar", "tub", "tin")
    },
    "glass": (("glass",), ("glasses",)),
    "box": (("box",), ("boxes",)),
}
"""Each measure as written for one, and for more. "T" and "t" stand for nothing alone."""

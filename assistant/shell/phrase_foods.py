"""The invented library of the phrase trials: each food as a sentence, and what its measures count.

What a measure counts is worked out here from the label's own figures, apart from the program:
grams and millilitres, a US label's kitchen measures (21 CFR 101.9(b)(5)(viii): a cup is 240 ml, a
tablespoon 15, a teaspoon 5, a fluid ounce 30), the pound of 453.59237 g and its sixteenth.
Total carbohydrate is counted, so fibre plays no part.
"""

import re
import unicodedata
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct, field

Each = Mapping[str, Fraction]
POUND = Fraction("453.59237")

PLAIN_UNITS = frozenset(
    {
        *("gram", "kilogram", "pound", "ounce", "millilitre", "centilitre", "decilitre", "litre"),
        *("cup", "tablespoon", "teaspoon", "fluid ounce", "serving", "pack", "slice", "piece"),
    }
)
"""Measures that the made phrases use; others only count when a slip leads to them."""


class Known(Struct, frozen=True):
    """A food: the sentences that make it, and grams counted for one of each measure.

    bare: for one counted without a measure ("3 crackers"). sizes: for one of a size ("a medium
    apple"). own: measures beside PLAIN_UNITS that a plain phrase may use of it.
    """

    name: str
    sentences: tuple[str, ...]
    each: Each
    bare: Fraction | None = None
    sizes: Each = field(default_factory=dict)
    own: tuple[str, ...] = ()

    @property
    def said(self) -> tuple[str, ...]:
        """Measures for plain phrases."""
        return tuple(unit for unit in self.each if unit in PLAIN_UNITS or unit in self.own)


def _weight(gram: Fraction, ounce: bool = True) -> dict[str, Fraction]:
    """By weight. Ounces only where no volume is known, since they could be fluid ones."""
    masses = {
        "gram": gram,
        "kilogram": gram * 1000,
        "milligram": gram / 1000,
        "pound": gram * POUND,
    }
    return masses | ({"ounce": gram * POUND / 16} if ounce else {})


def _volume(millilitre: Fraction) -> dict[str, Fraction]:
    return {
        "millilitre": millilitre,
        "centilitre": millilitre * 10,
        "decilitre": millilitre * 100,
        "litre": millilitre * 1000,
    }


def _us_kitchen(millilitre: Fraction) -> dict[str, Fraction]:
    return {
        "cup": millilitre * 240,
        "tablespoon": millilitre * 15,
        "teaspoon": millilitre * 5,
        "fluid ounce": millilitre * 30,
    }


def _liquid_us(millilitre: Fraction) -> dict[str, Fraction]:
    """Volume on a US label; an ounce of what is only known by volume is a fluid one."""
    return {**_volume(millilitre), **_us_kitchen(millilitre), "ounce": millilitre * 30}


def _packs(pack: Fraction) -> dict[str, Fraction]:
    """The pack under every name of a container, where the label knows of one pack only."""
    words = ("pack", "container", "box", "bag", "bottle", "can", "tin", "jar", "carton", "tub")
    return dict.fromkeys(words, pack)


def _f(text: str) -> Fraction:
    return Fraction(text)


def known_foods() -> tuple[Known, ...]:
    """The library. Names hold joiners, numbers, units and state words on purpose."""
    return (
        Known(
            "oat cereal",
            (
                "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, "
                "carbohydrate 27 g",
            ),
            {
                **_weight(_f("27/40"), ounce=False),
                **_volume(_f("27/120")),
                **_us_kitchen(_f("27/120")),
                "serving": _f("27"),
                **_packs(_f("243")),
            },
        ),
        Known(
            "milk",
            ("new food milk: EU label, per 100 ml: carbohydrate 4.8 g",),
            _volume(_f("0.048")),
        ),
        Known(
            "rye bread",
            ("new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 48 g",),
            {**_weight(_f("0.48")), "slice": _f("16.8"), "serving": _f("16.8")},
        ),
        Known(
            "apple",
            ("new food apple: US label, serving 1 medium (150 g), carbohydrate 21 g",),
            {**_weight(_f("0.14")), "serving": _f("21")},
            sizes={"medium": _f("21")},
        ),
        Known(
            "crackers",
            (
                "new food crackers: US label, serving 5 crackers (15 g), 8 servings, "
                "carbohydrate 10 g",
            ),
            {**_weight(_f("2/3")), "serving": _f("10"), **_packs(_f("80"))},
            bare=_f("2"),
        ),
        Known(
            "half and half",
            ("new food half and half: US label, serving 2 tbsp (30 ml), carbohydrate 1 g",),
            {**_liquid_us(_f("1/30")), "serving": _f("1")},
        ),
        Known(
            "salt and vinegar crisps",
            (
                "new food salt and vinegar crisps: UK label, serving 1 bag (25 g), per 100 g: "
                "carbohydrate 52 g",
            ),
            {**_weight(_f("0.52")), "bag": _f("13"), "serving": _f("13")},
            own=("bag",),
        ),
        Known(
            "7-grain bread",
            (
                "new food 7-grain bread: EU label, serving 1 slice (40 g), per 100 g: "
                "carbohydrate 45 g",
            ),
            {**_weight(_f("0.45")), "slice": _f("18"), "serving": _f("18")},
        ),
        Known(
            "2% milk",
            ("new food 2% milk: US label, serving 1 cup (240 ml), carbohydrate 12 g",),
            {**_liquid_us(_f("0.05")), "serving": _f("12")},
        ),
        Known(
            "orange juice",
            (
                "new food orange juice: EU label, per 100 ml: carbohydrate 9 g",
                "1 glass of orange juice holds 250 ml",
            ),
            {**_volume(_f("0.09")), "glass": _f("22.5")},
            own=("glass",),
        ),
        Known(
            "cooked rice",
            (
                "new food cooked rice: EU label, serving 1 cup (160 g), per 100 g: "
                "carbohydrate 28 g",
            ),
            {**_weight(_f("0.28")), "cup": _f("44.8"), "serving": _f("44.8")},
        ),
        Known(
            "dry rice",
            ("new food dry rice: EU label, per 100 g: carbohydrate 79 g",),
            _weight(_f("0.79")),
        ),
        Known(
            "mac and cheese",
            ("new food mac and cheese: US label, serving 1 cup (200 g), carbohydrate 45 g",),
            {
                **_weight(_f("0.225"), ounce=False),
                **_volume(_f("45/240")),
                **_us_kitchen(_f("45/240")),
                "serving": _f("45"),
            },
        ),
        Known(
            "egg",
            ("new food egg: US label, serving 1 egg (50 g), carbohydrate 1 g",),
            {**_weight(_f("0.02")), "serving": _f("1")},
            bare=_f("1"),
        ),
        Known(
            "muffin",
            (
                "new food muffin: UK label, serving 1 muffin (75 g), per 100 g: carbohydrate 44 g",
                "1 large muffin weighs 110 g",
            ),
            {**_weight(_f("0.44")), "serving": _f("33")},
            bare=_f("33"),
            sizes={"large": _f("48.4")},
        ),
        Known(
            "honey",
            ("new food honey: US label, serving 1 tbsp (21 g), carbohydrate 17 g",),
            {
                **_weight(_f("17/21"), ounce=False),
                **_volume(_f("17/15")),
                **_us_kitchen(_f("17/15")),
                "serving": _f("17"),
            },
        ),
        Known(
            "banana",
            ("new food banana: US label, serving 1 banana (118 g), carbohydrate 27 g",),
            {**_weight(_f("27/118")), "serving": _f("27")},
            bare=_f("27"),
        ),
        Known(
            "dark chocolate",
            (
                "new food dark chocolate: UK label, serving 1 piece (10 g), per 100 g: "
                "carbohydrate 46 g",
            ),
            {**_weight(_f("0.46")), "piece": _f("4.6"), "serving": _f("4.6")},
        ),
        Known(
            "flour",
            (
                "new food flour: EU label, per 100 g: carbohydrate 70 g",
                "1 cup of flour weighs 125 g",
            ),
            {**_weight(_f("0.7")), "cup": _f("87.5")},
        ),
        Known(
            "plain yogurt",
            (
                "new food plain yogurt: EU label, serving 1 pot (150 g), per 100 g: "
                "carbohydrate 6 g",
            ),
            {**_weight(_f("0.06")), "pot": _f("9"), "serving": _f("9")},
            own=("pot",),
        ),
        Known(
            "pound cake",
            ("new food pound cake: US label, serving 1 slice (60 g), carbohydrate 30 g",),
            {**_weight(_f("0.5")), "slice": _f("30"), "serving": _f("30")},
        ),
        Known(
            "crème fraîche",
            (
                "new food crème fraîche: EU label, per 100 g: carbohydrate 2.4 g",
                "1 tbsp of crème fraîche weighs 15 g",
            ),
            {**_weight(_f("0.024")), "tablespoon": _f("0.36")},
        ),
        Known(
            "peanut butter and jam sandwich",
            (
                "new food peanut butter and jam sandwich: US label, serving 1 sandwich (120 g), "
                "carbohydrate 42 g",
            ),
            {**_weight(_f("0.35")), "serving": _f("42")},
            bare=_f("42"),
        ),
        Known(
            "three bean salad",
            ("new food three bean salad: EU label, per 100 g: carbohydrate 12 g",),
            _weight(_f("0.12")),
        ),
        Known(
            "jelly",
            ("new food jelly: EU label, per 100 g: carbohydrate 15 g",),
            _weight(_f("0.15")),
        ),
        Known(
            "sugar-free jelly",
            ("new food sugar-free jelly: EU label, per 100 g: carbohydrate 0.5 g",),
            _weight(_f("0.005")),
        ),
        Known(
            "tomato soup",
            (
                "new food tomato soup: US label, serving 1 cup (245 g), 2 servings, "
                "carbohydrate 20 g",
            ),
            {
                **_weight(_f("20/245"), ounce=False),
                **_volume(_f("20/240")),
                **_us_kitchen(_f("20/240")),
                "serving": _f("20"),
                **_packs(_f("40")),
            },
            own=("can",),
        ),
    )


def same_name(text: str) -> str:
    """The name with case, accents, hyphens and a plural s apart, as the trials compare names."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in bare if not unicodedata.combining(c))
    words = [word for word in re.split(r"[\s\-']+", bare) if word]
    return " ".join(re.sub(r"(?<=ch)es$|(?<=sh)es$|(?<=[^s])s$", "", word) for word in words)


POLICY = "count total carbohydrate"

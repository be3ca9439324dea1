"""The words for measures, sizes and small links, each with its canonical name and kind."""

from functools import cache
from typing import Literal

from grammar.nodes import MeasureKind

_SPELLINGS: tuple[tuple[str, MeasureKind, str], ...] = (
    ("gram", "mass", "g gr gm gms gram grams gramme grammes"),
    ("kilogram", "mass", "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes"),
    ("milligram", "mass", "mg milligram milligrams"),
    ("ounce", "oz", "oz ounce ounces"),
    ("ounce", "mass", "ounce-weight"),
    ("pound", "mass", "lb lbs pound pounds"),
    ("millilitre", "volume", "ml mls millilitre millilitres milliliter milliliters cc"),
    ("centilitre", "volume", "cl centilitre centilitres centiliter centiliters"),
    ("decilitre", "volume", "dl decilitre decilitres deciliter deciliters"),
    ("litre", "volume", "l ltr litre litres liter liters"),
    ("cup", "kitchen", "cup cups"),
    (
        "tablespoon",
        "kitchen",
        "tbsp tbsps tbs tbl tblsp tablespoon tablespoons tablespoonful tablespoonfuls",
    ),
    ("teaspoon", "kitchen", "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls"),
    ("pint", "kitchen", "pint pints pt"),
    ("quart", "kitchen", "quart quarts qt qts"),
    ("gallon", "kitchen", "gallon gallons gal"),
    ("serving", "serving", "serving servings"),
    ("portion", "serving", "portion portions"),
    ("pack", "pack", "pack packs packet packets package packages pkt pkts pkg"),
    ("container", "pack", "container containers"),
    ("box", "pack", "box boxes"),
    ("bag", "pack", "bag bags"),
    ("bottle", "pack", "bottle bottles"),
    ("can", "pack", "can cans"),
    ("tin", "pack", "tin tins"),
    ("jar", "pack", "jar jars"),
    ("carton", "pack", "carton cartons"),
    ("tub", "pack", "tub tubs"),
    ("slice", "piece", "slice slices"),
    ("piece", "piece", "piece pieces"),
    ("bar", "piece", "bar bars"),
    ("bowl", "vessel", "bowl bowls bowlful bowlfuls"),
    ("mug", "vessel", "mug mugs mugful mugfuls"),
    ("glass", "vessel", "glass glasses glassful glassfuls"),
    ("plate", "vessel", "plate plates plateful platefuls"),
    ("beaker", "vessel", "beaker beakers"),
    ("jug", "vessel", "jug jugs"),
    ("ladle", "vessel", "ladle ladles ladleful ladlefuls"),
    ("scoop", "vessel", "scoop scoops"),
    ("pot", "vessel", "pot pots"),
    ("sachet", "piece", "sachet sachets"),
    ("wedge", "piece", "wedge wedges"),
    ("rasher", "piece", "rasher rashers"),
    ("square", "piece", "square squares"),
    ("cube", "piece", "cube cubes"),
)
HANDFUL = "handful"
"""Vague by itself; a measure behind a number, or once the user weighed theirs."""
SIZES = ("small", "medium", "large", "big", "little", "mini", "jumbo")
"""Sizes that a measure may have: "1 medium", "2 large slices". Light and dark are no sizes, and
big is not large: a food knows the sizes that it was given."""

_LINKS = {"of": "OF", "the": "THE", "my": "THE", "our": "THE", "a": "A", "an": "A"}

TokenType = Literal["MEASURE", "SIZE", "OF", "THE", "A"]


@cache
def measure_table() -> dict[str, tuple[str, MeasureKind]]:
    """Spelling -> (canonical name, kind)."""
    return {
        spelling: (name, kind)
        for name, kind, spellings in _SPELLINGS
        for spelling in spellings.split()
    }


def find_measure(word: str) -> tuple[str, MeasureKind] | None:
    """The measure that a word stands for. "T" and "t" alone may be either spoon: a letter.

    >>> find_measure("Slices")
    ('slice', 'piece')
    """
    low = word.casefold().rstrip(".")
    if low == "t":
        return "spoon", "letter"
    if low.startswith("fl") and "oz" in low.replace("ounce", "oz"):
        return "fluid ounce", "kitchen"
    return measure_table().get(low)


def word_type(word: str) -> str | None:
    """The token type that a plain word has in the grammar, or None for a word of a name."""
    low = word.casefold()
    if low in _LINKS:
        return _LINKS[low]
    if low in SIZES:
        return "SIZE"
    return "MEASURE" if find_measure(word) else None

"""A meal that is counted through."""

from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import Food, FoodFacts
from assistant.dialogue.replies import Line, Portion
from assistant.dialogue.resolve import Found
from assistant.values import Ranged
from grammar.nodes import Item


class CountedItem(Struct, frozen=True):
    """One food as counted, its lines, and whether its amount is still a range.

    food and item are what was counted: a recipe with its ingredients as they are now, an amount
    that the user once explained. parts: the foods with a label that it comes down to.
    """

    portion: Portion
    lines: tuple[Line, ...]
    factor: Fraction
    food: Food
    item: Item
    parts: tuple[tuple[FoodFacts, Fraction], ...] = ()
    open: bool = False


class Plate(Struct, frozen=True):
    """A meal that is counted through. open holds the foods whose amount is a range yet.

    While open is not empty, counted has ends (low, high) but its value is only their middle: it
    is shown nowhere and gives no dose. parts: each food with its multiple of the label's amount.
    called: every name of them that was said or that the library knows. rough: foods whose amount
    was said roughly ("about 60 g"); inside: those that are counted by other foods (recipes,
    estimates).
    """

    portions: tuple[Portion, ...]
    lines: tuple[Line, ...]
    counted: Ranged
    open: tuple[Found, ...] = ()
    parts: tuple[tuple[FoodFacts, Fraction], ...] = ()
    called: tuple[str, ...] = ()
    rough: frozenset[str] = frozenset()
    inside: frozenset[str] = frozenset()

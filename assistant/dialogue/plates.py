"""A meal that is counted through."""

from dataclasses import dataclass
from fractions import Fraction

from assistant.counting.facts import FoodFacts
from assistant.dialogue.replies import Line, Portion
from assistant.dialogue.resolve import Found
from assistant.values import Ranged


@dataclass(frozen=True, slots=True)
class Plate:
    """A meal that is counted through. open holds the foods whose amount is a range yet.

    While open is not empty, counted has ends (low, high) but its value is only their middle: it
    is shown nowhere and gives no dose. parts: each food with its multiple of the label's amount.
    """

    portions: tuple[Portion, ...]
    lines: tuple[Line, ...]
    counted: Ranged
    open: tuple[Found, ...] = ()
    parts: tuple[tuple[FoodFacts, Fraction], ...] = ()

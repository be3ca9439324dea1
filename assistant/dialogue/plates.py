"""A meal that is counted through."""

from dataclasses import dataclass

from assistant.dialogue.replies import Line, Portion
from assistant.values import Ranged


@dataclass(frozen=True, slots=True)
class Plate:
    """A meal that is counted through."""

    portions: tuple[Portion, ...]
    lines: tuple[Line, ...]
    counted: Ranged

"""What a mistake is: a change of a scene, whose figure is what the changed scene comes to.

No figure is kept in a table. A change that comes to the right figure, or cannot be counted, is no
mistake.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

from assistant.counting.facts import FoodFacts
from assistant.teaching.scene import Helping, Scene
from assistant.values import Arg, Name

Figure = Literal["count", "grams", "millilitres", "dose"]
Change = Callable[[Scene], Scene | None]


class Mistake(Struct, frozen=True):
    """One way to go wrong: its kind, its sentence, and the change that it is.

    at: the place of the food (the first, where everywhere is true), None for the dose. steps:
    codes of the lines of the working at which it leaves the right way; the first there counts.
    """

    id: str
    change: Change
    args: Mapping[str, Arg] = field(default_factory=dict)
    at: int | None = None
    steps: tuple[str, ...] = ()
    everywhere: bool = False

    @property
    def code(self) -> str:
        """The code of its sentence."""
        return f"mistake-{self.id}"

    def figure(self, scene: Scene, of: Figure, at: int | None = None) -> Fraction | None:
        """What comes of the scene with this mistake; None where it cannot be made there."""
        return figure_of(self.change(scene), of, at)


def figure_of(scene: Scene | None, of: Figure, at: int | None = None) -> Fraction | None:
    """The figure of a scene that a question is about; at: the food whose weight is asked."""
    if scene is None:
        return None
    match of:
        case "count":
            return scene.count
        case "dose":
            return scene.dose()
    if at is None or not scene.helpings[at].eaten:
        return None
    counted = scene.counts[at]
    return counted.grams if of == "grams" else counted.millilitres


def in_food(at: int, change: Callable[[Helping], Helping | None]) -> Change:
    """The change of one helping."""

    def changed(scene: Scene) -> Scene | None:
        helping = change(scene.helpings[at])
        return None if helping is None else scene.with_helping(at, helping)

    return changed


def by_label(
    change: Callable[[FoodFacts], FoodFacts | None],
) -> Callable[[Helping], Helping | None]:
    """The same amount by another reading of the label."""

    def changed(helping: Helping) -> Helping | None:
        facts = change(helping.facts)
        return None if facts is None else helping.with_facts(facts)

    return changed


CARBOHYDRATE = (
    "count-less-fibre", "count-less-half-fibre", "count-total", "count-fibre-outside",
    "count-under-threshold",
)  # fmt: skip
"""Lines that tell what a label amount counts."""


def food_of(helping: Helping) -> dict[str, Arg]:
    """The food's name as an argument."""
    return {"food": Name(helping.facts.name)}

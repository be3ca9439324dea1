"""Every mistake that can be made in counting a meal."""

from collections.abc import Callable, Iterator

from assistant.teaching.amount_mistakes import forgotten, labels, portions
from assistant.teaching.label_mistakes import fibre, policies, sugar_alcohols
from assistant.teaching.mistake import Mistake
from assistant.teaching.scene import Scene

COUNT_KINDS: tuple[Callable[[Scene], Iterator[Mistake]], ...] = (
    forgotten,
    portions,
    labels,
    policies,
    fibre,
    sugar_alcohols,
)
"""Every family of mistakes in a count."""


def count_mistakes(scene: Scene) -> Iterator[Mistake]:
    """Every mistake that can be made in counting this meal."""
    for family in COUNT_KINDS:
        yield from family(scene)

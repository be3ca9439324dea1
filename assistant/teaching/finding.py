"""Which mistake an answer comes from: the scene is made again with each, then with two at once."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from msgspec import Struct

from assistant.teaching.answers import Given
from assistant.teaching.dose_mistakes import dose_mistakes, own_count
from assistant.teaching.mistake import Figure, Mistake, figure_of
from assistant.teaching.mistakes import count_mistakes
from assistant.teaching.scene import Scene

MAX_TOLD = 4
"""More ways than this to come to a figure, and it tells nothing of how it was made."""
MAX_SINGLES = 120
"""Two at once are tried for meals with so many single ones at most."""


class Suspected(Struct, frozen=True):
    """Ways to come to the answer: each is one mistake, or two at once. None: none was found.

    many: so many ways that none of them is told.
    """

    ways: tuple[tuple[Mistake, ...], ...] = ()
    many: bool = False


def matches(given: Given, figure: Fraction, scene: Scene, of: Figure) -> bool:
    """Is the answer this figure? Grams as far as they were typed; a dose on the pen's step to the
    point, and one between steps as far as its decimals were typed."""
    step = scene.facts.settings.pen_step if scene.facts is not None else None
    if of != "dose" or step is None:
        return given.same_as(figure)
    between = figure % step != 0 and given.places > 0
    return given.value == figure or (between and given.same_as(figure))


def suspected(  # noqa: PLR0913, PLR0917 - what is known of the answer
    scene: Scene,
    of: Figure,
    given: Given,
    at: int | None = None,
    own: Fraction | None = None,
    counted: bool = False,
) -> Suspected:
    """What the answer may come from. own: the learner's own count, where it was another; counted:
    their count was right.

    A right answer, as far as it was typed, comes from no mistake.
    """
    right = figure_of(scene, of, at)
    if right is None or matches(given, right, scene, of):
        return Suspected()
    for tier in _tiers(scene, of, at, own, counted):
        found = _told(m for m in tier if _fits(m.figure(scene, of, at), given, right, scene, of))
        if found:
            return Suspected(tuple((mistake,) for mistake in found))
    return _pairs(scene, of, given, at, right)


def _fits(figure: Fraction | None, given: Given, right: Fraction, scene: Scene, of: Figure) -> bool:
    return figure is not None and figure != right and matches(given, figure, scene, of)


def _tiers(
    scene: Scene, of: Figure, at: int | None, own: Fraction | None, counted: bool
) -> tuple[list[Mistake], ...]:
    """Single mistakes, the likelier ones first: a dose goes wrong in the dose."""
    counts = list(count_mistakes(scene))
    if of == "dose":
        mine = [own_count(own)] if own is not None else []
        doses = [*dose_mistakes(scene), *mine]
        return (doses,) if counted else (doses, counts)
    if of == "count":
        return (counts,)
    return ([mistake for mistake in counts if mistake.at == at],)


def _told(found: Iterable[Mistake]) -> list[Mistake]:
    """Each kind of a food once."""
    kept: dict[tuple[str, int | None, bool], Mistake] = {}
    for mistake in found:
        kept.setdefault((mistake.id, mistake.at, mistake.everywhere), mistake)
    return list(kept.values())


def _pairs(scene: Scene, of: Figure, given: Given, at: int | None, right: Fraction) -> Suspected:
    """Two mistakes at once. Those that come to the very figure go before those that round to it."""
    singles = _singles(scene, of, at, right)
    if len(singles) > MAX_SINGLES:
        return Suspected()
    exact: list[tuple[Mistake, ...]] = []
    near: list[tuple[Mistake, ...]] = []
    for first, second, figure in _both(singles, scene, of, at, right):
        if figure == given.value:
            exact.append((first, second))
        elif matches(given, figure, scene, of):
            near.append((first, second))
    ways = exact or near
    return Suspected((), many=True) if len(ways) > MAX_TOLD else Suspected(tuple(ways))


def _singles(
    scene: Scene, of: Figure, at: int | None, right: Fraction
) -> list[tuple[Mistake, Fraction]]:
    """Mistakes with their figures. Of a dose also those that change nothing by themselves: a
    rounding may do so only behind another mistake."""
    found = []
    for mistake in _told(_tiers(scene, of, at, None, True)[0]):
        figure = mistake.figure(scene, of, at)
        if figure is not None and (of == "dose" or figure != right):
            found.append((mistake, figure))
    return sorted(found, key=lambda single: not single[0].everywhere)


def _both(
    singles: list[tuple[Mistake, Fraction]],
    scene: Scene,
    of: Figure,
    at: int | None,
    right: Fraction,
) -> Iterator[tuple[Mistake, Mistake, Fraction]]:
    """Every two, and the figure with both, where it is another than with one of them.

    In two foods of a count each adds what it adds alone; else the scene is made anew.
    """
    for place, (first, alone) in enumerate(singles):
        once = first.change(scene)
        for second, other in singles[place + 1 :]:
            apart = first.at != second.at and not (first.everywhere or second.everywhere)
            if of == "count" and apart:
                figure: Fraction | None = alone + other - right
            else:
                figure = None if once is None else second.figure(once, of, at)
            if figure is not None and figure not in {right, alone, other}:
                yield first, second, figure

"""The questions of one turn: what a learner is asked before the reply is told."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import FoodFacts, Ingredient
from assistant.dialogue.meal_lines import age_of
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.recipe_lines import made_lines
from assistant.dialogue.record import Foods
from assistant.dialogue.replies import Line
from assistant.teaching.mistake import Figure
from assistant.teaching.scene import Scene, scene_of
from assistant.teaching.stage import Stage
from assistant.values import Amount, Arg, Moment, Name, Said
from grammar.nodes import Number
from grammar.words import name_key

Kind = Literal["portion", "count", "dose", "rule"]

REFUSING = (
    "glucose-low", "glucose-was-low", "low-was-felt", "glucose-doubted",
    "over-dose-cap", "over-window-cap",
    "over-meal-cap", "below-zero", "unconfirmed-suggestion", "settings-missing", "glucose-old",
    "reading-age-missing", "glucose-ahead", "meal-not-now", "reduction-no-bound",
    "reduction-over-bound", "unsettled-dose", "record-gap", "clock-went-back", "food-doubted",
)  # fmt: skip
"""Rules that can refuse, in the order in which the choices of a question stand."""
CHOICES = 6
"""Rules that are laid before a learner, the wrong ones included."""


class Wanted(Struct, frozen=True):
    """One question. truth: the exact figure; None for a dose that is refused, and for a rule.

    of, at: which figure of the scene. said: the portion's words. rules: those that refuse;
    choices: the rules to choose from.
    """

    kind: Kind
    of: Figure = "count"
    truth: Fraction | None = None
    at: int | None = None
    said: str = ""
    rules: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """A dose that is refused."""
        return self.kind == "dose" and self.truth is None


class Exercise(Struct, frozen=True):
    """A turn and its questions. scene is None where mistakes cannot be worked out.

    labels: by food, what its label says. numbers: the person's settings. earlier: doses that may
    still act, and when they were taken.
    """

    said: str
    moment: Moment
    outcome: Outcome
    scene: Scene | None
    wanted: tuple[Wanted, ...]
    labels: tuple[tuple[str, tuple[Line, ...]], ...] = ()
    numbers: tuple[Line, ...] = ()
    earlier: tuple[Line, ...] = ()


def exercise_of(
    stage: Stage, said: str, at: datetime, position: int = 0, moment: Moment | None = None
) -> Exercise | None:
    """The questions of a turn that was not said yet; None where there is nothing to ask.

    position chooses the wrong rules that stand beside the right ones. moment: at as it is told.
    """
    with stage.looking() as (record, foods):
        outcome = stage.ask(said, at)
        scene = scene_of(record, foods, outcome, said, at)
        wanted = tuple(_wanted(outcome, scene, position))
        if not wanted:
            return None
        names = dict.fromkeys(portion.food for portion in outcome.reply.portions)
        recipes = tuple(_recipes(names, foods))
    inside = dict.fromkeys(each.facts.name for facts in recipes for each in _inside(facts))
    cooked = {facts.name for facts in recipes}
    labels = (
        *((facts.name, tuple(_recipe_lines(facts))) for facts in recipes),
        *((name, _told(stage, f"show {name}", at)) for name in (*names, *inside)
          if name not in cooked),
    )  # fmt: skip
    has_dose = any(w.kind == "dose" for w in wanted)
    numbers = _told(stage, "my numbers", at) if has_dose else ()
    earlier = tuple(_earlier(scene, at)) if has_dose else ()
    return Exercise(
        said, moment or Moment(at, at), outcome, scene, wanted, labels, numbers, earlier
    )


def _recipes(names: Iterable[str], foods: Foods) -> Iterator[FoodFacts]:
    """The recipes among these foods, and those inside them."""
    for name in names:
        for food in foods.exact(name_key(name))[:1]:
            if food.facts.recipe is not None:
                yield food.facts
                yield from _recipes((i.facts.name for i in _inside(food.facts)), foods)


def _inside(facts: FoodFacts) -> tuple[Ingredient, ...]:
    return facts.recipe.ingredients if facts.recipe is not None else ()


def _recipe_lines(facts: FoodFacts) -> Iterator[Line]:
    """What goes in and what comes out: its count would be the answer."""
    yield Line("fact", "learn-recipe", {"food": Name(facts.name)})
    for each in _inside(facts):
        yield Line("fact", "learn-ingredient", {"said": Said(each.said)})
    if facts.recipe is not None:
        yield from made_lines(facts.recipe)


def _told(stage: Stage, sentence: str, at: datetime) -> tuple[Line, ...]:
    """What the assistant tells when it is asked for a label or for the numbers, as facts."""
    lines = stage.ask(sentence, at).reply.lines
    kept = [line for line in lines if line.role in {"answer", "fact"}]
    return tuple(Line("fact", line.code, line.args) for line in kept)


def _earlier(scene: Scene | None, at: datetime) -> Iterator[Line]:
    working = scene.working() if scene is not None else None
    for left in working.lefts if working else ():
        args: dict[str, Arg] = {
            "units": Amount(left.taken.units, "unit"),
            "moment": Moment(left.taken.at, at),
            "age": age_of(left.age),
        }
        yield Line("fact", "learn-earlier-dose", args)


def _wanted(outcome: Outcome, scene: Scene | None, position: int) -> Iterator[Wanted]:
    reply = outcome.reply
    if reply.counted is not None:
        if scene is not None:
            yield from _portions(outcome, scene)
        yield Wanted("count", "count", reply.counted.value)
    refusing = tuple(hit.rule for hit in reply.rules if hit.line.role == "refusal")
    if reply.dose is not None:
        yield Wanted("dose", "dose", reply.dose.suggested)
    elif reply.status == "refused" and refusing:
        yield Wanted("dose", "dose", None, rules=refusing)
        if set(refusing) <= set(REFUSING):
            yield Wanted("rule", rules=refusing, choices=_choices(refusing, position))


def _portions(outcome: Outcome, scene: Scene) -> Iterator[Wanted]:
    """Portions that go through grams or millilitres on the way to the label."""
    for at, portion in enumerate(outcome.reply.portions):
        if not isinstance(scene.helpings[at].found.item.quantity, Number):
            continue
        into = _converted(outcome.reply.lines, at)
        if into == "g" and portion.grams is not None:
            yield Wanted("portion", "grams", portion.grams, at, portion.said)
        elif into == "ml" and portion.millilitres is not None:
            yield Wanted("portion", "millilitres", portion.millilitres, at, portion.said)


def _converted(lines: tuple[Line, ...], at: int) -> str | None:
    """g or ml, where a step of the working of one portion ends in it."""
    for line in working_of(lines, at):
        into = line.args.get("into")
        if line.code == "step" and isinstance(into, Amount) and into.unit in {"g", "ml"}:
            return into.unit
    return None


_OF_A_PORTION = ("step", "count-", "about-")


def place_of(lines: tuple[Line, ...], at: int) -> tuple[int, int]:
    """Where the lines of one portion begin and end."""
    starts = [n for n, line in enumerate(lines) if line.role == "portion"]
    if at >= len(starts):
        return 0, 0
    first = starts[at]
    last = first + 1
    while last < len(lines) and lines[last].code.startswith(_OF_A_PORTION):
        last += 1
    return first, last


def working_of(lines: tuple[Line, ...], at: int) -> tuple[Line, ...]:
    """The lines of one portion."""
    first, last = place_of(lines, at)
    return lines[first:last]


def _choices(rules: tuple[str, ...], position: int) -> tuple[str, ...]:
    """The right rules among wrong ones; the order tells nothing."""
    turn = 5 * position % len(REFUSING)
    others = [r for r in (*REFUSING[turn:], *REFUSING[:turn]) if r not in rules]
    chosen = {*rules, *others[: max(2, CHOICES - len(rules))]}
    return tuple(rule for rule in REFUSING if rule in chosen)

"""Problems for practice, made from a seed. The answers come from the core, which is asked.

Levels: 1 servings and whole counts; 2 weights, volumes, packs, two foods; 3 what is taken off:
fibre inside or outside, sugar alcohol, and recipes, where it is taken off by ingredient; 4 doses
with a correction and active insulin; 5 refusals.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

from msgspec import Struct

from assistant.teaching.draws import Draws
from assistant.teaching.exercise import Exercise, exercise_of
from assistant.teaching.sample_foods import DEMO_FOODS, PRACTICE_FOODS, WAYS
from assistant.teaching.session_file import Header
from assistant.teaching.stage import Stage, staged

LEVELS = 5
FIRST_DAY = datetime(2026, 3, 2, tzinfo=UTC)
APART = timedelta(days=4)
"""Between problems: nothing of one acts on the next (doses count for two days at most)."""


class Earlier(Struct, frozen=True):
    """A sentence that was said so many minutes before."""

    minutes: int
    say: str


class Problem(Struct, frozen=True):
    """A problem: what was said before it, its sentence, and the time of day in minutes.

    after: what settles that which was said before, so that the next problem begins afresh.
    """

    say: str
    minute: int
    earlier: tuple[Earlier, ...] = ()
    after: tuple[str, ...] = ()


def numbers(level: int, seed: int) -> tuple[str, ...]:
    """The settings of a run: how to count, and from level 4 on all that a dose needs."""
    draws = Draws("numbers", level, seed)
    policies: tuple[str, ...] = ("count total carbohydrate",)
    if level >= 3:
        policies = ("count net carbohydrate", "count net carbohydrate",
                    "count fibre over 5 g halved")  # fmt: skip
    if level >= 4:
        policies = ("count total carbohydrate", "count net carbohydrate")
    counting = draws.one(policies)
    if level < 4:
        return (counting,)
    morning, rest = draws.one(((8, 10), (10, 12), (9, 12), (12, 15)))
    factor, target = draws.one(
        (("45 mg/dL", "110 mg/dL"), ("50 mg/dL", "120 mg/dL"), ("2.5 mmol/L", "6 mmol/L"),
         ("3 mmol/L", "5.5 mmol/L"))
    )  # fmt: skip
    return (
        counting,
        f"my ratio is 1 unit per {morning} g from 06:00 and 1 per {rest} g from 11:00",
        f"correction factor {factor} per unit",
        f"target {target}",
        "my insulin lasts 4 hours",
        "active insulin falls in a straight line",
        draws.one(("active insulin comes off the correction only",
                   "active insulin comes off the whole dose")),
        draws.one(("my pen goes in half units, round down",
                   "my pen goes in whole units, round down",
                   "my pen goes in half units, round to the nearest")),
        "never more than 8 units at once",
        "never more than 15 units in 4 hours",
        "a reading counts for 15 minutes",
    )  # fmt: skip


def problem(level: int, seed: int, number: int) -> Problem:
    """One problem of a level. The same arguments always give the same problem."""
    draws = Draws("problem", level, seed, number)
    minute = draws.one((7 * 60 + 30, 12 * 60 + 30, 18 * 60))
    if level <= 3:
        makers = (_servings, _measures, _taken_off)
        return Problem(makers[level - 1](draws), minute)
    unit = "mmol/L" if "mmol/L" in " ".join(numbers(level, seed)) else "mg/dL"
    if level == 4:
        return _dose(draws, minute, unit)
    return draws.one(_REFUSALS)(draws, minute, unit)


_HALVES = ("1", "1.5", "2", "2.5", "3")


def _said(draws: Draws, food: str, kinds: tuple[str, ...]) -> str:
    """A portion of a food, said in one of these kinds as far as the food knows them."""
    ways = WAYS[food]
    known = [kind for kind in kinds if getattr(ways, kind)]
    kind = draws.one(known)
    if kind == "packs":
        return draws.one(ways.packs)
    figures: Mapping[str, tuple[str, ...]] = {
        "servings": _HALVES,
        "pieces": ("2", "3", "4", "6"),
        "weight": ("30", "60", "90", "120"),
        "volume": ("100", "150", "200", "250", "300"),
    }
    said = str(getattr(ways, kind)).format(draws.one(figures[kind]))
    return said.replace("1 servings", "1 serving", 1) if said.startswith("1 s") else said


def _foods_with(*kinds: str) -> tuple[str, ...]:
    return tuple(food for food, ways in WAYS.items() if any(getattr(ways, k) for k in kinds))


def _servings(draws: Draws) -> str:
    kinds = ("servings", "pieces")
    return _said(draws, draws.one(_foods_with(*kinds)), kinds)


def _measures(draws: Draws) -> str:
    kinds = ("weight", "volume", "packs")
    first, second = draws.several(_foods_with(*kinds), 2)
    said = _said(draws, first, kinds)
    return f"{said} and {_said(draws, second, (*kinds, 'pieces'))}" if draws.below(3) else said


_TELLING = ("oat cereal", "rye bread", "bean soup", "seed bar", "mint bar", "cocoa wafer",
            "lentil salad", "berry drops", "pea flakes")  # fmt: skip
"""Foods on which ways to count differ, or seem to."""


RECIPES: Mapping[str, str] = MappingProxyType({
    "rice pot": "recipe rice pot makes 6 bowls: 600 g cooked rice, 500 ml milk",
    "oat bake": "recipe oat bake makes 8 pieces: 4 servings of oat cereal, 300 ml milk",
    "soup day": "recipe soup day makes 4 bowls: 800 ml bean soup, 4 slices of rye bread",
})  # fmt: skip
"""Invented recipes of the practice library; each is saved before the problems."""
_PORTIONS = {
    "rice pot": ("1 bowl", "2 bowls", "1.5 bowls"),
    "oat bake": ("1 piece", "2 pieces", "3 pieces"),
    "soup day": ("1 bowl", "2 bowls"),
}


def _of_recipe(draws: Draws) -> str:
    name = draws.one(tuple(RECIPES))
    return f"{draws.one(_PORTIONS[name])} of {name}"


def _taken_off(draws: Draws) -> str:
    if not draws.below(4):
        return _of_recipe(draws)
    kinds = ("servings", "pieces", "weight", "volume", "packs")
    first, second = draws.several(_TELLING, 2)
    said = _said(draws, first, kinds)
    return f"{said} and {_said(draws, second, kinds)}" if draws.below(2) else said


_MEALS = ("oat cereal", "rye bread", "apple", "cooked rice", "seed bar")


def _meal(draws: Draws) -> str:
    """A meal that is far from every cap: two foods, 15 to 60 g or so."""
    food, drink = draws.one(_MEALS), draws.one(("milk", "orange juice"))
    said = WAYS[food].servings.format(draws.one(("1", "1.5"))).replace("1 servings", "1 serving")
    return f"{said} and {_said(draws, drink, ('volume',))}" if draws.below(2) else said


_GLUCOSE: Mapping[str, Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "mg/dL": {"usual": ("130", "150", "162", "180", "205"), "under": ("85", "95"),
              "low": ("55", "64")},
    "mmol/L": {"usual": ("7.2", "8.5", "9.3", "10", "11.4"), "under": ("4.4", "5"),
               "low": ("3.1", "3.6")},
})  # fmt: skip


def _glucose(draws: Draws, unit: str, level: str) -> str:
    """A reading; now and then in the other unit than the factor's, named with it."""
    if not draws.below(4):
        unit = "mg/dL" if unit == "mmol/L" else "mmol/L"
    return f"glucose {draws.one(_GLUCOSE[unit][level])} {unit}"


def _dose(draws: Draws, minute: int, unit: str) -> Problem:
    level = draws.one(("usual", "usual", "usual", "under"))
    earlier: tuple[Earlier, ...] = ()
    if draws.below(3):
        earlier = (Earlier(draws.one((60, 90, 120, 180)), f"took {draws.one((1, 2, 3))} units"),)
    return Problem(f"{_meal(draws)}, {_glucose(draws, unit, level)}", minute, earlier)


def _low(draws: Draws, minute: int, unit: str) -> Problem:
    return Problem(f"{_meal(draws)}, {_glucose(draws, unit, 'low')}", minute)


def _felt_low(draws: Draws, minute: int, _unit: str) -> Problem:
    return Problem(f"{_meal(draws)}, no reading", minute, (Earlier(20, "I feel low"),))


def _over_cap(draws: Draws, minute: int, unit: str) -> Problem:
    food = draws.one(("cooked rice", "ginger biscuits"))
    amount = {"cooked rice": "600 g", "ginger biscuits": "250 g"}[food]
    return Problem(f"{amount} {food}, {_glucose(draws, unit, 'usual')}", minute)


def _over_window(draws: Draws, minute: int, unit: str) -> Problem:
    earlier = (Earlier(200, "took 7 units"), Earlier(100, "took 7 units"))
    return Problem(f"{_meal(draws)}, {_glucose(draws, unit, 'usual')}", minute, earlier)


def _open_suggestion(draws: Draws, minute: int, unit: str) -> Problem:
    before = Earlier(45, f"1 serving of rye bread, {_glucose(draws, unit, 'usual')}")
    say = f"{_meal(draws)}, {_glucose(draws, unit, 'usual')}"
    return Problem(say, minute, (before,), ("not taken",))


def _old_reading(draws: Draws, minute: int, unit: str) -> Problem:
    return Problem(f"{_meal(draws)}, {_glucose(draws, unit, 'usual')} 2 hours ago", minute)


def _below_zero(_draws: Draws, minute: int, unit: str) -> Problem:
    under = {"mg/dL": "glucose 72 mg/dL", "mmol/L": "glucose 4 mmol/L"}[unit]
    return Problem(f"50 ml milk, {under}", minute)


_REFUSALS: tuple[Callable[[Draws, int, str], Problem], ...] = (
    _low,
    _felt_low,
    _over_cap,
    _over_window,
    _open_suggestion,
    _old_reading,
    _below_zero,
    _dose,
    _dose,
    _dose,
)
"""Level 5. Some are no refusal, so that "refused" is no sure answer."""


class UnfitError(Exception):
    """A sentence of the practice library was not answered: a fault of the program."""


@contextmanager
def practising(level: int, seed: int) -> Iterator[Stage]:
    """A stage with the library and the numbers of a run."""
    header = Header(title="", clock="+00:00")
    with staged(header) as stage:
        recipes = tuple(RECIPES.values()) if level == 3 else ()
        for sentence in (*DEMO_FOODS, *PRACTICE_FOODS, *numbers(level, seed), *recipes):
            _must(stage, sentence, FIRST_DAY)
        yield stage


def _must(stage: Stage, sentence: str, at: datetime) -> None:
    _, outcome, _ = stage.say(sentence, at)
    if outcome.reply.status != "answered":
        raise UnfitError(sentence)


def time_of(given: Problem, number: int) -> datetime:
    """When the problem with this number stands; numbers go up from 1."""
    return FIRST_DAY + number * APART + timedelta(minutes=given.minute)


def time_before(given: Problem, before: Earlier, number: int) -> datetime:
    """When a sentence before the problem was said."""
    return time_of(given, number) - timedelta(minutes=before.minutes)


def set_out(stage: Stage, given: Problem, number: int) -> Exercise:
    """Says what was before the problem, and gives its questions. Raises UnfitError for none."""
    for before in given.earlier:
        _must(stage, before.say, time_before(given, before, number))
    exercise = exercise_of(stage, given.say, time_of(given, number), number)
    if exercise is None:
        raise UnfitError(given.say)
    return exercise


def settle(stage: Stage, given: Problem, number: int) -> None:
    """Says what ends the problem."""
    for sentence in given.after:
        _must(stage, sentence, time_of(given, number))

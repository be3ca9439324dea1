"""What a dose is worked out from, gathered from the record, the plate and the sentence."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Literal

from msgspec.structs import replace

from assistant.counting.checks import doubts_carbohydrate
from assistant.dialogue.clocks import clocks, on_clock
from assistant.dialogue.events import DoseTaken, MealCounted, SettingSaid, SuggestionClosed
from assistant.dialogue.plates import Plate
from assistant.dialogue.replies import Portion
from assistant.dialogue.said_around import Around
from assistant.dialogue.state import Context
from assistant.dosing.limits import raises
from assistant.dosing.working import Facts, Raised
from grammar.nodes import Complaint
from grammar.phrases import read_phrase
from grammar.words import name_key

TOLD = 3
"""For so many suggested doses a limit that was raised is told; a refusal tells it and counts for
none of them."""
AGAIN = timedelta(minutes=15)
"""The same meal within this time is asked about (common practice, no source)."""


def facts_of(ctx: Context, plate: Plate, around: Around) -> Facts:
    """The facts of this meal."""
    found = clocks(ctx.record, ctx.settings, ctx.now)
    here = found.goes_by in {found.here, None}
    last, widest = ctx.reading_of_the_day(), _widest(plate.portions)
    facts = Facts(
        plate.counted,
        around.reading,
        ctx.settings,
        ctx.doses,
        ctx.now,
        earlier=last.glucose if last else None,
        earlier_at=last.taken_at if last else None,
        felt_low_at=ctx.low_felt_at(),
        doubted_at=ctx.glucose_doubted_at(),
        unsettled_dose=ctx.unsettled_dose() or ctx.unsettled_elsewhere(),
        record_gap=ctx.record_gap(),
        same_meal_at=_same_meal(ctx, plate.portions),
        confirmed=_confirmed(ctx.text),
        newest=ctx.newest(),
        schedule_at=None if here else on_clock(ctx.now, found.goes_by or 0),
        clocks=found.known if found.goes_by is None else (),
        widest=widest,
        widest_by=_range_by(plate, widest),
        raised=raised_lately(ctx),
        reduction=around.reduction,
        activity=around.activity,
        illness=around.illness,
        glucose_at=around.glucose_at,
        glucose_waited=around.glucose_waited,
        meal_at=around.meal_at,
    )
    return _with_foods(facts, plate)


_ALCOHOL = frozenset(
    {
        *(
            "beer",
            "lager",
            "ale",
            "stout",
            "cider",
            "wine",
            "prosecco",
            "champagne",
            "sherry",
            "port",
        ),
        *("vodka", "gin", "rum", "whisky", "whiskey", "brandy", "tequila", "liqueur", "cocktail"),
        *("spirit", "sake", "mead", "alcohol"),
    }
)
"""Words in one of a food's names that bring the caution on alcohol; it changes no figure."""


def _with_foods(facts: Facts, plate: Plate) -> Facts:
    """Fat and protein of the plate, alcohol, and the foods whose label failed a check."""
    totals: dict[str, Fraction | None] = {"fat": None, "protein": None}
    unchecked: dict[str, None] = {}
    doubted: dict[str, None] = {}
    words = {word for name in plate.called for word in name_key(name).split()}
    estimated = False
    for food, factor in plate.parts:
        for name, total in totals.items():
            figure = food.nutrients.get(name)
            if figure is not None and figure.unit == "g":
                totals[name] = (total or Fraction(0)) + figure.value * factor
        estimated = estimated or bool(food.like)
        if food.failed_checks:
            unchecked[food.name] = None
        if doubts_carbohydrate(food):
            doubted[food.name] = None
    return replace(
        facts,
        fat=totals["fat"],
        protein=totals["protein"],
        # "alcohol-free beer" and "ginger ale" warn as well: a caution too many does no harm
        alcohol=bool(words & _ALCOHOL),
        estimated=estimated,
        unchecked=tuple(unchecked),
        doubted=tuple(doubted),
    )


def _confirmed(text: str) -> bool:
    phrase = read_phrase(text)
    return not isinstance(phrase, Complaint) and phrase.confirmed


def _same_meal(ctx: Context, portions: Sequence[Portion]) -> datetime | None:
    """When the same foods in the same amounts were counted just before. A meal whose suggestion
    was cancelled or not taken was typed again on purpose, unless a dose was told since: whatever
    its time, it may have been for that meal."""
    kinds = ("meal-counted", "suggestion-closed", "dose-taken")
    told = list(enumerate(ctx.record.events(kinds, since=ctx.now - AGAIN)))
    last_dose = max((n for n, kept in told if isinstance(kept.event, DoseTaken)), default=-1)
    standing: list[int] = []
    same: list[datetime] = []
    key = _by_food(portions)
    for place, kept in told:
        if isinstance(kept.event, MealCounted):
            standing.append(place)
        elif isinstance(kept.event, SuggestionClosed) and kept.event.how != "taken" and standing:
            meal = standing.pop()
            if meal < last_dose:
                standing.insert(0, meal)
    for place in standing:
        event = told[place][1].event
        if isinstance(event, MealCounted) and _by_food(event.portions) == key:
            same.append(told[place][1].said_at)
    return max(same, default=None)


def _by_food(portions: Sequence[Portion]) -> Mapping[str, Fraction]:
    """What each food counts in all: two entries of one food are one."""
    total: dict[str, Fraction] = {}
    for portion in portions:
        total[portion.food] = total.get(portion.food, Fraction(0)) + portion.counted.value
    return total


def _range_by(plate: Plate, food: str | None) -> Literal["amount", "label", "inside"]:
    """Where the range of that food comes from: its rough amount, the foods in it, its label."""
    if food in plate.inside:
        return "inside"
    return "amount" if food in plate.rough else "label"


def _widest(portions: Sequence[Portion]) -> str | None:
    """The food that makes most of the range of the count: more than half of it."""
    width = sum((p.counted.width for p in portions), Fraction(0))
    by_food: dict[str, Fraction] = {}
    for portion in portions:
        by_food[portion.food] = by_food.get(portion.food, Fraction(0)) + portion.counted.width
    food = max(by_food, key=lambda name: by_food[name], default=None)
    return food if food is not None and by_food[food] * 2 > width else None


def raised_lately(ctx: Context) -> tuple[Raised, ...]:
    """Limits raised since the third dose ago. Turn 0 is the turn that is being said."""
    doses = ctx.record.events(("dose-suggested",), last=TOLD)
    turns: list[int] = []
    said = []
    for kept in ctx.record.settings(since=doses[0].turn if len(doses) == TOLD else 0):
        if isinstance(kept.event, SettingSaid):
            turns.append(kept.turn)
            said.append((kept.event.name, kept.event.value, kept.said_at))
    steps = raises(said)
    found = []
    for at, step in steps:
        turn = turns[at]
        if turn == 0 or sum(1 for d in doses if d.turn > turn) < TOLD:
            found.append(step)
    return tuple(found)

"""What a dose is worked out from, gathered from the record, the plate and the sentence."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from assistant.counting.checks import doubts_carbohydrate
from assistant.dialogue.clocks import clocks, on_clock
from assistant.dialogue.events import MealCounted, SettingSaid, SuggestionClosed
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
"""For so many doses, suggested or refused, a limit that was raised is told."""
AGAIN = timedelta(minutes=15)
"""The same meal within this time is asked about (common practice, no source)."""


def facts_of(ctx: Context, plate: Plate, around: Around) -> Facts:
    """The facts of this meal."""
    found = clocks(ctx.record, ctx.settings, ctx.now)
    here = found.goes_by in {found.here, None}
    facts = Facts(
        plate.counted,
        around.reading,
        ctx.settings,
        ctx.doses,
        ctx.now,
        earlier=ctx.reading_of_the_day(),
        felt_low=ctx.low_felt(),
        unsettled_dose=ctx.unsettled_dose() or ctx.unsettled_elsewhere(),
        record_gap=ctx.record_gap(),
        same_meal_at=_same_meal(ctx, plate.portions),
        confirmed=_confirmed(ctx.text),
        newest=ctx.newest(),
        schedule_at=None if here else on_clock(ctx.now, found.goes_by or 0),
        clocks=found.known if found.goes_by is None else (),
        widest=_widest(plate.portions),
        raised=raised_lately(ctx),
        reduction=around.reduction,
        activity=around.activity,
        illness=around.illness,
        glucose_at=around.glucose_at,
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
"""Words in a food's name that bring the caution on alcohol; it changes no figure."""


def _with_foods(facts: Facts, plate: Plate) -> Facts:
    """Fat and protein of the plate, alcohol, and the foods whose label failed a check."""
    totals: dict[str, Fraction | None] = {"fat": None, "protein": None}
    unchecked: dict[str, None] = {}
    doubted: dict[str, None] = {}
    alcohol = estimated = False
    for food, factor in plate.parts:
        for name, total in totals.items():
            figure = food.nutrients.get(name)
            if figure is not None and figure.unit == "g":
                totals[name] = (total or Fraction(0)) + figure.value * factor
        words = set(name_key(food.name).split())
        # "alcohol-free beer" and "ginger ale" warn as well: a caution too many does no harm
        alcohol = alcohol or bool(words & _ALCOHOL)
        estimated = estimated or bool(food.like)
        if food.failed_checks:
            unchecked[food.name] = None
        if doubts_carbohydrate(food):
            doubted[food.name] = None
    return replace(
        facts,
        fat=totals["fat"],
        protein=totals["protein"],
        alcohol=alcohol,
        estimated=estimated,
        unchecked=tuple(unchecked),
        doubted=tuple(doubted),
    )


def _confirmed(text: str) -> bool:
    phrase = read_phrase(text)
    return not isinstance(phrase, Complaint) and phrase.confirmed


def _same_meal(ctx: Context, portions: Sequence[Portion]) -> datetime | None:
    """When the same foods in the same amounts were counted just before; a meal whose suggestion
    was cancelled or not taken was typed again on purpose."""
    meals: list[tuple[datetime, tuple[Portion, ...]]] = []
    kinds = ("meal-counted", "suggestion-closed")
    for kept in ctx.record.events(kinds, since=ctx.now - AGAIN):
        if isinstance(kept.event, MealCounted):
            meals.append((kept.said_at, kept.event.portions))
        elif isinstance(kept.event, SuggestionClosed) and kept.event.how != "taken" and meals:
            meals.pop()
    key = sorted((p.food, p.counted.value) for p in portions)
    same = [at for at, eaten in meals if sorted((p.food, p.counted.value) for p in eaten) == key]
    return same[-1] if same else None


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
    turns: list[int] = []
    said = []
    for kept in ctx.record.events(("setting-said",)):
        if isinstance(kept.event, SettingSaid):
            turns.append(kept.turn)
            said.append((kept.event.name, kept.event.value, kept.said_at))
    steps = raises(said)
    if not steps:
        return ()
    doses = ctx.record.events(("dose-suggested", "dose-refused"), last=TOLD)
    found = []
    for at, step in steps:
        turn = turns[at]
        if turn == 0 or sum(1 for d in doses if d.turn > turn) < TOLD:
            found.append(step)
    return tuple(found)

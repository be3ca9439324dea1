"""Phrases with known truth, tried on the assistant: how many are answered right, asked, wrong.

The phrases and their truth come from tables of their own (phrase_maker, phrase_slips), apart from
the grammar. The tests and the benchmark both use them.
"""

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import Food
from assistant.dialogue.clocks import offset_of
from assistant.dialogue.events import Event, FoodSaved, GlucoseRead, MealCounted
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.pending import PendingFoods
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Reply
from assistant.dialogue.turn import turn
from assistant.shell.phrase_foods import POLICY, known_foods
from assistant.shell.phrase_maker import made as plain_phrase
from assistant.shell.phrase_slips import SLIPS
from assistant.shell.phrase_truths import Truth, truth_of
from assistant.shell.sample_numbers import NUMBERS
from grammar.words import name_key

Verdict = Literal["right", "asked", "wrong"]
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
MEAL_EVENTS = frozenset(
    {"meal-counted", "glucose-read", "dose-suggested", "dose-refused", "question-asked"}
)
"""What a phrase about a meal may leave in the journal."""


class Trial(Struct, frozen=True):
    """A phrase and what it counts. truth is None where the only good reply is a question.

    plain: no slip was put into it. kind: plain, or the slip. numbers: said by somebody whose
    numbers for a dose are set.
    """

    text: str
    truth: Truth | None
    plain: bool
    kind: str
    numbers: bool = False


class Example(Struct, frozen=True):
    """A phrase that was not answered as it should have been, and what was counted."""

    kind: str
    text: str
    expected: Truth | None
    counted: tuple[tuple[str, Fraction], ...]
    said: str


class Figures(Struct, frozen=True):
    """What came of the trials, with examples of what was wrong and of plain phrases asked."""

    tried: int
    right: int
    asked: int
    wrong: int
    plain_tried: int
    plain_right: int
    wrong_examples: tuple[Example, ...] = ()
    asked_examples: tuple[Example, ...] = ()

    def lines(self) -> tuple[str, ...]:
        """The figures as the benchmark prints them."""
        share = 100 * self.plain_right / self.plain_tried if self.plain_tried else 0.0
        return (
            f"phrases tried: {self.tried}; answered right {self.right}, asked {self.asked}, "
            f"answered wrong {self.wrong}",
            f"plain phrases answered right: {self.plain_right} of {self.plain_tried} "
            f"({share:.2f}%)",
        )


class _Shelf:
    """A library in memory, with near names by likeness as the store's library has them."""

    def __init__(self, foods: Sequence[Food]) -> None:
        self._by_id = {food.food_id: food for food in foods}
        self._by_key = {name_key(food.facts.name): food for food in foods}
        self._near: dict[str, tuple[str, ...]] = {}

    def exact(self, key: str) -> tuple[Food, ...]:
        """The food of this key."""
        return (self._by_key[key],) if key in self._by_key else ()

    def near(self, text: str, limit: int = 5) -> tuple[str, ...]:
        """Names like the text."""
        from rapidfuzz import fuzz, process

        found = process.extract(name_key(text), list(self._by_key), scorer=fuzz.WRatio,
                                score_cutoff=60, limit=limit)  # fmt: skip
        return tuple(self._by_key[key].facts.name for key, _, _ in found)

    def holding(self, text: str, limit: int = 200) -> tuple[str, ...]:
        """Names that have every word of the text."""
        words = set(name_key(text).split())
        found = (key for key in self._by_key if words <= set(key.split()))
        return tuple(self._by_key[key].facts.name for key in found)[:limit]

    def names(self, limit: int = 1000) -> tuple[str, ...]:
        """All names."""
        return tuple(sorted(food.facts.name for food in self._by_id.values()))[:limit]

    def by_id(self, food_id: str) -> Food | None:
        """The food."""
        return self._by_id.get(food_id)


class _Said:
    """A record in memory that never changes."""

    def __init__(self, kept: Sequence[Kept]) -> None:
        self._kept = tuple(kept)

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """As Record.events."""
        found = tuple(
            k for k in self._kept if k.event.kind in kinds and (since is None or k.said_at >= since)
        )
        return found[-last:] if last else found

    def newest(self, after: int = 0) -> datetime | None:
        """As Record.newest."""
        return max((k.said_at for k in self._kept if k.turn > after), default=None)

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """As Record.offsets."""
        return tuple(
            dict.fromkeys(
                offset_of(k.said_at) for k in self._kept if k.said_at >= around - timedelta(days=1)
            )
        )

    def place(self) -> str:
        """As Record.place."""
        return "memory"

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:  # noqa: ARG002 - few
        """As Record.settings."""
        return self.events(("setting-said",))


class World(Struct, frozen=True):
    """The library, a record that only counts, and one with the numbers for a dose."""

    foods: _Shelf
    counting: _Said
    dosing: _Said

    def say(self, text: str, numbers: bool = False) -> Outcome:
        """One turn; nothing of it is kept."""
        return turn(self.dosing if numbers else self.counting, self.foods, text, NOON)


def world() -> World:
    """The library and the records, made by the sentences that a user would type."""
    events: list[Event] = []
    for text in (s for food in known_foods() for s in food.sentences):
        foods = PendingFoods(_Shelf(()), events)
        events.extend(_heard(turn(_Said(()), foods, text, NOON), text))
    library = PendingFoods(_Shelf(()), events)
    ids = (e.food_id for e in events if isinstance(e, FoodSaved))
    shelf = _Shelf([food for i in dict.fromkeys(ids) if (food := library.by_id(i)) is not None])
    kept: list[Kept] = []
    counting = _Said(())
    for number, text in enumerate((POLICY, *NUMBERS), start=1):
        outcome = turn(_Said(kept), shelf, text, NOON)
        kept += [Kept(event, number, NOON, text) for event in _heard(outcome, text)]
        counting = _Said(kept) if number == 1 else counting
    return World(shelf, counting, _Said(kept))


def _heard(outcome: Outcome, text: str) -> tuple[Event, ...]:
    if outcome.reply.status != "answered":
        raise ValueError(f"the trials cannot be prepared: {text!r} was not answered")
    return outcome.events


def made(seed: int, count: int) -> Iterator[Trial]:
    """So many phrases of this seed: half of them plain, half with a slip."""
    rng = random.Random(seed)  # noqa: S311 - trials, no secrets
    foods = known_foods()
    kinds = tuple(SLIPS)
    left = count
    while left:
        phrase = plain_phrase(rng, foods)
        numbers = phrase.glucose is not None
        if rng.random() < 0.5:
            left -= 1
            yield Trial(phrase.text, truth_of(phrase), True, "plain", numbers)
            continue
        kind = rng.choice(kinds)
        slip = SLIPS[kind](rng, phrase, foods)
        if slip is not None:
            left -= 1
            yield Trial(slip.text, slip.truth, False, kind, numbers)


def judge(outcome: Outcome, trial: Trial) -> Verdict:
    """right: exactly the true portions, and the glucose that was said. asked: no count is given.

    A reply that answers anything else is wrong: another count, another food, a widened range left
    out, or a sentence that was taken for no meal at all.
    """
    reply = outcome.reply
    if reply.status == "asked" or (reply.status == "refused" and reply.counted is None):
        return "asked"
    if reply.status == "failed" or reply.counted is None or trial.truth is None:
        return "wrong"
    return "right" if _tells(outcome, reply, trial.truth) else "wrong"


def _tells(outcome: Outcome, reply: Reply, truth: Truth) -> bool:
    portions = [(p.food, p.counted.value) for p in reply.portions]
    if sorted(portions) != sorted(truth.portions) or reply.counted is None:
        return False
    if reply.counted.value != sum((grams for _, grams in truth.portions), Fraction(0)):
        return False
    if not {event.kind for event in outcome.events} <= MEAL_EVENTS:
        return False
    read = [(e.glucose.value, e.glucose.unit) for e in outcome.events if isinstance(e, GlucoseRead)]
    if read != ([truth.glucose] if truth.glucose else []):
        return False
    for meal in (e for e in outcome.events if isinstance(e, MealCounted)):
        if meal.counted.value != reply.counted.value:
            return False
    return all(_widened(reply, *truth.portions[at]) for at in truth.about)


def _widened(reply: Reply, food: str, grams: Fraction) -> bool:
    """ "About" widens the range by 20 per cent either way."""
    found = next(p.counted for p in reply.portions if (p.food, p.counted.value) == (food, grams))
    return found.low <= grams * Fraction(4, 5) and found.high >= grams * Fraction(6, 5)


EXAMPLES = 40


def trials(count: int, seed: int) -> Figures:
    """So many phrases tried, and what came of them."""
    place = world()
    verdicts: Counter[str] = Counter()
    plain: Counter[str] = Counter()
    wrong: list[Example] = []
    asked: list[Example] = []
    for trial in made(seed, count):
        outcome = place.say(trial.text, trial.numbers)
        verdict = judge(outcome, trial)
        verdicts[verdict] += 1
        if trial.plain:
            plain[verdict] += 1
        if verdict == "wrong" and len(wrong) < EXAMPLES:
            wrong.append(_example(trial, outcome))
        elif trial.plain and verdict == "asked" and len(asked) < EXAMPLES:
            asked.append(_example(trial, outcome))
    return Figures(
        count, verdicts["right"], verdicts["asked"], verdicts["wrong"],
        plain.total(), plain["right"], tuple(wrong), tuple(asked),
    )  # fmt: skip


def _example(trial: Trial, outcome: Outcome) -> Example:
    from assistant.render.spoken import spoken

    counted = tuple((p.food, p.counted.value) for p in outcome.reply.portions)
    return Example(trial.kind, trial.text, trial.truth, counted, spoken(outcome.reply))

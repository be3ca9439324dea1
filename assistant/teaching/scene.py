"""A counted meal taken apart, so that it can be counted again with one thing changed.

Every figure comes from the core: count_item for a food, work_out and round_dose for a dose. A
scene whose own figures are not those of the reply is not made.
"""

from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts
from assistant.counting.policy import Policy, Unknown, count_reference
from assistant.dialogue.dose_facts import facts_of
from assistant.dialogue.events import DoseRefused, DoseSuggested, Event, MealCounted, QuestionClosed
from assistant.dialogue.item_counts import count_item, count_meaning
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.pending import PendingFoods, PendingRecord
from assistant.dialogue.plates import CountedItem, Plate
from assistant.dialogue.record import Foods, Record
from assistant.dialogue.replies import Portion
from assistant.dialogue.resolve import Found, Meaning, Resolved, resolve
from assistant.dialogue.said_around import Around, said_around
from assistant.dialogue.state import Context, context
from assistant.dosing.working import Facts, Working, round_dose, work_out
from assistant.values import Ranged, Said
from grammar.nodes import Complaint, Phrase
from grammar.phrases import read_phrase

Finish = Literal["as set", "up", "down", "nearest", "not at all"]

_BEFORE = frozenset({
    "question-closed", "setting-said", "measure-saved", "food-saved", "alias-saved",
    "clock-settled", "clock-right", "recipe-saved",
})  # fmt: skip
"""Events of a turn that its count has to know of; what comes of the count itself is no part."""


class Helping(Struct, frozen=True):
    """One food as somebody counts it. factor: so many label amounts, in place of the said ones.

    eaten is false for a food that was forgotten. as_weight: its weight is taken for its count.
    """

    found: Found
    policy: Policy
    eaten: bool = True
    as_weight: bool = False
    factor: Fraction | None = None

    @property
    def facts(self) -> FoodFacts:
        """The food's facts."""
        return self.found.food.facts

    def with_facts(self, facts: FoodFacts) -> "Helping":
        """The same with other facts."""
        food = replace(self.found.food, facts=facts)
        return replace(self, found=replace(self.found, food=food))


class Counted(Struct, frozen=True):
    """A helping in figures: grams of carbohydrate, grams or millilitres of the food."""

    carbohydrate: Fraction
    grams: Fraction | None
    millilitres: Fraction | None
    factor: Fraction
    quantity: Fraction
    unit: str


def count_helping(helping: Helping, ctx: Context) -> Counted | None:
    """The helping counted by the core; None where that cannot be."""
    item = count_item(helping.found, helping.policy, ctx)
    if not isinstance(item, CountedItem) or item.open:
        return None
    portion = item.portion
    value: Fraction | None = portion.counted.value
    if helping.factor is not None:
        one = count_reference(helping.facts, helping.policy, ctx.settings.polyols)
        value = None if isinstance(one, Unknown) else one.result.value * helping.factor
    if helping.as_weight:
        value = portion.grams if portion.grams is not None else portion.millilitres
    if not helping.eaten:
        value = Fraction(0)
    if value is None or value < 0:
        return None
    return Counted(
        value, portion.grams, portion.millilitres, item.factor, portion.quantity, portion.unit
    )


class Scene(Struct, frozen=True):
    """A meal, and what its dose is worked out from. facts is None where only the count is known.

    finish: how the dose is brought on the pen's step. counts go with helpings.
    """

    ctx: Context
    helpings: tuple[Helping, ...]
    counts: tuple[Counted, ...]
    facts: Facts | None
    finish: Finish = "as set"
    own_count: Fraction | None = None

    @property
    def count(self) -> Fraction:
        """Grams of carbohydrate in all."""
        if self.own_count is not None:
            return self.own_count
        return sum((c.carbohydrate for c in self.counts), Fraction(0))

    def with_helping(self, at: int, helping: Helping) -> "Scene | None":
        """The scene with another helping in one place; None where it cannot be counted."""
        counted = count_helping(helping, self.ctx)
        if counted is None:
            return None
        helpings = (*self.helpings[:at], helping, *self.helpings[at + 1 :])
        return replace(self, helpings=helpings,
                       counts=(*self.counts[:at], counted, *self.counts[at + 1 :]))  # fmt: skip

    def with_facts(self, **changes: object) -> "Scene | None":
        """The scene with other facts for the dose."""
        if self.facts is None:
            return None
        return replace(self, facts=replace(self.facts, **changes))

    def working(self) -> Working | None:
        """The dose working; None where there is none."""
        if self.facts is None or self.facts.settings.missing():
            return None
        return work_out(replace(self.facts, counted=Ranged.exactly(self.count)))

    def dose(self) -> Fraction | None:
        """Units, brought on the pen's step as finish says; None where there is no working."""
        working = self.working()
        if working is None or self.facts is None:
            return None
        settings = self.facts.settings
        assert settings.pen_step is not None
        assert settings.rounding is not None
        match self.finish:
            case "not at all":
                return working.exact
            case "up":
                return -round_dose(-working.exact, settings.pen_step, "down")
            case "down" | "nearest":
                return round_dose(working.exact, settings.pen_step, self.finish)
        return working.rounded


def sentence_of(outcome: Outcome, text: str) -> str:
    """The whole sentence that was counted: an answer may stand for another one."""
    said = [e.said for e in outcome.events if isinstance(e, MealCounted | DoseRefused)]
    if said:
        return said[-1]
    read = [line.args.get("said") for line in outcome.reply.lines if line.code == "read-as"]
    return read[0].text if read and isinstance(read[0], Said) else text


def scene_of(
    record: Record, foods: Foods, outcome: Outcome, text: str, now: datetime
) -> Scene | None:
    """The scene of a counted turn, from what was known before it; None where there is no count."""
    if outcome.reply.counted is None:
        return None
    sentence = sentence_of(outcome, text)
    before: list[Event] = [e for e in outcome.events if e.kind in _BEFORE]
    pending = PendingRecord(record, before or [QuestionClosed()], sentence, now)
    ctx = context(pending, PendingFoods(foods, before), sentence, now)
    phrase = read_phrase(sentence)
    if isinstance(phrase, Complaint) or ctx.settings.policy is None:
        return None
    resolved = resolve(phrase, ctx.foods)
    if not isinstance(resolved, Resolved):
        return None
    for meaning in resolved.meanings:
        scene = _scene(ctx, phrase, meaning, outcome)
        if scene is not None:
            return scene
    return None


def _scene(ctx: Context, phrase: Phrase, meaning: Meaning, outcome: Outcome) -> Scene | None:
    """The scene of one reading, if its figures are those of the reply."""
    policy = ctx.settings.policy
    assert policy is not None
    plate = count_meaning(meaning, policy, ctx)
    if not isinstance(plate, Plate) or not _same(plate.portions, outcome.reply.portions):
        return None
    helpings = tuple(Helping(found, policy) for found in meaning)
    counts = [count_helping(helping, ctx) for helping in helpings]
    whole = tuple(c for c in counts if c is not None)
    if len(whole) < len(counts):
        return None
    around = said_around(ctx, phrase)
    facts = facts_of(ctx, plate, around) if isinstance(around, Around) else None
    scene = Scene(ctx, helpings, whole, facts)
    if not _has_dose(outcome):
        return replace(scene, facts=None)
    suggested = outcome.reply.dose
    if facts is None or (suggested is not None and scene.dose() != suggested.suggested):
        return replace(scene, facts=None)
    return scene


def _same(ours: Sequence[Portion], theirs: Sequence[Portion]) -> bool:
    return [(p.food, p.counted) for p in ours] == [(p.food, p.counted) for p in theirs]


def _has_dose(outcome: Outcome) -> bool:
    """Was a dose worked out, suggested or refused?"""
    refused = any(isinstance(e, DoseSuggested | DoseRefused) for e in outcome.events)
    return refused or outcome.reply.dose is not None

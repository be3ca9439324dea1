"""Sentences through a real store, at given times, and what the assistant replies.

Every reply of every test is rendered for the ear, for the eye and as JSON, and checked for what
holds of each: known codes, the contract's keys, no character that a terminal would obey.
"""

import json
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path

from laws import each_choice_is_chosen_as_told, each_offer_holds

from assistant.dialogue.replies import Reply
from assistant.dialogue.turn import opening
from assistant.render.as_json import as_json, one_line_json
from assistant.render.schema import ReplyObject
from assistant.render.sighted import sighted
from assistant.render.spoken import spoken
from assistant.render.texts import TEXTS
from assistant.render.turns import turn
from assistant.store.store import Store

ZONE = timezone(timedelta(hours=1))
DAY = datetime(2026, 3, 2, tzinfo=ZONE)

CEREAL = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, "
    "carbohydrate 27 g, fibre 6 g"
)
MILK = "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g"
BREAD = "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 48 g"
APPLE = "new food apple: US label, serving 1 medium (150 g), carbohydrate 21 g, fibre 4 g"
CRACKERS = (
    "new food crackers: US label, serving 5 crackers (15 g), 8 servings, "
    "carbohydrate 10 g, fibre 1 g"
)
FOODS = (CEREAL, MILK, BREAD, APPLE, CRACKERS)

RATIO = "my ratio is 1 unit per 10 g"
FACTOR = "correction factor 45 mg/dL per unit"
TARGET = "target 110 mg/dL"
DURATION = "my insulin lasts 4 hours"
SHAPE = "active insulin falls in a straight line"
ACTIVE = "active insulin comes off the correction only"
PEN = "my pen goes in half units, round down"
CAP = "never more than 8 units at once"
WINDOW = "never more than 15 units in 4 hours"
NET = "count net carbohydrate"
NUMBERS = (NET, RATIO, FACTOR, TARGET, DURATION, SHAPE, ACTIVE, PEN, CAP, WINDOW)

KEYS = {
    *("status", "text", "portions", "counted_carbs_g", "range_g", "dose", "rules", "question"),
    *("unread", "facts"),
}
PORTION_KEYS = {
    *("said", "food", "quantity", "unit", "grams", "millilitres", "counted_carbs_g", "range_g"),
}
DOSE_KEYS = {
    *("suggested_units", "exact_units", "meal_units", "correction_units", "active_units"),
    "settings",
}


@dataclass(frozen=True)
class Told:
    """One reply: the data, the spoken text, the contract's object."""

    reply: Reply
    text: str
    data: dict

    @property
    def status(self):
        return self.reply.status

    @property
    def codes(self):
        return [line.code for line in self.reply.lines]

    @property
    def counted(self):
        return self.reply.counted.value if self.reply.counted else None

    @property
    def rules(self):
        return [hit.rule for hit in self.reply.rules]

    @property
    def choices(self):
        return self.data["question"]["choices"] if self.data["question"] else []


def told(reply: Reply) -> Told:
    """The reply with its renderings; fails where one of them breaks a rule of every reply."""
    for line in reply.lines:
        assert line.code in TEXTS, line.code
    text = spoken(reply)
    assert text.strip()
    for shown in (text, sighted(reply, 80), sighted(reply, 20)):
        assert shown.strip()
        for character in shown:
            assert character == "\n" or unicodedata.category(character) not in {
                *("Cc", "Cf", "Cs", "Co"),
            }, shown
    data = json.loads(one_line_json(as_json(reply)))
    assert set(data) == KEYS
    ReplyObject.model_validate(data)  # the published schema
    assert all(set(portion) == PORTION_KEYS for portion in data["portions"])
    assert data["dose"] is None or set(data["dose"]) == DOSE_KEYS
    assert data["question"] is None or set(data["question"]) == {"text", "choices"}
    assert data["dose"] is None or reply.status == "answered"
    if reply.status == "refused":
        assert any(line.role == "refusal" for line in reply.lines)
    if reply.status == "asked":
        assert data["question"] is not None
    if reply.portions:
        assert sum((p.counted.value for p in reply.portions), Fraction(0)) == reply.counted.value
        assert sum((p.counted.low for p in reply.portions), Fraction(0)) == reply.counted.low
        assert sum((p.counted.high for p in reply.portions), Fraction(0)) == reply.counted.high
        assert reply.counted.low <= reply.counted.value <= reply.counted.high
    return Told(reply, text, data)


def at(clock: str, day: int = 0) -> datetime:
    """A time of the first day, or of a later one: at("07:30"), at("06:00", day=1)."""
    hour, minute = clock.split(":")
    return DAY + timedelta(days=day, hours=int(hour), minutes=int(minute))


class Talk:
    """A person at the assistant: says sentences, at a time that only moves when told."""

    def __init__(self, home: Path, clock: str = "07:30") -> None:
        self.now = at(clock)
        self.store = Store.open(home, self.now)
        self.said: list[str] = []

    def say(self, text: str, clock: str | None = None, day: int | None = None) -> Told:
        """One turn, kept as the shell keeps it."""
        if clock is not None:
            self.now = at(clock, (self.now - DAY).days if day is None else day)
        with self.store.turn() as tx:
            outcome = turn(tx.record, tx.foods, text, self.now)
            found = told(outcome.reply)
            kept = one_line_json(as_json(outcome.reply))
            tx.keep(self.now, text, outcome.reply.status, kept, outcome.events)
        self.said.append(text)
        with self.store.reading() as (record, foods):
            each_choice_is_chosen_as_told(record, foods, outcome.reply, self.now)
            each_offer_holds(record, foods, outcome.reply, self.now, self.said)
        return found

    def all(self, *texts: str) -> None:
        """Sentences that have to be answered, one after the other."""
        for text in texts:
            found = self.say(text)
            assert found.status == "answered", (text, found.text)

    def opening(self) -> Reply:
        """What the chat would say at its start now."""
        with self.store.reading() as (record, foods):
            return opening(record, foods, self.now)

    def try_out(self, text: str) -> Told:
        """What the reply would be; nothing is kept."""
        with self.store.reading() as (record, foods):
            return told(turn(record, foods, text, self.now).reply)

    def settings(self):
        """The settings as they stand."""
        from assistant.dialogue.state import context

        with self.store.reading() as (record, foods):
            return context(record, foods, "", self.now).settings

    def events(self, *kinds: str):
        """Events of the journal, oldest first."""
        with self.store.reading() as (record, _):
            return [kept.event for kept in record.events(kinds)]

    def close(self) -> None:
        """Ends the talk."""
        self.store.close()


@contextmanager
def talking(home: Path, *texts: str) -> Iterator[Talk]:
    """A talk in which these sentences have been said."""
    talk = Talk(home)
    try:
        talk.all(*texts)
        yield talk
    finally:
        talk.close()

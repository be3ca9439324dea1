"""Talks in a real store, and session files of them."""

import io
import json
from collections.abc import Iterable
from datetime import datetime, timedelta

import pytest

from assistant.render.as_json import as_json, one_line_json
from assistant.render.turns import turn
from assistant.store.store import Store
from assistant.teaching.recording import header_of, save, spoken_turns

START = datetime.fromisoformat("2026-03-02T07:00:00+01:00")

NUMBERS = (
    "count net carbohydrate",
    "my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00",
    "correction factor 45 mg/dL per unit", "target 110 mg/dL", "my insulin lasts 4 hours",
    "active insulin falls in a straight line", "active insulin comes off the correction only",
    "my pen goes in half units, round down", "never more than 8 units at once",
    "never more than 15 units in 4 hours",
)  # fmt: skip
FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 42 g, "
    "fibre 8.5 g",
)


class Talk:
    """Says sentences to a store; minutes move the clock."""

    def __init__(self, store: Store, at: datetime = START) -> None:
        self.store, self.at = store, at

    def say(self, text: str, minutes: float = 1) -> dict:
        self.at += timedelta(minutes=minutes)
        with self.store.turn() as tx:
            outcome = turn(tx.record, tx.foods, text, self.at)
            reply = one_line_json(as_json(outcome.reply))
            tx.keep(self.at, text, outcome.reply.status, reply, outcome.events)
        return json.loads(reply)

    def each(self, texts: Iterable[str]) -> None:
        for text in texts:
            self.say(text)

    def file(self, first: int = 0, last: int | None = None) -> str:
        """The session file of the turns from one place to another."""
        rows = spoken_turns(self.store.turns())[first:last]
        out = io.StringIO()
        done = save(rows, header_of(self.store, rows, "a talk", "", ""), out)
        assert not done.differ
        return out.getvalue()


@pytest.fixture
def talk(tmp_path):
    store = Store.open(tmp_path / "home", START)
    yield Talk(store)
    store.close()


@pytest.fixture
def ready(talk):
    """A talk after the numbers and three foods were said."""
    talk.each((*FOODS, *NUMBERS))
    return talk

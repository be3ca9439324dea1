"""A data folder in which sentences were said, for the tests that run the whole program."""

from datetime import datetime
from pathlib import Path

from assistant.dialogue.turn import turn
from assistant.shell.sample_numbers import NUMBERS as SAMPLE
from assistant.store.store import Store

NOON = "2026-03-02T12:00:00+00:00"
NUMBERS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "count net carbohydrate",
    *SAMPLE,
)


def filled(folder: Path, *texts: str, at: str = NOON) -> None:
    """Says the texts in a data folder; each has to be answered."""
    now = datetime.fromisoformat(at)
    store = Store.open(folder, now)
    try:
        for text in texts:
            with store.turn() as tx:
                outcome = turn(tx.record, tx.foods, text, now)
                assert outcome.reply.status == "answered", text
                tx.keep(now, text, "answered", "{}", outcome.events)
    finally:
        store.close()

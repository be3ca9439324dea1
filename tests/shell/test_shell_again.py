"""Every past reply is made again, the same, with the record and the settings of its time."""

from datetime import UTC, datetime, timedelta

import pytest

from assistant.shell.again import made_again
from assistant.shell.demo import DEMO_LINES
from assistant.shell.session import Session
from assistant.store.store import Store

START = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)

TALK = (
    *DEMO_LINES,
    *("1 serving of oat cereal, glucose 162", "why", "took it", "what is active now", "today"),
    *("1 serving of oat cereal", "no reading", "not taken", "show oat cereal"),
    *("my ratio is 1 unit per 12 g from 06:00 and 1 per 20 g from 15:00", "show my numbers"),
    *("2 slices of rye bread, glucose 9.1", "1", "cancel", "took 30 units", "no", "yes"),
    *("new label for oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 30 g, "
      "fibre 2 g", "1 serving of oat cereal, glucose 150", "undo", "undo", "show oat cereal"),
    *("oat cereal is also called morning oats", "1 serving of morning oats, glucose 120", "cancel"),
    *("active insulin follows the two-compartment curve", "what is active now"),
    *("1 serving of morning oat, glucose 120", "1", "took 3 units an hour ago", "what is active"),
    *("never more than 7 units at once", "6 servings of oat cereal, glucose 120", "why"),
    *("never more than 9 units at once", "yes", "orange juice is fast acting", "glucose 60"),
    *("forget apple", "1 apple, glucose 120", "cancel", "undo", "1 apple, glucose 120", "help"),
    *("took 4,5 units", "1 apple, glucose 120", "4.5", "compare rice and rye bread", "zzz", ""),
)  # fmt: skip


@pytest.fixture
def talked(home):
    """A long talk, half an hour from turn to turn, and the clock moved on the way."""
    store = Store.open(home, START)
    now = START
    session = Session(store, lambda: now)
    for number, text in enumerate(TALK):
        now = START + timedelta(minutes=17 * number)
        session.say(text)
    yield store
    store.close()


def test_every_reply_is_made_again(talked):
    rows = list(talked.turns())
    assert len(rows) == len(TALK)
    assert {row.status for row in rows} == {"answered", "asked", "refused"}
    for row in rows:
        kept, again = made_again(talked, row.id)
        assert again == kept, row.text
        assert kept == row.reply


def test_it_is_the_settings_of_then_that_are_used(talked):
    """The same sentence, typed now, gives another dose."""
    first = next(
        row for row in talked.turns() if row.text == "1 serving of oat cereal, glucose 162"
    )
    kept, _ = made_again(talked, first.id)
    now = first.said_at + timedelta(days=2)
    later = Session(talked, lambda: now).say(first.text)
    assert '"suggested_units":3.0' in kept.replace(" ", "")
    assert later.dose is None or later.dose.suggested != 3


def test_making_again_writes_nothing(talked):
    before = list(talked.turns())
    for row in before[-5:]:
        made_again(talked, row.id)
    assert list(talked.turns()) == before


def test_a_turn_that_never_was(talked):
    with pytest.raises(LookupError):
        made_again(talked, 10_000)

"""An invented week of an invented person, Ines, said to the program sentence by sentence."""

from datetime import datetime, timedelta, timezone
from pathlib import Path

from assistant.dialogue.readings_import import imported, said
from assistant.dialogue.state import context
from assistant.dialogue.turn import turn
from assistant.diary.readings_file import read_sheet
from assistant.render.as_json import as_json, one_line_json
from assistant.store.store import Store

ZONE = timezone(timedelta(hours=1))
MONDAY = datetime(2026, 3, 2, tzinfo=ZONE)
NOW = datetime(2026, 3, 9, 9, 0, tzinfo=ZONE)
FIRST, LAST = "2026-03-02", "2026-03-08"

SETTING_UP = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 48 g",
    "new food pear: US label, serving 1 medium (178 g), carbohydrate 27 g, fibre 6 g",
    "count net carbohydrate",
    "my ratio is 1 unit per 10 g",
    "correction factor 45 mg/dL per unit",
    "target 110 mg/dL",
    "my insulin lasts 4 hours",
    "active insulin falls in a straight line",
    "active insulin comes off the correction only",
    "my pen goes in half units, round down",
    "never more than 8 units at once",
    "never more than 15 units in 4 hours",
)

# day (0 is Monday 2 March), clock, words; the status is checked where it is not "answered"
SAID = (
    (-1, "07:30", "1 serving of oat cereal, glucose 130", ""),  # the day before is no part of it
    (-1, "07:31", "took it", ""),
    (-1, "23:50", "glucose 99", ""),
    (0, "07:30", "1.5 servings of oat cereal plus 200 ml milk, glucose 112", ""),
    (0, "07:32", "took it", ""),
    (0, "09:31", "glucose 168", ""),
    (0, "11:33", "glucose 121", ""),
    (0, "12:31", "glucose 118", ""),
    (0, "12:35", "2 slices of rye bread for lunch, glucose 118", ""),
    (0, "12:35", "took it", ""),
    (0, "14:40", "glucose 171", ""),
    (0, "18:40", "1 medium pear and 1 slice of rye bread, glucose 128", ""),
    (0, "18:41", "took it", ""),
    (0, "20:30", "glucose 155", ""),
    (1, "03:05", "glucose 52", ""),  # a low in the night
    (1, "07:30", "1.5 servings of oat cereal plus 200 ml milk, glucose 141", ""),
    (1, "07:30", "took 4.5 units", ""),
    (1, "09:45", "glucose 203", ""),
    (1, "12:30", "1 medium pear, glucose 101", ""),  # a slip: taken back with its reading
    (1, "12:31", "undo", ""),
    (1, "12:40", "3 slices of rye bread, glucose 101", ""),
    (1, "12:41", "took it", ""),
    (1, "15:10", "glucose 61", ""),  # a low after lunch
    (1, "15:12", "1 serving of oat cereal, no reading", "refused"),
    (1, "15:40", "glucose 83", ""),
    (1, "19:00", "1 serving of oat cereal, glucose 150", ""),
    (1, "19:00", "took it", ""),
    (1, "20:55", "glucose 262", ""),
    (2, "07:30", "1 serving of oat cereal, glucose 120", ""),
    (2, "07:34", "no, 2 servings of oat cereal", "asked"),  # were the 2 units taken?
    (2, "07:34", "1", ""),  # no: the changed meal is worked out anew, and counts once
    (2, "07:35", "took it", ""),
    (2, "07:40", "change the last meal to: 2 servings of oat cereal plus 100 ml milk", "asked"),
    (2, "07:40", "cancel", ""),  # the glucose for what is more was asked; it was not eaten
    (2, "09:30", "glucose 171", ""),
    (2, "12:30", "2 slices of rye bread, glucose 58", "refused"),
    (2, "12:50", "glucose 92", ""),
    # no entry on Thursday
    (4, "07:30", "1 serving of oat cereal, glucose 149", ""),  # no reading after it
    (4, "07:31", "took it", ""),
    (4, "13:00", "10 slices of rye bread, glucose 200", "refused"),  # over the cap
    (4, "13:10", "3 slices of rye bread, glucose 200", ""),
    (4, "13:11", "took it", ""),
    (4, "15:00", "glucose 231", ""),
    (4, "19:00", "1 medium pear, glucose 120", ""),
    (4, "19:01", "not taken", ""),
    (5, "07:30", "1.5 servings of oat cereal plus 200 ml milk, glucose 160", ""),
    (5, "07:31", "took it", ""),
    (5, "08:00", "my ratio is 1 unit per 12 g", ""),
    (5, "09:30", "glucose 233", ""),
    (5, "09:32", "took 1 unit", ""),  # a correction: the breakfast is left out
    (5, "13:40", "1 medium pear, glucose 140", ""),  # dropped: it was not eaten
    (5, "13:41", "cancel", ""),
    (5, "22:40", "I feel low", ""),
    (5, "22:55", "glucose 66", ""),
    (6, "12:30", "2 slices of rye bread for lunch, glucose 104", ""),
    (6, "12:31", "took it", ""),
    (6, "14:30", "glucose 9.4 mmol/L", ""),
    (6, "19:30", "1 medium pear, glucose 131", ""),  # whether it was taken is not known
)  # fmt: skip

METER = """time,value,unit
2026-03-08T02:10+01:00,68,mg/dL
2026-03-08T07:00+01:00,95,mg/dL
2026-03-08T07:00+01:00,95,mg/dL
2026-03-08T14:30+01:00,9.4,mmol/L
2026-03-08T16:32+01:00,144,mg/dL
2026-03-08T17:00+01:00,7.7,mg/dL
2026-03-05T10:00,120,mg/dL
"""


def live(home: Path) -> None:
    """Says the week to a new record, and imports the meter's file on Monday morning."""
    store = Store.open(home, MONDAY)
    for text in SETTING_UP:
        _say(store, text, MONDAY - timedelta(days=20), "answered")
    for day, clock, text, status in SAID:
        hour, minute = clock.split(":")
        at = MONDAY + timedelta(days=day, hours=int(hour), minutes=int(minute))
        _say(store, text, at, status or "answered")
    sheet = read_sheet(METER, NOW)
    with store.turn() as tx:
        outcome = imported(context(tx.record, tx.foods, "", NOW), "meter.csv", sheet)
        kept = one_line_json(as_json(outcome.reply))
        tx.keep(NOW, said("meter.csv"), outcome.reply.status, kept, outcome.events)
    store.close()


def _say(store: Store, text: str, at: datetime, status: str) -> None:
    with store.turn() as tx:
        outcome = turn(tx.record, tx.foods, text, at)
        reply = outcome.reply
        assert reply.status == status, (at, text, one_line_json(as_json(reply)))
        tx.keep(at, text, reply.status, one_line_json(as_json(reply)), outcome.events)

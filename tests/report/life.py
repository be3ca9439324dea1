"""Sentences of an invented person at given times, and the report of some of their days."""

from datetime import date, datetime
from pathlib import Path

from assistant.dialogue.readings_import import imported, said
from assistant.dialogue.state import context
from assistant.dialogue.turn import turn
from assistant.dialogue.visit import Visit
from assistant.diary.entries import Days
from assistant.diary.readings_file import Sheet, read_sheet
from assistant.render.as_json import as_json, one_line_json
from assistant.report.forms import written
from assistant.shell.report import visit_of
from assistant.store.store import Store

RICE = "new food rice: EU label, per 100 g: carbohydrate 28 g, fibre 0.5 g"
CEREAL = "new food oat cereal: US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g"
NUMBERS = (
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


class Life:
    """A record of its own."""

    def __init__(self, home: Path, begun: str, *texts: str) -> None:
        self.home = home
        self.store = Store.open(home, datetime.fromisoformat(begun))
        self.now = datetime.fromisoformat(begun)
        for text in texts:
            assert self.say(text).status == "answered", text

    def say(self, text: str, at: str | None = None):
        """One turn; its reply."""
        self.now = datetime.fromisoformat(at) if at else self.now
        with self.store.turn() as tx:
            outcome = turn(tx.record, tx.foods, text, self.now)
            kept = one_line_json(as_json(outcome.reply))
            tx.keep(self.now, text, outcome.reply.status, kept, outcome.events)
        return outcome.reply

    def bring(self, *lines: str):
        """Imports a file of these lines; the reply."""
        sheet = read_sheet("time,value,unit\n" + "\n".join(lines), self.now)
        assert isinstance(sheet, Sheet)
        with self.store.turn() as tx:
            outcome = imported(context(tx.record, tx.foods, "", self.now), "meter.csv", sheet)
            kept = one_line_json(as_json(outcome.reply))
            tx.keep(self.now, said("meter.csv"), "answered", kept, outcome.events)
        return outcome.reply

    def visit(self, first: str, last: str) -> Visit:
        """The report's content."""
        days = Days(date.fromisoformat(first), date.fromisoformat(last))
        with self.store.reading() as (record, foods):
            return visit_of(record, foods, days, self.now)

    def report(self, first: str, last: str, shape: str) -> str:
        """The report as text."""
        return written(self.visit(first, last), shape)

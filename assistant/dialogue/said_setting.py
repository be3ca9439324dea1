"""A setting as it is being said: kept, or asked about when it is unusual."""

import re
from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from assistant.dialogue.events import SettingSaid
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answered,
    ask,
    yes_no,
)
from assistant.dialogue.replies import Line
from assistant.dialogue.state import Context
from assistant.values import (
    Arg,
    Phrase,
    Said,
)
from grammar import patterns
from grammar.nodes import Number, Quantity, Span, Unclear

SURE = patterns.compile(r"[,.]?\s*confirmed\s+with\s+my\s+care\s+team\s*[.!]*\s*$", re.I)
"""What is added to a sentence whose figure was questioned, and stands behind it in the journal."""

USUAL: Mapping[str, tuple[Fraction, Fraction]] = {
    "ratio": (Fraction(3), Fraction(60)),
    "factor": (Fraction(10), Fraction(300)),
    "target": (Fraction(72), Fraction(180)),
    "duration": (Fraction(120), Fraction(480)),
    "pen_step": (Fraction(1, 20), Fraction(2)),
    "cap_dose": (Fraction(1), Fraction(40)),
    "cap_window": (Fraction(1), Fraction(80)),
    "cap_meal": (Fraction(10), Fraction(400)),
    "max_reduction": (Fraction(1, 20), Fraction(3, 4)),
    "ask_range": (Fraction(1, 100), Fraction(3, 4)),
    "reading_age": (Fraction(1), Fraction(60)),
    "kitchen-cup": (Fraction(150), Fraction(350)),
    "kitchen-tablespoon": (Fraction(10), Fraction(25)),
    "kitchen-teaspoon": (Fraction(3), Fraction(8)),
    "kitchen-fluid ounce": (Fraction(25), Fraction(35)),
    "kitchen-pint": (Fraction(400), Fraction(600)),
    "kitchen-quart": (Fraction(800), Fraction(1300)),
    "kitchen-gallon": (Fraction(3000), Fraction(5000)),
    "kitchen-vessel": (Fraction(30), Fraction(2000)),
}
"""What people are usually given, in g per unit, mg/dL, minutes, units, grams, shares,
millilitres. Outside it the figure is asked about, and may be kept (common practice, no source;
rapid-acting insulin lasts 2 to 5 hours in Am Fam Physician 2005;72:805)."""
HARD: Mapping[str, Fraction] = {
    "duration": Fraction(24 * 60),
    "cap_window_minutes": Fraction(1440),
    "cap_dose": Fraction(100),
    "cap_window": Fraction(300),
    "cap_meal": Fraction(1000),
    "reading_age": Fraction(240),
}
"""Beyond these no confirmation helps: it is a slip (common practice, no source)."""


class SaidSetting(Struct, frozen=True):
    """The sentence being handled: without its confirmation, and whether it had one."""

    ctx: Context
    text: str
    sure: bool

    def keep(self, name: str, value: Mapping[str, object], *lines: Line) -> Outcome:
        """The setting as an answer: value is plain JSON, as dosing.settings reads it."""
        return answered(
            *lines,
            events=(SettingSaid(name, value, self.ctx.text),),
            facts={"setting": {"name": name, **value}},
        )

    def unusual(self, name: str, value: Fraction, shown: Arg) -> Outcome | None:
        """The question when the value is outside what is usual and was not confirmed."""
        low, high = USUAL[name]
        if self.sure or low <= value <= high:
            return None
        kitchen = name.startswith("kitchen")
        code = name if kitchen else f"setting-{name}"
        question = "ask-unusual-kitchen" if kitchen else "ask-unusual"
        args = {"setting": Phrase(code), "value": shown}
        again = yes_no(f"{self.text}, confirmed with my care team")
        return ask(Ask("unusual", question, args, choices=again), self.ctx.text)


def clear(quantity: Quantity | None, ctx: Context) -> Fraction | Outcome:
    """The figure, above zero, or the question."""
    if isinstance(quantity, Number):
        return quantity.value
    assert isinstance(quantity, Unclear | Span)
    why = "range" if isinstance(quantity, Span) else quantity.why
    return ask(Ask("number", f"figure-{why}", {"said": Said(quantity.said)}), ctx.text)

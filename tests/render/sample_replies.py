"""Replies for the tests of this room, with a small catalogue of their own."""

from fractions import Fraction

from assistant.dialogue.replies import (
    Choice,
    Dose,
    Line,
    Portion,
    Question,
    Reply,
    RuleHit,
)
from assistant.values import Amount, Between, Name, Ranged, Said, Typed

TEXTS = {
    "dose": "{units} suggested.",
    "portion": "{food}: {counted}, {range}.",
    "step": "{a} is {b}.",
    "total": "In all {counted}.",
    "divide": "{counted} divided by {ratio} is {units}.",
    "check": "Check {said}.",
    "which": "Which {name} is meant?",
    "one": "{name}, {counted}.",
    "yes": "yes, go on.",
    "type": "Type {typed}.",
    "refuse": "No dose: {units} is over {cap}.",
    "fact": "The fact is {said}.",
}

COUNT = Ranged(Fraction("41.1"), Fraction("39.5"), Fraction("42.7"))
PORTION = Portion(
    "1.5 servings of the oat cereal",
    "oat cereal",
    Fraction(3, 2),
    "serving",
    Fraction(60),
    None,
    COUNT,
)
DOSE = Dose(
    Fraction(5),
    Fraction(237, 45),
    Fraction("4.11"),
    Fraction(52, 45),
    Fraction(0),
    {"grams_per_unit": Fraction(10)},
)

MEAL = Reply(
    "answered",
    (
        Line(
            "portion",
            "portion",
            {
                "food": Name("oat cereal"),
                "counted": Amount(Fraction("41.1"), "g"),
                "range": Between(COUNT.low, COUNT.high, "g"),
            },
        ),
        Line(
            "working",
            "step",
            {"a": Amount(Fraction(3, 2), "serving"), "b": Amount(Fraction(60), "g")},
        ),
        Line("total", "total", {"counted": Amount(Fraction("41.1"), "g")}),
        Line(
            "working",
            "divide",
            {
                "counted": Amount(Fraction("41.1"), "g"),
                "ratio": Amount(Fraction(10), "g/unit"),
                "units": Amount(Fraction("4.11"), "unit"),
            },
        ),
        Line("caution", "check", {"said": Said("this = that")}),
        Line("answer", "dose", {"units": Amount(Fraction(5), "unit")}),
        Line("next", "type", {"typed": Typed("took 5 units")}),
    ),
    (PORTION,),
    COUNT,
    DOSE,
)

_ASKED = Line("question", "which", {"name": Name("milk")})
_CHOICES = (
    Choice(
        Line("choice", "one", {"name": Name("2% milk"), "counted": Amount(Fraction(5), "g")}),
        ("2% milk",),
        word="two",
    ),
    Choice(Line("choice", "yes"), ("x",), word="yes"),
)
QUESTION = Reply(
    "asked",
    (_ASKED, *(c.label for c in _CHOICES), Line("next", "type", {"typed": Typed("1 always")})),
    question=Question("food", _ASKED, _CHOICES),
)

_OVER = Line(
    "refusal",
    "refuse",
    {"units": Amount(Fraction("9.5"), "unit"), "cap": Amount(Fraction(8), "unit")},
)
REFUSED = Reply("refused", (_OVER,), rules=(RuleHit("over-dose-cap", _OVER),))

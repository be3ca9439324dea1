"""The spoken form: plain sentences, in order, and no sign outside the user's own words."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from sample_replies import MEAL, QUESTION, REFUSED, TEXTS

from assistant.dialogue.replies import Line, Reply
from assistant.render.spoken import spoken
from assistant.render.texts import TEXTS as CATALOGUE
from assistant.render.units import UNITS
from assistant.values import Amount, Between, Listed, Name, Said, Typed

STUMBLES = re.compile(
    r"\d ?(?:g|ml|kg|mg|oz|u)\b|\d ?[-–:/] ?\d(?!\d)|\bm(?:g|mol)/|(?<!\w)-\d|(?<!\d)\.\d"
)
"""Written forms that a voice says wrong: a unit's letter, a range by dash, a fraction by slash."""

NOISE = set("=<>*/|#~%&+\\_^`→←×÷±≤≥≈…•½¼¾✓✗") | {chr(c) for c in range(0x2500, 0x2600)}


def test_spoken__keeps_the_order_of_the_reply() -> None:
    assert spoken(MEAL, TEXTS).splitlines() == [
        "oat cereal: 41.1 grams, 39.5 to 42.7 grams.",
        "1.5 servings is 60 grams.",
        "In all 41.1 grams.",
        "41.1 grams divided by 10 grams per unit is 4.11 units.",
        "Caution: Check this equals that.",
        "5 units suggested.",
        "Type took 5 units.",
    ]


def test_spoken__what_to_type_next_is_told_last() -> None:
    """A fact that was put behind it is heard before it, in its own order."""
    lines = (
        Line("next", "type", {"typed": Typed("why")}),
        Line("fact", "fact", {"said": Said("new")}),
    )
    assert spoken(Reply("answered", lines), TEXTS).splitlines() == ["The fact is new.", "Type why."]


def test_spoken__numbers_choices() -> None:
    lines = [
        "Which milk is meant?",
        "Choice 1 or two: 2 percent milk, 5 grams.",
        "Choice 2: yes, go on.",
        "Type 1 always.",
    ]
    assert spoken(QUESTION, TEXTS).splitlines() == lines
    bare = replace(QUESTION, lines=())
    assert spoken(bare, TEXTS).splitlines() == lines[:3]


def test_spoken__refusal() -> None:
    assert spoken(REFUSED, TEXTS) == "No dose: 9.5 units is over 8 units."


words = st.text(max_size=60)
figures = st.fractions(min_value=-1000, max_value=100000)
units = st.sampled_from([*UNITS, "cup", "a/b", "%", "slice | thin"])
arguments = st.one_of(
    st.builds(Amount, figures, units, st.integers(0, 6)),
    st.builds(Between, figures, figures, units),
    st.builds(Said, words),
    st.builds(Typed, words),
    st.builds(Name, words),
)


@given(st.lists(arguments, min_size=1, max_size=4))
def test_spoken__no_noise_inside_or_outside_quotes(args: list) -> None:
    line = Line("answer", "x", {"a": Listed(tuple(args))})
    said = spoken(Reply("answered", (line,)), {"x": "Here is {a}."})
    said = said.replace(",\n", ", ")  # a long line ends where a voice may pause
    assert "\n" not in said
    assert not NOISE & set(said)
    assert not re.search(r"[\x00-\x1f\x7f-\x9f]", said)
    assert not re.search(r"(?<![\w.-])-\d", re.sub(r'"[^"]*"', "", _without_names(said, args)))


def _without_names(said: str, args: list) -> str:
    """A name may hold anything; the other arguments never put a dash before a figure."""
    return "" if any(isinstance(a, Name) for a in args) else said


@given(st.fractions(min_value=-1000, max_value=1000), st.sampled_from([*UNITS]))
def test_spoken__a_quantity_is_figure_space_word(value: Fraction, unit: str) -> None:
    said = spoken(
        Reply("answered", (Line("answer", "x", {"a": Amount(value, unit)}),)), {"x": "{a}"}
    )
    assert re.fullmatch(r"([Aa]bout )?(minus )?\d+(\.\d*[1-9])? [a-z][a-z ]+", said)


@pytest.mark.parametrize("code", sorted(CATALOGUE))
def test_catalogue__has_no_noise(code: str) -> None:
    fields = dict.fromkeys(re.findall(r"\{(\w+)\}", CATALOGUE[code]), Name("x"))
    said = spoken(Reply("answered", (Line("answer", code, fields),)))
    typed_at_the_shell = re.match(r"shell-(arg|topic|needs|not)", code)
    allowed = set("_=+") if typed_at_the_shell else set()
    assert not (NOISE - allowed) & set(said), said
    assert typed_at_the_shell or not STUMBLES.search(said), said

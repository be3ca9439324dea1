"""The sighted form: the answer first, clean lines at every width, nothing by colour alone."""

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from sample_replies import MEAL, QUESTION, REFUSED, TEXTS

from assistant.dialogue.replies import Line, Reply
from assistant.render.sighted import NARROWEST, sighted
from assistant.render.wrapping import wrap
from assistant.values import Name, Typed

ESCAPES = re.compile(r"\x1b\[[0-9;]*m")


def test_sighted__answer_first_then_blocks() -> None:
    assert sighted(MEAL, 80, texts=TEXTS) == (
        "5 units suggested.\n"
        "\n"
        "  oat cereal: 41.1 g, 39.5 to 42.7 g.\n"
        "    1.5 servings is 60 g.\n"
        "  In all 41.1 g.\n"
        "\n"
        "  41.1 g divided by 10 g per unit is 4.11 units.\n"
        "\n"
        'Caution: Check "this = that".\n'
        "\n"
        'Type "took 5 units".'
    )


def test_sighted__question_and_choices() -> None:
    assert sighted(QUESTION, 80, texts=TEXTS) == (
        'Which milk is meant?\n  (1 or "two") 2% milk, 5 g.\n  (2) yes, go on.\n\nType "1 always".'
    )
    assert "(2) yes" in sighted(replace(QUESTION, lines=()), 80, texts=TEXTS)


def test_sighted__refusal_begins_with_its_word() -> None:
    assert sighted(REFUSED, 80, texts=TEXTS).startswith("No dose")


@pytest.mark.parametrize("reply", [MEAL, QUESTION, REFUSED])
@pytest.mark.parametrize("width", [40, 80, 200])
def test_sighted__fits_and_colour_adds_nothing(reply: Reply, width: int) -> None:
    plain = sighted(reply, width, texts=TEXTS)
    assert "\x1b" not in plain
    assert "\ue000" not in plain
    assert all(len(line) <= width and line == line.rstrip() for line in plain.splitlines())
    assert ESCAPES.sub("", sighted(reply, width, ink="color", texts=TEXTS)) == plain


def test_sighted__a_figure_keeps_its_unit() -> None:
    for width in range(NARROWEST, 90):
        text = sighted(MEAL, width, texts=TEXTS)
        assert not re.search(r"\d\n", text), text


def test_sighted__sentence_to_type_is_strong_over_a_line_break() -> None:
    line = Line("next", "type", {"typed": Typed("a very long sentence that has to be broken")})
    painted = sighted(Reply("answered", (line,)), 30, ink="color", texts=TEXTS)
    rows = painted.splitlines()
    assert len(rows) > 1
    assert all("\x1b[1m" in row for row in rows)


@given(st.text(max_size=80), st.integers(NARROWEST, 60))
def test_sighted__any_name_fits(name: str, width: int) -> None:
    line = Line("question", "which", {"name": Name(name)})
    text = sighted(Reply("asked", (line,)), width, texts=TEXTS)
    assert "\x1b" not in text
    for row in text.split("\n"):
        wide = sum(unicodedata.east_asian_width(c) in "WF" for c in row)
        marks = sum(bool(unicodedata.combining(c)) for c in row)
        assert len(row) + wide - marks <= width


def test_wrap__about_stays_with_its_figure() -> None:
    for width in range(NARROWEST, 60):
        rows = wrap("the sum of two parts is about 6.7878 units before rounding", width)
        assert any("about 6.7878 units" in row for row in rows), rows


def test_wrap__long_words_are_cut() -> None:
    assert wrap("a" * 25, 20) == ["a" * 20, "a" * 5]

"""No token is left out that could have begun there: re, asked for each token, is the authority."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.first_letters import LETTERS, by_letter
from grammar.parsing import tables_of

FOOD = tables_of("food.lark", re.I)
EACH = [FOOD.terminals[number] for number in FOOD.lexers[0]]
WITHIN = by_letter(EACH, re.I, at_start=False)
AT_START = by_letter(EACH, re.I, at_start=True)
COMPILED = [re.compile(pattern, re.I) for pattern in EACH]
PIECES = (
    *("count ", "please ", "I'm having ", "glucose 162", "bg 9.1 mmol/L", "no reading", "at 12:30"),
    *("half an hour ago", "for lunch", "30% less", "going for a run", "feeling ill", "2-3", "½"),
    *(
        "a third of ",
        "couple",
        "~",
        "about ",
        "x 2",
        "or so",
        "tbsp.",
        "fl oz",
        "1e5",
        "-4",
        "50% of",
    ),
    *(
        "change the last meal to: ",
        "hello, ",
        "log ",
        '"rye"',
        "7-grain",
        "- ",
        "\n",
        ", ",
        "W/",
        "K",
    ),
    *("two and a half", "a dozen", "heaped tbsp", "no dose, ", "that is right", "ſ", "İ", "µ", " "),
)


@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=6).map("".join))
def test_what_can_begin_with_a_letter_is_among_those_tried(text):
    for place, letter in enumerate(text):
        if letter not in LETTERS:
            continue
        tried = (WITHIN if place else AT_START)[letter]
        for number, pattern in enumerate(COMPILED):
            if number not in tried:
                assert pattern.match(text, place) is None, (EACH[number][:40], text[place:])


def test_few_are_left_to_try():
    """Else the telling apart would be no use."""
    assert len(EACH) > 50
    assert max(len(WITHIN[letter]) for letter in LETTERS) <= len(EACH) / 2
    assert sum(len(WITHIN[letter]) for letter in LETTERS) / len(LETTERS) < len(EACH) / 5


@pytest.mark.parametrize(
    ("pattern", "begins", "not_these"),
    [
        ("ab?", "aA", "b c"), ("a?b", "ab", "c"), ("(?:a|[0-3]x)", "a0123", "4x"),
        (r"(?=\d)x*y", "xy", "1"), (r"\s*z", " \tz", "a"), ("[^a]b", "bc1", "a"), (".", "a1", "\n"),
        (r"(?i:k)", "kK", "j"), (r"x{0,2}(y|z+)", "xyz", "a"), (r"(?<=a)b", "b", "a"),
        (r"(a)\1", "a", "b"), ("", "ab1", ""), (r"\d+|\w", "1a_", " -"), (r"a*?b", "ab", "c"),
    ],
)  # fmt: skip
def test_by_hand(pattern, begins, not_these):
    found = by_letter([pattern], re.I, at_start=False)
    assert all(found[letter] == (0,) for letter in begins)
    assert not any(found[letter] for letter in not_these)


def test_the_beginning_of_the_text():
    assert by_letter(["^a", r"\Ab", "^$|c"], 0, at_start=False)["a"] == ()
    assert by_letter(["^a"], 0, at_start=True)["a"] == (0,)
    assert by_letter(["^a"], re.M, at_start=False)["a"] == (0,)

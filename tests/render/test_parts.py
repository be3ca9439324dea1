"""Parts of a whole in words: English as it is written, no source."""

from fractions import Fraction

import pytest

from assistant.render.arguments import argument
from assistant.render.parts import part_words
from assistant.values import Part


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("1/2", "one half"), ("1/3", "one third"), ("3/4", "three quarters"),
        ("5/6", "five sixths"),
        ("5/12", "five twelfths"), ("7/20", "seven twentieths"), ("19/20", "nineteen twentieths"),
        ("4/3", "four thirds"), ("3/2", "three halves"), ("21/20", "21 over 20"),
        ("1/21", "1 over 21"), ("2", "2 over 1"), ("0", "0 over 1"),
    ],
)  # fmt: skip
def test_a_part_in_words(part, words):
    assert part_words(Fraction(part)) == words
    assert argument(Part(Fraction(part)), "spoken") == words
    assert argument(Part(Fraction(part)), "sighted") == words

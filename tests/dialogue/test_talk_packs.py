"""A part of a pack shows what a whole one holds, so that it can be worked out again by hand."""

import re
from fractions import Fraction

import pytest

WORDS = {"one third": Fraction(1, 3), "two thirds": Fraction(2, 3), "one sixth": Fraction(1, 6)}


@pytest.mark.parametrize(
    ("said", "share"),
    [
        ("1/3 of the pack of crackers", Fraction(1, 3)),
        ("2/3 of the pack of crackers", Fraction(2, 3)),
        ("1/6 of the pack of crackers", Fraction(1, 6)),
        ("half the pack of crackers", Fraction(1, 2)),
        ("2.5 packs of crackers", Fraction(5, 2)),
    ],
)
def test_the_servings_of_a_part_are_those_of_the_pack_times_the_part(counting, said, share):
    """The label says 8 servings of 9 g net (10 g with 1 g of fibre inside)."""
    found = counting.say(said)
    text = found.text
    whole = Fraction(re.search(r"1 pack has (\S+) servings, as the label says\.", text)[1])
    assert whole == 8
    told = re.search(r"\. So (?P<part>.+?) (?:of it|packs) is (?P<into>.+?) servings?\.", text)
    part = WORDS.get(told["part"].casefold()) or Fraction(told["part"])
    assert part == share
    assert found.counted == share * whole * 9


def test_a_whole_pack_needs_no_such_line(counting):
    assert "as the label says" in counting.say("1 pack of crackers").text
    assert "1 pack has" not in counting.say("1 pack of crackers").text

"""What an ingredient list tells: sugar alcohols that the table lacks, and hints on speed."""

import pytest

from assistant.counting.ingredients import POLYOLS, SUGARS, found_in, undeclared_polyols
from assistant.counting.policy import NAMED_POLYOLS

# 21 CFR 101.9(c)(6)(iv) names mannitol, sorbitol and xylitol; 101.9(c)(1)(i)(F) gives energy for
# isomalt, lactitol, xylitol, maltitol, sorbitol, hydrogenated starch hydrolysates, mannitol and
# erythritol. Polyglycitol is the EU's word for the hydrolysate syrup (E 964; from memory).
OF_THE_LAW = {
    "isomalt", "lactitol", "xylitol", "maltitol", "sorbitol", "hydrogenated starch hydrolysate",
    "mannitol", "erythritol", "polyglycitol",
}  # fmt: skip


def test_the_sugar_alcohols_are_those_of_the_law():
    assert set(POLYOLS) == OF_THE_LAW
    assert set(NAMED_POLYOLS) == OF_THE_LAW - {"hydrogenated starch hydrolysate", "polyglycitol"}


@pytest.mark.parametrize("word", sorted(OF_THE_LAW))
def test_each_sugar_alcohol_is_found_where_the_table_has_no_line_for_any(word):
    listed = ("cocoa", f"sweetener ({word.upper()} syrup)", "salt")
    found = (f"sweetener ({word.upper()} syrup)",)
    assert undeclared_polyols(listed, ("carbohydrate", "fibre")) == found
    assert undeclared_polyols(listed, ()) == found


@pytest.mark.parametrize("line", ["polyols", *sorted(OF_THE_LAW)])
def test_a_line_for_any_sugar_alcohol_declares_them(line):
    assert undeclared_polyols(("maltitol", "salt"), ("carbohydrate", line)) == ()


@pytest.mark.parametrize(
    "word",
    ["sugar", "syrup", "honey", "dextrose", "glucose", "fructose", "maltose", "maltodextrin",
     "molasses", "juice concentrate", "agave"],
)  # fmt: skip
def test_each_word_for_sugars_is_found(word):
    """Common practice, no source."""
    assert word in SUGARS
    assert found_in((f"raw {word}", "salt"), SUGARS) == (f"raw {word}",)


def test_what_is_found_stays_in_the_order_of_the_list():
    """Ingredients stand by weight, most first: 21 CFR 101.4(a)(1)."""
    listed = ("Glucose syrup", "flour", "Honey", "water")
    assert found_in(listed, SUGARS) == ("Glucose syrup", "Honey")
    assert found_in(("flour", "water"), SUGARS) == ()
    assert found_in((), SUGARS) == ()

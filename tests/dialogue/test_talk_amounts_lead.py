"""The other way round: what can be measured is told first, the exact amount behind it."""

from fractions import Fraction


def test_how_much__the_amount_to_pour_leads(counting) -> None:
    """20 g at 4.8 g a 100 ml are 416.67 ml; in steps of 5 ml that is 415 ml: 19.92 g."""
    told = counting.say("how much milk is 20 g")
    first = told.text.splitlines()[0]
    assert first == (
        "For 20 grams, the nearest amount of milk is 415 millilitres. It counts 19.92 grams."
    )
    assert "416.6667" in told.text
    assert Fraction("4.8") * 415 / 100 == Fraction("19.92")


def test_how_much__an_even_amount_has_no_rounding(counting) -> None:
    first = counting.say("how much milk is 24 g").text.splitlines()[0]
    assert first == "For 24 grams, the amount of milk is 500 millilitres."

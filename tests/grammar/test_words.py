"""How words are compared, and how text is made safe to show."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.words import name_key, plain, printable, singular


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("crackers", "cracker"),
        ("slices", "slice"),
        ("berries", "berry"),
        ("cherries", "cherry"),
        ("cookies", "cookie"),
        ("pies", "pie"),
        ("loaves", "loaf"),
        ("leaves", "leaf"),
        ("halves", "half"),
        ("peaches", "peach"),
        ("radishes", "radish"),
        ("boxes", "box"),
        ("tomatoes", "tomato"),
        ("potatoes", "potato"),
        ("hummus", "hummus"),
        ("glass", "glass"),
        ("glasses", "glass"),
        ("gas", "gas"),
        ("milk", "milk"),
    ],
)
def test_the_singular_by_spelling(many, one):
    assert singular(many) == one


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("Oat Cereals", "oat-cereal"),
        ("oat  cereal", "oat cereal"),
        ("2 % milk", "2% milk"),
        ("Crème", "creme"),
        ("rye bread.", "rye bread"),
        ('"rye bread"', "rye bread"),
        ("baker's loaf", "baker’s loaf"),
        ("salt & vinegar crisps", "salt&vinegar crisps"),
        ("CRACKERS", "cracker"),
    ],
)
def test_the_same_name_written_otherwise_has_one_key(a, b):
    assert name_key(a) == name_key(b)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("oat cereal", "oat cereal without milk"),
        ("milk", "2% milk"),
        ("2% milk", "2 milk"),
        ("rye bread", "dry bread"),
        ("sugar-free jelly", "sugar jelly"),
        ("рис", "рожь"),
        ("米", "麦"),
        ("mac and cheese", "mac cheese"),
        ("cake", "pound cake"),
        ("15% cream", "1.5% cream"),
        ("no-salt crisps", "salt crisps"),
        ("half and half", "half"),
    ],
)
def test_different_foods_have_different_keys(a, b):
    assert name_key(a) != name_key(b)


@pytest.mark.parametrize("mark", ["²", "÷", "~", "*", "#", "@", "<", "=", "×", "!", "?", ":"])
def test_a_sign_that_may_mean_something_stays_in_the_key(mark):
    assert name_key(f"milk {mark}") != name_key("milk")


def test_keys_are_stable_and_never_raise(request):
    more = request.config.getoption("--long", default=False)

    @settings(max_examples=5000 if more else 150, deadline=None)
    @given(st.text(max_size=40))
    def law(text):
        key = name_key(text)
        assert name_key(text) == key
        assert name_key(text.upper()) == name_key(text.upper().upper())
        assert key == key.strip()
        assert "  " not in key
        assert all(not unicodedata.combining(c) for c in plain(text))

    law()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("a\nb\tc", "a\nb\tc"),
        ("oat\x1b[31mcereal\x1b[0m", "oat cereal "),
        ("oat\x1b]0;title\x07cereal", "oat cereal"),
        ("oat\x00cereal", "oat cereal"),
        ("oat\u202ecereal", "oat cereal"),
        ("oat\u200bcereal", "oat cereal"),
        ("oat\ud800cereal", "oat cereal"),
        ("oat\ue000cereal", "oat cereal"),
        ("oat\x9bcereal", "oat cereal"),
    ],
)
def test_what_a_terminal_would_obey_is_replaced_by_a_space(text, shown):
    assert printable(text) == shown


def test_printable_text_holds_no_control_character(request):
    more = request.config.getoption("--long", default=False)

    @settings(max_examples=5000 if more else 150, deadline=None)
    @given(st.text(max_size=60))
    def law(text):
        for character in printable(text):
            assert character in "\n\t" or unicodedata.category(character) not in {
                *("Cc", "Cf", "Cs", "Co"),
            }

    law()

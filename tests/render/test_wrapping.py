"""Lines of the screen: no word is broken that has room, no line is wider than the screen."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.render.wrapping import BOLD_OFF, BOLD_ON, cells, wrap

WORDS = st.text("abcdefgh12é世", min_size=1, max_size=14)


def width(text):
    """By Unicode's own tables: wide and full-width characters two columns, combining ones none
    (Unicode Standard Annex 11)."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


@given(st.lists(WORDS, min_size=1, max_size=9), st.integers(6, 30), st.integers(0, 2))
def test_no_word_is_broken_that_has_room_and_no_line_is_too_wide(words, columns, deeper):
    indent, hang = " ", " " + " " * deeper
    lines = wrap(" ".join(words), columns, indent, hang)
    assert all(width(line) <= columns for line in lines)
    assert "".join("".join(lines).split()) == "".join(words)
    told = [word for line in lines for word in line.split()]
    rooms = [columns - len(indent)] + [columns - len(hang)] * (len(words) - 1)
    for word, room in zip(words, rooms, strict=True):
        if width(word) <= room:
            assert word in told


@pytest.mark.parametrize("word", ["rice", "milk"])
def test_a_short_name_beside_figures_is_not_broken_though_lines_below_it_hang_deeper(word):
    assert wrap(word, 6, "  ", "    ") == [f"  {word}"]


@given(st.text(st.characters(codec="utf-8", exclude_characters=BOLD_ON + BOLD_OFF), max_size=20))
def test_columns_of_a_text_are_those_of_unicode_and_marks_have_none(text):
    assert cells(f"{BOLD_ON}{text}{BOLD_OFF}") == width(text)

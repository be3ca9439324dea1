"""Long lines for the ear end where a voice may pause."""

import re

from hypothesis import given
from hypothesis import strategies as st

from assistant.render.breath import LONGEST, breaths


def test_breaths__a_short_line_is_one() -> None:
    assert breaths("One. Two.") == ["One. Two."]


def test_breaths__ends_after_a_sentence_first() -> None:
    first, second = "a" * 120 + ".", "b " * 50 + "c."
    assert breaths(f"{first} {second}") == [first, second]


def test_breaths__then_after_a_comma() -> None:
    listed = ", ".join(f"food number {n}" for n in range(30)) + "."
    lines = breaths(listed)
    assert len(lines) > 1
    assert all(line.endswith((",", ".")) for line in lines)
    assert " ".join(lines) == listed


def test_breaths__never_part_a_figure_from_its_unit() -> None:
    for length in range(150, 220):
        text = "x " * (length // 2) + "10.5 grams of it " * 5
        assert not [line for line in breaths(text.strip()) if re.search(r"\d$", line)]


@given(st.lists(st.text("ab1,.", min_size=1, max_size=9), min_size=1, max_size=120))
def test_breaths__keep_every_word_in_order(words) -> None:
    text = " ".join(words)
    lines = breaths(text)
    assert " ".join(lines) == text
    for line in lines:
        assert len(line) <= LONGEST or not re.search(r"[,.\D]\s", line)

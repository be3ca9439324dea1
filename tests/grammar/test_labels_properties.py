"""Properties of the label reader: it never raises, its positions hold, no figure is misread.

Labels for the last property are written by the generator here, seeded, from names and units that
the reader does not supply, so that a wrong spelling table cannot agree with itself.
"""

import logging
import random
import re
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark

from assistant.shell.label_trials import HOSTILE
from grammar import label_tokens, labels
from grammar.label_nodes import LabelReading
from grammar.label_words import SPELLINGS, STEMS
from grammar.labels import LONGEST, looks_like_label, read_label

FRAGMENTS = (
    *("27 g", "<1 g", "Total Fat", "carbohydrate", "Includes 10g Added Sugars", "serving size"),
    *("per", "per 100 g", "(", ")", ",", "\n", "- ", "net carbs", "3", "1/2", "½", "O g", "5-6 g"),
    *("-8 g", "(g)", "10%", "%", "Ingredients: oats, (", "contains:", "may contain", "EAN 40"),
    *("e 500 g", "as prepared", "Nutrition Facts", "not a significant source of", "US label"),
    *("word", "/", "pour 1 tasse", "9 servings", "servings:", "per slice", "+ trans", "of which"),
    *("\x00", "é", "€", "١", "²", "1,2", "1.2.3", "9" * 50, "1/0", "Calories", "per serving"),
    *("[", "\t", "\u2028", "İ", "ſ", "K", "Lipides /", "contains less than 1 g", "Net Wt", "I|"),
)
PASTES = st.lists(
    st.tuples(st.sampled_from(FRAGMENTS), st.sampled_from(["", " ", "\n"])), max_size=25
).map(lambda parts: "".join(a + b for a, b in parts))

NAMES = {
    "Total Fat": ("fat", "g"),
    "Saturated Fat": ("saturated fat", "g"),
    "Trans Fat": ("trans fat", "g"),
    "Cholesterol": ("cholesterol", "mg"),
    "Sodium": ("sodium", "mg"),
    "Total Carbohydrate": ("carbohydrate", "g"),
    "Dietary Fiber": ("fibre", "g"),
    "Total Sugars": ("sugars", "g"),
    "Added Sugars": ("added sugars", "g"),
    "Sugar Alcohol": ("polyols", "g"),
    "Protein": ("protein", "g"),
    "Vitamin D": ("vitamin D", "mcg"),
    "Calcium": ("calcium", "mg"),
    "Iron": ("iron", "mg"),
    "Potassium": ("potassium", "mg"),
}


def spans(reading: LabelReading) -> list[tuple[str, int, int]]:
    found = [(d.said, d.start, d.end) for d in reading.doubts]
    found += [(u.said, u.start, u.end) for u in reading.unread]
    found += [(f.said, f.start, f.end) for c in reading.columns for f in c.figures.values()]
    if reading.serving is not None:
        found.append((reading.serving.said, reading.serving.start, reading.serving.end))
    return found


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(max_size=200), PASTES))
def test_any_text_is_read_without_an_error_and_positions_hold(text: str) -> None:
    looks_like_label(text)
    for said, start, end in spans(read_label(text)):
        assert 0 <= start < end <= len(text)
        assert text[start:end] == said


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="bdhkpqwvxz \n", min_size=1, max_size=60))
def test_no_word_is_dropped(text: str) -> None:
    told = " ".join(unread.said for unread in read_label(text).unread)
    assert told.split() == text.split()


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="bdhkpqwvxz", min_size=2, max_size=12))
def test_a_strange_word_inside_a_label_is_always_told(word: str) -> None:
    reading = read_label(f"serving 40 g, fat 3 g, {word}\ncarbohydrate 27 g")
    assert [unread.said for unread in reading.unread] == [word]
    assert reading.columns[0].figures["carbohydrate"].value == 27


def decimal(source: random.Random, digits: int) -> tuple[str, Fraction]:
    whole = source.randrange(0, 400)
    if digits == 0:
        return str(whole), Fraction(whole)
    part = source.randrange(0, 10**digits)
    return f"{whole}.{part:0{digits}d}", whole + Fraction(part, 10**digits)


@pytest.mark.parametrize("seed", range(60))
def test_every_figure_of_a_generated_label_is_read_exactly(seed: int) -> None:
    source = random.Random(seed)
    columns = source.choice([1, 2])
    gap, line = source.choice(["", " "]), source.choice(["\n", ", ", " ", "\n  "])
    heads = ["per serving", "per 100 g"][:columns]
    source.shuffle(heads)
    lines, expected = [" ".join(heads)], {}
    chosen = source.sample(sorted(NAMES), source.randrange(1, len(NAMES)))
    for name in chosen:
        ours, unit = NAMES[name]
        cells, values = [], []
        for _ in range(columns):
            text, value = decimal(source, source.choice([0, 0, 1, 2]))
            below = source.random() < 0.1
            per_cent = f" {source.randrange(0, 99)}%" if columns == 1 else ""
            cells.append(f"{'<' if below else ''}{text}{gap}{unit}{per_cent}")
            values.append((value, unit, below, len(text.partition(".")[2])))
        lines.append(f"{name} {' '.join(cells)}")
        expected[ours] = values
    reading = read_label(line.join(lines))
    assert (reading.doubts, reading.unread) == ((), ())
    assert [column.per for column in reading.columns] == [h.removeprefix("per ") for h in heads]
    for place, column in enumerate(reading.columns):
        read = {k: (f.value, f.unit, f.below, f.decimals) for k, f in column.figures.items()}
        assert read == {name: values[place] for name, values in expected.items()}


def steps(text: str) -> int:
    """The calls that reading the text takes, in Python and in its libraries: the same each time."""
    count = 0

    def seen(_frame: object, event: str, _arg: object) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        read_label(text)
        looks_like_label(text)
    finally:
        sys.setprofile(before)
    return count


@pytest.mark.parametrize("hostile", HOSTILE)
def test_a_hostile_text_of_twice_the_length_takes_no_more_than_twice_the_steps(
    hostile: str,
) -> None:
    """Steps in patterns are no calls; "countaloud bench reading" has the growth with those."""
    size = LONGEST // 20
    read_label(hostile)  # what is compiled once is not counted
    for text in (hostile * size, hostile + " " * size * 2):
        assert steps(text[: size * 2]) <= 2.3 * steps(text[:size]) + 1000


def test_steps_that_grow_with_the_square_are_seen() -> None:
    """The check of the check: the count sees work, and grows with it."""
    assert steps("fat 3 g\n" * 50) > 1.5 * steps("fat 3 g\n" * 25) > 100


def test_the_grammar_has_no_conflicts(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG, logger="lark")
    grammar = Path(label_tokens.__file__).with_name("label.lark").read_text(encoding="utf-8")
    Lark(grammar, parser="lalr", debug=True)
    assert [r.message for r in caplog.records if "onflict" in r.message] == []
    # The same watch sees a conflict where there is one.
    Lark('start: a | b\na: "x" "y"?\nb: a "y"', parser="lalr", debug=True)
    assert [r.message for r in caplog.records if "onflict" in r.message]


def test_a_megabyte_is_refused_unread() -> None:
    told = read_label("carbohydrate 27 g\n" * 60_000)
    assert [doubt.code for doubt in told.doubts] == ["too-long"]
    assert steps("carbohydrate 27 g\n" * 60_000) < steps("carbohydrate 27 g\n" * 1_000)


AHEAD = re.compile(r"\(\?[=!][^()]*(?:\([^()]*\)[^()]*)*\)")
"""A look at what comes behind: no part of a spelling."""


@pytest.mark.parametrize("pattern", [p for many in SPELLINGS.values() for p in many])
def test_every_spelling_of_a_nutrient_holds_one_of_the_stems(pattern):
    @given(st.from_regex(AHEAD.sub("", pattern), fullmatch=True))
    @settings(max_examples=20)
    def holds(spelling):
        assert any(stem in spelling.casefold() for stem in STEMS)

    holds()


@given(PASTES)
def test_a_text_that_is_passed_over_is_no_label_by_its_tokens_either(text):
    quick = looks_like_label(text)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(labels, "_may_be_label", lambda text: True)
        assert looks_like_label(text) == quick

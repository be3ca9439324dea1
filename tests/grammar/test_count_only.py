"""A word for a count alone, at either end of a meal, is one in every form of the sentence.

The wordings are common practice, no source: what people type when they want no dose.
"""

import pytest

from grammar.nodes import Phrase
from grammar.phrases import asks_count_only, read_phrase

FORMS = (
    *("2 slices of rye bread", "2 slices of rye bread, glucose 150 mg/dL", "rye bread 2 slices"),
    *("glucose 150 mg/dL, 2 slices of rye bread", "2 slices of rye bread, no reading"),
    *("70 g rye bread", "half a slice of rye bread plus 1.5 slices of rye bread", "milk"),
    *("2 slices of rye bread at 07:30", "2 slices of rye bread for breakfast"),
    *("2 slices of rye bread, 30% less", "2 slices of rye bread, going for a run"),
)
FRONT = (
    *("count", "just count", "only count", "please count", "can you count", "count only:"),
    *("carbs only", "just the carbs in", "no dose,", "no insulin,", "hi, just count", "count up"),
    *("give me the carbs for", "count the carbs in", "how many carbs in", "please just count"),
)
BEHIND = (
    *("count only", "just count", "no dose", "no insulin", "without a dose", "without insulin"),
    *("skip the dose", "carbs only", "just the carbs", "don't dose", "no bolus", "not dosing"),
)


def kinds(text):
    phrase = read_phrase(text)
    assert isinstance(phrase, Phrase)
    return [clause.kind for clause in phrase.clauses]


def names(text):
    phrase = read_phrase(text)
    assert isinstance(phrase, Phrase)
    return [piece[0].name for piece in phrase.pieces]


@pytest.mark.parametrize("form", FORMS)
def test_each_word_in_each_form_is_a_clause_and_no_food(form):
    plain = names(form)
    assert "count-only" not in kinds(form)
    for text in (
        *(f"{word} {form}" for word in FRONT),
        *(f"{form}, {word}" for word in BEHIND),
        *(f"{form} {word}" for word in BEHIND),
    ):
        assert "count-only" in kinds(text), text
        assert names(text) == plain, text


@pytest.mark.parametrize("lead", ["I'm having", "for lunch I had", "for lunch,", "ate", "lunch:"])
def test_openings_of_a_meal_stay_openings(lead):
    assert names(f"{lead} 2 slices of rye bread, no dose") == ["rye bread"]
    assert kinds(f"{lead} 2 slices of rye bread, no dose") == ["count-only"]


@pytest.mark.parametrize("text", ["log 2 slices of rye bread", "2 slices of no dose bread",
                                  "please log 2 slices of rye bread"])  # fmt: skip
def test_other_words_are_none(text):
    assert "count-only" not in kinds(text)


def test_the_words_alone():
    assert asks_count_only("no dose")
    assert asks_count_only("just count")
    assert not asks_count_only("no dose, milk")
    assert not asks_count_only("no reading")

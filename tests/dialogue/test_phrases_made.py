"""Phrases with known truth, made apart from the grammar: none is answered wrong.

Source of the truth: the generator's own tables (assistant.shell.phrase_maker), which import
nothing of the grammar, and the figures of the labels that it invents.
"""

from fractions import Fraction

import pytest
from msgspec.structs import replace

from assistant.shell.phrase_trials import Trial, judge, made, trials, world
from assistant.shell.phrase_truths import Truth

CHUNKS, MORE_CHUNKS, SIZE = 1, 10, 500
LONG_CHUNKS, LONG_SIZE = 100, 2000


def check(figures):
    for line in figures.lines():
        print(line)
    assert figures.right + figures.asked + figures.wrong == figures.tried
    shown = "\n".join(f"{e.kind}: {e.text!r} counted {e.counted}" for e in figures.wrong_examples)
    assert figures.wrong == 0, shown
    shown = "\n".join(f"{e.text!r}: {e.said}" for e in figures.asked_examples)
    assert figures.plain_right * 100 >= figures.plain_tried * 99, shown


@pytest.mark.parametrize("seed", range(CHUNKS))
def test_no_made_phrase_is_answered_wrong(seed):
    check(trials(SIZE, seed))


@pytest.mark.more
@pytest.mark.parametrize("seed", range(CHUNKS, MORE_CHUNKS))
def test_no_made_phrase_of_more_is_answered_wrong(seed):
    check(trials(SIZE, seed))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(1000, 1000 + LONG_CHUNKS))
def test_no_made_phrase_is_answered_wrong_in_two_hundred_thousand(seed):
    check(trials(LONG_SIZE, seed))


@pytest.mark.more
def test_the_trials_are_the_same_for_a_seed_and_hold_every_kind():
    first, again = list(made(7, 3000)), list(made(7, 3000))
    assert first == again
    assert first != list(made(8, 3000))
    assert len({t.kind for t in first}) == 12
    assert 0.4 < sum(t.plain for t in first) / len(first) < 0.6
    assert all(t.truth is not None for t in first if t.plain)
    assert sum(t.truth is None for t in first) > 500
    assert len({t.text for t in first}) > 2900


@pytest.fixture(scope="module")
def place():
    return world()


BREAD = Truth((("rye bread", Fraction("33.6")),))


def said(text, truth):
    return Trial(text, truth, True, "plain")


@pytest.mark.parametrize(
    ("text", "truth", "verdict"),
    [
        ("2 slices of rye bread", BREAD, "right"),
        # a count that is not the truth, by a gram or by a food
        ("3 slices of rye bread", BREAD, "wrong"),
        ("70 g of pound cake", BREAD, "wrong"),
        ("2 slices of rye bread and 1 egg", BREAD, "wrong"),
        # a count where only a question is right
        ("2 slices of rye bread", None, "wrong"),
        # a sentence that is no meal is not right
        ("count net carbohydrate", BREAD, "wrong"),
        ("2 slices of rye braed", BREAD, "asked"),
        ("2 slices of rye braed", None, "asked"),
        ("rye bread", None, "asked"),
    ],
)
def test_the_judge(place, text, truth, verdict):
    assert judge(place.say(text), said(text, truth)) == verdict


def test_the_judge_wants_each_portion_and_not_only_the_sum(place):
    text = "2 slices of rye bread and 1 egg"
    swapped = Truth((("rye bread", Fraction(1)), ("egg", Fraction("33.6"))))
    assert judge(place.say(text), said(text, swapped)) == "wrong"
    one = Truth((("rye bread", Fraction("34.6")),))
    assert judge(place.say(text), said(text, one)) == "wrong"


def test_the_judge_wants_the_glucose_that_was_said(place):
    text = "2 slices of rye bread, glucose 162"
    with_it = replace(BREAD, glucose=(Fraction(162), "mg/dL"))
    outcome = place.say(text, numbers=True)
    assert judge(outcome, said(text, with_it)) == "right"
    assert judge(outcome, said(text, BREAD)) == "wrong"
    other = replace(BREAD, glucose=(Fraction(126), "mg/dL"))
    assert judge(outcome, said(text, other)) == "wrong"


def test_the_judge_wants_a_wider_range_for_about(place):
    about = replace(BREAD, about=frozenset({0}))
    assert judge(place.say("2 slices of rye bread"), said("", about)) == "wrong"
    assert judge(place.say("about 2 slices of rye bread"), said("", about)) in {"right", "asked"}


def test_a_judge_that_sees_wrong_counts_fails_the_trials():
    """With another truth for one food the trials must tell of wrong counts."""
    place = world()
    wrong = 0
    for trial in made(3, 300):
        if not trial.plain or trial.truth is None or trial.truth.about:
            continue
        portions = tuple((food, grams + 1) for food, grams in trial.truth.portions)
        verdict = judge(place.say(trial.text, trial.numbers),
                        replace(trial, truth=replace(trial.truth, portions=portions)))  # fmt: skip
        assert verdict != "right"
        wrong += verdict == "wrong"
    assert wrong > 50

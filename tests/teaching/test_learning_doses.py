"""A learner who makes a mistake in a dose is told which one. All figures are worked by hand.

The meal counts 41.1 g (see test_learning_counts): 4.11 units at 1 unit per 10 g. The pen goes in
half units, rounded down, unless a row says otherwise.
"""

from datetime import timedelta

import pytest
from classroom import (
    IN_MMOL,
    MG,
    MMOL,
    NET,
    NOW,
    NUMBERS,
    OFF_CORRECTION,
    OFF_WHOLE,
    RATIO,
    REST,
    pupil,
    stage_with,
)  # fmt: skip

MEAL = "1.5 servings of the oat cereal plus 200 ml milk"
WHOLE_OFF = (NET, RATIO, *MG, OFF_WHOLE, *REST)

DOSES = [
    # (numbers, earlier dose, glucose, the learner's answer, the kind that is told)
    # 200: (200 - 110) / 45 = 2; 6.11; rounded down 6
    (NUMBERS, "", "200", "4", "correction-forgotten"),  # 4.11
    (NUMBERS, "", "200", "5", "other-ratio"),  # 41.1 / 12 = 3.425; 5.425
    (NUMBERS, "", "200", "413", "ratio-multiplied"),  # 41.1 x 10 = 411; 413
    (NUMBERS, "", "200", "6.5", "rounded-up"),
    (NUMBERS, "", "200", "6.11", "not-rounded"),
    (NUMBERS, "", "200", "6.1", "not-rounded"),
    (NUMBERS, "", "200", "2", "correction-taken-off-above-target"),  # 4.11 - 2 = 2.11
    # mg/dL changed into mmol/L without need: 200 is 11.1015; (11.1015 - 110) / 45 = -2.198; 1.912
    (NUMBERS, "", "200", "1.5", "glucose-converted-needlessly"),
    # 9 mmol/L is 162.1404 mg/dL: 1.1587; 5.2687; 5. Taken as 9 mg/dL: (9 - 110) / 45 = -2.244
    (NUMBERS, "", "9 mmol/L", "1.5", "glucose-unit-mixed"),  # 1.866
    # factor 2.5 and target 6 mmol/L. 200 mg/dL is 11.1015: 2.0406; 6.1506; 6
    (IN_MMOL, "", "200 mg/dL", "81.5", "glucose-unit-mixed"),  # (200 - 6) / 2.5 = 77.6; 81.71
    # 10 mmol/L: 1.6; 5.71; 5.5. As 180.156 mg/dL: 69.6624; 73.7724
    (IN_MMOL, "", "10", "73.5", "glucose-converted-needlessly"),
    # 83 mg/dL: -0.6; 3.51; 3.5
    (NUMBERS, "", "83", "4.5", "correction-added-below-target"),  # 4.71
    (NUMBERS, "", "83", "4", "correction-forgotten"),  # 4.11
    # 2 units 2 hours ago, 4 hours in a straight line: 1 is left; 2 - 1 = 1; 5.11; 5
    (NUMBERS, "took 2 units", "200", "6", "active-forgotten"),  # 6.11
    # at 110 there is no correction that it could come off: 4.11; 4
    (NUMBERS, "took 2 units", "110", "3", "active-off-whole"),  # 3.11
    (WHOLE_OFF, "took 2 units", "110", "4", "active-off-correction"),
    (WHOLE_OFF, "took 2 units", "110", "4", "active-forgotten"),
]


def at_breakfast(stage, earlier, glucose):
    if earlier:
        _, outcome, _ = stage.say(earlier, NOW)
        assert outcome.reply.status == "answered"
    at = NOW + timedelta(hours=2)
    learner = pupil(stage, f"{MEAL}, glucose {glucose}", at)
    return learner.answer("41.1")


@pytest.mark.more
@pytest.mark.parametrize(("numbers", "earlier", "glucose", "typed", "kind"), DOSES)
def test_a_mistake_in_a_dose_is_named(numbers, earlier, glucose, typed, kind):
    with stage_with(*numbers) as stage:
        learner = at_breakfast(stage, earlier, glucose).answer(typed)
    assert kind in learner.mistakes
    assert learner.last.verdict == "wrong"
    assert learner.last.mistakes == (kind,) or learner.last.unclear


RIGHT = [
    (NUMBERS, "", "200", "6"),
    (NUMBERS, "", "200", "6.0 units"),
    (NUMBERS, "", "200", "six"),
    (NUMBERS, "", "9 mmol/L", "5"),
    (IN_MMOL, "", "200 mg/dL", "6"),
    (NUMBERS, "", "83", "3.5"),
    (NUMBERS, "took 2 units", "200", "5"),
    (NUMBERS, "took 2 units", "110", "4"),
    (WHOLE_OFF, "took 2 units", "110", "3"),
]


@pytest.mark.parametrize(("numbers", "earlier", "glucose", "typed"), RIGHT)
def test_a_right_dose_gets_no_mistake(numbers, earlier, glucose, typed):
    with stage_with(*numbers) as stage:
        learner = at_breakfast(stage, earlier, glucose).answer(typed)
    assert learner.last.verdict == "right"
    assert not learner.mistakes
    assert "learn-dose-right" in learner.codes


def test_a_target_in_another_unit_than_the_factor_may_be_mixed_up():
    """Target 6 mmol/L, factor 45 mg/dL: 6 is 108.0936 mg/dL. Taken as 6: (200 - 6) / 45 = 4.311;
    8.42; 8. The right dose: (200 - 108.0936) / 45 = 2.0424; 6.1524; 6."""
    numbers = (NET, RATIO, MG[0], MMOL[1], OFF_CORRECTION, *REST)
    with stage_with(*numbers) as stage:
        learner = at_breakfast(stage, "", "200 mg/dL").answer("8")
        assert "target-unit-mixed" in learner.mistakes


def test_a_dose_for_the_learners_own_count_is_named():
    """The milk forgotten: 31.5 g, 3.15 units and 2 of correction: 5.15; 5."""
    with stage_with(*NUMBERS) as stage:
        learner = pupil(stage, f"{MEAL}, glucose 200").answer("31.5").answer("5")
    assert "own-count" in learner.mistakes


def test_two_mistakes_in_a_dose():
    """2 units of correction forgotten, and rounded up: 4.11; 4.5."""
    with stage_with(*NUMBERS) as stage:
        learner = at_breakfast(stage, "", "200").answer("4.5")
    told = {way.id for found in learner.lesson.found for ways in found.ways for way in ways}
    many = any(found.many for found in learner.lesson.found)
    assert many or {"correction-forgotten", "rounded-up"} <= told


def test_the_working_of_a_dose_shows_where_it_parts():
    with stage_with(*NUMBERS) as stage:
        learner = at_breakfast(stage, "", "200").answer("413")
    codes = learner.codes
    assert codes[codes.index("work-parts-here") - 1] == "work-meal-from"


def test_a_dose_is_judged_in_steps_of_the_pen():
    """4 for 6 units is 2 units, 4 steps of half a unit."""
    with stage_with(*NUMBERS) as stage:
        learner = at_breakfast(stage, "", "200").answer("4")
    steps = next(line for reply in learner.replies for line in reply.lines
                 if line.code == "judge-steps")  # fmt: skip
    assert steps.args["steps"].value == 4


def test_no_dose_is_the_answer_of_nought():
    """2 crackers' worth of nothing: 10 ml of milk, 0.48 g, on target: 0.048; 0."""
    with stage_with(*NUMBERS) as stage:
        learner = pupil(stage, "10 ml milk, glucose 110").answer("0.48").answer("0")
    assert learner.last.verdict == "right"


# Refusals


def refused(stage, said, at=NOW):
    return pupil(stage, said, at).until("dose")


def test_a_refusal_is_asked_for_as_any_dose_is():
    """The question gives nothing away: it is the same for a dose and a refusal."""
    with stage_with(*NUMBERS) as stage:
        low = refused(stage, f"{MEAL}, glucose 60")
        usual = refused(stage, f"{MEAL}, glucose 200")
    asked = [line for line in low.replies[-1].lines if line.role == "question"]
    assert asked == [line for line in usual.replies[-1].lines if line.role == "question"]


def test_refused_is_right_and_then_the_rule_is_asked():
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, f"{MEAL}, glucose 60").answer("refused")
        assert learner.last.verdict == "right"
        assert learner.lesson.wanted.kind == "rule"
        assert len(learner.lesson.wanted.choices) == 6
        number = learner.lesson.wanted.choices.index("glucose-low") + 1
        learner.answer(str(number))
    assert learner.last.kind == "rule"
    assert learner.last.verdict == "right"


@pytest.mark.parametrize("words", ["the glucose is low", "glucose low", "low glucose"])
def test_a_rule_may_be_said_in_words(words):
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, f"{MEAL}, glucose 60").answer("refused").answer(words)
    assert learner.last.verdict == "right"


def test_another_rule_is_told_with_the_right_one():
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, f"{MEAL}, glucose 60").answer("refused")
        wrong = next(r for r in learner.lesson.wanted.choices if r != "glucose-low")
        number = learner.lesson.wanted.choices.index(wrong) + 1
        learner.answer(str(number))
    assert "learn-rule-wrong" in learner.codes
    assert "the glucose is low" in learner.text
    assert learner.last.mistakes == ("other-rule",)


@pytest.mark.parametrize(
    "words", ["7", "0", "99", "x", "dose", "the dose", "refused", "1 and 2", ""]
)
def test_words_that_choose_no_one_rule_are_asked_again(words):
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, "2000 ml milk, glucose 200").answer("refused")
        marks = learner.lesson.marks
        learner.answer(words)
    assert learner.lesson.marks == marks
    assert learner.lesson.wanted.kind == "rule"


def test_refused_where_there_is_a_dose():
    with stage_with(*NUMBERS) as stage:
        learner = at_breakfast(stage, "", "200").answer("refused")
    assert "learn-not-refused" in learner.codes
    assert learner.last.mistakes == ("refused-where-dose",)


def test_a_dose_where_it_is_refused():
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, f"{MEAL}, glucose 60").answer("0.77")
    assert "learn-was-refused" in learner.codes
    assert learner.last.mistakes == ("dose-where-refused",)
    assert learner.lesson.over  # which rule it is was told


def test_the_cap_is_no_answer_above_the_cap():
    """200 g of crackers' worth: 2000 ml milk is 96 g: 9.6 + 2 = 11.6 units; the cap is 8."""
    with stage_with(*NUMBERS) as stage:
        learner = refused(stage, "2000 ml milk, glucose 200").answer("8")
    assert learner.last.mistakes == ("cap-in-place-of-refusal",)


def test_a_refused_dose_is_never_told():
    with stage_with(*NUMBERS) as stage:
        for typed in ("8", "11.5", "3", "skip", "why", "hint", "refused"):
            learner = refused(stage, "2000 ml milk, glucose 200").answer(typed)
            assert "11.6" not in learner.text
            assert typed == "11.5" or "11.5 units" not in learner.text


def test_a_low_without_a_count_is_asked_about_the_dose_alone():
    """The food is not known, so there is no count; the low is told first all the same."""
    with stage_with(*NUMBERS) as stage:
        from assistant.teaching.exercise import exercise_of

        exercise = exercise_of(stage, "some plum cake, glucose 55", NOW)
    assert exercise is not None
    assert [w.kind for w in exercise.wanted] == ["dose", "rule"]


def test_labels_numbers_and_earlier_doses_are_shown_before_the_question():
    with stage_with(*NUMBERS) as stage:
        stage.say("took 2 units", NOW)
        learner = pupil(stage, f"{MEAL}, glucose 200", NOW + timedelta(hours=2))
    text = learner.text
    assert "The label of oat cereal says" in text
    assert "The label of milk says" in text
    assert "2 units at 07:30, 2 hours ago" in text
    assert "Correction factor: 45 milligrams per decilitre per unit" in text

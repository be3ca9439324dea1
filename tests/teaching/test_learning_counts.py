"""A learner who makes a mistake in a count is told which one. All figures are worked by hand."""

import pytest
from classroom import HALVED, NET, TOTAL, pupil, stage_with

CEREAL_AND_MILK = "1.5 servings of the oat cereal plus 200 ml milk"
# net: 1.5 x (27 - 6) = 31.5; milk 2 x 4.8 = 9.6; together 41.1

COUNTS = [
    # (way to count, meal, the learner's answer, the kind that is told)
    (NET, CEREAL_AND_MILK, "31.5", {"forgot"}),  # the milk
    (NET, CEREAL_AND_MILK, "9.6", {"forgot"}),  # the cereal
    (NET, CEREAL_AND_MILK, "50.1", {"counted-total-of"}),  # 1.5 x 27 + 9.6
    (NET, CEREAL_AND_MILK, "30.6", {"one-of-many"}),  # 21 + 9.6
    (NET, CEREAL_AND_MILK, "36.3", {"as-printed"}),  # 31.5 + 4.8
    (NET, CEREAL_AND_MILK, "198.6", {"whole-pack"}),  # 9 x 21 + 9.6
    (NET, CEREAL_AND_MILK, "69.6", {"weight-as-carbohydrate"}),  # 60 g + 9.6
    (NET, CEREAL_AND_MILK, "231.5", {"weight-as-carbohydrate"}),  # 31.5 + 200 ml
    (NET, CEREAL_AND_MILK, "22.2", {"serving-as-hundred"}),  # 21 x 60 / 100 + 9.6
    # 70 g of bread: 70 x 42 / 100 = 29.4
    (NET, "2 slices of rye bread", "23.45", {"fibre-outside"}),  # 70 x (42 - 8.5) / 100
    (TOTAL, "2 slices of rye bread", "23.45", {"fibre-outside"}),
    (NET, "2 slices of rye bread", "84", {"hundred-as-serving"}),  # 2 x 42
    (NET, "2 slices of rye bread", "42", {"as-printed"}),
    (NET, "2 slices of rye bread", "70", {"weight-as-carbohydrate"}),
    (NET, "2 slices of rye bread", "14.7", {"one-of-many", "one-serving"}),
    # crackers: 5 are a serving of 10 - 1 = 9
    (NET, "10 crackers", "90", {"pieces-as-servings"}),  # 10 x 9 in place of 2 x 9
    (NET, "5 crackers", "45", {"pieces-as-servings"}),  # 5 x 9 in place of 1 x 9
    (NET, "10 crackers", "9", {"one-serving"}),
    (NET, "10 crackers", "1.8", {"one-of-many"}),
    (NET, "10 crackers", "20", {"counted-total-of"}),
    (TOTAL, "10 crackers", "18", {"counted-net-of"}),
    (NET, "2 servings of crackers", "90", {"pieces-as-servings"}),  # 2 x 5 pieces
    (NET, "10 crackers", "108", {"whole-pack"}),  # 12 x 9
    # mint bars: 24 - 3 - half of 10 = 16 each
    (NET, "2 mint bars", "22", {"polyols-whole"}),  # 2 x (24 - 3 - 10)
    (NET, "2 mint bars", "42", {"polyols-none"}),  # 2 x (24 - 3)
    (NET, "2 mint bars", "48", {"counted-total-of"}),
    (TOTAL, "2 mint bars", "32", {"counted-net-of"}),
    (TOTAL, "2 mint bars", "38", {"polyols-half"}),  # 2 x (24 - 5)
    (TOTAL, "2 mint bars", "28", {"polyols-whole"}),  # 2 x (24 - 10)
    # over 5 g halved: 1.5 x (27 - 3) = 36
    (HALVED, "1.5 servings of oat cereal", "31.5", {"counted-net-of"}),
    (HALVED, "1.5 servings of oat cereal", "40.5", {"counted-total-of"}),
    (NET, "1.5 servings of oat cereal", "36", {"counted-fibre-over-5-of"}),
    # both breads of two foods: 23.45 + 200 ml juice of 9 g and 0.5 g fibre in 100: 18 - 1 = 17
    (NET, "2 slices of rye bread and 200 ml plum juice", "40.45", {"fibre-outside"}),
    # two mint bars and a serving of ginger drops: 2 x (24 - 3 - 10) + (20 - 8) = 34
    (NET, "2 mint bars and 1 serving of ginger drops", "34", {"polyols-whole"}),
    # all of the meal: 1.5 x 27 + 2 x 10 = 60.5, net 31.5 + 18
    (NET, "1.5 servings of oat cereal and 10 crackers", "60.5", {"counted-total"}),
]


@pytest.mark.more
@pytest.mark.parametrize(("policy", "meal", "typed", "kinds"), COUNTS)
def test_a_mistake_in_a_count_is_named(policy, meal, typed, kinds):
    with stage_with(policy) as stage:
        learner = pupil(stage, meal).until("count").answer(typed)
    assert learner.mistakes == kinds
    assert learner.last.verdict == "wrong"


RIGHT = [
    (NET, CEREAL_AND_MILK, "41.1"),
    (NET, CEREAL_AND_MILK, "41"),  # rounded to whole grams
    (NET, CEREAL_AND_MILK, "forty-one"),
    (NET, "2 slices of rye bread", "29.4"),
    (NET, "2 slices of rye bread", "29"),
    (TOTAL, "2 mint bars", "48 g"),
    (HALVED, "1.5 servings of oat cereal", "36 grams of carbohydrate"),
]


@pytest.mark.parametrize(("policy", "meal", "typed"), RIGHT)
def test_a_right_count_gets_no_mistake(policy, meal, typed):
    with stage_with(policy) as stage:
        learner = pupil(stage, meal).until("count").answer(typed)
    assert learner.last.verdict == "right"
    assert not learner.mistakes
    assert not {"learn-no-way", "learn-many-ways", "learn-could-be"} & set(learner.codes)
    assert not [code for code in learner.codes if "part" in code and "here" in code]


def test_the_food_that_was_forgotten_is_named():
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("31.5")
    assert "without milk" in learner.text


def test_a_mistake_is_told_even_within_ten_grams():
    """Forgetting the milk is 9.6 g off: within 10 g, not within 20 per cent (8.22 g)."""
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("31.5")
    assert "judge-grams-only" in learner.codes
    assert learner.mistakes == {"forgot"}
    assert learner.last.in_grams is True
    assert learner.last.in_share is False


def test_two_mistakes_at_once_are_tried_when_no_single_one_fits():
    """One serving in place of 1.5, and the milk forgotten: 21 g."""
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("21")
    assert "learn-pair" in learner.codes
    assert learner.mistakes == {"forgot", "one-of-many"}


def test_several_ways_to_one_figure_are_all_named():
    """1 slice: forgetting that there were 2, or counting a serving, are both 14.7 g."""
    with stage_with(NET) as stage:
        learner = pupil(stage, "2 slices of rye bread").until("count").answer("14.7")
    assert "learn-could-be" in learner.codes
    assert learner.last.unclear
    assert learner.last.mistakes == ()


def test_a_figure_of_no_known_mistake_is_told_as_such():
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("977.13")
    assert "learn-no-way" in learner.codes
    assert not learner.mistakes


def test_the_working_shows_the_step_at_which_the_figure_parts():
    """Total in place of net parts at the line that takes the fibre off."""
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("50.1")
    codes = learner.codes
    assert codes[codes.index("count-parts-here") - 1] == "count-less-fibre"


def test_the_step_of_a_later_food_is_marked_at_that_food():
    with stage_with(NET) as stage:
        learner = pupil(stage, CEREAL_AND_MILK).answer("36.3")
    lines = [line for line in learner.replies[-1].lines if line.role in {"portion", "working"}]
    at = [line.code for line in lines].index("count-parts-here")
    before = [line for line in lines[:at] if line.role == "portion"]
    assert before[-1].args["food"].text == "milk"
    assert lines[at - 1].code == "step-reference"


def test_what_a_converted_portion_weighs_is_asked_first():
    """2 slices of 35 g are 70 g; half a cup of cereal is a serving, and no grams are needed."""
    with stage_with(NET) as stage:
        learner = pupil(stage, "2 slices of rye bread")
        assert [w.kind for w in learner.exercise.wanted] == ["portion", "count"]
        assert "grams" in learner.text
        learner.answer("70 g")
        assert learner.last.verdict == "right"
        other = pupil(stage, "1/2 cup of oat cereal")
        assert [w.kind for w in other.exercise.wanted] == ["count"]


def test_a_wrong_weight_is_recognised():
    with stage_with(NET) as stage:
        learner = pupil(stage, "2 slices of rye bread").answer("35")
    assert "learn-portion-below" in learner.codes
    assert "one-of-many" in learner.mistakes


def test_a_volume_is_asked_in_millilitres():
    """A law's cup is 240 mL on a US label (21 CFR 101.9(b)(5)(viii)); a pack of 2 is 480 mL."""
    soup = ("new food bean soup: US label, serving 240 ml, 2 servings, carbohydrate 22 g, "
            "fibre 7 g",)  # fmt: skip
    with stage_with(TOTAL, foods=soup) as stage:
        learner = pupil(stage, "1 cup of bean soup")
        assert learner.lesson.wanted.kind == "portion"
        learner.answer("250 g")
        assert "learn-other-unit-ml" in learner.codes
        learner.answer("240")
        assert learner.last.verdict == "right"


def test_an_answer_to_an_open_question_is_asked_about_with_its_whole_sentence():
    """The amount was asked for; the turn is "2 slices", and the meal is rye bread all the same."""
    with stage_with(NET) as stage:
        stage.say("rye bread", stage_time())
        learner = pupil(stage, "2 slices").until("count").answer("42")
    assert learner.mistakes == {"as-printed"}


def stage_time():
    from classroom import NOW

    return NOW


def test_a_turn_without_a_count_has_no_question():
    from assistant.teaching.exercise import exercise_of

    with stage_with(NET) as stage:
        for text in ("today", "some bread", "help", "", "new food jam: EU label, per 100 g: "
                     "carbohydrate 60 g"):  # fmt: skip
            assert exercise_of(stage, text, stage_time()) is None

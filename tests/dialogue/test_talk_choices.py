"""Words that a question invites choose what they name. laws.py tries each choice of each talk."""

from fractions import Fraction

import pytest
from talk import MILK


@pytest.mark.parametrize("word", ["millimoles per litre", "mmol/L", "2", "Millimoles per litre."])
def test_a_unit_is_chosen_as_it_is_heard(empty, word):
    empty.say("set up")
    empty.say(word)
    assert empty.settings().glucose_unit == "mmol/L"


@pytest.mark.parametrize("before", [(), ("mg/dL",), ("mg/dL", "US"), ("mg/dL", "US", "net")])
def test_count_only_leaves_out_the_numbers_at_each_question_of_set_up(empty, before):
    empty.say("set up")
    for answer in before:
        empty.say(answer)
    found = empty.say("count only")
    for _ in range(3 - len(before)):  # what is needed to count is still asked
        assert found.reply.question.kind == "set-up"
        found = empty.say("skip")
    assert "setup-count-only" in found.codes


@pytest.mark.parametrize(
    ("left_out", "word", "name", "value"),
    [("ratio, factor, target, duration", "straight", "active_shape", "line"),
     ("ratio, factor, target, duration", "curve", "active_shape", "curve"),
     ("ratio, factor, target, duration, active shape, active rule, pen step", "down", "rounding",
      "down")],
)  # fmt: skip
def test_a_word_of_one_choice_alone_chooses_it_in_set_up(counting, left_out, word, name, value):
    counting.say(f"set up, without glucose unit, label region, {left_out}")
    counting.say(word)
    assert getattr(counting.settings(), name) == value


def test_words_that_do_not_fit_set_up_leave_its_hint(counting):
    counting.say("set up, without glucose unit, label region")
    found = counting.say("straight")
    assert "setup-unfit" in found.codes
    assert "skip" in found.text


def test_always_is_invited_only_where_it_is_kept(counting):
    found = counting.say("10 thin crackers")
    assert found.reply.question.choices[0].remember is None
    assert "always" not in found.text
    told = counting.say("1 always")
    assert told.counted is not None
    assert "not-remembered" in told.codes
    assert "always" in counting.say("2 servings of oat cereel").text


@pytest.mark.parametrize("answer", ["1", "ml", "200 ml", "millilitres"])
def test_a_bare_figure_may_be_of_the_labels_own_unit(counting, answer):
    asked = counting.say("200 milk")
    assert asked.choices[0] == "200 millilitres."
    assert counting.say(answer).counted == Fraction("9.6")


def test_another_amount_answers_what_is_counted(counting):
    counting.say("200 milk")
    assert counting.say("150 ml").counted == Fraction("7.2")


def test_measures_of_one_and_of_many(empty):
    empty.all(MILK.replace("per 100 ml", "serving 1 glass (250 ml), per 100 ml"),
              "count net carbohydrate")  # fmt: skip
    assert "2 servings." in empty.say("2 milk").choices
    empty.say("cancel")
    assert "1 serving." in empty.say("1 milk").choices


def test_a_comma_in_a_dose_is_asked_with_yes_and_no(dosing):
    found = dosing.say("took 3,5 units")
    assert found.codes[0] == "ask-comma-one"
    dosing.say("1")
    assert [float(d.units) for d in dosing.events("dose-taken")] == [3.5]


@pytest.mark.parametrize(("answer", "units"), [("1 unit", 1.0), ("4.5", 4.5)])
def test_units_answer_it_too(dosing, answer, units):
    dosing.say("took 3,5 units")
    dosing.say(answer)
    assert [float(d.units) for d in dosing.events("dose-taken")] == [units]


def test_no_leaves_the_dose_unsettled(dosing):
    dosing.say("took 3,5 units")
    dosing.say("no")
    assert not dosing.events("dose-taken")
    assert "unsettled-dose" in dosing.say("1 serving of oat cereal, glucose 130").rules


# Internals are not shown, and figures agree with their words


def test_sentences_that_the_program_built_are_shown_as_the_user_would_say_them(dosing):
    dosing.all("2 slices rye bread, glucose 130", "not taken")
    dosing.say("no, 3 slices")
    assert "change the last meal" not in dosing.say("today").text
    dosing.say("guide me through a label")
    dosing.say("corn flakes")
    assert "label guide" not in dosing.say("today").text
    dosing.say("cancel")
    dosing.all("took 2 units")
    dosing.say("undo")
    undone = dosing.say("yes")
    assert "undo turn" not in undone.text
    assert not dosing.events("dose-taken")


def test_the_cap_over_hours_without_a_dose_says_so(dosing):
    dosing.all("never more than 3 units in 4 hours")
    found = dosing.say("3 slices rye bread, glucose 130")
    assert found.rules == ["over-window-cap"]
    assert "No units were taken in the last 4 hours" in found.text
    assert "0 units" not in found.text


def test_one_unit_is_singular(dosing):
    dosing.all("1 serving of rye bread, glucose 110")
    found = dosing.say("no, 2 slices")
    assert "The suggestion before the change was" in found.text
    assert "were" not in found.text
    dosing.say("cancel")
    dosing.say("drop the suggestion")
    dosing.say("I took it")
    assert "took 1 units" not in dosing.say("1").text


def test_the_other_sugar_alcohol_is_told_as_the_other(empty):
    empty.all(
        "count net carbohydrate",
        "erythritol counts as zero",
        "new food night chocolate: US label, serving 30 g, carbohydrate 18 g, fibre 3 g, "
        "sugar alcohol 8 g, erythritol 5 g",
    )
    found = empty.say("1 serving of night chocolate")
    assert "It has 3 grams of other sugar alcohol." in found.text


def test_why_ends_with_the_dose_and_not_with_its_own_heading(dosing):
    from assistant.render.sighted import answer_of

    dosing.all("2 slices rye bread, glucose 130")
    for then in (None, "not taken"):
        if then:
            dosing.say(then)
        again = answer_of(dosing.say("why").reply)
        assert [line.code for line in again.lines] == ["suggested-then" if then else "suggest"]
    dosing.say("2 slices rye bread, glucose 50")
    again = answer_of(dosing.say("why").reply)
    assert "why" not in [line.code for line in again.lines]
    assert any(line.role == "refusal" for line in again.lines)


def test_why_of_a_count_ends_with_the_count(counting):
    from assistant.render.sighted import answer_of

    counting.all("200 ml milk")
    again = answer_of(counting.say("why").reply)
    assert [line.code for line in again.lines] == ["answer-count"]

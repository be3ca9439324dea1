"""What a learner may type, how a count is judged, and what the summary says."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest
from classroom import NET, NOW, NUMBERS, Pupil, pupil, stage_with
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.render.spoken import spoken
from assistant.render.texts import TEXTS
from assistant.teaching.answers import Doubt, Given, Refused, Spoken, read_answer
from assistant.teaching.judging import judge_count, pen_steps
from assistant.teaching.learner import Mark
from assistant.teaching.summary import kept_line, read_kept, summed, told_summary

FIGURES = [
    ("42", "42"), (" 42 ", "42"), ("42g", "42"), ("42 g", "42"), ("42 grams", "42"),
    ("42 g of carbs", "42"), ("42.5", "42.5"), ("42.", "42"), ("0", "0"), ("0 g", "0"),
    ("zero", "0"), ("½", "0.5"), ("1/2", "0.5"), ("4 1/2", "4.5"), ("forty-two", "42"),
    ("one and a half", "1.5"), ("42!", "42"), ("FORTY", "40"), ("200", "200"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "value"), FIGURES)
def test_a_figure_is_read_as_the_grammar_reads_it(typed, value):
    found = read_answer(typed, "g", dose=False)
    assert isinstance(found, Given)
    assert found.value == Fraction(value)


DOUBTS = [
    ("42,5", "learn-two-readings"),
    ("1,250", "learn-two-readings"),
    ("40-50", "learn-one-figure"),
    ("between 40 and 50", "learn-one-figure"),
    ("-4", "learn-negative"),
    ("999999999", "learn-huge"),
    ("50%", "learn-no-figure"),
    ("about 42", "learn-no-figure"),
    ("42 or so", "learn-no-figure"),
    ("42 43", "learn-no-figure"),
    ("dunno", "learn-no-figure"),
    ("a couple", "learn-no-figure"),
    ("42 ml", "learn-other-unit-g"),
    ("42 units", "learn-other-unit-g"),
    ("1/0", "learn-no-figure"),
    ("42 g less", "learn-no-figure"),
    ("", "learn-empty"),
    ("   ", "learn-empty"),
    ("...", "learn-no-figure"),
    ("nan", "learn-no-figure"),
    ("1e3", "learn-no-figure"),
    ("4" * 300, "learn-no-figure"),
    ("refused", "learn-refused-is-for-doses"),
]


@pytest.mark.parametrize(("typed", "code"), DOUBTS)
def test_what_is_no_clear_figure_is_asked_again(typed, code):
    found = read_answer(typed, "g", dose=False)
    assert isinstance(found, Doubt)
    assert found.code == code
    assert code in TEXTS


def test_a_comma_is_told_with_what_it_could_be():
    with stage_with(NET) as stage:
        learner = pupil(stage, "200 ml milk").answer("9,6")
        assert "9.6" in learner.text
        assert learner.lesson.marks == ()
        assert learner.answer("9.6").last.verdict == "right"


@pytest.mark.parametrize("typed", ["refused", "Refused.", "it is refused", "refuse"])
def test_refused_answers_a_dose(typed):
    assert isinstance(read_answer(typed, "unit", dose=True), Refused)


@pytest.mark.parametrize("typed", ["no dose", "none", "nothing"])
def test_words_between_nought_and_refused_are_asked_again(typed):
    """0 units and a refusal are two things."""
    assert isinstance(read_answer(typed, "unit", dose=True), Doubt)


@pytest.mark.parametrize(
    ("typed", "word"),
    [("skip", "skip"), ("Skip.", "skip"), ("I don’t know", "skip"), ("hint", "hint"),
     ("why", "why"), ("why?", None), ("stop", "stop"), ("bye", "stop"), ("help", "help"),
     ("?", "help"), ("labels", "labels")],
)  # fmt: skip
def test_words_of_the_lesson(typed, word):
    found = read_answer(typed, "g", dose=False)
    assert found == Spoken(word) if word else isinstance(found, Spoken | Doubt)


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=80))
def test_any_text_is_a_figure_a_word_or_a_doubt_with_a_sentence(text):
    found = read_answer(text, "unit", dose=True)
    if isinstance(found, Doubt):
        assert found.code in TEXTS
    if isinstance(found, Given):
        assert found.value >= 0
        assert found.places >= 0


def test_any_row_of_answers_is_answered():
    with stage_with(*NUMBERS) as stage:
        fresh = pupil(stage, "2 slices of rye bread, glucose 60")

    @settings(max_examples=60, deadline=None)
    @given(st.lists(st.text(max_size=30), max_size=6))
    def answers(texts):
        learner = Pupil(fresh.exercise, fresh.lesson)
        for text in texts:
            if learner.lesson.over:
                break
            learner.answer(text)
            assert learner.replies or learner.lesson.stopped

    answers()


# Judging: within 10 g (Smart and others 2012), within 20 per cent (Deeb and others 2017)


@pytest.mark.parametrize(
    ("given_g", "exact", "code"),
    [
        # of 60 g, 20 per cent are 12 g
        ("70", "60", "judge-both"),
        ("50", "60", "judge-both"),
        ("70.01", "60", "judge-share-only"),
        ("72", "60", "judge-share-only"),
        ("72.01", "60", "judge-neither"),
        ("48", "60", "judge-share-only"),
        ("47.99", "60", "judge-neither"),
        # of 20 g, 20 per cent are 4 g
        ("24", "20", "judge-both"),
        ("24.01", "20", "judge-grams-only"),
        ("30", "20", "judge-grams-only"),
        ("30.01", "20", "judge-neither"),
        # the sources' own: 60 g held for 50 to 70, and not for 40 or 80
        ("40", "60", "judge-neither"),
        ("80", "60", "judge-neither"),
        # of nothing, 20 per cent are nothing
        ("0", "0", "judge-both"),
        ("1", "0", "judge-grams-only"),
        # of 50 g both bounds are the same 10 g
        ("60", "50", "judge-both"),
        ("60.001", "50", "judge-neither"),
    ],
)
def test_the_bounds_of_the_published_standard(given_g, exact, code):
    judged = judge_count(Fraction(given_g), Fraction(exact))
    assert judged.code == code
    assert judged.off == Fraction(given_g) - Fraction(exact)


def test_a_share_is_exact_where_decimals_never_end():
    """20 per cent of 100/3 g is 20/3 g: the bound itself is within, the next figure is not."""
    exact = Fraction(100, 3)
    assert judge_count(exact + Fraction(20, 3), exact).in_share
    assert not judge_count(exact + Fraction(20, 3) + Fraction(1, 10**12), exact).in_share


def test_the_sources_are_named_beside_the_figures():
    for code in ("judge-both", "judge-grams-only", "judge-share-only", "judge-neither"):
        assert "10 grams of the count (Smart and others, 2012)" in TEXTS[code] or (
            "10 grams of it (Smart and others, 2012)" in TEXTS[code]
        )
        assert "(Deeb and others, 2017)" in TEXTS[code]


def test_the_exact_difference_is_told():
    with stage_with(NET) as stage:
        learner = pupil(stage, "200 ml milk").answer("12.35")  # 9.6 + 2.75
    assert "2.75 grams above" in learner.text


def test_steps_of_the_pen():
    assert pen_steps(Fraction(4), Fraction(6), Fraction(1, 2)) == 4
    assert pen_steps(Fraction("5.25"), Fraction(5), Fraction(1, 2)) == Fraction(1, 2)


# The lesson


def test_a_hint_keeps_the_question_open_and_tells_no_answer():
    with stage_with(*NUMBERS) as stage:
        learner = pupil(stage, "200 ml milk, glucose 200")
        for word in ("hint", "again", "labels", "numbers", "help"):
            learner.answer(word)
            assert learner.lesson.position == 0
            assert "9.6" not in learner.text
            assert learner.replies[0].question is not None


def test_skip_tells_the_answer_and_counts_for_nothing():
    with stage_with(NET) as stage:
        learner = pupil(stage, "200 ml milk").answer("skip")
    assert "9.6 grams" in learner.text
    assert learner.last.verdict == "skipped"
    assert learner.lesson.over


def test_why_shows_the_working_and_judges_nothing_more():
    with stage_with(*NUMBERS) as stage:
        learner = pupil(stage, "200 ml milk, glucose 200").answer("why")
    assert "100 millilitres has 4.8 grams of carbohydrate" in learner.text
    assert {mark.verdict for mark in learner.lesson.marks} == {"shown"}
    assert learner.lesson.over


def test_stop_keeps_what_was_answered():
    with stage_with(*NUMBERS) as stage:
        learner = pupil(stage, "200 ml milk, glucose 200").answer("9.6").answer("stop")
    assert learner.lesson.stopped
    assert [mark.verdict for mark in learner.lesson.marks] == ["right"]


# The summary

MARKS = (
    Mark("count", "right", in_grams=True, in_share=True),
    Mark("count", "wrong", ("forgot",), in_grams=True, in_share=False),
    Mark("count", "wrong", ("forgot",), in_grams=False, in_share=False),
    Mark("dose", "wrong", ("correction-forgotten", "rounded-up")),
    Mark("dose", "wrong", unclear=True),
    Mark("rule", "right"),
    Mark("dose", "skipped"),
    Mark("count", "shown"),
)


def test_the_summary_counts_by_kind():
    summary = summed(MARKS, "breakfast", NOW)
    assert (summary.answered, summary.right, summary.skipped) == (6, 2, 2)
    assert (summary.counts, summary.within_10_g, summary.within_20_percent) == (3, 2, 1)
    assert dict(summary.mistakes) == {"forgot": 2, "correction-forgotten": 1, "rounded-up": 1}
    assert summary.unclear == 1
    text = spoken(told_summary(summary))
    assert "Of 3 counts: 2 within 10 grams, 1 within 20 percent." in text
    assert "2 times: a food forgotten." in text
    assert "1 time: the correction forgotten." in text


def test_an_earlier_summary_is_told_with_its_time():
    now = datetime(2026, 3, 9, 12, 0, tzinfo=UTC)
    old = summed(MARKS, "breakfast", now - timedelta(days=7))
    text = spoken(told_summary(summed((), "lunch", now), old))
    assert "Last time, at 12:00 on 2 March 2026, with breakfast: answered 6, right 2." in text
    assert "a food forgotten" in text


def test_a_kept_summary_is_one_line_and_comes_back_whole():
    summary = summed(MARKS, "Ines' café\nbreakfast", NOW)
    line = kept_line(summary)
    assert "\n" not in line
    assert read_kept(line) == summary


@pytest.mark.parametrize("line", ["", "{}", "nonsense", '{"at": 1}', "[]"])
def test_a_line_that_is_no_summary_is_none(line):
    assert read_kept(line) is None


def test_every_mistake_that_can_be_told_has_its_two_texts():
    mistakes = {code[8:] for code in TEXTS if code.startswith("mistake-")}
    kinds = {code[5:] for code in TEXTS if code.startswith("kind-")}
    assert mistakes <= kinds

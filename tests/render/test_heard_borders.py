"""What is quoted, for an ear that hears no quotation marks: where it ends, and no doubled stops."""

import pytest

from assistant.dialogue.replies import Line, Reply
from assistant.render.arguments import quoted, without_quotes
from assistant.render.sighted import answer_of, sighted
from assistant.render.spoken import spoken_line
from assistant.render.texts import TEXTS
from assistant.values import Amount, Name, Said

LONG = "1 apple plus how much milk makes 40 g."


def heard(code: str, **args) -> str:
    return spoken_line(Line("fact", code, args))


def test_a_stop_of_the_quoted_words_is_not_doubled() -> None:
    assert quoted("guide me through a label.", "spoken") == "guide me through a label"
    told = heard("question-cancelled", said=Said("guide me through a label."))
    assert ".." not in told


def test_the_end_of_a_long_quote_is_a_pause_where_the_sentence_goes_on() -> None:
    told = heard("question-waits", said=Said(LONG))
    assert "makes 40 grams, is still open" in told


def test_a_short_quote_needs_none() -> None:
    assert "about 2 eggs is still open" in heard("question-waits", said=Said("2 eggs"))


@pytest.mark.parametrize("form", ["sighted", "spoken"])
def test_lines_do_not_run_together(form) -> None:
    """ "serves 2" and "100 g" on two lines must not be heard as 2 100."""
    told = quoted("recipe mash serves 2:\n100 g rice,\n50 ml milk,", form)
    assert "serves 2: 100" in told
    assert "rice, 50" in told


def test_two_sentences_are_two() -> None:
    both = '"target 110 mg/dL" or "target 6 mmol/L"'
    assert without_quotes(both) == (
        "target 110 milligrams per decilitre, or target 6 millimoles per litre"
    )


def test_help_tells_no_colon_that_nothing_follows() -> None:
    for code, text in TEXTS.items():
        if code.startswith("help-"):
            assert ":." not in without_quotes(text), code


def test_a_lone_unit_is_a_word() -> None:
    assert quoted("how many ml", "spoken") == "how many millilitres"


def test_quotation_marks_that_mean_nothing_are_not_read_out() -> None:
    assert quoted('100 g of "rye bread"', "spoken") == "100 grams of rye bread"
    assert "'" in quoted('2 "7 grain bread"', "spoken")  # without them it is another sentence
    assert quoted('2 "pound cake"', "spoken") != quoted('2 pound "cake"', "spoken")


def test_the_answer_of_a_long_why_is_the_dose_or_the_refusal() -> None:
    units = {"units": Amount(4, "unit")}
    opening = Line("answer", "why", {"said": Said("2 eggs"), "moment": Name("12:00")})
    for line in (
        Line("answer", "suggest", units),
        Line("fact", "suggested-then", units),
        Line("refusal", "refused"),
    ):
        again = answer_of(Reply("answered", (opening, line)))
        assert again is not None
        assert again.lines == (line,)


def test_bold_without_colour() -> None:
    reply = Reply("answered", (Line("caution", "low-stays"),))
    assert "\x1b[1m" in sighted(reply, 80, "bold")
    assert "35" not in sighted(reply, 80, "bold")
    assert "\x1b[1;35m" in sighted(reply, 80, "color")
    assert "\x1b" not in sighted(reply, 80, "plain")

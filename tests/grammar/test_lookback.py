"""Sentences that look back, in the ways people say them, and what is none of them."""

from datetime import date

import pytest

from grammar.lookback import Lookback, LookbackMisread, Period, read_day, read_lookback

WEEK = Period("between", date(2026, 3, 2), date(2026, 3, 8))


@pytest.mark.parametrize(
    ("text", "form", "what", "span"),
    [
        ("what happened after lunch", "after", "lunch", "none"),
        ("what happened after the oat cereal", "after", "the oat cereal", "none"),
        ("what happened after my lunch today", "after", "my lunch", "today"),
        ("prepare a report for my doctor", "report", "", "none"),
        ("What happens after oat cereal?", "after", "oat cereal", "none"),
        ("what happened after oat cereal this week", "after", "oat cereal", "week"),
        ("what happened to my sugar after rye bread yesterday", "after", "rye bread", "yesterday"),
        ("how was my blood sugar after dinner last month", "after", "dinner", "last-month"),
        ("glucose after lunch", "after", "lunch", "none"),
        ("my readings after breakfast this week", "after", "breakfast", "week"),
        ("how was my glucose this week", "glucose", "", "week"),
        ("how was my glucose", "glucose", "", "none"),
        ("how is my sugar doing today, please", "glucose", "", "today"),
        ("how have my readings been this month", "glucose", "", "month"),
        ("my glucose last week", "glucose", "", "last-week"),
        ("summary of my glucose yesterday", "glucose", "", "yesterday"),
        ("report", "report", "", "none"),
        ("report for the visit", "report", "", "none"),
        ("make me a report for my care team for last week.", "report", "", "last-week"),
        ("visit report since 2026-03-02", "report", "", "since"),
    ],
)  # fmt: skip
def test_read(text, form, what, span) -> None:
    found = read_lookback(text)
    assert isinstance(found, Lookback)
    assert (found.form, found.what, found.period.span) == (form, what, span)


@pytest.mark.parametrize(
    "text",
    [
        "report for the visit from 2026-03-02 to 2026-03-08",
        "report from 2 March 2026 to 8 March 2026",
        "report for the visit between 2nd March 2026 and 8th of March, 2026",
        "how was my glucose from 2026-03-02 until 2026-03-08",
        "what happened after lunch from 2026-03-02 to 2026-03-08",
    ],
)
def test_two_days(text) -> None:
    assert read_lookback(text).period == WEEK


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("how was my glucose in the last 14 days", 14),
        ("how was my glucose over the past two weeks", 14),
        ("report for the last 30 days", 30),
        ("how was my glucose over the last week", 7),
        ("report for the last 0 days", 0),
    ],
)
def test_last_days(text, count) -> None:
    assert read_lookback(text).period == Period("last", count=count)


@pytest.mark.parametrize("shape", ["markdown", "html", "csv", "fhir"])
def test_the_form_of_a_report(shape) -> None:
    found = read_lookback(f"report for the visit from 2026-03-02 to 2026-03-08 as {shape.upper()}")
    assert (found.shape, found.period) == (shape, WEEK)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("report from 2026-02-30 to 2026-03-08", "from 2026-02-30 to 2026-03-08"),
        ("how was my glucose in the war", "in the war"),
        ("report for the visit by post", "by post"),
        ("what happened after lunch on 2026-13-01", "on 2026-13-01"),
    ],
)
def test_words_that_are_not_understood_are_told(text, said) -> None:
    found = read_lookback(text)
    assert isinstance(found, LookbackMisread)
    assert found.said == said


@pytest.mark.parametrize(
    "text",
    [
        # readings and settings, a low among them: none may be taken for a question about the past
        "glucose 143", "glucose 143 at 12:40", "my glucose is 60", "glucose low", "my sugar is low",
        "glucose after lunch 60", "my glucose after lunch was 60", "my glucose is in mg/dL",
        "blood sugar 5.1 yesterday", "reading 143 today",
        "reported milk", "lunch", "what is active now", "today", "after lunch", "",
    ],
)  # fmt: skip
def test_other_sentences_are_none(text) -> None:
    assert read_lookback(text) is None


@pytest.mark.parametrize("text", ["2026-02-29", "31 April 2026", "2 Mart 2026", "today", "2026-3"])
def test_days_that_are_none(text) -> None:
    assert read_day(text) is None

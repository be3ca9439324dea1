"""What is offered to be typed holds no invented figure, time or dose, and works when it is typed.

laws.py checks each sentence that is offered in any talk of these tests; here are those that no
talk leads to, the texts of the catalogue, and how an own figure gets into an offer.
"""

import re

import pytest
from laws import CHANGING, FIGURE, FIXED, NOT_UNDERSTOOD
from talk import CEREAL, MILK, NET

from assistant.dialogue.nearest import forms
from assistant.dialogue.offers import OPEN, with_own_figure
from assistant.dialogue.state import context
from assistant.render.aloud import aloud
from assistant.render.texts import TEXTS
from assistant.render.turns import turn

FORMS_OF_HELP = ("help-", "shell-", "replay-", "handout-", "manner-", "say-")
"""Help may hold examples, which it marks as such; the shell's sentences are typed to the shell."""


def texts_that_offer():
    for code, text in TEXTS.items():
        if not code.startswith(FORMS_OF_HELP):
            for quoted in re.findall(r'"([^"{}]+)"', text):
                yield code, quoted


def offered_by(talk):
    with talk.store.reading() as (record, foods):
        return forms(context(record, foods, "", talk.now))


def tried(talk, words):
    with talk.store.reading() as (record, foods):
        return turn(record, foods, words, talk.now)


@pytest.mark.parametrize("home", ["counting", "dosing"])
def test_no_offered_sentence_changes_anything_by_a_figure_that_nobody_typed(request, home):
    talk = request.getfixturevalue(home)
    offered = (*offered_by(talk), *(quoted for _, quoted in texts_that_offer()))
    assert sum(OPEN in each for each in offered) > 20
    for each in offered:
        for words in (each, aloud(each)):
            outcome = tried(talk, words)
            changed = {event.kind for event in outcome.events} & CHANGING
            assert not changed or not FIGURE.search(FIXED.sub("", words)), (words, changed)


def test_every_sentence_that_is_offered_for_unknown_words_is_understood(dosing):
    for each in offered_by(dosing):
        for words in (each, aloud(each)):
            codes = {line.code for line in tried(dosing, words).reply.lines}
            assert not codes & NOT_UNDERSTOOD, words
            assert not any(code.startswith("misread") for code in codes), words


def test_help_says_that_its_figures_are_examples(counting):
    for topic in ("help", "help meals", "help labels", "help numbers", "help recipes"):
        found = counting.say(topic)
        assert {"help-figures", "help-numbers-12"} & set(found.codes), topic


@pytest.mark.parametrize("dots", ["...", "…", "blank"])
def test_an_open_place_is_asked_about_and_changes_nothing(dosing, dots):
    for shape in (
        "took {} units", "took {} units at {}", "glucose {}", "my ratio is {} g per unit",
        "never more than {} units at once", "my insulin lasts {} hours", "I avoid {}",
        "new food {}: US label, serving {} g, carbohydrate {} g, fibre {} g",
        "1 slice of rye bread weighs {} g", "recipe {} makes {} bowls: {} g of {}",
    ):  # fmt: skip
        found = dosing.say(shape.replace("{}", dots))
        assert found.codes == ["place-open"], shape
        assert not found.reply.question.choices
    assert not dosing.events("dose-taken", "glucose-read", "question-asked", "recipe-saved")


def test_an_open_place_leaves_the_open_question_open(dosing):
    dosing.say("2 slices rye bread")
    found = dosing.say("glucose ...")
    assert found.codes[:2] == ["place-open", "rule-glucose-not-given"]
    assert dosing.say("130").data["dose"] is not None


def test_dots_that_lead_to_a_figure_are_no_open_place(counting):
    assert counting.say("2 slices rye bread ... 200 ml milk").codes != ["place-open"]
    saved = counting.say("new food oats: US label, serving 40 g, carbohydrate ... 27 g, fibre 6 g")
    assert saved.codes != ["place-open"]


def test_a_low_is_told_although_a_place_is_open(dosing):
    assert "treat-low-1" in dosing.say("I feel low ...").codes
    assert "treat-low-1" in dosing.say("glucose 50, took ... units").codes


def test_a_food_of_that_name_is_no_open_place(counting):
    counting.all(CEREAL.replace("oat cereal", "blank crispbread"))
    assert counting.say("2 servings of blank crispbread").counted == 42


@pytest.mark.parametrize(
    ("said", "offered"),
    [
        ("took 4 unts", "took 4 units"),
        ("ratio 12", "my ratio is 12 g per unit"),
        ("carb ratio 12", "my ratio is 12 g per unit"),
        ("max 10 units", "never more than 10 units at once"),
        ("correction is 50", "correction factor 50 mg/dL per unit"),
        ("glucos is 143", "glucose 143 mg/dL"),
    ],
)
def test_the_offer_has_the_figure_that_was_typed(dosing, said, offered):
    found = dosing.say(said)
    assert f"{aloud(offered)}" in found.text
    assert tried(dosing, offered).reply.status == "answered" or "raise" in str(
        tried(dosing, offered).reply.question
    )


@pytest.mark.parametrize(
    "said",
    [
        "took 2 at 9", "took 4 units tomorrow", "took 4 pills", "took four unts at 9",
        "took -4 unts", "took 4,5 unts", "ratio 12 breakfast",
        "my ratio is 1:8 for breakfast and 1:10 for dinner",
        "took 4 unts or 5", "took half of 4 unts",
    ],
)  # fmt: skip
def test_no_figure_is_put_where_the_offer_would_lose_a_word(dosing, said):
    for line in dosing.say(said).reply.lines:
        for item in getattr(line.args.get("sentences"), "items", ()):
            assert not FIGURE.search(item.text), item.text


def test_only_one_figure_in_one_place_is_filled():
    assert with_own_figure("took ... units at ...", "took 4 unts") == "took ... units at ..."
    assert with_own_figure("took ... units", "took 4 5 unts") == "took ... units"
    assert with_own_figure("I avoid ...", "it is 162") == "I avoid ..."
    assert with_own_figure("took ... units", "took one 4 unts") == "took ... units"


def test_the_unit_and_the_law_of_an_offer_are_the_users_own(empty):
    empty.all(NET, "my glucose is in mmol/L", "my labels are EU labels", MILK)
    refused = empty.say("200 ml milk, glucose 7")
    assert "correction factor blank millimoles per litre per unit" in refused.text
    assert "EU label, per 100 grams: carbohydrate blank" in empty.say("new food bran").text


# A dose that was told and not understood


def test_a_dose_that_was_not_read_waits_and_stops_the_next_one(dosing):
    assert dosing.say("took 4 unts").status == "asked"
    found = dosing.say("2 slices rye bread, glucose 130")
    assert (found.status, found.rules[:1]) == ("refused", ["unsettled-dose"])
    assert dosing.say("took 4 units").status == "answered"
    assert dosing.say("2 slices rye bread, glucose 130").data["dose"]["active_units"] == 4.0


@pytest.mark.parametrize("kind", ["long-acting", "basal", "background"])
def test_insulin_that_is_no_mealtime_insulin_stops_no_dose(dosing, kind):
    assert dosing.say(f"took 20 units of {kind} insulin").status == "asked"
    assert dosing.say("2 slices rye bread, glucose 130").data["dose"] is not None
    assert not dosing.events("dose-taken")


def test_dropping_it_says_that_no_insulin_was_logged(dosing):
    dosing.say("took 4 unts")
    assert dosing.say("cancel").codes == ["question-cancelled", "dose-dropped"]


# "cancel"


def suggested(talk):
    found = talk.say("2 slices rye bread, glucose 130")
    assert found.data["dose"] is not None
    return found


def test_cancel_drops_a_suggestion_that_was_just_told(dosing):
    suggested(dosing)
    found = dosing.say("cancel")
    assert found.codes == ["suggestion-cancelled"]
    assert "2 slices rye bread" in found.text
    assert "no longer counts" in found.text


@pytest.mark.parametrize(
    "between", ["just count 200 ml milk", "2 slcies rye bred, glucose 130x", "forget everything",
                "why", "today", "qwxz vvkj", "ratio 12"],
)  # fmt: skip
def test_after_anything_else_cancel_asks_before_a_suggestion_goes(dosing, between):
    suggested(dosing)
    said = dosing.say(between)
    if said.reply.question is not None and dosing.opening().lines[-1].role in {
        "question",
        "choice",
    }:
        dosing.say("cancel")  # what that sentence had asked
    found = dosing.say("cancel")
    assert "ask-drop-suggestion" in found.codes
    assert not dosing.events("suggestion-closed")


@pytest.mark.parametrize(
    ("answer", "event"),
    [("not taken", "not taken"), ("drop it", "cancelled"), ("3", "cancelled"), ("1", "taken"),
     ("took it", "taken")],
)  # fmt: skip
def test_each_answer_to_it_does_what_it_says(dosing, answer, event):
    suggested(dosing)
    dosing.say("today")
    assert "ask-drop-suggestion" in dosing.say("cancel").codes
    dosing.say(answer)
    assert [e.how for e in dosing.events("suggestion-closed")] == [event]


def test_cancel_at_that_question_leaves_the_suggestion_open(dosing):
    suggested(dosing)
    dosing.all("today")
    dosing.say("cancel")
    assert dosing.say("cancel").codes[0] == "suggestion-stays"
    assert not dosing.events("suggestion-closed")
    assert dosing.say("took it").status == "answered"


def test_drop_the_suggestion_needs_no_question(dosing):
    suggested(dosing)
    dosing.all("today", "drop the suggestion")
    assert [e.how for e in dosing.events("suggestion-closed")] == ["cancelled"]
    assert dosing.say("drop the suggestion").codes == ["no-open-suggestion"]


def test_cancel_is_offered_only_where_the_reply_leaves_a_question(dosing):
    suggested(dosing)
    for text in ("just count 200 ml milk", "show rice pudding", "no, 2 pears", "took it"):
        found = dosing.say(text)
        offered = [
            item.text
            for line in found.reply.lines
            for item in getattr(line.args.get("sentences"), "items", ())
        ]
        question = found.reply.question
        if "cancel" in offered:
            assert question is not None
            assert question.choices or question.slot is not None


def test_a_meal_that_was_dropped_is_not_offered_as_an_earlier_one(dosing):
    suggested(dosing)
    dosing.all("cancel")
    assert dosing.say("same as today").codes[0] == "no-meal-that-day"
    assert dosing.say("same again").codes[0] == "no-meal-before"
    suggested(dosing)
    dosing.all("not taken")
    assert "2 slices rye bread" in dosing.say("same again").text

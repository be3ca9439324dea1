"""How answers are given, long lists by page, and the nearest sentences to unknown words."""

import pytest
from talk import CEREAL, FOODS, MILK, NUMBERS, Talk

from assistant.dialogue.manners import SENTENCES, Manner, manner_of
from assistant.dialogue.nearest import forms, nearest
from assistant.dialogue.paging import PAGE
from assistant.dialogue.state import context
from assistant.dialogue.turn import turn
from assistant.render.short import shortened
from assistant.render.spoken import spoken


@pytest.fixture
def new(tmp_path):
    """A talk on an empty folder."""
    talk = Talk(tmp_path / "home")
    yield talk
    talk.close()


def manner(talk: Talk) -> Manner:
    with talk.store.reading() as (record, _):
        return manner_of(record)


def test_the_manner_is_kept_and_the_last_sentence_holds(new):
    assert manner(new) == Manner()
    new.all("speak plainly", "short answers", "keep no history")
    assert manner(new) == Manner("spoken", short=True, history=False)
    new.all("Show it for the eye.", "full working", "keep history")
    assert manner(new) == Manner("sighted")


@pytest.mark.parametrize("text", sorted(SENTENCES))
def test_each_sentence_answers_even_while_a_question_is_open(new, text):
    new.all(CEREAL)
    assert new.say("new food apricots").status == "asked"
    found = new.say(text)
    assert found.status == "answered"
    assert "question-waits" in found.codes
    assert new.store.history(1)[0].text == text


def test_short_answers_keep_the_dose_the_count_the_foods_and_each_caution(new):
    new.all(*FOODS, *NUMBERS, "active insulin falls in a straight line")
    full = new.say("1.5 servings of oat cereal plus 200 ml milk, no reading").reply
    short = shortened(full)
    assert short.dose == full.dose
    roles = {line.role for line in short.lines}
    assert "working" not in roles
    kept = [line for line in full.lines if line.role != "working"]
    assert list(short.lines) == kept
    text = spoken(short)
    assert "Suggested dose: 4 units." in text
    assert "41.1 grams" in text
    assert sum(line.role == "caution" for line in short.lines) >= 2
    why = new.say("why").reply
    assert shortened(why) == why


def test_short_answers_keep_each_refusal_and_its_steps(new):
    new.all(*FOODS, *NUMBERS, "active insulin falls in a straight line")
    for text in ("1 serving of oat cereal, glucose 60", "9 servings of oat cereal, glucose 110"):
        full = new.say(text).reply
        assert full.status == "refused"
        short = shortened(full)
        assert [x for x in short.lines if x.role != "working"] == list(short.lines)
        assert [x for x in full.lines if x.role in {"refusal", "answer", "fact", "caution"}] == [
            x for x in short.lines if x.role in {"refusal", "answer", "fact", "caution"}
        ]


def test_a_long_list_is_told_by_page_to_its_end(new):
    count = 2 * PAGE + 3
    for n in range(count):
        new.all(
            f"new food food number {n:02d} kind: US label, serving 40 g, carbohydrate {n + 1} g"
        )
    told = new.say("foods")
    assert f"{count} foods in the library." in told.text
    assert f"Line {PAGE} of {count}:" in told.text
    assert f"Line {PAGE + 1} of" not in told.text
    assert new.say("today").status == "answered"
    rest = [new.say("more").text, new.say("more").text]
    whole = "\n".join([told.text, *rest])
    for n in range(count):
        assert whole.count(f"Line {n + 1} of {count}:") == 1
        assert whole.count(f"food number {n:02d} kind.") == 1
    assert new.say("more").codes == ["nothing-more"]


def test_more_with_no_list_is_told(new):
    assert new.say("more").codes == ["nothing-more"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("wat is activ now", "what is active now"),
        ("shw my nubmers", "show my numbers"),
        ("glucos is 143", "glucose 143"),
        ("speek plainly", "speak plainly"),
        ("shrt answers", "short answers"),
    ],
)
def test_unknown_words_get_the_nearest_two_sentences_that_work(new, text, wanted):
    new.all(CEREAL, MILK)
    found = new.say(text)
    assert found.status == "asked"
    assert "nearest-forms" in found.codes
    line = next(x for x in found.reply.lines if x.code == "nearest-forms")
    offered = [item.text for item in line.args["sentences"].items]
    assert wanted in offered
    assert 1 <= len(offered) <= 2


def test_words_that_are_like_nothing_get_no_made_up_hint(new):
    assert "nearest-forms" not in new.say("qwxz vvkj").codes


def test_every_offered_sentence_is_understood(new):
    """A hint that does not work would be worse than none."""
    new.all(CEREAL, MILK, "count net carbohydrate")
    unknown = {"not-understood", "ask-name-none", "phrase-no-food", "ask-name", "ask-left-over"}
    with new.store.reading() as (record, foods):
        for form in forms(context(record, foods, "", new.now)):
            reply = turn(record, foods, form, new.now).reply
            code = reply.question.asked.code if reply.question else ""
            assert code not in unknown, (form, code)
            assert not code.startswith("misread"), form


def test_nothing_is_read_as_a_near_sentence(new):
    """The hint changes nothing: what is kept is that nothing was understood."""
    found = new.say("undoo")
    assert found.status == "asked"
    assert not new.events("undone", "setting-said", "dose-taken")


def test_what_can_i_say_goes_by_what_is_there(new):
    assert "say-foods" in new.say("what can I say").codes
    new.all(*FOODS, *NUMBERS, "active insulin falls in a straight line")
    found = new.say("what can I say")
    assert "say-meal" in found.codes
    assert "say-open" not in found.codes
    new.say("1 serving of oat cereal, glucose 110")
    assert "say-open" in new.say("what can I say").codes


def test_likeness_is_of_the_users_own_foods(new):
    with new.store.reading() as (record, foods):
        assert not any("{" in f for f in forms(context(record, foods, "", new.now)))
        assert nearest(context(record, foods, "help me with labels", new.now))


def test_choices_are_answered_by_number_word_or_name(new):
    new.all(CEREAL, "count net carbohydrate")
    for answer in ("1", "one", "choice 1", "number one", "oat cereal"):
        assert new.say("2 servings of oat ceral").status == "asked"
        assert new.say(answer).counted == 42


def test_the_opening_tells_what_is_active_and_nothing_else(new):
    assert new.opening().lines == ()
    new.all(*NUMBERS, "active insulin falls in a straight line", "took 4 units")
    new.say("why", clock="08:30")
    assert [line.code for line in new.opening().lines] == ["active-total"]

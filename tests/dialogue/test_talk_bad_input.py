"""Input that no one should type: always a reply, never a fault, and the same one each time."""

import signal
from contextlib import contextmanager

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from talk import at, told

from assistant.dialogue.reading import read_reply
from assistant.dialogue.turn import turn

BAD = (
    *("", " ", "\n", "\t \n", "\r\n", "\x00"),
    *("\x00\x00", "\x07", "\x1b", "\x1b[31m", "\x1b]0;x\x07"),
    *("\x1b[2J\x1b[H200 ml milk", "200 ml\x1b[31m milk", "200 ml milk\x00", "200\x00 ml milk"),
    *("\u202e200 ml milk\u202c", "שלום", "200 ml חלב", "مرحبا", "٢ servings of oat cereal"),
    *("🍎", "2 🍎", "👩‍👩‍👧 200 ml milk", "\ud800", "200 ml \udfff milk", "\ufeff200 ml milk"),
    *("1e9", "1e9 g of milk", "1e400", "9" * 400, "9" * 400 + " g of oat cereal", "1/0", "-2"),
    *("1/" + "9" * 300 + " servings of oat cereal", "0.0000000001 g of oat cereal", "-", "--", "–"),
    *("NaN", "inf", "inf g of milk", "None", "null", "{}", "{0}", "{counted}", "{", "}", "%s", "%"),
    *("%(x)s", "{said!r}", "$HOME", "`ls`", "'; DROP TABLE turns; --", "<script>", "&amp;", "\\"),
    *('"', '""', '"""', '"milk', 'milk"', "'"),
    *("''", '2 servings of "oat cereal', "“milk", "('", "()"),
    *("[", "]", "*", "?", "??", "!", "...", ".", ","),
    *(",,,", ";;", "+", "&", "& &", "and", "and and"),
    *("of", "the", "a", "of of of", "the the", "a a a", "½"),
    *("½½", "½ ½", "⅓ of", "%", "50%", "50% of"),
    *("\ufffc", "\ufffc g of milk", "\ufffd", "200 ml \ufffd milk"),
    *("\ue000milk\ue001", "\u2028", "\x85"),
    *("glucose", "glucose ", "glucose -", "glucose 1e9"),
    *("glucose 1/0", "glucose 9" + "9" * 50, "bg"),
    *("took", "took -", "took 99999999999999999999 units", "took 1 units 99999 hours ago"),
    *("took 1 unit 99999.5 hours ago", "took 4 units at 99:99", "took 4 units at 24:00"),
    *("undo undo",),
    *("new food", "new food :", "new food x", "new food x:"),
    *("new food : serving 40 g", "new label for"),
    *("show", "forget", "compare", "compare and", "foods like", "how much", "x is also called"),
    *("is also called x", "my ratio is", "my ratio is 1/0"),
    *("never more than", "my insulin lasts 0 hours"),
    *("yes", "no", "1", "0", "99", "-1", "1 always"),
    *("always", "cancel", "undo", "why", "?", "help"),
)  # fmt: skip


@pytest.mark.parametrize("text", BAD)
def test_odd_input_gets_a_reply_and_no_dose(still_dosing, text):
    found = still_dosing.try_out(text)
    assert found.status in {"answered", "asked", "refused"}
    assert found.data["dose"] is None
    assert still_dosing.try_out(text).reply == found.reply


@pytest.mark.more
@pytest.mark.parametrize("part", range(4))
def test_odd_input_is_kept_and_the_talk_goes_on(counting_once, part):
    for text in BAD[part::4]:
        counting_once.say(text)
        counting_once.say("cancel")
        assert counting_once.try_out("1 serving of oat cereal").counted == 21, text


@pytest.fixture(scope="module")
def counting_once(tmp_path_factory):
    from talk import FOODS, NET, talking

    with talking(tmp_path_factory.mktemp("kept") / "home", *FOODS, NET) as talk:
        yield talk


@pytest.mark.parametrize("text", BAD)
def test_odd_input_can_be_read_without_a_store(text):
    told_of = read_reply(text)
    assert told_of.status in {"answered", "asked"}


LONG = {
    "letters": "x" * 10_000,
    "words": "milk " * 2000,
    "spaces inside": "a" + " " * 9_990 + "b",
    "spaces in how much": "how much " + " " * 9_990 + "x",
    "spaces before also called": "milk" + " " * 9_990 + "is also",
    "figures": "1" * 10_000,
    "commas": "1," * 5000,
    "points": "1." * 5000,
    "slashes": "1/" * 5000,
    "joiners": "and " * 2500,
    "plus": "+" * 10_000,
    "quotes": '"' * 10_000,
    "open quote": '"' + "x" * 9_999,
    "brackets": "(" * 10_000,
    "half and": "half and " * 1100,
    "hundreds": "one hundred " * 160,
    "newlines": "\n" * 9_999 + "x",
    "glucose": "glucose " * 1200,
    "dashes": "-" * 10_000,
    "weighs": "weighs " * 1400,
    "escapes": "\x1b[" * 5000,
    "many foods": "200 ml milk, " * 140,
    "a label of nothing": "per 100 g\n" * 900,
    "accents": "é" * 10_000,
    "over the limit": "x" * 20_001,
}


@contextmanager
def within(seconds):
    """Fails after so long, also where one search of a pattern does not end."""

    def stop(signum, frame):
        raise AssertionError(f"no reply after {seconds} seconds")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("name", LONG)
def test_long_input_gets_a_reply_in_time(still_dosing, name):
    with within(seconds=4 if name == "many foods" else 2):
        found = still_dosing.try_out(LONG[name])
    assert found.data["dose"] is None
    assert len(found.text) < 60_000


def test_many_names_joined_are_resolved_in_time(still):
    with within(seconds=4):
        found = still.try_out(" and ".join(["1 apple"] * 60))
    assert found.status in {"asked", "answered"}


# Laws


PIECES = (
    *("200 ml milk", "2 servings of oat cereal", "oat cereal", "rye bread"),
    *("a medium apple", "2", "½"),
    *("glucose 162", "glucose 9.1", "no reading", "and", ",", "without"),
    *("cancel", "undo", "yes", "1"),
    *("1 always", "took it", "took 4 units", "took 4 units at 23:00", "not taken", "why", "today"),
    *("my ratio is 1 unit per 10 g", "my ratio is 1 per 8 g from 18:00", "target 6", "round up"),
    *("never more than 9 units at once", "count net carbohydrate", "my cup is 250 ml"),
    *("1 cup of milk",),
    *("3 scoops of oat cereal", "20 g", "2-3 slices of rye bread", "-", "oat cereel", "some milk"),
    *("new food milk: EU label, per 100 ml: carbohydrate 5 g", "new food x", "forget milk"),
    *("foods",),
    *("oat cereal is also called flakes", "show milk", "compare milk and rye bread"),
    *("what is fibre",),
    *("a slice of rye bread weighs 40 g", "fibre of oat cereal is 5 g", "{}", "%s"),
    *("\x00", "\x1b[0m"),
)  # fmt: skip


def test_any_text_gets_a_reply_that_can_be_shown(still_dosing, examples):
    texts = st.one_of(
        st.text(max_size=80),
        st.lists(st.sampled_from(PIECES), max_size=4).map(" ".join),
    )

    @settings(max_examples=examples(200, 10_000), deadline=None)
    @given(texts)
    def law(text):
        still_dosing.try_out(text)

    law()


def test_any_talk_goes_on_and_is_the_same_again(tmp_path_factory, examples):
    from talk import FOODS, NUMBERS, talking

    @settings(max_examples=examples(7, 400), deadline=None)
    @given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=8))
    def law(texts):
        replies = []
        for _ in range(2):
            with talking(tmp_path_factory.mktemp("talk") / "home", *FOODS[:2], *NUMBERS) as talk:
                replies.append([talk.say(text).reply for text in texts])
        assert replies[0] == replies[1]

    law()


def test_a_turn_is_a_function_of_record_text_and_clock(dosing):
    dosing.all("took 4 units")
    later = at("09:30")
    with dosing.store.reading() as (record, foods):
        for text in ("1 serving of oat cereal, glucose 162", "what is active now", "oat cereel"):
            first = turn(record, foods, text, later)
            assert turn(record, foods, text, later) == first
            told(first.reply)


@pytest.mark.parametrize("gap", [" ", "\n", "\t", "\u00a0"])
def test_a_few_hundred_spaces_cost_no_time(still, gap):
    """A label pasted from a wide table or with many empty lines is ordinary input."""
    with within(seconds=1):
        still.try_out("200 ml milk" + gap * 400 + "and 1 apple")
        still.try_out(gap * 400 + "200 ml milk")


def test_what_the_user_typed_is_in_the_journal_as_typed(counting):
    counting.say("  200 ml  milk ")
    assert counting.store.history(1)[0].text == "  200 ml  milk "

"""The spoken chat heard through a real screen reader (see listening.py).

What has to hold: the dose with its unit, each caution and each refusal are spoken once, in the
reply's order; nothing is cut off by something later; while a line is typed nothing else is spoken;
a recalled line is spoken before Enter can use it. Silence fails.

The default run has a dose and a refusal; CI has all of it (--more).
"""

import json
import re
import sys
from pathlib import Path

import pytest
from filled_home import NOON, NUMBERS, filled
from listening import Listening, reader_or_reason, sentences
from shell_stand_ins import PROGRAM

from assistant.dialogue.manners import manner_of
from assistant.dialogue.turn import turn
from assistant.render.short import shortened
from assistant.render.spoken import spoken
from assistant.store.store import Store
from assistant.teaching.session_file import Header, Turn, read
from assistant.teaching.stage import seed

REASON = reader_or_reason()
pytestmark = pytest.mark.skipif(REASON is not None, reason=REASON or "")

ROOT = Path(__file__).parent.parent.parent
PROMPT = "Food or question:"
NOISE = re.compile("[\u2190-\u21ff\u2500-\u25ff\u2713-\u2718\u2800-\u28ff\ufffd<>=*|~^_\\\\]")
"""Signs that a voice drops, renames or reads as noise (tried with two readers and a voice)."""


@pytest.fixture
def listen(tmp_path, home):
    """A program under the reader, on this test's data folder, heard up to its first prompt."""
    made: list[Listening] = []

    def start(*argv: str, at: str = NOON) -> Listening:
        folder = tmp_path / f"reader{len(made)}"
        made.append(Listening(folder, *PROGRAM, "--at", at, *argv, PYTHONPATH=str(ROOT)))
        return made[-1]

    yield start
    for one in made:
        one.close()


def plain(text: str) -> str:
    """The words of a text without the quotation marks, which the reader names or leaves out."""
    text = re.sub(r"\bquote\b", " ", text.replace('"', " "))
    return re.sub(r"\s+([,.:?])", r"\1", " ".join(text.split()))


def as_one(said: list[str]) -> str:
    """Everything that was spoken, in order; the reader cuts a long line into several texts."""
    return plain(" ".join(said))


def once_in_order(said: list[str], *wanted: str) -> None:
    """Each of these is spoken exactly once, and in this order."""
    whole = as_one(said)
    places = []
    for words in wanted:
        assert whole.count(words) == 1, (words, whole)
        places.append(whole.index(words))
    assert places == sorted(places), (wanted, whole)


@pytest.mark.more
def test_the_reader_hears_nothing_from_a_silent_program(tmp_path, home) -> None:
    """The check of the checks: a program that says nothing must not pass."""
    silent = Listening(tmp_path / "silent", "/bin/cat")
    try:
        with pytest.raises(AssertionError, match="was not spoken"):
            silent.heard(PROMPT, seconds=2)
    finally:
        silent.close()


def test_a_dose_is_spoken_once_with_its_cautions_and_nothing_while_typing(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    opening = sentences(chat.heard(PROMPT))
    assert opening[0].startswith("Spoken mode is on, by --spoken.")
    assert "quote" not in " ".join(opening), "a mark around what is to be typed was read out"
    assert sentences(chat.type("2 servings of oat cereal, no reading")) == []
    chat.press("\r")
    events = chat.heard(PROMPT)
    said = sentences(events)
    once_in_order(
        said,
        "Suggested dose: 4 units.",
        "This is a suggestion, not an order.",
        "The meal counts 42 grams.",
        "Caution: Without a reading there is no correction",
        "divided by 10 grams per unit is 4.2 units.",
        PROMPT,
    )
    assert as_one(said).startswith("Suggested dose: 4 units.")
    assert said[-1] == PROMPT
    first = next(i for i, e in enumerate(events) if e.kind == "said")
    assert all(e.kind == "said" for e in events[first:]), "the reply was cut off by a later text"


@pytest.mark.more
def test_short_answers_speak_the_dose_and_each_caution_once_and_no_working(listen, home) -> None:
    filled(home, *NUMBERS, "short answers")
    chat = listen("--spoken")
    chat.heard(PROMPT)
    said = chat.say("2 servings of oat cereal, no reading", PROMPT)
    once_in_order(
        said,
        "Suggested dose: 4 units.",
        "This is a suggestion, not an order.",
        "The meal counts 42 grams.",
        "Caution: Without a reading there is no correction",
        PROMPT,
    )
    assert "divided by" not in as_one(said)
    assert "is 4.2 units" in as_one(chat.say("why", PROMPT))


@pytest.mark.more
def test_the_saved_setting_is_told_first_and_holds_without_the_option(listen, home) -> None:
    filled(home, *NUMBERS, "speak plainly")
    chat = listen()
    opening = as_one(sentences(chat.heard(PROMPT)))
    assert opening.startswith("Spoken mode is on, by your sentence speak plainly")
    assert "milligrams per decilitre" in as_one(chat.say("target 110 mg/dL", PROMPT))


@pytest.mark.more
def test_what_is_active_and_what_is_open_is_spoken_as_the_chat_opens(listen, home) -> None:
    filled(home, *NUMBERS, "took 4 units", "2 servings of oat cereal, glucose 110")
    said = sentences(listen("--spoken").heard(PROMPT))
    once_in_order(
        said, "Spoken mode is on", "A suggestion of 4 units at 12:00 is still open. Was it taken?",
        "Active insulin now: 4 units.", PROMPT,
    )  # fmt: skip


def test_a_refusal_is_spoken_once_and_no_dose_is(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    chat.heard(PROMPT)
    assert sentences(chat.type("6 servings of oat cereal, glucose 150")) == []
    chat.press("\r")
    said = sentences(chat.heard(PROMPT))
    once_in_order(
        said,
        "No dose is suggested.",
        "The working comes to more than your cap of 8 units at once.",
        "The meal counts 126 grams.",
        PROMPT,
    )
    assert "Suggested dose" not in as_one(said)


@pytest.mark.more
def test_a_low_is_spoken_first_and_each_step_once(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    chat.heard(PROMPT)
    said = chat.say("1 serving of oat cereal, glucose 62", PROMPT)
    once_in_order(
        said,
        "No dose is suggested.",
        "Glucose 62 milligrams per decilitre is low.",
        "Take 15 grams of fast carbohydrate",
        "Wait 15 minutes and measure again.",
        "Do not take insulin for the carbohydrate that treats the low.",
        PROMPT,
    )


@pytest.mark.more
def test_choices_are_spoken_with_numbers_and_answered_by_one(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    chat.heard(PROMPT)
    said = chat.say("2 servings of oat ceral, glucose 110", PROMPT)
    once_in_order(said, "I know no food called oat ceral", "Choice 1: oat cereal")
    once_in_order(chat.say("1", PROMPT), "Suggested dose: 4 units.", PROMPT)


@pytest.mark.more
def test_a_recalled_line_is_spoken_before_it_can_be_sent(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    chat.heard(PROMPT)
    chat.say("target 110 mg/dL", PROMPT)
    chat.press("\x1b[A")
    assert "target 110 mg/dL" in as_one(sentences(chat.so_far(quiet=1.0)))


@pytest.mark.more
def test_tab_changes_nothing_unheard(listen, home) -> None:
    filled(home, *NUMBERS)
    chat = listen("--spoken")
    chat.heard(PROMPT)
    chat.type("wh")
    chat.press("\t")
    assert sentences(chat.so_far()) == []
    chat.press("\r")
    chat.heard(PROMPT)
    assert json.loads((home / "history").read_text().splitlines()[-1]).strip() == "wh"


SESSIONS = ("breakfast", "questions", "refusals", "setting_up", "reading_on")


@pytest.mark.more
@pytest.mark.parametrize("name", SESSIONS)
def test_a_demo_session_is_read_aloud_sentence_by_sentence(name, tmp_path, home) -> None:
    """Every sentence of every reply is heard, once, in its order, with no noise in it."""
    path = ROOT / "demo_sessions" / f"{name}.jsonl"
    header, turns = read(path.read_text(encoding="utf-8").splitlines())
    assert isinstance(header, Header)
    rows = [turn for turn in turns if isinstance(turn, Turn)]
    clock = tmp_path / "clock"
    clock.write_text(rows[0].at.isoformat())
    replies = _replies(header, rows, tmp_path / "twin")
    store = Store.open(home, rows[0].at)
    seed(store, header)
    store.close()
    script = Path(__file__).parent / "chat_by_file_clock.py"
    argv = [sys.executable, str(script), str(home), str(clock)]
    chat = Listening(tmp_path / "reader", *argv, PYTHONPATH=str(ROOT))
    try:
        chat.heard(PROMPT)
        for row, reply in zip(rows, replies, strict=True):
            clock.write_text(row.at.isoformat())
            whole = as_one(chat.say(row.say, PROMPT))
            assert whole == plain(" ".join(reply.splitlines()) + f" {PROMPT}"), row.say
            assert not NOISE.search(whole), whole
    finally:
        chat.close()


def _replies(header: Header, rows: list[Turn], folder: Path) -> list[str]:
    """What each turn of the session should be heard as, from a data folder beside it."""
    store = Store.open(folder, rows[0].at)
    replies = []
    try:
        seed(store, header)
        for row in rows:
            with store.turn() as tx:
                outcome = turn(tx.record, tx.foods, row.say, row.at)
                tx.keep(row.at, row.say, outcome.reply.status, "{}", outcome.events)
            with store.reading() as (record, _):
                short = manner_of(record).short
            replies.append(spoken(shortened(outcome.reply) if short else outcome.reply))
    finally:
        store.close()
    return replies

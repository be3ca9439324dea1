"""The chat loop with given readers: what it says, and how it goes on."""

import io
from datetime import UTC, datetime

import pytest
from msgspec.structs import replace
from shell_stand_ins import FakeStore, Log, fake_turn, world_of, written

from assistant.dialogue.replies import Reply
from assistant.shell.chat import chat, greet
from assistant.shell.completion import suggestions
from assistant.shell.history import TypedLines
from assistant.shell.options import Options
from assistant.shell.pasted import collected, starts_label
from assistant.shell.readers import PlainReader
from assistant.shell.session import Session
from assistant.shell.voice import Voice
from assistant.store.problems import StoreProblem


class Scripted:
    """A reader that gives these texts, raising those that are exceptions, then leaves."""

    def __init__(self, *texts) -> None:
        self._texts = list(texts)

    def read(self) -> str:
        text = self._texts.pop(0) if self._texts else EOFError()
        if isinstance(text, BaseException):
            raise text
        return text


def talk(*texts, turn=fake_turn, mode="spoken") -> tuple[list[str], str]:
    store = FakeStore(Log())
    session = Session(
        store, lambda: datetime(2026, 3, 2, tzinfo=UTC), turn, lambda *_: Reply("answered", ())
    )
    world = world_of()
    assert chat(session, Voice(world, mode), Scripted(*texts)) == 0
    return [row.text for row in store.rows], written(world)


def test_chat__says_each_text_until_end_of_input() -> None:
    rows, out = talk("one", "two")
    assert rows == ["one", "two"]
    assert out.rstrip().endswith("Goodbye.")


@pytest.mark.parametrize("word", ["bye", " Quit ", "EXIT"])
def test_chat__leaving_words(word) -> None:
    assert talk("one", word, "never")[0] == ["one"]


def test_chat__leaving_word_inside_a_sentence_is_food() -> None:
    assert talk("bye bye biscuits", "exit")[0] == ["bye bye biscuits"]


def test_chat__interrupt_clears_the_line() -> None:
    rows, out = talk(KeyboardInterrupt(), "one")
    assert rows == ["one"]
    assert "Cleared." in out


def test_chat__store_trouble_is_told_and_the_chat_goes_on() -> None:
    said = []

    def troubled(record, foods, text, now):
        said.append(text)
        if text == "one":
            raise StoreProblem("locked", "folder", "It is in use")
        return fake_turn(record, foods, text, now)

    assert talk("one", "two", turn=troubled)[0] == ["two"]
    assert said == ["one", "two"]


def test_greet__spoken_mode_says_how_it_was_turned_on() -> None:
    world = world_of()
    greet(Options(spoken="COUNTALOUD_SPOKEN"), Voice(world, "spoken"))
    first = written(world).splitlines()[0]
    assert first == "Spoken mode is on, by COUNTALOUD_SPOKEN."


@pytest.mark.parametrize(
    "line",
    ["Nutrition Facts", "new food oat cereal:", "new food x: Nutrition Facts", " Typical values:"],
)
def test_starts_label(line) -> None:
    assert starts_label(line)


@pytest.mark.parametrize(
    "line",
    [
        "new food oat cereal: serving 40 g, carbohydrate 27 g",
        "1.5 servings of oat cereal",
        "Nutrition Facts\nServing size 40 g",
        "what is on the label",
        "",
    ],
)
def test_starts_label__not(line) -> None:
    assert not starts_label(line)


def test_collected__ends_at_an_empty_line_that_is_not_inside_a_paste() -> None:
    waits = iter([True, False])
    lines = iter(["Serving 40 g", "", "Sodium 5 mg", "", "never"])
    text = collected("Nutrition Facts", lambda: next(lines), lambda: next(waits))
    assert text == "Nutrition Facts\nServing 40 g\n\nSodium 5 mg"


def plain_reader(*lines: str) -> tuple[PlainReader, list[str], list[str]]:
    left, told, kept = list(lines), [], []

    def ask(prompt: str) -> str:
        assert prompt.endswith(": ")
        if not left:
            raise EOFError
        return left.pop(0)

    return PlainReader(ask, told.append, keep=kept.append), told, kept


def test_plain_reader__label_is_one_text_and_told_once() -> None:
    reader, told, kept = plain_reader("new food a:", "x 1 g", "END", "hi", "new food b:", "y", "")
    assert [reader.read() for _ in range(3)] == ["new food a:\nx 1 g", "hi", "new food b:\ny"]
    assert len(told) == 1
    assert kept == ["new food a:\nx 1 g", "hi", "new food b:\ny"]


def test_plain_reader__end_of_input_inside_a_label_keeps_it() -> None:
    reader, _, _ = plain_reader("Nutrition Facts", "x 1 g")
    assert reader.read() == "Nutrition Facts\nx 1 g"
    with pytest.raises(EOFError):
        reader.read()


NAMES = ("oat cereal", "orange juice", "Rye bread")


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("oa", ["oat cereal"]),
        ("two slices of ry", ["Rye bread"]),
        ("1.5 servings of the oat c", ["oat cereal"]),
        ("oat cereal", []),
        ("o", []),
        ("", []),
        ("15", []),
        ("gl", ["glucose "]),
        ("x gl", []),
        ("oa\nor", []),
    ],
)
def test_suggestions(typed, offered) -> None:
    found = suggestions(typed, NAMES)
    assert [s.text for s in found] == offered
    assert all(typed.endswith(typed[len(typed) - s.replaces :]) for s in found)


def test_suggestions__replace_what_was_begun() -> None:
    (found,) = suggestions("half the oat c", NAMES)
    assert found.replaces == len("oat c")


def test_history__private_whole_and_forgiving(tmp_path) -> None:
    path = tmp_path / "history"
    typed = TypedLines(path)
    assert typed.load() == []
    for text in ("one", "two\nlines", "  ", "é \u2028 x"):
        typed.add(text)
    assert typed.load() == ["one", "two\nlines", "é \u2028 x"]
    assert path.stat().st_mode & 0o777 == 0o600
    path.write_text(path.read_text() + "not json\n[1]\n")
    assert typed.load() == ["one", "two\nlines", "é \u2028 x"]
    TypedLines(tmp_path / "no" / "folder").add("x")


def test_voice__json_trouble_is_an_object_too() -> None:
    world = replace(world_of(), stderr=io.StringIO())
    Voice(world, "json").trouble("Something.")
    assert '"status": "failed"' in written(world)
    assert world.stderr.getvalue() == "Something.\n"

"""Labels of each law that arrive line by line: typed, pasted without the terminal's own mark of a
paste, or typed ahead while the program starts. The rule: one label, one turn."""

import os
import time
from contextlib import suppress

import pexpect
import pyte
import pytest
from filled_home import NOON
from shell_stand_ins import PROGRAM

from assistant.shell.pasted import collected, starts_label

HEADS = [
    "Nutrition Facts",  # 21 CFR 101.9(d)(2)
    "Nutrition Facts 8 servings per container",
    "Nutrition Facts / Valeur nutritive",  # Food and Drug Regulations B.01.401
    "Nutrition declaration per 100 g per slice (35 g)",  # Regulation (EU) 1169/2011, Annex XV
    "Nutrition declaration",
    "Nutrition per 100 g",
    "Typical values per 100 g per 30 g portion %RI*",  # common practice in the UK, no source
    "NUTRITION INFORMATION",  # Food Standards Code 1.2.8-6
    "Average quantity per serving Average quantity per 100 g",
    "Nutrition facts per 100 g",
    "Japanese label, Nutrition facts per 100 g",
    "new food bran: EU label",
    "new food bran: EU label, per 100 g",
    "new label for bran: US label",
]


@pytest.mark.parametrize("line", HEADS)
def test_starts_label__heads_of_each_law(line) -> None:
    assert starts_label(line)


@pytest.mark.parametrize("line", ["EU label", "Japanese label", "per 100 g", "Per 100 ml:"])
def test_starts_label__what_may_be_an_answer_starts_one_only_in_a_paste(line) -> None:
    assert not starts_label(line, lambda: False)
    assert starts_label(line, lambda: True)


@pytest.mark.parametrize(
    "line",
    [
        "100 g milk",
        "1 nutrition bar",
        "2 slices rye bread, bg 130",
        "my labels are EU labels",
        "help labels",
        "new food milk: EU label, per 100 ml: carbohydrate 4.8 g",
        "EU label, per 100 g: carbohydrate 48 g",
        "how much rice is 45 g per serving",
        "never more than 100 g in a meal",
        "explain the label of milk",
    ],
)
def test_starts_label__whole_sentences_start_none(line) -> None:
    assert not starts_label(line, lambda: True)


EU = (
    "Nutrition declaration per 100 g per slice (35 g)",
    "Energy 1046 kJ / 250 kcal 366 kJ / 88 kcal",
    "Fat 3,0 g 1,1 g",
    "of which saturates 0,5 g 0,2 g",
    "Carbohydrate 46 g 16 g",
    "of which sugars 4,0 g 1,4 g",
    "Protein 8,0 g 2,8 g",
    "Salt 1,0 g 0,4 g",
)


def test_collected__a_european_label_in_the_plain_prompt() -> None:
    lines = iter((*EU[1:], "end"))
    assert collected(EU[0], lambda: next(lines), lambda: True) == "\n".join(EU)


class Chat:
    """The chat in a terminal, with keys sent before it is there."""

    def __init__(self, *argv: str, ahead: str, **environ: str) -> None:
        env = {**os.environ, "TERM": "xterm-256color", **environ}
        self.child = pexpect.spawn(
            PROGRAM[0], [*PROGRAM[1:], *argv], env=env, dimensions=(60, 100), encoding="utf-8"
        )
        self.child.send(ahead)
        self.screen = pyte.Screen(100, 60)
        self.screen.write_process_input = self.child.send
        self.stream = pyte.Stream(self.screen)

    def until(self, wanted: str, seconds: float = 20) -> str:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            with suppress(pexpect.TIMEOUT, pexpect.EOF):
                self.stream.feed(self.child.read_nonblocking(65536, 0.2))
            shown = "\n".join(line.rstrip() for line in self.screen.display).rstrip()
            if wanted in shown:
                return shown
        raise AssertionError(f"no {wanted!r} on:\n{shown}")


@pytest.mark.more
@pytest.mark.parametrize(
    ("argv", "environ"),
    [((), {}), (("--spoken",), {}), (("--spoken",), {"TERM": "dumb"}), ((), {"TERM": "dumb"})],
    ids=["sighted", "spoken", "spoken dumb", "dumb"],
)
def test_type_ahead__a_label_pasted_before_the_first_prompt_is_one_turn(
    home, argv, environ
) -> None:
    chat = Chat("--at", NOON, *argv, ahead="\r".join((*EU, "end", "")), **environ)
    try:
        shown = chat.until("What is the food called?")
        assert "I know no food" not in shown
        assert "of what?" not in shown
    finally:
        chat.child.close(force=True)

"""The answers are easy to read: the Flesch-Kincaid grade of the lines that answer.

Formula: J. P. Kincaid, R. P. Fishburne, R. L. Rogers, B. S. Chissom, "Derivation of New Readability
Formulas", Naval Technical Training Command, Research Branch Report 8-75, 1975:
grade = 0.39 (words / sentences) + 11.8 (syllables / words) - 15.59.

Syllables are counted by spelling, the usual way where no dictionary is at hand (common practice, no
source). Words of the trade count in full, though their readers know them ("carbohydrate").
"""

import ast
import re
from pathlib import Path

import pytest

import assistant
from assistant.render.texts import TEXTS

AVERAGE, HARDEST = 4.0, 9.0
"""Grades: of all answers together, and of any one (a choice of ours; no source sets one)."""


def syllables(word: str) -> int:
    groups = re.findall(r"[aeiouy]+", word)
    count = len(groups)
    if word.endswith("e") and not word.endswith(("le", "ee")) and count > 1:
        count -= 1
    if word.endswith(("es", "ed")) and not re.search(r"(?:[sxz]|ch|sh|[td]|[cg])e[sd]$", word):
        count -= count > 1
    return max(1, count)


def counts(text: str) -> tuple[int, int, int]:
    """Sentences, words, syllables; an argument stands for one short word, quotes for none."""
    plain = re.sub(r'"[^"]*"', "x", re.sub(r"\{\w+\}", "ten", text))
    sentences = max(1, len(re.findall(r"[.?!](?:\s|$)", plain)))
    words = re.findall(r"[a-z']+", plain.lower())
    return sentences, len(words), sum(syllables(w) for w in words)


def grade(sentences: int, words: int, spoken: int) -> float:
    return 0.39 * (words / sentences) + 11.8 * (spoken / words) - 15.59


def answer_codes() -> set[str]:
    """Codes that the sources give to a line that answers, refuses or asks."""
    found = set()
    for path in (Path(assistant.__file__).parent / "dialogue").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            at = {"answer": 0, "Ask": 1, "caution": 0}.get(node.func.id)
            if at is not None and len(node.args) > at and isinstance(node.args[at], ast.Constant):
                found.add(node.args[at].value)
    found |= {code for code in TEXTS if code.startswith(("rule-", "setup-", "treat-low"))}
    return {code for code in found if code in TEXTS}


CODES = sorted(answer_codes())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # 1 sentence, 6 words, 6 syllables: 0.39 * 6 + 11.8 - 15.59, by hand.
        ("The cat sat on the mat.", 0.39 * 6 + 11.8 * 1 - 15.59),
        # 2 sentences, 4 words, 5 syllables ("measure" has two).
        ("Wait ten. Measure now.", 0.39 * 2 + 11.8 * 5 / 4 - 15.59),
    ],
)
def test_the_formula_is_the_published_one(text, expected) -> None:
    assert grade(*counts(text)) == pytest.approx(expected)


def test_there_are_answers_to_grade() -> None:
    assert len(CODES) > 100


def test_answers_taken_together_are_of_grade_four_or_less() -> None:
    total = [sum(column) for column in zip(*(counts(TEXTS[c]) for c in CODES), strict=True)]
    assert grade(*total) <= AVERAGE


@pytest.mark.parametrize("code", CODES)
def test_no_answer_is_far_harder(code) -> None:
    sentences, words, spoken = counts(TEXTS[code])
    if words >= 8:  # the formula says little of a few words
        assert grade(sentences, words, spoken) <= HARDEST, TEXTS[code]

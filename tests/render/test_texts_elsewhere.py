"""No sentence for the user stands outside the catalogue, so that another language can be added.

The sources are read for string literals that look like a sentence that is told: words with a space
between them that begin with a capital letter or end as a sentence does. Sentences that are typed
(examples, forms, names of units) begin small and end without a point; patterns are for reading.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import assistant

ROOMS = ("dialogue", "shell", "counting", "dosing", "diary", "report", "teaching")
ALLOWED = {
    "shell/label_trials.py": "labels, as they are typed, for the bench",
    "shell/bench.py": "the bench's report is for developers",
    "shell/bench_start.py": "the bench's report is for developers",
    "shell/bench_journal.py": "the bench's report, and SQL",
    "shell/bench_sessions.py": "the bench's report",
    "shell/bench_library.py": "the bench's report, and SQL",
    "shell/library_trials.py": "invented foods for the bench",
    "report/fhir.py": "names of LOINC",
    "shell/demo.py": "what the demo types",
    "shell/completion_scripts.py": "the completion scripts, which shells read",
}
"""Files whose literals are not told to a user, and why."""
TYPED = re.compile(
    r"(?:US|Canadian|EU|UK|Australian|NZ|New Zealand|Japanese) labels?\b.*|I (?:avoid|took) .*"
    r"|what is missing\?|new food .*|I feel low"
)
"""Sentences that are typed and look like told ones."""


def docstrings(tree: ast.AST) -> set[int]:
    """Places of the strings that stand alone: docstrings, and notes under a constant."""
    return {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }


def is_told(text: str) -> bool:
    """Does it look like a sentence that is told?"""
    words = re.findall(r"[A-Za-z']{2,}", text)
    if len(words) < 2 or " " not in text.strip() or re.search(r"\\[sdwb]|\(\?|\|", text):
        return False
    plain = text.strip()
    if plain.endswith(" ..."):  # an offer whose last place is open; it is typed
        plain = plain[:-4]
    return plain[0].isupper() or plain.endswith((".", "?", "!", ": "))


def literals(path: Path) -> Iterator[tuple[int, str]]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    notes = docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in notes:
            yield node.lineno, node.value


def files() -> list[Path]:
    room = Path(assistant.__file__).parent
    return sorted(p for name in ROOMS for p in (room / name).glob("*.py"))


@pytest.mark.parametrize("path", files(), ids=lambda p: f"{p.parent.name}/{p.name}")
def test_no_sentence_stands_outside_the_catalogue(path: Path) -> None:
    name = f"{path.parent.name}/{path.name}"
    if name in ALLOWED or path.name.startswith("phrase_"):
        return
    found = [f"{n}: {text}" for n, text in literals(path) if is_told(text)]
    assert not [f for f in found if not TYPED.fullmatch(f.split(": ", 1)[1])]


def test_the_check_sees_a_sentence() -> None:
    assert is_told("No dose is suggested.")
    assert is_told("Is that right?")
    assert not is_told("my ratio is 1 unit per 10 g")
    assert not is_told("answer-count")


def test_the_allow_list_holds_nothing_that_is_gone() -> None:
    names = {f"{p.parent.name}/{p.name}" for p in files()}
    assert set(ALLOWED) <= names

"""Patterns that are kept are those of re: equal, and the same on every text."""

import re
import sys
from array import array
from importlib import import_module
from pkgutil import iter_modules

import pytest
from hypothesis import given
from hypothesis import strategies as st

import assistant.counting
import assistant.dialogue
import grammar
from grammar import kept, patterns

TEXTS = ("2 slices of rye bread, glucose 9.1", "MY Cup is 250 ml", "", "½ x\n3", "crème “x”")


def test_each_pattern_that_is_kept_is_the_one_of_re():
    for package in (grammar, assistant.dialogue, assistant.counting):
        for found in iter_modules(package.__path__):
            import_module(f"{package.__name__}.{found.name}")
    asked = []
    for module in list(sys.modules.values()):  # what stands in modules is what they compiled
        name = getattr(module, "__name__", "")
        if name.startswith(("assistant.", "grammar.")):
            held = [v for v in vars(module).values() if isinstance(v, re.Pattern)]
            asked += [(v.pattern, v.flags & ~re.UNICODE) for v in held]
    assert len(asked) > 80
    for text, flags in asked:
        row = patterns._row_of(text, flags)
        made, theirs = patterns._of_row(text, row), re.compile(text, flags)
        assert made == theirs  # re compares the compiled code
        assert (made.groups, dict(made.groupindex)) == (theirs.groups, dict(theirs.groupindex))


@given(
    st.sampled_from(
        [r"(?P<n>\d+)(?:\s*(g|ml))?", r"(?<!\w)(a|an|the)\b", r"[^\W\d_]{2,}", r"^x?$"]
    ),
    st.text(alphabet="axthe 12gml\nß½", max_size=30),
    st.sampled_from([0, re.I, re.I | re.S, re.M]),
)
def test_it_matches_as_re_does(text, said, flags):
    row = patterns._row_of(text, int(flags))
    mine, theirs = patterns._of_row(text, row), re.compile(text, flags)
    assert [(m.span(), m.groups(), m.groupdict(), m.lastgroup) for m in mine.finditer(said)] == [
        (m.span(), m.groups(), m.groupdict(), m.lastgroup) for m in theirs.finditer(said)
    ]


@pytest.mark.parametrize("said", TEXTS)
def test_its_functions_are_those_of_re(said):
    text = r"([a-z]+)\s"
    assert patterns.sub(text, r"<\1>", said, re.I) == re.sub(text, r"<\1>", said, flags=re.I)
    assert patterns.split(text, said) == re.split(text, said)
    assert patterns.findall(text, said) == re.findall(text, said)
    for ours, theirs in (
        (patterns.match, re.match), (patterns.search, re.search),
        (patterns.fullmatch, re.fullmatch),
    ):  # fmt: skip
        mine, found = ours(text, said, re.I), theirs(text, said, re.I)
        assert (mine and mine.span()) == (found and found.span())
    spans = [m.span() for m in patterns.finditer(text, said)]
    assert spans == [m.span() for m in re.finditer(text, said)]


@pytest.fixture
def shelf(tmp_path, monkeypatch):
    monkeypatch.setattr("sys.dont_write_bytecode", False)
    monkeypatch.setattr(kept, "cache_from_source", lambda _: str(tmp_path / "kept.pyc"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "user"))
    return patterns._Shelf


def test_what_one_run_compiled_the_next_one_has(shelf):
    first = shelf()
    first.made("a+b", 2)
    first.keep()
    second = shelf()
    assert second.made("a+b", 2) == re.compile("a+b", 2)
    assert second.new == []
    assert second.made("a+b", 0) == re.compile("a+b")  # other flags are another pattern
    assert second.new == [("a+b", 0)]


def test_two_runs_at_once_keep_what_both_compiled(shelf):
    one, other = shelf(), shelf()
    one.made("x1", 0)
    other.made("x2", 0)
    one.keep()
    other.keep()
    assert [shelf().row(text, 0) is not None for text in ("x1", "x2", "x3")] == [True, True, False]


@pytest.mark.parametrize(
    "row",
    [
        (0, b"", 0, {}, (None,)), (0, array("I", [1, 2, 3]).tobytes(), 0, {}, (None,)),
        (0, b"abc", 0, {}, (None,)), (0, b"\xff" * 64, 1, {"n": 1}, (None, "n")),
    ],
)  # fmt: skip
def test_code_that_is_none_is_compiled_anew(shelf, row):
    kept.write_pieces("patterns", {patterns._key("a", 0): ("a", row)})
    assert shelf().row("a", 0) == row
    assert shelf().made("a", 0) == re.compile("a")


def test_another_text_with_the_same_sum_is_not_taken_for_it(shelf):
    row = patterns._row_of("b+", 0)
    kept.write_pieces("patterns", {patterns._key("a", 0): ("b+", row)})
    assert shelf().made("a", 0) == re.compile("a")


def test_no_more_than_so_many_are_kept(shelf, monkeypatch):
    monkeypatch.setattr(patterns, "MOST", 2)
    full = shelf()
    for text in ("a", "b", "c"):
        full.made(text, 0)
    full.keep()
    assert [shelf().row(text, 0) is not None for text in "abc"] == [True, True, False]


def test_a_pattern_of_re_that_is_wrong_is_wrong_here_too(shelf):
    with pytest.raises(re.error):
        shelf().made("(", 0)

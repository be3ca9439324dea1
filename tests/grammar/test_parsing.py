"""Our driver of the grammars' tables, held against lark: the same tokens, trees, places of slips.

lark is the outside authority here: it reads the same grammar's text and does the parsing itself.
"""

import json
import re
from functools import cache
from pathlib import Path
from typing import ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lark import Lark
from lark.exceptions import UnexpectedCharacters, UnexpectedToken
from lark.lexer import Lexer
from lark.lexer import Token as LarkToken
from test_statements import FIGURES, SCHEDULES

from grammar import label_tokens, parsing, phrases, statements
from grammar.parsing import END, Parser, StopError, Token, Tree, lark_of, tables_of

FOLDER = Path(parsing.__file__).parent
SAID = sorted(
    {
        row["say"]
        for file in (FOLDER.parent / "demo_sessions").glob("*.jsonl")
        for row in map(json.loads, file.read_text(encoding="utf-8").splitlines())
        if "say" in row
    }
)
PARTS = (
    *("1.5", "2", "1/2", "½", "a", "half", "a third of", "two", "2-3", "1,5", "200 ml", "3 x", "~"),
    *("servings", "slices", "of the", "of", "cup", "lb.", "fl oz", "oat cereal", "milk", "pound"),
    *("and a half", "plus", "and", "with", ",", ";", "\n", "(60 g)", "[", '"rye, dark"', "50% of"),
    *("glucose 162", "bg is 9.1 mmol/L", "no reading", "at 12:30", "for lunch", "ten minutes ago"),
    *("please", "I'm having", "count", "no dose", "30% less", "x2", "or so", "-", "§", "…", "e3"),
    *("my ratio is", "1 unit per 10 g", "from 06:00", "target", "110 mg/dL", "never more than"),
    *(
        "8 units",
        "at once",
        "in 4 hours",
        "took",
        "4 units",
        "at 12:45",
        "yesterday",
        "it",
        "my cup",
    ),
    *("is", "250 ml", "Total Carbohydrate", "27 g", "10%", "Includes 10g Added Sugars 20%", "per"),
)
STARTS = statements._STARTS


def ours(node):
    """A tree or token of ours as nested tuples."""
    if isinstance(node, Token):
        return (node.type, str(node), node.start, node.end)
    return (node.data, node.start, node.end, [ours(child) for child in node.children])


def larks(node):
    """The same of lark's."""
    if isinstance(node, LarkToken):
        return (node.type, str(node), node.start_pos, node.end_pos)
    start, end = (None, None) if node.meta.empty else (node.meta.start_pos, node.meta.end_pos)
    return (str(node.data), start, end, [larks(child) for child in node.children])


def grammar_text(file: str) -> str:
    return (FOLDER / file).read_text(encoding="utf-8")


class Given(Lexer):
    """Gives lark tokens that were found before."""

    tokens: ClassVar[list[Token]] = []

    def __init__(self, _conf):
        pass

    def lex(self, _text):
        for t in self.tokens:
            yield LarkToken(t.type, str(t), start_pos=t.start, end_pos=t.end)


@cache
def lark_with_tokens(file: str) -> Lark:
    return Lark(grammar_text(file), parser="lalr", lexer=Given, maybe_placeholders=False,
                propagate_positions=True)  # fmt: skip


def with_tokens(file: str, tokens: list[Token]):
    """lark's tree of tokens that were found before."""
    Given.tokens = tokens
    return lark_with_tokens(file).parse("x")


@pytest.fixture(scope="module")
def lark_food():
    return lark_of(grammar_text("food.lark"), re.I, ("start",), by_state=False)


@pytest.fixture(scope="module")
def lark_statements():
    return lark_of(grammar_text("statements.lark"), re.I, STARTS, by_state=True)


made = st.lists(st.sampled_from(PARTS), min_size=1, max_size=9).map(" ".join)


def check_food(lark_food, text: str) -> None:
    bare = Parser(tables_of("food.lark", re.I))
    assert [ours(t) for t in bare.tokens(text)] == [larks(t) for t in lark_food.lex(text)]


@given(text=st.one_of(made, st.text(max_size=40)))
def test_the_words_of_a_phrase_are_those_of_lark(lark_food, text):
    check_food(lark_food, text)


def test_the_words_of_what_was_said_are_those_of_lark(lark_food):
    assert len(SAID) > 100
    for text in SAID:
        check_food(lark_food, text)


def phrase_tokens(text: str) -> list[Token]:
    return list(phrases._parts_behind_measures(phrases._parser().tokens(text)))


@pytest.mark.parametrize("text", [*SAID[::9], "a pound and a half of rice", "2 lb. of it", "x"])
def test_the_tree_of_a_phrase_is_larks(text):
    tokens = phrase_tokens(text)
    assert ours(phrases._parser().tree(tokens)) == larks(with_tokens("food.lark", tokens))


@given(text=st.lists(st.sampled_from(PARTS), min_size=1, max_size=9).map("\n".join))
def test_the_tree_of_a_label_is_larks(text):
    tokens = list(label_tokens.tokens(text))
    tree = Parser(tables_of("label.lark")).tree(tokens)
    assert ours(tree) == larks(with_tokens("label.lark", tokens))


def check_statement(parser: Lark, text: str, start: str) -> bool:
    """Do both read it? Else both stop at the same place."""
    driver = Parser(tables_of("statements.lark", re.I, STARTS, by_state=True))
    try:
        told = larks(parser.parse(text, start=start))
    except (UnexpectedCharacters, UnexpectedToken) as fault:
        stop = fault.pos_in_stream
        over = isinstance(fault, UnexpectedToken) and fault.token.type == "$END"
    else:
        assert ours(driver.parse(text, start)) == told
        return True
    with pytest.raises(StopError) as stopped:
        driver.parse(text, start)
    assert (stopped.value.kind == END) == over
    assert over or stopped.value.place == stop
    return False


@given(text=made, start=st.sampled_from(STARTS))
def test_a_sentence_is_read_as_lark_reads_it_or_stops_where_lark_stops(
    lark_statements, text, start
):
    check_statement(lark_statements, text, start)


def test_what_was_said_is_read_as_lark_reads_it(lark_statements):
    read = [
        check_statement(lark_statements, text, form)
        for text in (*SAID, *(row[0] for row in (*SCHEDULES, *FIGURES)))
        if (form := statements.form_of(text)) is not None
    ]
    assert sum(read) > 90


def test_a_small_grammar_by_hand(tmp_path):
    """Parts with and without names, an only child, repeats, and what is left out."""
    text = (
        """
    start: pair ("," pair)* [NAME]
    pair: key _EQUALS value -> both
    ?value: NAME | "(" value ")" -> inner | _many
    _many: NUMBER+
    key: NAME
    NAME: /[a-z]+/
    NUMBER: /[0-9]/
    _EQUALS: /=/
    %ignore / +/
    """.replace('","', "_COMMA")
        .replace('"("', "_OPEN")
        .replace('")"', "_CLOSE")
    )
    text += "\n    _COMMA: /,/\n    _OPEN: /[(]/\n    _CLOSE: /[)]/\n"
    driver = Parser(parsing.made_by_lark(text, 0, ("start",), by_state=False))
    found = driver.parse("a = (b), c = 12")
    assert isinstance(found, Tree)
    assert [child.data for child in found.children] == ["both", "both"]
    first, second = found.children
    assert (first.start, first.end) == (0, 7)  # the brackets count, though they are no children
    assert first.children[1].data == "inner"
    assert ours(second.children[1]) == (
        "value", 13, 15, [("NUMBER", "1", 13, 14), ("NUMBER", "2", 14, 15)],
    )  # fmt: skip
    for wrong, place in (("a = ", 4), ("= a", 0), ("a = ?", 4)):
        with pytest.raises(StopError) as stopped:
            driver.parse(wrong)
        assert stopped.value.place == place

"""Phrases about food: text to Phrase, with every reading of each part."""

import re
from functools import cache

from lark import Lark, Token, Tree
from lark.exceptions import LarkError

from grammar.measures import find_measure, word_type
from grammar.nodes import (
    Clause,
    Complaint,
    Item,
    MeasureWord,
    Number,
    Phrase,
    Quantity,
    Unclear,
    Unstated,
    Word,
)
from grammar.numbers import read_number
from grammar.words import singular

MAX_LENGTH = 2000
"""Characters of one phrase; a longer one is no meal, and is asked about."""
MAX_JOINED = 4
"""How many joiners one name may hold ("salt and pepper and lime crisps")."""

_NUMBER_TYPES = frozenset(
    {
        *("SCIENTIFIC", "NEGATIVE", "RANGE", "MIXED", "FRACTION", "VULGAR", "SHARE", "COMMA"),
        *("ORDINAL", "POINT", "WHOLE", "SPELT_MIXED", "SPELT_DOZEN", "SPELT_PART", "SPELT"),
        *("VAGUE", "A"),
    }
)
_ROLES = {
    "OF": "link",
    "THE": "link",
    "A": "link",
    "JOINER": "joiner",
    "LEAD": "courtesy",
    "LEAD_MEAL": "courtesy",
    "TAIL": "courtesy",
    "SURE": "confirmed",
    "GLUCOSE_SAID": "glucose",
    "GLUCOSE_VALUE": "glucose",
    "NO_READING": "no reading",
    "LOW_SAID": "glucose",
    "HIGH_SAID": "glucose",
}


def _retype(token: Token) -> Token:
    kind = word_type(str(token))
    return token.update(type=kind) if kind else token


def _as_measure(token: Token) -> Token:
    return token.update(type="MEASURE")


@cache
def _parser() -> Lark:
    return Lark.open(
        "food.lark",
        rel_to=__file__,
        parser="lalr",
        lexer="basic",
        start=["start", "merged"],
        propagate_positions=True,
        maybe_placeholders=False,
        g_regex_flags=re.IGNORECASE,
        lexer_callbacks={
            "WORD": _retype,
            "FLUID_OUNCE": _as_measure,
            "ABBREVIATED": _as_measure,
        },
    )


def _tokens(node: Tree[Token] | Token) -> list[Token]:
    if isinstance(node, Token):
        return [node]
    return [t for child in node.children for t in _tokens(child)]


def _start(token: Token) -> int:
    assert token.start_pos is not None
    return token.start_pos


def _end(token: Token) -> int:
    assert token.end_pos is not None
    return token.end_pos


_NO_MEASURES = frozenset(
    {"instead", "out", "most", "all", "none", "rest", "each", "any", "one", "more", "less", "part"}
)
"""Words that stand before "of" and are no measure."""


class _Reader:
    """Makes the readings of one item from its tokens."""

    def __init__(self, text: str, tokens: list[Token]) -> None:
        self.text = text
        self.tokens = tokens
        self.start = _start(tokens[0])
        self.end = _end(tokens[-1])

    def _item(self, quantity: Quantity, measure: MeasureWord | None, first: int, last: int) -> Item:
        """The item whose name is tokens first to last (last not included)."""
        names = self.tokens[first:last]
        begin, finish = (_start(names[0]), _end(names[-1])) if names else (self.end, self.end)
        name = self.text[begin:finish].strip()
        if len(names) == 1 and names[0].type == "QUOTED":
            name = name.strip('"').strip()
        return Item(
            quantity,
            measure,
            name,
            self.text[self.start : self.end],
            self.start,
            self.end,
            begin,
            finish,
        )

    def _links(self, at: int) -> int:
        while at < len(self.tokens) and self.tokens[at].type in {"OF", "THE", "A"}:
            at += 1
        return at

    def _number(self) -> tuple[Quantity, int]:
        first = self.tokens[0]
        if first.type not in _NUMBER_TYPES:
            return Unstated(), 0
        if first.type in {"VAGUE", "ORDINAL"}:
            return Unclear(first.type.casefold(), str(first)), 1
        return read_number(str(first)), 1

    def _measure(self, at: int) -> tuple[MeasureWord | None, int]:
        tokens = self.tokens
        size = None
        begin = at
        if at < len(tokens) and tokens[at].type == "SIZE":
            size, at = str(tokens[at]).casefold(), at + 1
        if at < len(tokens) and tokens[at].type == "MEASURE":
            found = find_measure(str(tokens[at]))
            assert found is not None
            said = self.text[_start(tokens[begin]) : _end(tokens[at])]
            return MeasureWord(found[0], found[1], said, size), at + 1
        if size:
            return MeasureWord(size, "size", str(tokens[begin]), None), at
        return None, begin

    def _word_measure(self, quantity: Quantity, at: int) -> Item | None:
        """ "3 scoops of protein powder": an unknown word before 'of' may be a measure."""
        for cut in range(at + 1, min(at + 3, len(self.tokens) - 1)):
            if self.tokens[cut].type == "OF" and all(
                t.type in {"WORD", "HYPHENED", "SIZE"} and t.casefold() not in _NO_MEASURES
                for t in self.tokens[at:cut]
            ):
                said = self.text[_start(self.tokens[at]) : _end(self.tokens[cut - 1])]
                name_at = self._links(cut)
                if name_at < len(self.tokens):
                    *front, noun = said.casefold().split()
                    unit = " ".join([*front, singular(noun)])
                    word = MeasureWord(unit, "word", said)
                    return self._item(quantity, word, name_at, len(self.tokens))
        return None

    def _trailing(self) -> Item | None:
        """ "oat cereal 60 g": an amount behind the name."""
        tokens = self.tokens
        if len(tokens) < 3 or tokens[-1].type != "MEASURE" or tokens[-2].type not in _NUMBER_TYPES:
            return None
        quantity = read_number(str(tokens[-2]))
        found = find_measure(str(tokens[-1]))
        assert found is not None
        begin = 0
        while tokens[begin].type == "THE":
            begin += 1
        measure = MeasureWord(found[0], found[1], str(tokens[-1]))
        return self._item(quantity, measure, begin, len(tokens) - 2)

    def readings(self) -> tuple[Item, ...]:
        """Every reading, the plainest first: the longest amount; fewer words taken as amount.

        A name in quotation marks is that name and no other.
        """
        quoted = [t for t in self.tokens if t.type == "QUOTED"]
        if not quoted:
            return self._all_readings()
        begin, finish = _start(quoted[0]), _end(quoted[0])
        exact = [r for r in self._all_readings() if (r.name_start, r.name_end) == (begin, finish)]
        return tuple(exact[:1]) or (self._item(Unstated(), None, 0, len(self.tokens)),)

    def _all_readings(self) -> tuple[Item, ...]:
        count = len(self.tokens)
        quantity, after = self._number()
        if isinstance(quantity, Unstated):
            trailing = self._trailing()
            begin = 0
            while begin < count - 1 and self.tokens[begin].type == "THE":
                begin += 1
            whole = self._item(quantity, None, begin, count)
            worded = self._word_measure(quantity, begin)
            return tuple(r for r in (trailing, whole, worded) if r)
        found: list[Item] = []
        linked = self._links(after)
        between = self.tokens[after:linked]
        measure, measured = self._measure(linked)
        if measure is None and self._part_of_what(quantity, between):
            quantity = Unclear("part-of-what", str(self.tokens[0]))
        found.append(self._item(quantity, measure, self._links(measured), count))
        if measure is not None:
            if measured < count or measure.kind not in {"mass", "volume"}:
                found.append(self._item(quantity, None, linked, count))
        else:
            worded = self._word_measure(quantity, linked)
            if worded:
                found.insert(0, worded)
        trailing = self._trailing()
        if trailing:
            found.append(trailing)
        found.append(self._item(Unstated(), None, 0, count))
        return tuple(found)

    @staticmethod
    def _part_of_what(quantity: Quantity, between: list[Token]) -> bool:
        """ "half (of) the crackers": half of a pack, of a cracker? It is asked."""
        return (
            isinstance(quantity, Number)
            and quantity.value < 1
            and any(t.type == "THE" for t in between)
        )


def _clause(token: Token) -> Clause:
    said = str(token)
    start, end = _start(token), _end(token)
    if token.type == "NO_READING":
        return Clause("no-reading", said, start, end)
    if token.type in {"LOW_SAID", "HIGH_SAID"}:
        return Clause("low-said" if token.type == "LOW_SAID" else "high-said", said, start, end)
    match = re.search(r"([-−]?\d[\d.,]*)\s*(mg\s*/?\s*dl|mmols?(\s*/\s*l)?)?\s*$", said, re.I)
    assert match is not None
    unit = None
    if match[2]:
        unit = "mg/dL" if match[2].casefold().startswith("mg") else "mmol/L"
    return Clause("glucose", said, start, end, read_number(match[1].rstrip(".,")), unit)


def _roles(text: str, tree: Tree[Token]) -> tuple[Word, ...]:
    words = []
    for node in tree.children:
        if isinstance(node, Token):
            words.append(Word(str(node), _ROLES[node.type], _start(node), _end(node)))
            continue
        reader = _Reader(text, _tokens(node))
        item = reader.readings()[0]
        for token in reader.tokens:
            inside = item.name_start <= _start(token) < item.name_end
            if inside:
                role = "food"
            elif token is reader.tokens[0] and token.type in _NUMBER_TYPES:
                role = "amount"
            elif token.type in {"MEASURE", "SIZE"}:
                role = "measure"
            elif token.type in _NUMBER_TYPES and token.type != "A":
                role = "amount"
            elif item.measure is not None and item.measure.kind == "word" and token.type == "WORD":
                role = "measure"
            else:
                role = _ROLES.get(token.type, "food")
            words.append(Word(str(token), role, _start(token), _end(token)))
    return tuple(words)


def read_phrase(text: str) -> Phrase | Complaint:
    """A phrase in its finest split, or why it is none. Never raises; every word keeps its place.

    >>> read_phrase("1.5 servings of the oat cereal plus 200 ml milk").pieces[1][0].name
    'milk'
    """
    if not text.strip():
        return Complaint("empty", "", 0, 0)
    if len(text) > MAX_LENGTH:
        return Complaint("too-long", text[:60], 0, len(text))
    try:
        tree = _parser().parse(text, start="start")
    except LarkError:  # every character has a token; this is the net below that promise
        return Complaint("symbols", text, 0, len(text))
    pieces = []
    clauses = []
    for node in tree.children:
        if isinstance(node, Tree):
            pieces.append(_Reader(text, _tokens(node)).readings())
        elif _ROLES[node.type] in {"glucose", "no reading"}:
            clauses.append(_clause(node))
    return Phrase(text, tuple(pieces), tuple(clauses), _roles(text, tree))


_WORDY = frozenset({"plus", "and", "with", "&", "+", "w/"})


def loose_joiner(phrase: Phrase) -> Word | None:
    """A joining word at the very start or end: it joins nothing, so something is missing."""
    words = [w for w in phrase.words if w.role not in {"courtesy", "confirmed"}]
    joiners = [w for w in words if w.role == "joiner" and w.said.casefold() in _WORDY]
    firm = [w for w in words if w.role != "joiner"]
    if not firm:
        return joiners[0] if joiners else None
    begin, end = firm[0].start, firm[-1].end
    return next((j for j in joiners if j.start < begin or j.start >= end), None)


def joined(phrase: Phrase, first: int, last: int) -> tuple[Item, ...]:
    """What pieces first to last (both included) read as when they are one food.

    Empty where a clause stands between them, or more than MAX_JOINED joiners.
    """
    if first == last:
        return phrase.pieces[first]
    start, end = phrase.pieces[first][0].start, phrase.pieces[last][0].end
    if last - first > MAX_JOINED or any(start < c.start < end for c in phrase.clauses):
        return ()
    cut = phrase.text[:end]
    try:
        # the same text up to the end, blanked before the start, so that positions hold
        tree = _parser().parse(" " * start + cut[start:], start="merged")
    except LarkError:
        return ()
    tokens = _tokens(tree)
    return _Reader(phrase.text, tokens).readings() if tokens else ()

"""Phrases about food: text to Phrase, with every reading of each part."""

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache, lru_cache

from msgspec.structs import replace

from grammar import patterns
from grammar.amounts import (
    LINKS,
    NUMBERS,
    Amount,
    AmountReader,
    multiplied,
)
from grammar.measures import HANDFUL, word_type
from grammar.nodes import (
    Clause,
    ClauseKind,
    Complaint,
    Item,
    MeasureWord,
    Number,
    Phrase,
    Quantity,
    SecondAmount,
    Unclear,
    Unstated,
    Word,
)
from grammar.numbers import read_number
from grammar.parsing import Parser, StopError, Token, Tree, tables_of
from grammar.words import pattern, singular

MAX_LENGTH = 2000
"""Characters of one phrase; a longer one is no meal, and is asked about."""
MAX_JOINED = 13
"""How many joiners one name may hold ("salt and pepper and lime crisps"): the longest names of the
open tables have as many commas."""
MAX_JOINED_LONG, LONG = 4, 40
"""The same where a phrase has more pieces than LONG: there are too many ways to join them."""


def most_joined(pieces: int) -> int:
    """How many joiners one name may hold in a phrase of so many pieces."""
    return MAX_JOINED if pieces <= LONG else MAX_JOINED_LONG


_CLAUSES: dict[str, ClauseKind] = {
    "GLUCOSE_SAID": "glucose",
    "GLUCOSE_VALUE": "glucose",
    "NO_READING": "no-reading",
    "LOW_SAID": "low-said",
    "HIGH_SAID": "high-said",
    "WHEN": "when",
    "MEAL": "meal",
    "LESS": "less",
    "ACTIVITY": "activity",
    "ILL": "ill",
    "REPLACES": "replaces",
    "COUNT_ONLY": "count-only",
    "COUNT_BESIDE": "count-only",
}
_ROLES = {
    "JOINER": "joiner",
    "LEAD": "courtesy",
    "LEAD_MEAL": "meal",
    "COURTESY": "courtesy",
    "SURE": "confirmed",
    "GLUCOSE_SAID": "glucose",
    "GLUCOSE_VALUE": "glucose",
    "NO_READING": "no reading",
    "LOW_SAID": "glucose",
    "HIGH_SAID": "glucose",
    "WHEN": "time",
    "MEAL": "meal",
    "LESS": "less insulin",
    "ACTIVITY": "activity",
    "ILL": "illness",
    "REPLACES": "change",
    "COUNT_ONLY": "count only",
    "COUNT_BESIDE": "count only",
}
"""What each token outside a food is taken as. LEAD_MEAL ("for lunch I'm having") is a meal too."""


def _retype(token: Token) -> Token:
    kind = word_type(str(token))
    return token.of(kind) if kind else token


def _as_measure(token: Token) -> Token:
    return token.of("MEASURE")


def _parts_behind_measures(stream: Iterator[Token]) -> Iterator[Token]:
    """The same tokens, where "and a half" is one AND_PART right behind a measure: it belongs to
    the amount ("a pound and a half of rice").

    Before "of", the end or a joiner only: "a cup and a half pack of crackers" is two foods.
    """
    tokens = list(stream)
    at = 0
    while at < len(tokens):
        after = tokens[at + 3].type if at + 3 < len(tokens) else "JOINER"
        if (
            at + 2 < len(tokens)
            and tokens[at].type == "MEASURE"
            and tokens[at + 1].casefold() == "and"
            and tokens[at + 2].type == "SPELT_PART"
            and tokens[at + 2].casefold().startswith("a")
            and after in {"OF", "JOINER"}
        ):
            yield tokens[at]
            joiner, part = tokens[at + 1], tokens[at + 2]
            yield Token("AND_PART", f"{joiner} {part}", joiner.start, part.end)
            at += 3
            continue
        yield tokens[at]
        at += 1


@cache
def _parser() -> Parser:
    retyped = {"WORD": _retype, "FLUID_OUNCE": _as_measure, "ABBREVIATED": _as_measure}
    return Parser(tables_of("food.lark", re.I), retyped)


def _tokens(node: Tree | Token) -> list[Token]:
    if isinstance(node, Token):
        return [node]
    return [t for child in node.children for t in _tokens(child)]


_NO_MEASURES = frozenset(
    {"instead", "out", "most", "all", "none", "rest", "each", "any", "one", "more", "less", "part"}
)
"""Words that stand before "of" and are no measure."""


class _Reader:
    """Makes the readings of one item from its tokens."""

    def __init__(self, text: str, tokens: list[Token]) -> None:
        self.text = text
        self.tokens = tokens
        self.start = tokens[0].start
        self.end = tokens[-1].end
        self.amounts = AmountReader(text, tokens)
        self.count, self.times = self._times_behind(tokens)

    @staticmethod
    def _times_behind(tokens: list[Token]) -> tuple[int, Quantity | None]:
        """ "rye bread x2", "30 g rye bread x 2": how many times, and the tokens before it."""
        behind = len(tokens) > 2 and tokens[-2].type == "TIMES" and tokens[-1].type in NUMBERS
        named = len(tokens) > 3 and tokens[-3].type == "SPELT_PART"  # "60 ml half and half x3"
        if behind and (named or tokens[-3].type not in NUMBERS):  # "2 x 3" is an amount itself
            return len(tokens) - 2, read_number(str(tokens[-1]))
        return len(tokens), None

    def _item(self, amount: Amount, first: int, last: int,
              also: SecondAmount | None = None) -> Item:  # fmt: skip
        """The item of this amount whose name is tokens first to last (last not included)."""
        quantity = amount.quantity
        if self.times is not None:
            said = self.text[self.start : self.end]
            stated = not isinstance(quantity, Unstated)
            quantity = multiplied(self.times, quantity, said) if stated else self.times
        names = self.tokens[first:last]
        begin, finish = (names[0].start, names[-1].end) if names else (self.end, self.end)
        name = self.text[begin:finish].strip()
        if len(names) == 1 and names[0].type == "QUOTED":
            name = name.strip('"').strip()
        return Item(
            quantity,
            amount.measure,
            name,
            self.text[self.start : self.end],
            self.start,
            self.end,
            begin,
            finish,
            also,
        )

    def _word_measure(self, quantity: Quantity, at: int) -> Item | None:
        """ "3 scoops of protein powder": an unknown word before 'of' may be a measure."""
        for cut in range(at + 1, min(at + 3, self.count - 1)):
            if self.tokens[cut].type == "OF" and all(
                t.type in {"WORD", "HYPHENED", "SIZE"} and t.casefold() not in _NO_MEASURES
                for t in self.tokens[at:cut]
            ):
                said = self.amounts.said(at, cut)
                name_at = self.amounts.links(cut)
                if name_at < self.count:
                    *front, noun = said.casefold().split()
                    unit = " ".join([*front, singular(noun)])
                    word = MeasureWord(unit, "word", said)
                    return self._item(Amount(quantity, word, cut), name_at, self.count)
        return None

    def _bracket(self, at: int) -> tuple[SecondAmount, int] | None:
        """ "(60 g)" at this token, and the token behind it."""
        if self.amounts.type_at(at) != "OPEN":
            return None
        inner = self.amounts.amount(at + 1)
        if inner is None or inner.measure is None:
            return None  # "(half)" may be anything
        if self.amounts.type_at(inner.end) != "CLOSE":
            return None
        said = self.amounts.said(at + 1, inner.end)
        return SecondAmount(inner.quantity, inner.measure, said), inner.end + 1

    def _behind(self) -> tuple[Amount, int] | None:
        """An amount behind the name ("oat cereal 60 g", ", 60 g", ": 60 g", "- 60 g", "(60 g)"),
        and the end of the name."""
        for at in range(1, self.count):
            if self.tokens[at].type == "OPEN":
                found = self._bracket(at)
                if found is not None and found[1] == self.count:
                    second = found[0]
                    return Amount(second.quantity, second.measure, self.count), at
            if self.tokens[at].type not in _OPENERS:
                continue
            amount = self.amounts.amount(at)
            if amount is None or amount.end != self.count:
                continue
            named = at
            if self.tokens[at - 1].type == "DASH" or self.tokens[at - 1] in {",", ":"}:
                named = at - 1
            elif amount.measure is None:
                continue  # "vitamin 3" is a name
            if named > 0:
                return amount, named
        return None

    def readings(self) -> tuple[Item, ...]:
        """Every reading, the plainest first: the longest amount; fewer words taken as amount.

        A name in quotation marks is that name and no other; between it and a measure may stand
        words that belong to the measure ("1 cup chopped" of a quoted name).
        """
        quoted = [t for t in self.tokens if t.type == "QUOTED"]
        if not quoted:
            return self._all_readings()
        if len(quoted) > 1:
            return (self._source_measure() or self._item(_NOTHING, 0, len(self.tokens)),)
        begin, finish = quoted[0].start, quoted[0].end
        each = self._all_readings()
        exact = [r for r in each if (r.name_start, r.name_end) == (begin, finish)]
        if exact:
            return tuple(exact[:1])
        worded = [
            replace(r, name=self.text[begin:finish].strip('"').strip(), name_start=begin,
                    measure=replace(r.measure, how=self.text[r.name_start:begin].strip()))
            for r in each
            if r.measure is not None and r.name_start < begin and r.name_end == finish
        ]  # fmt: skip
        return (self._item(_NOTHING, 0, len(self.tokens)), *worded[:1])

    def _source_measure(self) -> Item | None:
        """'2 "cup, chopped" of "Onions, raw"': a measure in the words of the food's source."""
        amount = self.amounts.amount(0)
        if amount is None or amount.measure is not None:
            return None
        at = amount.end
        if self.amounts.type_at(at) != "QUOTED":
            return None
        name_at = self.amounts.links(at + 1)
        if name_at != len(self.tokens) - 1 or self.amounts.type_at(name_at) != "QUOTED":
            return None
        words = str(self.tokens[at]).strip('"').strip()
        measure = MeasureWord(words, "source", str(self.tokens[at]))
        return self._item(replace(amount, measure=measure), name_at, len(self.tokens))

    def _all_readings(self) -> tuple[Item, ...]:
        amount = self._mine() or self.amounts.amount(0)
        if amount is None:
            return self._unstated_readings()
        found: list[Item] = []
        quantity, after = amount.quantity, amount.end
        if amount.measure is None:
            linked = self.amounts.links(after)
            if self._part_of_what(quantity, self.tokens[after:linked]):
                amount = replace(amount, quantity=Unclear("part-of-what", str(self.tokens[0])))
            bracketed = self._can_of(amount)
            if bracketed is not None:
                found.append(bracketed)
            worded = self._word_measure(amount.quantity, linked)
            if worded:
                found.append(worded)
        found.append(self._with_bracket(amount, after))
        measure = amount.measure
        named = measure is not None and (after < self.count or measure.kind not in _NO_NAMES)
        if named and amount.spare is not None:
            bare = replace(amount, measure=None)
            found.append(self._item(bare, amount.spare, self.count))
        found.extend(self._whole_and_behind())
        return tuple(found)

    def _unstated_readings(self) -> tuple[Item, ...]:
        worded = self._word_measure(Unstated(), self._begin())
        return tuple(r for r in (*self._whole_and_behind(), worded) if r)

    def _begin(self) -> int:
        """The first token that is not "the" or "my"."""
        begin = 0
        while begin < self.count - 1 and self.tokens[begin].type == "THE":
            begin += 1
        return begin

    def _whole_and_behind(self) -> list[Item]:
        """The name with an amount behind it; and the whole as a name."""
        found = []
        behind = self._behind()
        if behind is not None and behind[1] > self._begin():
            found.append(self._item(behind[0], self._begin(), behind[1]))
        starts_with_number = self.tokens[0].type in NUMBERS
        found.append(self._item(_NOTHING, 0 if starts_with_number else self._begin(), self.count))
        return found

    def _mine(self) -> Amount | None:
        """ "my mug of milk" is one mug."""
        if self.tokens[0].type != "THE" or self.tokens[0].casefold() not in {"my", "our"}:
            return None
        measure, end = self.amounts.measure(1)
        if measure is not None and measure.unit == HANDFUL:
            return Amount(Unclear("vague", str(self.tokens[1])), None, end)
        if measure is None or measure.kind not in {"vessel", "kitchen"}:
            return None
        return Amount(Number(Fraction(1), str(self.tokens[0])), measure, end)

    def _can_of(self, amount: Amount) -> Item | None:
        """ "1 (400 g) can of chickpeas"."""
        bracket = self._bracket(amount.end)
        if bracket is None:
            return None
        measure, end = self.amounts.measure(bracket[1])
        if measure is None:
            return None
        whole = replace(amount, measure=measure, end=end)
        return self._item(whole, self.amounts.links(end), self.count, bracket[0])

    def _with_bracket(self, amount: Amount, after: int) -> Item:
        """The name behind the amount, with a second amount in brackets before or behind it."""
        bracket = self._bracket(after)
        if bracket is not None:
            return self._item(amount, self.amounts.links(bracket[1]), self.count, bracket[0])
        begin = self.amounts.links(after)
        for at in range(begin + 1, self.count):
            last = self._bracket(at)
            if last is not None and last[1] == self.count:
                return self._item(amount, begin, at, last[0])
        return self._item(amount, begin, self.count)

    @staticmethod
    def _part_of_what(quantity: Quantity, between: list[Token]) -> bool:
        """ "half (of) the crackers": half of a pack, of a cracker? It is asked."""
        return (
            isinstance(quantity, Number)
            and quantity.value < 1
            and any(t.type == "THE" for t in between)
        )


_NO_NAMES = frozenset({"mass", "volume"})
_NOTHING = Amount(Unstated(), None, 0)
_OPENERS = NUMBERS | {"ABOUT", "TIMES", "BOUND"}


def _clause(token: Token) -> Clause:
    said = str(token)
    start, end = token.start, token.end
    kind = _CLAUSES[token.type]
    if kind == "less":
        figure = patterns.search(r"\d+([.,]\d+)?", said)
        return Clause(kind, said, start, end, read_number(figure[0]) if figure else None)
    if kind != "glucose":
        return Clause(kind, said, start, end)
    match = patterns.search(r"([-−]?\d[\d.,]*)\s*(mg\s*/?\s*dl|mmols?(\s*/\s*l)?)?\s*$", said, re.I)
    assert match is not None
    unit = None
    if match[2]:
        unit = "mg/dL" if match[2].casefold().startswith("mg") else "mmol/L"
    return Clause(kind, said, start, end, read_number(match[1].rstrip(".,")), unit)


def _role(token: Token, item: Item) -> str:
    """What one token of an item was taken as."""
    if item.name_start <= token.start < item.name_end:
        return "food"
    if token.type in {"MEASURE", "SIZE", "LEVEL", "HEAPED"}:
        return "measure"
    if item.measure is not None and item.measure.kind == "word" and token.type == "WORD":
        return "measure"
    if token.type == "A" or token.type in LINKS:
        first = token.start == item.start
        return "amount" if first and token.type == "A" else "link"
    if token.type in {"DASH", "OPEN", "CLOSE"}:
        return "link"
    if token.type == "OR_SO":
        return "about"
    return {"ABOUT": "about", "BOUND": "bound"}.get(token.type, "amount")


def _outside(token: Token) -> Word:
    """A token that is part of no food."""
    said = str(token).strip() or str(token)
    start = token.start + str(token).index(said)
    return Word(said, _ROLES[token.type], start, start + len(said))


@lru_cache(maxsize=16)
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
        tree = _parser().tree(_parts_behind_measures(_parser().tokens(text)))
    except StopError:  # every character has a token; this is the net below that promise
        return Complaint("symbols", text, 0, len(text))
    pieces: list[tuple[Item, ...]] = []
    clauses: list[Clause] = []
    words: list[Word] = []
    for node in tree.children:
        if isinstance(node, Tree):
            reader = _Reader(text, _tokens(node))
            pieces.append(reader.readings())
            first = pieces[-1][0]
            words.extend(Word(str(t), _role(t, first), t.start, t.end)
                         for t in reader.tokens)  # fmt: skip
            continue
        words.append(_outside(node))
        if node.type in _CLAUSES:
            clauses.append(_clause(node))
    return Phrase(text, tuple(pieces), tuple(clauses), tuple(words), tuple(_tokens(tree)))


_COUNT_WORDS = r"carb|count|add\s+up|dos(?:e|ing)|bolus|insulin|injection"
"""Each form of COUNT_ONLY and COUNT_BESIDE in food.lark holds one. For other texts, such as a dose
or a reading, the grammar of food is not loaded to see that they are none."""


def asks_count_only(text: str) -> bool:
    """Is the text nothing but a wish for a count alone: "no dose", "count only"?"""
    if pattern(_COUNT_WORDS).search(text) is None:
        return False
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint) or phrase.pieces or not phrase.clauses:
        return False
    return all(c.kind == "count-only" for c in phrase.clauses)


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

    Empty where a clause stands between them, or more joiners than most_joined allows.
    """
    if first == last:
        return phrase.pieces[first]
    start, end = phrase.pieces[first][0].start, phrase.pieces[last][0].end
    most = most_joined(len(phrase.pieces))
    if last - first > most or any(start < c.start < end for c in phrase.clauses):
        return ()
    tokens = [t for t in phrase.tokens if start <= t.start < end]
    if any(t.type in _ROLES and t.type != "JOINER" for t in tokens):
        return ()
    return _Reader(phrase.text, tokens).readings() if tokens else ()

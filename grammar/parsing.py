"""Runs the grammars that lark made: the same tokens and the same tree, without lark at hand.

lark reads a grammar and makes its tables; those are kept (kept.py), and run here. So lark is
imported once on a machine, and not at every start. The tests hold this against lark itself.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from grammar import first_letters, kept, patterns

if TYPE_CHECKING:
    from lark import Lark

END = "$END"
"""The kind of the token behind the last one."""


class Token(str):
    """Some characters of a text, of one kind: where they begin, and where what follows begins."""

    __slots__ = ("end", "start", "type")

    type: str
    start: int
    end: int

    def __new__(cls, kind: str, text: str, start: int = 0, end: int = 0) -> "Token":
        """A token of this kind."""
        token = super().__new__(cls, text)
        token.type = kind
        token.start = start
        token.end = end
        return token

    def of(self, kind: str) -> "Token":
        """The same characters as another kind."""
        return Token(kind, self, self.start, self.end)


class Tree(Struct):
    """What a rule of the grammar (data) was found to be made of, and from where to where.

    start and end are those of all its tokens, also of those that children leaves out; None where
    it has none.
    """

    data: str
    children: "list[Tree | Token]"
    start: int | None = None
    end: int | None = None


class StopError(Exception):
    """Where reading stopped: the position in the text, and what kind of token is there; None for
    characters of no kind that may stand there, END for the end of the text."""

    def __init__(self, place: int, kind: str | None) -> None:
        super().__init__(f"reading stopped at {place}")
        self.place = place
        self.kind = kind


class Rule(Struct, frozen=True):
    """One way to write a part of the grammar.

    size: how many parts it has. keeps: which of them are children, and which of those give their
    own children in their place. gives_its_own: it is such a part itself. only_child: where it has
    one child, that stands in its place.
    """

    origin: str
    size: int
    data: str
    keeps: tuple[tuple[int, bool], ...]
    gives_its_own: bool
    only_child: bool


class Tables(Struct, frozen=True):
    """What lark made of a grammar.

    states: of each state, what each kind of token or part leads to: another state, or where it is
    negative the rule -n-1 is complete. terminals: the pattern of each kind of token. lexers:
    numbers of some of those, the first that fits is meant; lexer_of: which goes with each state;
    at_start, within: which does as well where a text begins with a letter, and where one comes
    next (first_letters.py). ignored: kinds of tokens that are left out.
    """

    states: tuple[Mapping[str, int], ...]
    starts: Mapping[str, int]
    ends: Mapping[str, int]
    rules: tuple[Rule, ...]
    terminals: tuple[str, ...]
    lexers: tuple[tuple[int, ...], ...]
    lexer_of: tuple[int, ...]
    at_start: tuple[Mapping[str, int], ...]
    within: tuple[Mapping[str, int], ...]
    ignored: frozenset[str]
    flags: int


_Value = tuple[Any, int | None, int | None]
"""A token, a tree or a list of children, and from where to where it is."""


class Parser:
    """A grammar's tables at work. Raises StopError where a text does not fit.

    retype: tokens of some kinds as what they are told to be instead.
    """

    def __init__(
        self, tables: Tables, retype: Mapping[str, Callable[[Token], Token]] | None = None
    ) -> None:
        self._tables = tables
        self._retype = retype or {}
        self._rules = tables.rules
        self._lexers: list[re.Pattern[str] | None] = [None] * len(tables.lexers)

    def tokens(self, text: str, state: Callable[[], int] = lambda: 0) -> Iterator[Token]:
        """The tokens of a text; state tells which tokens may come next."""
        tables, place, end = self._tables, 0, len(text)
        while place < end:
            number = tables.lexer_of[state()]
            letters = tables.within if place else tables.at_start
            number = letters[number].get(text[place], number)
            found = (self._lexers[number] or self._lexer(number)).match(text, place)
            if found is None or found.lastgroup is None:
                raise StopError(place, None)
            kind, start, place = found.lastgroup, place, found.end()
            if kind in tables.ignored:
                continue
            token = Token(kind, found[0], start, place)
            yield self._retype[kind](token) if kind in self._retype else token

    def _lexer(self, number: int) -> re.Pattern[str]:
        each = (self._tables.terminals[n] for n in self._tables.lexers[number])
        made = patterns.compile("|".join(each), self._tables.flags)
        self._lexers[number] = made
        return made

    def parse(self, text: str, start: str = "start") -> Tree:
        """The tree of a text whose tokens depend on what stands before them."""
        states = [self._tables.starts[start]]
        return self._run(self.tokens(text, lambda: states[-1]), states, start, len(text))

    def tree(self, tokens: Iterable[Token], start: str = "start") -> Tree:
        """The tree of these tokens."""
        return self._run(tokens, [self._tables.starts[start]], start, 0)

    def _run(self, tokens: Iterable[Token], states: list[int], start: str, length: int) -> Tree:
        values: list[_Value] = []
        table, end = self._tables.states, self._tables.ends[start]
        for token in tokens:
            kind = token.type
            while (step := table[states[-1]].get(kind)) is not None and step < 0:
                self._reduce(-step - 1, states, values)
            if step is None:
                raise StopError(token.start, kind)
            states.append(step)
            values.append((token, token.start, token.end))
        while states[-1] != end:
            last = table[states[-1]].get(END)
            if last is None:
                raise StopError(length, END)
            self._reduce(-last - 1, states, values)
        found = values[-1][0]
        assert isinstance(found, Tree)
        return found

    def _reduce(self, number: int, states: list[int], values: list[_Value]) -> None:
        """The parts of a complete rule make way for what it is."""
        rule = self._rules[number]
        size, keeps = rule.size, rule.keeps
        if size == 1 and rule.gives_its_own:  # one part by another name
            value, start, end = values[-1]
            if keeps and not keeps[0][1]:
                values[-1] = ([value], start, end)
            elif not keeps:
                values[-1] = ([], start, end)
            states[-1] = self._tables.states[states[-2]][rule.origin]
            return
        parts = values[-size:] if size else []
        if size:
            del values[-size:], states[-size:]
        children: list[Tree | Token] = []
        for at, own in keeps:
            value = parts[at][0]
            if not own:
                children.append(value)
            elif children:
                children.extend(value)
            else:
                children = value  # a list that grows by one would be copied each time
        start, end = (parts[0][1], parts[-1][2]) if parts else (None, None)
        if start is None or end is None:  # a part at an end may have no token
            start = next((s for _, s, _ in parts if s is not None), None)
            end = next((e for _, _, e in reversed(parts) if e is not None), None)
        value = children
        if rule.only_child and len(children) == 1:
            value = children[0]
        elif not rule.gives_its_own:
            value = Tree(rule.data, children, start, end)
        states.append(self._tables.states[states[-1]][rule.origin])
        values.append((value, start, end))


def tables_of(
    file: str, flags: int = 0, starts: tuple[str, ...] = ("start",), *, by_state: bool = False
) -> Tables:
    """The tables of a grammar in this folder: those that were kept, or made by lark.

    by_state: which tokens may come depends on what stands before; else on nothing.
    """
    text = kept.text_of(file)
    name = f"{file.removesuffix('.lark')}.tables"
    key = [text, int(flags), list(starts), by_state]
    found = kept.read(name)
    if found is not None and found[0] == key:
        return _of_row(found[1])
    made = made_by_lark(text, flags, starts, by_state=by_state)
    kept.write(name, [key, _row_of(made)])
    return made


def _row_of(tables: Tables) -> list[Any]:
    rules = [[getattr(rule, name) for name in Rule.__struct_fields__] for rule in tables.rules]
    return [
        *(tables.states, dict(tables.starts), dict(tables.ends), rules),
        *(tables.terminals, tables.lexers, tables.lexer_of, tables.at_start, tables.within),
        *(tables.ignored, tables.flags),
    ]


def _of_row(row: list[Any]) -> Tables:
    states, starts, ends, rules, *others = row
    return Tables(states, starts, ends, tuple(Rule(*rule) for rule in rules), *others)


def lark_of(text: str, flags: int, starts: tuple[str, ...], *, by_state: bool) -> "Lark":
    """lark with this grammar, as the tables are made from it."""
    from lark import Lark  # noqa: PLC0415 - imported once on a machine

    return Lark(
        text,
        parser="lalr",
        lexer="contextual" if by_state else "basic",
        start=list(starts),
        propagate_positions=True,
        maybe_placeholders=False,
        g_regex_flags=flags,
    )


def made_by_lark(text: str, flags: int, starts: tuple[str, ...], *, by_state: bool) -> Tables:
    """The tables that lark makes of a grammar's text."""
    from lark.lexer import PatternRE  # noqa: PLC0415
    from lark.parsers.lalr_analysis import Shift  # noqa: PLC0415

    made: Any = lark_of(text, flags, starts, by_state=by_state).parser
    table = made.parser._parse_table
    numbers = {state: number for number, state in enumerate(table.states)}
    rules: dict[Any, int] = {}
    states = tuple(
        {
            str(kind): numbers[goal] if action is Shift else -1 - rules.setdefault(goal, len(rules))
            for kind, (action, goal) in row.items()
        }
        for row in table.states.values()
    )
    lexer = made.lexer
    each = list(getattr(lexer, "lexers", {}).values()) or [lexer]
    assert all(isinstance(t.pattern, PatternRE) for one in each for t in one.terminals)
    terminals = {str(t.name): t.pattern.to_regexp() for one in each for t in one.terminals}
    numbered = {name: number for number, name in enumerate(terminals)}
    found = [tuple(numbered[str(t.name)] for t in one.terminals) for one in each]
    whole = tuple(dict.fromkeys(found))
    by_number = {
        state: whole.index(one)
        for state, one in zip(getattr(lexer, "lexers", {}), found, strict=False)
    }
    lexers, at_start, within = _told_apart(tuple(terminals.values()), whole, flags)
    return Tables(
        states,
        {str(start): numbers[state] for start, state in table.start_states.items()},
        {str(start): numbers[state] for start, state in table.end_states.items()},
        tuple(_rule(rule) for rule in rules),
        tuple(f"(?P<{name}>{pattern})" for name, pattern in terminals.items()),
        lexers,
        tuple(by_number.get(state, 0) for state in table.states),
        at_start,
        within,
        frozenset(map(str, each[0].ignore_types)),
        int(flags),
    )


def _told_apart(
    patterns_of: Sequence[str], whole: Sequence[tuple[int, ...]], flags: int
) -> tuple[
    tuple[tuple[int, ...], ...], tuple[Mapping[str, int], ...], tuple[Mapping[str, int], ...]
]:
    """These lexers (numbers of patterns), and behind them those of the few tokens that may begin
    with a letter; of each, which of those goes with which letter: where a text begins, within."""
    lexers = list(whole)

    def of(lexer: tuple[int, ...], at_start: bool) -> Mapping[str, int]:
        if len(lexer) <= first_letters.FEW:
            return {}
        each = first_letters.by_letter([patterns_of[n] for n in lexer], flags, at_start=at_start)
        fewer = {letter: tuple(lexer[at] for at in places)
                 for letter, places in each.items() if places}  # fmt: skip
        lexers.extend(sorted(set(fewer.values()) - set(lexers)))
        return {letter: lexers.index(numbers) for letter, numbers in fewer.items()}

    at_start = tuple(of(lexer, True) for lexer in whole)
    within = tuple(of(lexer, False) for lexer in whole)
    return tuple(lexers), at_start, within


def _rule(rule: Any) -> Rule:
    """A rule of lark's. Parts whose name begins with "_" are no children; tokens among them are
    left out, other parts give their own children."""
    return Rule(
        str(rule.origin.name),
        len(rule.expansion),
        str(rule.alias or rule.origin.name),
        tuple(
            (at, not part.is_term and part.name.startswith("_"))
            for at, part in enumerate(rule.expansion)
            if not (part.is_term and part.filter_out)
        ),
        rule.origin.name.startswith("_"),
        bool(rule.options.expand1 and not rule.alias),
    )

"""Runs the grammars that lark made: the same tokens and the same tree, without lark at hand.

lark reads a grammar and makes its tables; those are kept (kept.py), and run here. So lark is
imported once on a machine, and not at every start. The tests hold this against lark itself.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from grammar import kept, patterns

if TYPE_CHECKING:
    from lark import Lark

END = "$END"
"""The kind of the token behind the last one."""


class Token(str):
    """Some characters of a text, of one kind: where they begin, and where what follows begins."""

    __slots__ = ("end_pos", "start_pos", "type")

    type: str
    start_pos: int
    end_pos: int

    def __new__(cls, kind: str, text: str, start_pos: int = 0, end_pos: int = 0) -> "Token":
        """A token of this kind."""
        token = super().__new__(cls, text)
        token.type = kind
        token.start_pos = start_pos
        token.end_pos = end_pos
        return token

    def of(self, kind: str) -> "Token":
        """The same characters as another kind."""
        return Token(kind, self, self.start_pos, self.end_pos)


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
    negative the rule -n-1 is complete. lexers: patterns of tokens, the first that fits is meant;
    lexer_of: which of them goes with each state. ignored: kinds of tokens that are left out.
    """

    states: tuple[Mapping[str, int], ...]
    starts: Mapping[str, int]
    ends: Mapping[str, int]
    rules: tuple[Rule, ...]
    lexers: tuple[str, ...]
    lexer_of: tuple[int, ...]
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

    def tokens(self, text: str, state: Callable[[], int] = lambda: 0) -> Iterator[Token]:
        """The tokens of a text; state tells which tokens may come next."""
        tables, place, end = self._tables, 0, len(text)
        while place < end:
            lexer = _lexer(tables.lexers[tables.lexer_of[state()]], tables.flags)
            found = lexer.match(text, place)
            if found is None or found.lastgroup is None:
                raise StopError(place, None)
            kind, start, place = found.lastgroup, place, found.end()
            if kind in tables.ignored:
                continue
            token = Token(kind, found[0], start, place)
            yield self._retype[kind](token) if kind in self._retype else token

    def parse(self, text: str, start: str = "start") -> Tree:
        """The tree of a text whose tokens depend on what stands before them."""
        states = [self._tables.starts[start]]
        return self._run(self.tokens(text, lambda: states[-1]), states, start, len(text))

    def tree(self, tokens: Iterable[Token], start: str = "start") -> Tree:
        """The tree of these tokens."""
        return self._run(tokens, [self._tables.starts[start]], start, 0)

    def _run(self, tokens: Iterable[Token], states: list[int], start: str, length: int) -> Tree:
        values: list[_Value] = []
        end = self._tables.ends[start]
        for token in tokens:
            while (step := self._step(states, token.type, token.start_pos)) < 0:
                self._reduce(-step - 1, states, values)
            states.append(step)
            values.append((token, token.start_pos, token.end_pos))
        while states[-1] != end:
            step = self._step(states, END, length)
            assert step < 0
            self._reduce(-step - 1, states, values)
        found = values[-1][0]
        assert isinstance(found, Tree)
        return found

    def _step(self, states: list[int], kind: str, place: int) -> int:
        step = self._tables.states[states[-1]].get(kind)
        if step is None:
            raise StopError(place, kind)
        return step

    def _reduce(self, number: int, states: list[int], values: list[_Value]) -> None:
        """The parts of a complete rule make way for what it is."""
        rule = self._tables.rules[number]
        children: list[Tree | Token] = []
        parts: list[_Value] = []
        if rule.size:
            parts = values[-rule.size :]
            del values[-rule.size :], states[-rule.size :]
        for at, own in rule.keeps:
            value = parts[at][0]
            if not own:
                children.append(value)
            elif children:
                children.extend(value)
            else:
                children = value  # a list that grows by one would be copied each time
        start = next((s for _, s, _ in parts if s is not None), None)
        end = next((e for _, _, e in reversed(parts) if e is not None), None)
        value = children
        if rule.only_child and len(children) == 1:
            value = children[0]
        elif not rule.gives_its_own:
            value = Tree(rule.data, children, start, end)
        states.append(self._tables.states[states[-1]][rule.origin])
        values.append((value, start, end))


@cache
def _lexer(pattern: str, flags: int) -> Any:
    return patterns.compile(pattern, flags)


def tables_of(
    file: str, flags: int = 0, starts: tuple[str, ...] = ("start",), *, by_state: bool = False
) -> Tables:
    """The tables of a grammar in this folder: those that were kept, or made by lark.

    by_state: which tokens may come depends on what stands before; else on nothing.
    """
    text = Path(__file__).with_name(file).read_text(encoding="utf-8")
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
        *(tables.lexers, tables.lexer_of, tables.ignored, tables.flags),
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
    texts = ["|".join(f"(?P<{t.name}>{t.pattern.to_regexp()})" for t in one.terminals)
             for one in each]  # fmt: skip
    lexers = tuple(dict.fromkeys(texts))
    by_number = {
        state: lexers.index(found)
        for state, found in zip(getattr(lexer, "lexers", {}), texts, strict=False)
    }
    return Tables(
        states,
        {str(start): numbers[state] for start, state in table.start_states.items()},
        {str(start): numbers[state] for start, state in table.end_states.items()},
        tuple(_rule(rule) for rule in rules),
        lexers,
        tuple(by_number.get(state, 0) for state in table.states),
        frozenset(map(str, each[0].ignore_types)),
        int(flags),
    )


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

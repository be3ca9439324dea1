"""The items of a label as the grammar cuts them, and the notes taken while they are understood."""

from collections.abc import Iterable
from functools import cache
from itertools import pairwise

from msgspec import Struct, field

from grammar.label_nodes import Doubt, Region, Unread
from grammar.label_tokens import tokens
from grammar.parsing import Parser, Token, Tree, tables_of


class Segment(Struct, frozen=True):
    """One item: its kind (a rule of label.lark), its first token and those that belong to it."""

    kind: str
    head: Token | None
    tail: tuple[Token, ...]

    @property
    def tokens(self) -> tuple[Token, ...]:
        """All tokens of the item in order."""
        return self.tail if self.head is None else (self.head, *self.tail)

    @property
    def start(self) -> int:
        """The position of its first token; 0 if it has none."""
        return self.tokens[0].start if self.tokens else 0

    @property
    def end(self) -> int:
        """The position behind its last token that is no separator."""
        told = [token for token in self.tokens if token.type != "SEP"]
        return told[-1].end if told else self.start


@cache
def _parser() -> Parser:
    return Parser(tables_of("label.lark"))


def segments(text: str) -> list[Segment]:
    """The text cut into items; all its tokens are in them, in order."""
    found = []
    for node in _parser().tree(tokens(text)).children:
        assert isinstance(node, Tree)
        parts = [part for part in node.children if isinstance(part, Token)]
        if node.data == "turned":
            # "Includes 10 g Added Sugars 20 %": the figure stands before the name it is for.
            found.append(Segment("boiler", parts[0], ()))
            found.append(Segment("nutrient", parts[2], (parts[1], *parts[3:])))
        elif node.data == "preamble":
            found.append(Segment("preamble", None, tuple(parts)))
        else:
            found.append(Segment(str(node.data), parts[0], tuple(parts[1:])))
    return found


class Notes(Struct):
    """What has been understood so far: tokens that have a role, and doubts in the order raised."""

    text: str
    region: Region | None = None
    used: set[int] = field(default_factory=set)
    doubts: dict[Doubt, None] = field(default_factory=dict)

    def use(self, tokens: Iterable[Token]) -> None:
        """These tokens have a role."""
        self.used.update(token.start for token in tokens)

    def doubt(self, code: str, start: int, end: int, readings: tuple[str, ...] = ()) -> None:
        """Add a doubt about the text between two positions, once."""
        self.doubts.setdefault(Doubt(code, self.text[start:end], start, end, readings))

    def doubt_token(self, code: str, token: Token, readings: tuple[str, ...] = ()) -> None:
        """A doubt about one token, which thereby has a role."""
        self.doubt(code, token.start, token.end, readings)
        self.use([token])

    def beside(self, before: Token, after: Token) -> bool:
        """True if only spaces of one line stand between two tokens."""
        gap = self.text[before.end : after.start]
        return not gap.strip() and "\n" not in gap

    def unread(self, tokens: list[Token]) -> tuple[Unread, ...]:
        """The text of the tokens without a role; neighbours of one line are told as one."""
        runs: list[list[Token]] = []
        whole = [t for t in tokens if t.type != "SEP"]
        for last, token in pairwise([None, *whole]):
            assert token is not None
            if token.start in self.used:
                continue
            joined = (
                last is not None
                and last.start not in self.used
                and "\n" not in self.text[last.end : token.start]
            )
            if joined:
                runs[-1].append(token)
            else:
                runs.append([token])
        spans = [(run[0].start, run[-1].end) for run in runs]
        return tuple(Unread(self.text[a:b], a, b) for a, b in spans)

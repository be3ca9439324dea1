"""What an amount comes to, read from the tokens of one item.

"2 x 30 g" -> 60 gram; "a pound and a half" -> 3/2 pound; "about 60 g" -> 60 gram, give or take;
"2-3 slices", "30 g to 40 g" -> a Span; "nearly", "a few" -> Unclear. A heaped spoon is a size.
"""

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from grammar.measures import HANDFUL, find_measure
from grammar.nodes import MeasureWord, Number, Quantity, Span, Unclear, Unstated
from grammar.numbers import HUGE, read_number
from grammar.parsing import Token

NUMBERS = frozenset(
    {
        *("SCIENTIFIC", "NEGATIVE", "RANGE", "MIXED", "FRACTION", "VULGAR", "SHARE", "COMMA"),
        *("ORDINAL", "POINT", "WHOLE", "SPELT_RANGE", "SPELT_MIXED", "SPELT_DOZEN", "SPELT_PART"),
        *("SPELT", "VAGUE", "COUPLE", "A"),
    }
)
"""Types of tokens that are a number, or stand in the place of one."""

_PLAIN = frozenset({"WHOLE", "POINT", "MIXED", "FRACTION", "VULGAR", "SPELT", "SPELT_MIXED"})
"""Figures that stand for themselves."""
_OUNCES = 16
"""Ounces of a pound (NIST Handbook 44, appendix C: avoirdupois)."""
LINKS = frozenset({"OF", "THE", "A"})
ABOUT_SHARE = Fraction(20, 100)
"""How far "about" may be off, either way (common practice, no source)."""


class Amount(Struct, frozen=True):
    """A quantity with its measure, and the first token behind it."""

    quantity: Quantity
    measure: MeasureWord | None
    end: int
    spare: int | None = None
    """Where the amount ends if its measure is part of the name instead ("2 bar" of "bar mix")."""


class AmountReader:
    """Reads amounts in a run of tokens of this text."""

    def __init__(self, text: str, tokens: Sequence[Token]) -> None:
        self.text = text
        self.tokens = tokens

    def type_at(self, at: int) -> str:
        """The type of the token there; empty behind the last one."""
        return self.tokens[at].type if at < len(self.tokens) else ""

    def said(self, first: int, last: int) -> str:
        """The text of the tokens from first up to last (not included)."""
        return self.text[self.tokens[first].start : self.tokens[last - 1].end]

    def links(self, at: int) -> int:
        """The first token at or behind this one that is no link."""
        while self.type_at(at) in LINKS:
            at += 1
        return at

    def amount(self, first: int) -> Amount | None:
        """The amount that begins at this token, the longest reading; None where none does."""
        at = first
        marks = set()
        while self.type_at(at) in {"ABOUT", "BOUND"}:
            marks.add(self.type_at(at))
            at += 1
        figure = self._figure(at, marks)
        if figure is None:
            return None
        quantity, at = figure
        linked = self.links(at)
        if self._of_one(quantity, at, linked):
            quantity = Unclear("odd", self.said(first, linked))  # "two of a cup"
        if self.type_at(linked) == "LEVEL":  # a level spoon is the spoon
            linked += 1
        measure, measured = self.measure(linked)
        if measure is None:
            end = self._or_so(at, marks)
            return Amount(self._marked(quantity, marks, first, end), None, end)
        if "TIMES" in marks and measure.kind in {"mass", "volume", "oz"}:
            quantity = Unclear("odd", self.said(first, measured))  # "200 x ml"
        single = measured  # the name may begin with a measure, and never with two
        quantity, measure, measured = self._with_ounces(quantity, measure, first, measured)
        spare = linked if measured == single else None
        quantity, measured = self._second_end(quantity, measure, first, measured)
        if self.type_at(measured) == "AND_PART":
            quantity = self._with_part(quantity, first, measured)
            measured += 1
        end = self._or_so(measured, marks)
        return Amount(self._marked(quantity, marks, first, end), measure, end, spare=spare)

    def _of_one(self, quantity: Quantity, at: int, linked: int) -> bool:
        """ "half a cup" and "a third of a cup" are parts of one; "two of a cup" is nothing."""
        whole = isinstance(quantity, Span) or (isinstance(quantity, Number) and quantity.value >= 1)
        return whole and any(self.type_at(i) == "A" for i in range(at, linked))

    def _or_so(self, at: int, marks: set[str]) -> int:
        if self.type_at(at) == "OR_SO":
            marks.add("ABOUT")
            return at + 1
        return at

    def _figure(self, at: int, marks: set[str]) -> tuple[Quantity, int] | None:
        """ "2", "2 x 30", "x2", "2 x", "2-3", "a few": the figure before a measure."""
        if self.type_at(at) == "TIMES" and self.type_at(at + 1) in NUMBERS:
            at += 1  # "x2 slices"
            marks.add("TIMES")
        if self.type_at(at) not in NUMBERS:
            return None
        first = at
        quantity, at = self._one(at), at + 1
        of = self._of_amount(quantity, first, at)
        if of is not None:
            return of
        while self.type_at(at) == "TIMES":
            inner = at + 1
            if self.type_at(inner) == "ABOUT":
                inner += 1
            if self.type_at(inner) not in NUMBERS:
                marks.add("TIMES")
                return quantity, at + 1  # "2x slices"
            quantity = multiplied(quantity, self._one(inner), self.said(first, inner + 1))
            if inner > at + 1 and isinstance(quantity, Number):
                quantity = about(quantity)
            at = inner + 1
        return quantity, at

    def _of_amount(self, part: Quantity, first: int, at: int) -> tuple[Quantity, int] | None:
        """ "half of 2 slices", "50% of 200 g": a part of a measured amount."""
        if not isinstance(part, Number) or part.value >= 1:
            return None
        if self.type_at(at) == "OF":
            at += 1
        elif self.type_at(first) != "SHARE":  # which has its "of" inside
            return None
        if self.type_at(at) not in _PLAIN or self.measure(at + 1)[0] is None:
            return None
        return multiplied(part, self._one(at), self.said(first, at + 1)), at + 1

    def _one(self, at: int) -> Quantity:
        token = self.tokens[at]
        if token.type in {"VAGUE", "ORDINAL"}:
            return Unclear(token.type.casefold(), str(token))
        if token.type == "COUPLE":
            return Unclear("couple", str(token), ("2",))
        return read_number(str(token))

    def measure(self, at: int) -> tuple[MeasureWord | None, int]:
        """The measure at this token, with its size, and the token behind it."""
        begin, size = at, None
        if self.type_at(at) == "VAGUE" and self.tokens[at].casefold() == HANDFUL:
            return MeasureWord(HANDFUL, "word", str(self.tokens[at])), at + 1  # "2 handful"
        if self.type_at(at) in {"SIZE", "HEAPED"}:
            size, at = str(self.tokens[at]).casefold(), at + 1
        if self.type_at(at) == "MEASURE":
            found = find_measure(str(self.tokens[at]))
            assert found is not None
            return MeasureWord(found[0], found[1], self.said(begin, at + 1), size), at + 1
        if size and self.tokens[begin].type == "SIZE":
            return MeasureWord(size, "size", str(self.tokens[begin]), None), at
        return None, begin

    def _with_ounces(
        self, quantity: Quantity, measure: MeasureWord, first: int, at: int
    ) -> tuple[Quantity, MeasureWord, int]:
        """ "1 lb 2 oz": whole pounds, and fewer ounces than another pound has, are one weight.

        Of other units two amounts in a row are as often one thing said twice, and are asked about.
        """
        unit, end = self.measure(at + 1)
        ounces = unit is not None and unit.unit == "ounce" and unit.size is None
        if measure.unit != "pound" or self.type_at(at) not in _PLAIN or not ounces:
            return quantity, measure, at
        more = self._one(at)
        whole = isinstance(quantity, Number) and quantity.value.denominator == 1
        if not whole or not isinstance(more, Number) or more.value >= _OUNCES:
            return quantity, measure, at
        assert isinstance(quantity, Number)
        said = self.said(first, end)
        together = Number(quantity.value * _OUNCES + more.value, said)
        return together, MeasureWord("ounce", "mass", said), end

    def _second_end(
        self, quantity: Quantity, measure: MeasureWord, first: int, at: int
    ) -> tuple[Quantity, int]:
        """ "30 g to 40 g", "a slice or two"."""
        if self.type_at(at) == "DASH" or (
            self.type_at(at) == "WORD" and self.tokens[at].casefold() in {"to", "or"}
        ):
            if self.type_at(at + 1) not in NUMBERS:
                return quantity, at
            other, again = self.measure(at + 2)
            same = other is not None and (other.unit, other.size) == (measure.unit, measure.size)
            plain = other is None and self.tokens[at].casefold() == "or"
            if same or (plain and (again >= len(self.tokens) or self.type_at(again) in LINKS)):
                return between(quantity, self._one(at + 1), self.said(first, at + 2)), again
        return quantity, at

    def _with_part(self, quantity: Quantity, first: int, at: int) -> Quantity:
        """ "a pound" and "and a half"."""
        part = read_number(str(self.tokens[at]).split(maxsplit=1)[1])
        if isinstance(quantity, Number) and isinstance(part, Number):
            return Number(quantity.value + part.value, self.said(first, at + 1))
        return Unclear("odd", self.said(first, at + 1))

    def _marked(self, quantity: Quantity, marks: set[str], first: int, end: int) -> Quantity:
        """The quantity with what stands around it: about, at least."""
        if "BOUND" in marks and isinstance(quantity, Number | Span):
            return Unclear("bound", self.said(first, end))
        if "ABOUT" in marks and isinstance(quantity, Number):
            return about(quantity)
        if "ABOUT" in marks and isinstance(quantity, Span):
            return replace(quantity, low=quantity.low * (1 - ABOUT_SHARE),
                           high=quantity.high * (1 + ABOUT_SHARE))  # fmt: skip
        return quantity


def about(number: Number) -> Span:
    """ "about 60": 60, and 48 to 72."""
    value = number.value
    return Span(value * (1 - ABOUT_SHARE), value * (1 + ABOUT_SHARE), number.said, value)


def between(low: Quantity, high: Quantity, said: str) -> Quantity:
    """A range with two clear ends, or what is not clear about it."""
    if not isinstance(low, Number):
        return low
    if not isinstance(high, Number):
        return high
    if low.value >= high.value:
        return Unclear("range", said, (low.said, high.said))
    return Span(low.value, high.value, said)


def multiplied(a: Quantity, b: Quantity, said: str) -> Quantity:
    """ "2 x 30". Unclear stays unclear; a range is multiplied at both ends."""
    for part in (a, b):
        if isinstance(part, Unclear | Unstated):
            return part
    if isinstance(a, Number) and isinstance(b, Number):
        value = a.value * b.value
        return Number(value, said) if value < HUGE else Unclear("huge", said)
    if isinstance(a, Span) and isinstance(b, Number):
        a, b = b, a
    if isinstance(a, Number) and isinstance(b, Span):
        middle = None if b.middle is None else b.middle * a.value
        return Span(b.low * a.value, b.high * a.value, said, middle)
    return Unclear("odd", said)

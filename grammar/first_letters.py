"""Which tokens of a grammar may begin with a letter, so that the others are not tried there.

A phrase has some fifty kinds of tokens, and `re` tries one after the other at each place. Told
beforehand are only those that surely cannot begin with a letter; what is in doubt stays. So the
token found is the same (the tests hold it against lark, which tries them all).
"""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

LETTERS = tuple(map(chr, range(128)))
"""The letters, digits and signs that are told apart; at any other all tokens are tried."""
FEW = 12
"""So few tokens are tried as quickly as told apart."""


def by_letter(
    patterns: Iterable[str], flags: int, *, at_start: bool
) -> Mapping[str, tuple[int, ...]]:
    """Of each letter the places of those patterns that may begin with it at the start of a text, or
    anywhere but there. Empty where this Python does not tell."""
    found: dict[str, list[int]] = {letter: [] for letter in LETTERS}
    for place, pattern in enumerate(patterns):
        try:
            beginnings = _Beginnings(pattern, flags, at_start=at_start)
            first = [letter for letter in LETTERS if beginnings.may_be(letter)]
        except (ImportError, AttributeError, TypeError, ValueError):
            return {}
        for letter in first:
            found[letter].append(place)
    return {letter: tuple(places) for letter, places in found.items()}


class _Beginnings:
    """The letters with which a match of one pattern may begin."""

    def __init__(self, pattern: str, flags: int, *, at_start: bool) -> None:
        from re import _compiler, _parser  # type: ignore[attr-defined] # noqa: PLC0415

        self._parser, self._compile = _parser, _compiler.compile
        self._tree = _parser.parse(pattern, flags)
        self._flags = flags | self._tree.state.flags
        self._at_start = at_start
        self._one: dict[str, re.Pattern[str]] = {}

    def may_be(self, letter: str) -> bool:
        """May a match begin with this letter? True where it cannot be told."""
        begins, empty = self._of(self._tree, letter)
        return begins or empty

    def _of(self, parts: Any, letter: str) -> tuple[bool, bool]:
        """May these parts, one after the other, begin with the letter; and may they be empty?"""
        for name, held in ((str(op), held) for op, held in parts):
            begins, empty = self._part(name, held, letter)
            if begins or not empty:
                return begins, empty
        return False, True

    def _part(self, name: str, held: Any, letter: str) -> tuple[bool, bool]:
        of_kind: dict[str, Callable[[], tuple[bool, bool]]] = {
            "SUBPATTERN": lambda: self._of(held[3], letter),
            "BRANCH": lambda: self._any_of(held[1], letter),
            "MAX_REPEAT": lambda: self._repeated(held, letter),
            "MIN_REPEAT": lambda: self._repeated(held, letter),
            "AT": lambda: self._at(str(held)),
            "ASSERT": lambda: (False, True),  # what stands around it may fit
            "ASSERT_NOT": lambda: (False, True),
        }
        if name in of_kind:
            return of_kind[name]()
        if name in {"LITERAL", "NOT_LITERAL", "IN", "ANY"}:
            return self._letter(name, held).match(letter) is not None, False
        return True, True

    def _any_of(self, each: Any, letter: str) -> tuple[bool, bool]:
        found = [self._of(parts, letter) for parts in each]
        return any(begins for begins, _ in found), any(empty for _, empty in found)

    def _repeated(self, held: Any, letter: str) -> tuple[bool, bool]:
        least, _, parts = held
        begins, empty = self._of(parts, letter)
        return begins, empty or least == 0

    def _at(self, where: str) -> tuple[bool, bool]:
        """Only the beginning of the text can be ruled out."""
        if where not in {"AT_BEGINNING", "AT_BEGINNING_STRING"}:
            return False, True
        return False, self._at_start or bool(self._flags & re.MULTILINE)

    def _letter(self, name: str, held: Any) -> re.Pattern[str]:
        """A pattern of this one letter alone."""
        key = f"{name} {held}"
        if key not in self._one:
            constant = getattr(self._parser, name)
            one = self._parser.SubPattern(self._tree.state, [(constant, held)])
            self._one[key] = self._compile(one, self._flags)
        return self._one[key]

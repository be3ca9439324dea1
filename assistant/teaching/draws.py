"""Choices that follow from a seed: the same on every machine and in every version of Python."""

from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

T = TypeVar("T")


class Draws:
    """A row of choices. The same words always give the same row."""

    def __init__(self, *words: object) -> None:
        self._words = " ".join(str(word) for word in words)
        self._count = 0

    def below(self, limit: int) -> int:
        """A whole number from nought up to, but not, limit."""
        self._count += 1
        drawn = sha256(f"{self._words} {self._count}".encode()).digest()
        return int.from_bytes(drawn[:8], "big") % limit

    def one(self, among: Sequence[T]) -> T:
        """One of several."""
        return among[self.below(len(among))]

    def several(self, among: Sequence[T], count: int) -> tuple[T, ...]:
        """So many different ones, in the order drawn."""
        left = list(among)
        return tuple(left.pop(self.below(len(left))) for _ in range(count))

"""What a turn may read of the past, and of the library. The store implements these."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from msgspec import Struct

from assistant.counting.facts import Food
from assistant.dialogue.events import Event


class Kept(Struct, frozen=True):
    """An event of the journal: its turn's number and words, and when it was said."""

    event: Event
    turn: int
    said_at: datetime
    text: str


class Record(Protocol):
    """The journal, read only. Undone events are left out everywhere; settings are not undone."""

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """Events of these kinds, oldest first; said at or after since; the last so many."""
        ...

    def newest(self, after: int = 0) -> datetime | None:
        """The latest time at which any turn past this number was said, undone or not; or None."""
        ...

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """Minutes from UTC of each clock on which a turn was said since a day before this time, and
        of the last turn before it; undone or not."""
        ...

    def place(self) -> str:
        """Where the record is kept, as it is told to the user."""
        ...

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:
        """Of each topic of the settings (dosing.settings.topic) the last said, oldest first.

        since: all that was said in the turn of this number and later, and of each topic the last
        said before it.
        """
        ...


class Foods(Protocol):
    """The food library, read only."""

    def exact(self, key: str) -> tuple[Food, ...]:
        """Foods whose name or alias has this key (grammar.words.name_key)."""
        ...

    def near(self, text: str, limit: int = 5) -> tuple[str, ...]:
        """Names that are like the text, best first; never used without asking."""
        ...

    def holding(self, text: str, limit: int = 200) -> tuple[str, ...]:
        """Names that have every word of the text, the user's own first."""
        ...

    def names(self, limit: int = 1000) -> tuple[str, ...]:
        """Names of the user's own foods, in order of name."""
        ...

    def by_id(self, food_id: str) -> Food | None:
        """The food as it is now, or None."""
        ...

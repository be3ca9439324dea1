"""Names that are like what was typed, in a library of any size: words first, then names.

The words of all names are few even where the names are many. A typed word is matched with known
words: the same, one that begins so, one that differs by a slip. Then the names that hold such
words are taken from an index in order of their length, so that only a bounded number of them is
ever read and compared, however many there are.

Slips are found by deletions: two words that differ by one letter more, less, other or swapped
have a form in common once a letter is dropped from each (the idea of a symmetric delete index).
"""

import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from itertools import combinations, pairwise

from msgspec import Struct

SCHEMA = (
    "CREATE TABLE words (id INTEGER PRIMARY KEY, word TEXT NOT NULL, uses INTEGER NOT NULL)",
    "CREATE UNIQUE INDEX words_by_word ON words (word)",
    "CREATE TABLE slips (form TEXT NOT NULL, word INTEGER NOT NULL, PRIMARY KEY (form, word))"
    " WITHOUT ROWID",
    "CREATE VIRTUAL TABLE search USING fts5"
    " (words, content = '', detail = none, columnsize = 0,"
    r""" tokenize = "ascii tokenchars '!#$%&()*+:;<=>?@[\]^`{|}~-_/.,'")""",
    "CREATE VIRTUAL TABLE vocabulary USING fts5vocab (search, row)",
)
"""The words, their forms with a letter dropped, and an index of the keys of names. In it each word
of a key (grammar.words.name_key) is one token, as it is: blanks alone part them."""
WORDS = (
    "UPDATE words SET uses = 0",
    "INSERT INTO words (word, uses) SELECT term, doc FROM vocabulary WHERE true"
    " ON CONFLICT (word) DO UPDATE SET uses = excluded.uses",
)
"""The words of the index, and in how many names each is."""

MOST_WORDS = 10
"""Words of what was typed that are looked for."""
_LEAST_BEGUN = 3
"""Letters from which a typed word may be the beginning of a known one."""
_LEAST_SLIP = 3
_TWO_SLIPS = 7
"""Letters from which two slips in a word are looked for."""
_TELLING = 5
"""The rarest words typed: where no name has them all, names with all but one of these follow."""
_BEGUN = 400
_OPTIONS = 16
_NAMES = 150

_WITH_FORM = """
SELECT DISTINCT w.id, w.word, w.uses FROM slips AS s JOIN words AS w ON w.id = s.word
WHERE s.form IN
"""

Ids = tuple[int, ...]
Used = tuple[int, int]
"""A word's number, and in how many names it is."""


def dropped(word: str) -> set[str]:
    """The word with each one of its letters dropped."""
    return {word[:at] + word[at + 1 :] for at in range(len(word))}


def forms(word: str) -> set[str]:
    """The forms under which a known word is kept: itself, and each letter dropped."""
    if len(word) < _LEAST_SLIP or not any(c.isalpha() for c in word):
        return set()
    return {word} | dropped(word)


class _Sought(Struct, frozen=True):
    """Something typed: its letters, known words that are it or begin so, and those a slip explains.

    uses: in how many names these words are.
    """

    letters: int
    sure: Ids
    slips: Ids
    uses: int

    @property
    def all(self) -> Ids:
        return tuple(dict.fromkeys((*self.sure, *self.slips)))


class Alike:
    """Looks names up by likeness through one connection that has SCHEMA.

    numbered: an older index, which has a word's number ("w12") in the word's place.
    """

    def __init__(self, connection: sqlite3.Connection, *, numbered: bool = False) -> None:
        self._connection = connection
        self._numbered = numbered

    def found(self, key: str) -> dict[int, float]:
        """Numbers of names that may be like a key (grammar.words.name_key), a few hundred at most.

        With each: which share of the letters that were typed stands in words that it explains.
        """
        typed = key.split()[:MOST_WORDS]
        if not typed:
            return {}
        words = [self._sought(word) for word in typed]
        whole = sum(len(word) for word in typed)
        found: dict[int, float] = {}
        for sought in (words, *self._joined(typed, words), *self._split(typed, words)):
            self._follow(sought, whole, found)
        return found

    def holding(self, key: str, most: int) -> list[int]:
        """Numbers of names that have every word of a key, as it is typed; the shortest first."""
        same = [self._same(word) for word in key.split()[:MOST_WORDS]]
        if not same or not all(same):
            return []
        return self._names([tuple(dict(words)) for words in same], most)

    def _follow(self, sought: Sequence[_Sought], whole: int, found: dict[int, float]) -> None:
        """Adds what one way to take the words finds, the fullest matches first."""
        held = 0
        for wanted, sure, most in _plans(sought):
            groups = [part.sure if sure else part.all for part in wanted]
            share = sum(part.letters for part in wanted) / whole
            numbers = self._names(groups, most)
            for number in numbers:
                found[number] = max(found.get(number, 0), share)
            held += len(numbers)
            if held >= _NAMES:
                return

    def _names(self, groups: Sequence[Ids], most: int) -> list[int]:
        """Names that hold a word of each group, the shortest first."""
        tokens = self._tokens({number for ids in groups for number in ids})
        query = " AND ".join(
            "(" + " OR ".join([tokens[number] for number in ids]) + ")" for ids in groups
        )
        rows = self._connection.execute(
            "SELECT rowid FROM search WHERE search MATCH ? ORDER BY rowid LIMIT ?", (query, most)
        )
        return [row[0] for row in rows]

    def _tokens(self, ids: Set[int]) -> Mapping[int, str]:
        """Each word as the index is asked for it. No key has a quotation mark."""
        if self._numbered:
            return {number: f"w{number}" for number in ids}
        marks = ", ".join("?" * len(ids))
        query = f"SELECT id, word FROM words WHERE id IN ({marks})"  # noqa: S608 - marks alone
        rows = self._connection.execute(query, sorted(ids))
        return {number: f'"{word}"' for number, word in rows}

    def _sought(self, word: str) -> _Sought:
        sure = dict((*self._same(word), *self._begun(word)))
        slips = dict(self._slips(word))
        uses = sum({**sure, **slips}.values())
        return _Sought(len(word), tuple(sure), tuple(slips), uses)

    def _same(self, word: str) -> list[Used]:
        return self._connection.execute(
            "SELECT id, uses FROM words WHERE word = ?", (word,)
        ).fetchall()

    def _begun(self, word: str) -> list[Used]:
        """Known words that begin so, those in most names first."""
        if len(word) < _LEAST_BEGUN:
            return []
        return self._connection.execute(
            "SELECT id, uses FROM (SELECT id, uses FROM words WHERE word > ? AND word < ? LIMIT ?)"
            " ORDER BY uses DESC LIMIT ?",
            (word, word + "\U0010ffff", _BEGUN, _OPTIONS // 2),
        ).fetchall()

    def _slips(self, word: str) -> list[Used]:
        """Known words that one slip explains, or two in a long word; the likest first."""
        near = forms(word)
        if not near:
            return []
        if len(word) >= _TWO_SLIPS:
            near |= {form for once in dropped(word) for form in dropped(once)}
        from rapidfuzz.distance import OSA  # noqa: PLC0415 - slow to import

        most = 2 if len(word) >= _TWO_SLIPS else 1
        ranked = sorted(
            (distance, -uses, number)
            for number, known, uses in self._with_form(near)
            if (distance := OSA.distance(word, known, score_cutoff=most)) <= most
        )
        return [(number, -uses) for _, uses, number in ranked[:_OPTIONS]]

    def _with_form(self, near: Iterable[str]) -> list[tuple[int, str, int]]:
        listed = sorted(near)
        marks = ", ".join("?" * len(listed))
        query = f"{_WITH_FORM} ({marks})"  # question marks alone
        return self._connection.execute(query, listed).fetchall()

    def _joined(self, typed: Sequence[str], words: Sequence[_Sought]) -> Iterator[list[_Sought]]:
        """Two typed words taken for one known word: "straw berry"."""
        for at, pair in enumerate(pairwise(typed)):
            same = self._same("".join(pair))
            if same:
                yield [*words[:at], _exactly(same, sum(map(len, pair))), *words[at + 2 :]]

    def _split(self, typed: Sequence[str], words: Sequence[_Sought]) -> Iterator[list[_Sought]]:
        """One typed word taken for two known ones: "icecream"."""
        for at, word in enumerate(typed):
            if self._same(word):
                continue
            for cut in range(_LEAST_SLIP, len(word) - _LEAST_SLIP + 1):
                first, second = self._same(word[:cut]), self._same(word[cut:])
                if first and second:
                    pair = (_exactly(first, cut), _exactly(second, len(word) - cut))
                    yield [*words[:at], *pair, *words[at + 1 :]]


def _exactly(same: Sequence[Used], letters: int) -> _Sought:
    return _Sought(letters, tuple(dict(same)), (), sum(dict(same).values()))


def _plans(sought: Sequence[_Sought]) -> Iterator[tuple[Sequence[_Sought], bool, int]]:
    """What a name must hold (whether as typed; how many names at most): first everything as
    typed, then with slips, then all but one word, then the rarest two by two, then one by one."""
    if all(part.sure for part in sought):
        yield sought, True, _NAMES
    known = [part for part in sought if part.all]
    if not known:
        return
    yield known, False, _NAMES
    telling = sorted(known, key=lambda part: part.uses)[:_TELLING]
    if len(known) > 2:
        for some in combinations(telling, len(telling) - 1):
            yield some, False, _NAMES // 3
    rarest = telling[:4]
    if len(known) > 3:
        for pair in combinations(rarest, 2):
            yield pair, False, _NAMES // 3
    if len(known) > 1:
        for part in rarest:
            yield [part], False, _NAMES // 3

"""Which words of an unknown name a known name does not explain.

"oat ceral" is a slip for "oat cereal". "oat cereal without milk" is not: something would be lost
if it were taken for it, and what is lost could change the count.
"""

from grammar import patterns
from grammar.measures import find_measure, measure_table
from grammar.words import name_key, plain

NEVER_DROPPED = frozenset(
    {
        *("with", "without", "no", "not", "minus", "except", "but", "instead", "and", "plus", "w"),
        *("each", "twice", "double", "half", "another", "more", "less", "only", "left", "extra"),
        *("dry", "raw", "cooked", "uncooked", "boiled", "baked", "fried", "drained", "frozen"),
        *("free", "light", "lite", "low", "reduced", "diet", "zero", "unsweetened", "sweetened"),
        *("toasted", "dried", "condensed", "skimmed", "roasted", "grilled", "mashed", "peeled"),
        *("canned", "tinned", "stewed", "evaporated", "powdered", "instant", "diluted", "strained"),
        *("small", "medium", "large", "big", "about", "around", "roughly", "nearly", "almost"),
        *("ate", "eat", "had", "have", "took", "take", "glucose", "bg", "sugar", "carb"),
        *(
            "leave",
            "out",
            "skip",
            "add",
            "remove",
            "change",
            "make",
            "stop",
            "drop",
            "want",
            "need",
        ),
        *("can", "could", "should", "would", "may", "might", "how", "why", "what", "when", "is"),
        *(
            "are",
            "was",
            "do",
            "doe",
            "did",
            "dont",
            "didnt",
            "never",
            "ever",
            "if",
            "after",
            "before",
        ),
        *("this", "that", "it", "all", "some", "most", "rest", "whole", "same", "again", "also"),
        *("carbohydrate", "unit", "insulin", "of", "or", "x", "times", "per", "for", "at", "then"),
    }
)
"""Words that change an amount, a food or a dose: never left out with a single digit typed."""

STATES = frozenset(
    {
        *("with", "without", "no", "not", "non", "minus", "except"),
        *("dry", "dried", "raw", "cooked", "uncooked", "boiled", "baked", "fried", "drained"),
        *("undrained", "free", "light", "lite", "low", "reduced", "diet", "zero", "lean"),
        *("unsweetened", "sweetened", "sweet", "sugary", "sugared", "toasted", "condensed"),
        *("skim", "skimmed", "roasted", "grilled", "mashed", "peeled", "unpeeled", "canned"),
        *("tinned", "stewed", "evaporated", "powder", "powdered", "instant", "diluted"),
        *("undiluted", "concentrate", "concentrated", "strained", "frozen", "decaf"),
    }
)
"""Words that make another food of a name, whether they were typed or stand in the name."""
_NOT = ("un", "non", "de", "in")
"""Beginnings that turn a word round."""


def _edits(a: str, b: str) -> int:
    """Levenshtein distance: insert, drop or change one letter costs one."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, start=1):
        previous, row[0] = row[0], i
        for j, y in enumerate(b, start=1):
            previous, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, previous + (x != y))
    return row[-1]


def _alike(a: str, b: str) -> bool:
    """One word may be a slip for the other: a letter in four, swaps included."""
    if a == b:
        return True
    if min(len(a), len(b)) < 3:
        return False
    return _edits(a, b) <= max(1, max(len(a), len(b)) // 4 + (sorted(a) == sorted(b)))


def left_over(said: str, name: str) -> tuple[str, ...]:
    """Words of what was said that no word of the name is like, in order."""
    rest = name_key(name).split()
    whole = "".join(rest)
    left = []
    for whole_word in patterns.split(r"[\s\-_/.,'’\"“”()]+", plain(said)):
        word = name_key(whole_word)
        if not word:
            continue
        match = next((w for w in rest if _alike(word, w)), None)
        if match is not None:
            rest.remove(match)
        elif not (len(word) > 4 and (_alike(word, whole) or whole.startswith(word))):
            left.append(whole_word)
    return tuple(left)


def another_food(said: str, name: str) -> bool:
    """Does a word on either side alone change the meaning? "cola" is no slip for "diet cola",
    "uncooked rice" none for "cooked rice"."""
    ours, theirs = _words(said), _words(name)
    for word in tuple(ours):
        if word in theirs:
            ours.remove(word)
            theirs.remove(word)
    pairs = [(a, b) for a in ours for b in theirs]
    if any(_turned(a, b) for a in ours for b in theirs) or _turned("".join(ours), "".join(theirs)):
        return True
    slips = [(a, b) for a, b in pairs if _alike(a, b) and not (_state(a) and _state(b))]
    alone = {*ours, *theirs} - {word for pair in slips for word in pair}
    return any(_state(word) for word in alone)


def _words(text: str) -> list[str]:
    split = patterns.split(r"[\s\-_/.,'’\"“”()]+", plain(text))
    return [key for key in map(name_key, split) if key]


def _state(word: str) -> bool:
    return word in STATES or any(word == name_key(state) for state in STATES)


def _turned(a: str, b: str) -> bool:
    """One is the other turned round: "uncooked" and "cooked", "sugarless" and "sugar"."""
    short, long = sorted((a, b), key=len)
    if len(short) < 3:
        return False
    starts = any(
        long.startswith(no) and not short.startswith(no) and _alike(long[len(no) :], short)
        for no in _NOT
    )
    return starts or (long.endswith("less") and _alike(long.removesuffix("less"), short))


def may_be_left_out(words: tuple[str, ...]) -> bool:
    """Plain words only: no figure, no measure, nothing that changes the meaning."""
    return not any(_tells(word) for word in words)


def _tells(word: str) -> bool:
    """A figure, a measure, a word that changes the meaning, or a slip for one ("slcies")."""
    if patterns.search(r"[\d%½¼¾⅓⅔]", word) or find_measure(word) is not None:
        return True
    if word in NEVER_DROPPED or name_key(word) in NEVER_DROPPED:
        return True
    telling = (*NEVER_DROPPED, *measure_table())
    return any(len(known) > 4 and _alike(word, known) for known in telling)

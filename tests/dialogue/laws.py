"""What holds of every reply of every talk in these tests: its choices, and what it offers to type.

Each kind of choice and each offered sentence is tried once in a run; what is tried keeps nothing.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from fractions import Fraction

from assistant.dialogue.record import Foods, Record
from assistant.dialogue.replies import Line, Question, Reply
from assistant.render.aloud import aloud
from assistant.render.turns import told_as, turn
from assistant.values import Amount, Arg, Listed, Typed, decimal_text

_tried: set[object] = set()

CHANGING = {
    *("setting-said", "dose-taken", "glucose-read", "meal-counted", "dose-suggested", "food-saved"),
    *("recipe-saved", "measure-saved", "goal-said", "alias-saved", "clock-settled"),
}
"""Events that change the record or a setting."""
NOT_UNDERSTOOD = {
    *("not-understood", "ask-name-none", "phrase-no-food", "ask-left-over", "no-such-food"),
    *("nothing-open", "no-open-suggestion", "no-question-open", "nothing-to-undo", "nothing-more"),
    *("yes-to-nothing", "setting-not-undone", "change-unread", "not-in-the-meal", "place-unknown"),
}
FIXED = re.compile(
    r"over 5 g(?:rams)? halved|two-compartment|per 100 (?:g|ml|grams|millilitres)\b|"
    r"^\d$|^\d always$"
)
"""Figures that are the name of a rule, the basis of a label, or the number of a choice."""
FIGURE = re.compile(
    r"\d+(?:[.,]\d+)*|\b(?:half|quarter|third|zero|one|two|three|four|five|six|seven|eight|nine|ten)\b"
)


MIXED = re.compile(r"(\d+) (\d+)/(\d+)")


def _decimal(mixed: re.Match[str]) -> str:
    return decimal_text(int(mixed[1]) + Fraction(int(mixed[2]), int(mixed[3])))


def each_choice_is_chosen_as_told(
    record: Record, foods: Foods, reply: Reply, now: datetime
) -> None:
    """By its number, by what the eye reads, by what the ear hears, and by its word in both."""
    if reply.question is None:
        return
    for number, choice in enumerate(reply.question.choices, start=1):
        if _seen(_kind_of(reply.question), number, choice.label.code, choice.word):
            continue
        chosen = turn(record, foods, str(number), now)
        for typed in told_as(choice):
            for words in (typed, typed.replace('"', "").rstrip("."), typed.upper()):
                assert turn(record, foods, words, now) == chosen, (number, words)


def each_offer_holds(
    record: Record, foods: Foods, reply: Reply, now: datetime, said: Sequence[str]
) -> None:
    """A sentence that is offered is understood; one that changes anything has only own figures.

    Own are those that the user typed in this talk, and those that the reply itself tells.
    """
    own = {figure for text in said for figure in FIGURE.findall(text.casefold())}
    own |= {decimal_text(a.value) for line in reply.lines for a in _amounts(line.args.values())}
    for line, offered in _offered(reply):
        if _seen(line.code, offered):
            continue
        signs = re.search(r"[<>/|{}\[\]]", offered)  # of a name, which no voice can say
        for words in (offered,) if signs else (offered, aloud(offered)):
            outcome = turn(record, foods, words, now)
            codes = {each.code for each in outcome.reply.lines}
            if "place-open" in codes:
                assert not {event.kind for event in outcome.events} & CHANGING
                continue
            assert not codes & NOT_UNDERSTOOD, (line.code, words, codes)
            assert not any(code.startswith(("misread", "took-misread")) for code in codes), words
            changed = {event.kind for event in outcome.events} & CHANGING
            figures = set(FIGURE.findall(MIXED.sub(_decimal, FIXED.sub("", words)).casefold()))
            assert not changed or figures <= own, (line.code, words, changed)


def _offered(reply: Reply) -> Iterator[tuple[Line, str]]:
    for line in reply.lines:
        if line.role == "choice":
            continue
        for arg in _typed(line.args.values()):
            yield line, arg.text


def _typed(args: "Iterator[Arg] | Sequence[Arg]") -> Iterator[Typed]:
    for arg in args:
        if isinstance(arg, Typed):
            yield arg
        elif isinstance(arg, Listed):
            yield from _typed(arg.items)


def _amounts(args: "Iterator[Arg] | Sequence[Arg]") -> Iterator[Amount]:
    for arg in args:
        if isinstance(arg, Amount):
            yield arg
        elif isinstance(arg, Listed):
            yield from _amounts(arg.items)


def _kind_of(question: Question) -> tuple[str, ...]:
    return (question.kind, question.asked.code, *(c.label.code for c in question.choices))


def _seen(*key: object) -> bool:
    if key in _tried:
        return True
    _tried.add(key)
    return False

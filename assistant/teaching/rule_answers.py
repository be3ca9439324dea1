"""Which rule a learner means: its number, its id, or words that are of one choice alone."""

from fractions import Fraction

from msgspec import Struct

from assistant.render.texts import TEXTS
from assistant.teaching.answers import Doubt, Refused, Spoken, read_answer, tidy
from assistant.values import Amount, Arg, Said
from grammar import patterns
from grammar.words import name_key

_SMALL = frozenset({"a", "an", "the", "is", "it", "was", "of", "to", "be", "would", "rule"})
"""Words that tell no rule from another."""


class Chosen(Struct, frozen=True):
    """The rule that was chosen."""

    rule: str


def _words(text: str) -> frozenset[str]:
    return frozenset(name_key(patterns.sub(r"[-,.]", " ", text)).split()) - _SMALL


def read_rule(text: str, choices: tuple[str, ...]) -> Chosen | Spoken | Doubt:
    """The choice that the words mean, or what has to be asked again."""
    low = tidy(text)
    number = patterns.fullmatch(r"(?:(?:number|choice|rule)\s+)?(\d{1,3})", low)
    said: dict[str, Arg] = {"said": Said(low), "count": Amount(Fraction(len(choices)), "")}
    if number:
        at = int(number[1])
        found = choices[at - 1] if 1 <= at <= len(choices) else None
        return Chosen(found) if found else Doubt("learn-no-such-choice", said)
    typed = _words(low)
    meant = [rule for rule in choices if typed and _means(typed, rule)]
    if len(meant) == 1:
        return Chosen(meant[0])
    if len(meant) > 1:
        return Doubt("learn-several-choices", said)
    steering = read_answer(text, "", dose=True)
    if isinstance(steering, Spoken):
        return steering
    if isinstance(steering, Refused):
        return Doubt("learn-which-rule", said)
    return steering if isinstance(steering, Doubt) and not low else Doubt(
        "learn-no-such-choice", said
    )  # fmt: skip


def _means(typed: frozenset[str], rule: str) -> bool:
    """Are all the words of its sentence, or just those of its id?"""
    return typed == _words(rule) or typed <= _words(TEXTS[f"learn-rule-{rule}"])

"""What stands around the foods of a made phrase: courtesy words, a glucose reading."""

import random
from fractions import Fraction

from assistant.shell.phrase_tokens import Role, Token

GREETINGS = ("hi", "hello", "hey", "ok", "okay", "so", "well", "right", "um", "er")
EATING = (
    *("I'm having", "I am having", "I'll have", "I will have", "I'd like", "I want", "I've got"),
    *("I have", "I had", "I ate", "I just ate", "I'm eating", "I'm about to eat", "we're having"),
    *("having", "eating", "im having", "I’m having"),
)
ASKING = (
    *("count", "please count", "log", "can you count", "could you please count", "work out"),
    *("would you count", "can you add up", "could you work out", "please"),
)
CARBS = (
    *("how many carbs are in", "how many carbs in", "how much carbohydrate is in", "carbs in"),
    "what are the carbs in",
)
MEALS = (
    *("for breakfast", "for lunch", "for dinner", "for supper", "for my breakfast", "today"),
    *("now", "right now"),
)
THANKS = ("please", "thanks", "thank you", "please.", "Thanks!")


def _words(text: str, role: Role = "courtesy") -> list[Token]:
    return [Token(word, role) for word in text.split()]


def wrapped(rng: random.Random, tokens: list[Token], glucose: bool) -> list[Token]:
    """Courtesy words at the start and the end. A phrase with glucose is no bare question."""
    opens = not tokens[0].role.startswith("glucose")
    before = _before(rng, glucose) if opens else []
    behind: list[Token] = []
    asked = bool(before) and before[0].text in {"how", "what", "can", "could", "would"}
    if not before and not glucose and rng.random() < 0.12:
        behind += _words(rng.choice(MEALS))
    if rng.random() < 0.12:
        behind += [Token(",", "courtesy", glued=True)] if rng.random() < 0.5 else []
        behind += _words(rng.choice(THANKS))
    elif asked and rng.random() < 0.7:
        behind = [Token("?", "courtesy", glued=True)]
    return [*before, *tokens, *behind]


def _before(rng: random.Random, glucose: bool) -> list[Token]:
    before: list[Token] = []
    how = rng.random()
    if how < 0.2:
        before = _words(rng.choice(EATING))
    elif how < 0.3:
        before = _words(rng.choice(ASKING))
    elif how < 0.36 and not glucose:
        before = _words(rng.choice(CARBS))
    elif how < 0.4:
        before = _words(rng.choice(MEALS[:5]))
        before += _words(rng.choice(EATING)) if rng.random() < 0.5 else []
    if rng.random() < 0.12:
        greeting = _words(rng.choice(GREETINGS))
        if rng.random() < 0.6:
            greeting.append(Token(",", "courtesy", glued=True))
        before = [*greeting, *before]
    return before


def glucose_said(rng: random.Random) -> tuple[list[Token], tuple[Fraction, str]]:
    """ "my blood sugar is 162": the words, and the figure with its unit."""
    if rng.random() < 0.3:
        figure, unit = f"{rng.randint(50, 139) / 10}", "mmol/L"
        behind = [Token(unit, "glucose unit")]
    else:
        figure, unit = str(rng.randint(90, 240)), "mg/dL"
        behind = [Token(unit, "glucose unit")] if rng.random() < 0.4 else []
    word = rng.choice(("glucose", "my blood sugar is", "bg:", "blood glucose", "my glucose is",
                       "glucose is", "blood sugar"))  # fmt: skip
    tokens = [*_words(word, "glucose word"), Token(figure, "glucose figure"), *behind]
    return tokens, (Fraction(figure), unit)

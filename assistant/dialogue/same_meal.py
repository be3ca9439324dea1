"""A second line of food while the first one waits for an answer: one meal, or another?

Neither is guessed. Dosed for its last line alone, a meal of two lines would get too little; joined
to a line that was given up, too much.
"""

from collections.abc import Callable
from difflib import SequenceMatcher
from itertools import takewhile

from assistant.dialogue.changes import joined, open_meal, same_food
from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.lows import LOWS
from assistant.dialogue.outcome import Ask, Outcome, ask, choice
from assistant.dialogue.said_around import meal_name
from assistant.dialogue.state import Context
from assistant.values import Name, Said
from grammar.nodes import Complaint, Item, Phrase
from grammar.phrases import read_phrase
from grammar.words import name_key

KIND = "same-meal"
_LIKE = 0.7


def asked(ctx: Context, outcome: Outcome, is_sentence: Callable[[str], bool]) -> Outcome | None:
    """The question, where the open one is about a meal and these words are another line of food.

    None for all else, for a low, and where the words say the waiting meal again.
    """
    if is_sentence(ctx.text) or is_sentence(ctx.asked_text) or not _is_food(ctx, outcome):
        return None
    said = open_meal(ctx)
    phrase = read_phrase(ctx.text)
    if said is None or isinstance(phrase, Complaint):
        return None
    items = [piece[0] for piece in phrase.pieces]
    if all(any(_again(ctx, old, new) for new in items) for old in said.items):
        return None
    both = joined(said, _as_second(phrase))
    choices = (
        choice("choice-both-meals", both, word="yes", text=Said(both)),
        choice("choice-only-this", ctx.text, word="no", text=Said(ctx.text)),
    )
    args = {"said": Said(said.text), "more": Said(ctx.text)}
    # asked of both lines, so that a third line, or "cancel", is about both as well
    wanted = Ask(KIND, "ask-same-meal", args, choices=choices, hint=("1", "2", "cancel"))
    return ask(wanted, both)


def _as_second(phrase: Phrase) -> str:
    """The line as it goes behind another: words that only open a sentence ("for lunch I'm having")
    are no food there; the meal that they name stands at the end."""
    lead = list(takewhile(lambda word: word.role in {"courtesy", "meal"}, phrase.words))
    if not lead:
        return phrase.text
    line = phrase.text[lead[-1].end :].lstrip(" ,:")
    name = meal_name(phrase.text)
    return f"{line}, for {name}" if name and not meal_name(line) else line


def _is_food(ctx: Context, outcome: Outcome) -> bool:
    """Did the words say food to be eaten? A count only, or a change of the meal, is none."""
    phrase = read_phrase(ctx.text)
    if isinstance(phrase, Complaint) or any(
        c.kind in {"count-only", "replaces"} for c in phrase.clauses
    ):
        return False
    if any(hit.rule in {*LOWS, "unsettled-dose"} for hit in outcome.reply.rules):
        return False  # these come first, and leave the meal waiting
    kinds = {event.kind for event in outcome.events}
    if kinds & {"meal-counted", "dose-suggested", "dose-refused"}:
        return bool(phrase.pieces)
    event = ctx.question.event if ctx.question else None
    question = outcome.reply.question
    if question is None or not isinstance(event, QuestionAsked):
        return False
    known = any(ctx.foods.exact(name_key(p[0].name)) for p in phrase.pieces if p[0].name)
    return (known or bool(question.choices)) and question.kind not in {"unread", "change"}


def _again(ctx: Context, old: Item, new: Item) -> bool:
    """Is this the same food and amount, said again? A name that nothing knew may be put right."""
    if same_food(ctx, old.name, new.name):
        return _amount(old) == _amount(new) or not _known_amount(old) or _doubted(ctx)
    if ctx.foods.exact(name_key(old.name)):
        return False
    likeness = SequenceMatcher(None, name_key(old.name), name_key(new.name)).ratio()
    return likeness >= _LIKE or name_key(new.name) in _offered(ctx)


_DOUBTED = frozenset({"implausible", "amount", "number", "measure", "range", "range-too-wide"})


def _doubted(ctx: Context) -> bool:
    """Does the open question doubt an amount? Another one of the same food then puts it right."""
    event = ctx.question.event if ctx.question else None
    return isinstance(event, QuestionAsked) and event.question.kind in _DOUBTED


def _amount(item: Item) -> tuple[object, object]:
    quantity = getattr(item.quantity, "value", item.quantity)
    return quantity, item.measure.unit if item.measure else None


def _known_amount(item: Item) -> bool:
    return getattr(item.quantity, "value", None) is not None


def _offered(ctx: Context) -> set[str]:
    """Names that the open question offers."""
    event = ctx.question.event if ctx.question else None
    if not isinstance(event, QuestionAsked):
        return set()
    args = (c.label.args.get("food") for c in event.question.choices)
    return {name_key(arg.text) for arg in args if isinstance(arg, Name)}

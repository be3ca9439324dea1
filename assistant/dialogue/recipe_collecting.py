"""A recipe told line by line: each line goes into the sentence that waits, until that is all.

Typed by hand, pasted line by line or read from a file, the lines end in the very sentence that a
paste of the whole would have been, and that one sentence is read. Nothing is saved before.
"""

from msgspec import Struct

from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.outcome import Ask, Outcome, answer, ask, choice, fact
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Listed, Name, Said
from grammar.changes import read_change
from grammar.recipe_lines import (
    all_told,
    last_line,
    line_of,
    more_to_come,
    names,
    says_all,
    with_line,
    without_end,
    without_last_line,
)
from grammar.recipes import read_recipe

ACCEPTS = "ingredients"
"""What the slot of such a question takes."""
ALL = "that is all"


class Told(Struct, frozen=True):
    """Sentences that a line comes to, and what is said before their answer."""

    texts: tuple[str, ...]
    before: tuple[Line, ...] = ()


class StillOpen(Struct, frozen=True):
    """The line changed nothing; what is said before the question is asked again."""

    before: tuple[Line, ...]


def is_open(ctx: Context) -> bool:
    """Is a recipe being told line by line?"""
    event = ctx.question.event if ctx.question is not None else None
    slot = event.question.slot if isinstance(event, QuestionAsked) else None
    return slot is not None and slot.accepts == ACCEPTS


def begin(text: str, name: str) -> Ask:
    """The name was said, and what goes in was not."""
    return Ask("recipe", "ask-ingredients", {"food": Name(name)}, slot=_slot(text),
               hint=("300 g red lentils, 2 onions, 1.2 l stock", ALL, "cancel"))  # fmt: skip


def more(text: str, name: str) -> Ask:
    """Something goes in, and more may be to come."""
    noted = (answer("recipe-line-noted", said=Said(last_line(text))),)
    return Ask("recipe", "ask-more-ingredients", {"food": Name(name)}, before=noted,
               slot=_slot(text))  # fmt: skip


def _slot(text: str) -> Slot:
    return Slot(ACCEPTS, (with_line(text.rstrip(" :"), ANSWER),))


def so_far(text: str) -> tuple[Line, ...]:
    """The lines of a recipe that is gone on with."""
    lines = all_told(text).split("\n")
    return (fact("recipe-so-far", lines=Listed(tuple(Said(line) for line in lines if line))),)


def said(ctx: Context, *, sentence: bool, undoes: bool) -> Told | StillOpen | Outcome | None:
    """What a text is while a recipe is told; None where it is a sentence of its own.

    sentence: it is a statement or a command. undoes: it is "undo".
    """
    recipe, text = ctx.asked_text, ctx.text.strip()
    head = read_recipe(recipe)
    if head is None:
        return None
    name = head.parts["name"]
    if undoes:
        shorter = without_last_line(recipe)
        if shorter is None:
            return StillOpen((fact("recipe-no-line"),))
        return Told((shorter,), (answer("recipe-line-out", said=Said(last_line(recipe))),))
    if says_all(text):
        if not more_to_come(recipe):
            return StillOpen((fact("recipe-no-line"),))
        return Told((all_told(recipe),))
    change = read_change(text)
    if change is not None and change.form != "add":  # of the last line, or of a meal?
        return StillOpen((fact("recipe-line-change", said=Said(text)),))
    own = read_recipe(text)
    about_it = own is not None and own.form in {"makes", "weight"}
    if sentence and not about_it and change is None:
        return None
    if not about_it and names(text, name):
        return _is_it_all(ctx, name)
    ended = without_end(text)
    line = line_of(ended, name)
    if line is None:
        return None
    whole = with_line(recipe.rstrip(" :"), line)
    return Told((all_told(whole) if ended != text else whole,))


def unfit(ctx: Context) -> Line:
    """The words are no line of the recipe, and no sentence."""
    return fact("recipe-line-unfit", said=Said(ctx.text))


def goes_on(outcome: Outcome) -> bool:
    """Does the recipe wait open beside this? Not where something else is asked, or was said of it.

    A food or a number that was missing has the recipe read again, as for any question on it.
    """
    ends = {"question-asked", "question-closed", "recipe-begun", "undone", *_READ_AGAIN}
    return not any(event.kind in ends for event in outcome.events)


_READ_AGAIN = ("food-saved", "recipe-saved", "measure-saved", "setting-said")


def _is_it_all(ctx: Context, name: str) -> Outcome:
    """A meal of the recipe before it is saved: is that all that goes in?"""
    recipe, meal = ctx.asked_text, ctx.text.strip()
    if not more_to_come(recipe):
        return ask(Ask("recipe", "ask-ingredients-first", {"food": Name(name)}, slot=_slot(recipe),
                       hint=(ALL, "cancel")), recipe)  # fmt: skip
    choices = (
        choice("choice-recipe-all", all_told(recipe), meal, word="yes", said=Said(meal)),
        choice("choice-recipe-more", recipe, word="no", food=Name(name)),
    )
    return ask(Ask("recipe", "ask-recipe-all", {"food": Name(name)}, choices=choices), recipe)

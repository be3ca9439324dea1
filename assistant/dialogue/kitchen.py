"""Where the kitchen's sentences enter a turn: recipes, estimates, portions, days, one's data."""

from collections.abc import Callable
from datetime import timedelta

from msgspec.structs import replace

from assistant.dialogue import (
    days,
    estimate_talk,
    goals,
    portion_finder,
    privacy,
    recipe_collecting,
    recipe_it,
    recipe_talk,
    what_fits,
)
from assistant.dialogue.events import FoodSaved, MeasureSaved, QuestionAsked, RecipeNamed
from assistant.dialogue.meals import meal
from assistant.dialogue.outcome import Ask, Outcome, ask, fact, next_step
from assistant.dialogue.pending import PendingRecord
from assistant.dialogue.state import Context
from assistant.values import Said
from grammar.foods import unquoted
from grammar.kitchen import KitchenSentence, read_kitchen
from grammar.recipe_lines import more_to_come, without_end
from grammar.recipes import read_recipe
from grammar.words import name_key

Plain = Callable[[Context], Outcome]
"""The turn for a sentence that stands for itself."""
GO_ON = "go on with the recipe"


OWN_DATA = frozenset({"where", "export", "forget-all", "forget-all-sure"})
"""Sentences that do not ask the library first: they have to work where it cannot be read."""


def stands_alone(text: str) -> bool:
    """Is the text a whole sentence of the kitchen, so that it fills no slot of a question?"""
    return read_recipe(text) is not None or read_kitchen(text) is not None


def talk(ctx: Context, plain: Plain) -> Outcome | None:
    """The turn for a sentence of the kitchen; None for all others."""
    other = read_kitchen(ctx.text)
    if other is not None and (other.form in OWN_DATA or not ctx.foods.exact(name_key(ctx.text))):
        return _other(ctx, other, plain)
    said = read_recipe(ctx.text)
    if said is None:
        return None
    if said.form == "save" and without_end(ctx.text) != ctx.text:
        ctx = replace(ctx, text=without_end(ctx.text))
        said = read_recipe(ctx.text)
        assert said is not None
    begun = recipe_talk.waiting(ctx) if said.form == "resume" else None
    if begun:
        again = replace(ctx, text=begun)
        return _gone_on_with(again, plain(again))
    return recipe_talk.handle(ctx, said)


def _gone_on_with(ctx: Context, outcome: Outcome) -> Outcome:
    """The recipe that waited, read again; where it is told line by line, with what it has."""
    if "\n" not in ctx.text:
        return read_as(ctx, outcome)
    lines = (*recipe_collecting.so_far(ctx.text), *outcome.reply.lines)
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def _other(ctx: Context, said: KitchenSentence, plain: Plain) -> Outcome | None:
    """Estimates, portions to find, days, and one's data."""
    runs: dict[str, Callable[[], Outcome | None]] = {
        "estimate": lambda: _estimate(ctx, said, plain),
        "estimate-open": lambda: ask(
            Ask("recipe", "estimate-unread", hint=(estimate_talk.EXAMPLE,)), ctx.text
        ),
        "fill": lambda: portion_finder.fill(ctx, said),
        "fill-open": lambda: portion_finder.fill_to_what(ctx, said),
        "fill-empty": lambda: portion_finder.fill_to_what(ctx, said),
        "how-many": lambda: portion_finder.how_much(ctx, said),
        "what-fits": lambda: what_fits.what_fits(ctx, said),
        "goal": lambda: goals.set_goal(ctx, said),
        "no-goal": lambda: goals.set_goal(ctx, said),
        "left": lambda: goals.left(ctx),
        "today": lambda: days.today(ctx),
        "yesterday": lambda: days.yesterday(ctx),
        "where": lambda: privacy.where(ctx),
        "export": lambda: privacy.export(ctx),
        "forget-all": lambda: privacy.forget(ctx),
        "forget-much": lambda: _forget_much(ctx, said),
        "forget-all-sure": lambda: privacy.forget_surely(ctx),
    }
    return runs.get(said.form, lambda: days.span(ctx, said))()


def _forget_much(ctx: Context, said: KitchenSentence) -> Outcome | None:
    """ "forget everything, yes I am sure", "delete all my readings"; None for a food's name."""
    if ctx.foods.exact(name_key(unquoted(said.parts["name"]))):
        return None
    return privacy.forget(ctx, part=True)


def _estimate(ctx: Context, said: KitchenSentence, plain: Plain) -> Outcome:
    """The estimate is saved; where an amount was said with it, it is counted at once."""
    first, text, after = estimate_talk.estimate(ctx, said)
    if text is None:
        return first
    then = plain(after)
    told = tuple(fact(x.code, **x.args) if x.role == "answer" else x for x in first.reply.lines)
    eaten_too = any(event.kind == "meal-counted" for event in then.events)
    if eaten_too:  # what looks like a definition was a meal as well
        told = (*told, fact("estimate-eaten"), next_step("undo"))
    lines = (*then.reply.lines, *told)
    return Outcome(replace(then.reply, lines=lines), (*first.events, *then.events))


def more(ctx: Context, sentence: str, start: int) -> Outcome:
    """The next lines of "what can I have"."""
    said = read_kitchen(sentence)
    assert said is not None
    return what_fits.what_fits(ctx, said, start)


def read_as(ctx: Context, outcome: Outcome) -> Outcome:
    """What the words were taken to mean is told, with the answer."""
    if len(ctx.text) >= 200 or "\n" in ctx.text:
        return outcome
    lines = (fact("read-change", said=Said(ctx.text)), *outcome.reply.lines)
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def eaten(ctx: Context, plain: Plain) -> Outcome | None:
    """The turn for a meal; "it" in it is the recipe that was talked about."""
    meant = recipe_it.with_name(ctx)
    if isinstance(meant, Outcome):
        return meant
    if meant is not None:
        return read_as(meant, plain(meant))
    outcome = meal(ctx)
    return None if outcome is None else named(ctx, outcome)


def named(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; where one recipe was counted and nothing else, the record knows of it."""
    if len(outcome.reply.portions) != 1:
        return outcome
    foods = ctx.foods.exact(name_key(outcome.reply.portions[0].food))
    if len(foods) != 1 or foods[0].facts.recipe is None:
        return outcome
    return replace(outcome, events=(*outcome.events, RecipeNamed(foods[0].food_id)))


def with_waiting(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; where a food was saved while a recipe waits for one, how to go on with it."""
    kinds = {event.kind for event in outcome.events}
    freed = any(isinstance(event, FoodSaved | MeasureSaved) for event in outcome.events)
    asked = ctx.question.event if ctx.question is not None else None
    if isinstance(asked, QuestionAsked) and asked.question.kind == "recipe":
        if recipe_collecting.is_open(ctx):
            return outcome  # it says itself that the recipe waits
        freed = "question-closed" in kinds  # something else was said: the recipe is not lost
        kinds -= {"question-asked"}
    if not freed or kinds & {"recipe-saved", "recipe-begun", "question-asked"}:
        return outcome
    if recipe_talk.waiting(ctx) is None:
        return outcome
    lines = (*outcome.reply.lines, next_step(GO_ON, code="recipe-waits"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def opened_again(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; a recipe that is told line by line is open again once another question is not.

    Else its next line would be taken for a meal.
    """
    kinds = {event.kind for event in outcome.events}
    if "question-closed" not in kinds or kinds & {"question-asked", "undone"}:
        return outcome
    after = replace(ctx, record=PendingRecord(ctx.record, outcome.events, ctx.text, ctx.now))
    text = recipe_talk.waiting(after)
    said = read_recipe(text) if text is not None else None
    if text is None or said is None or said.form != "save":
        return outcome
    begun = after.record.events(("recipe-begun",), last=1)[-1]
    if not more_to_come(text) or ctx.now - begun.said_at > OPEN_AGAIN:
        if "recipe-saved" in kinds:
            lines = (*outcome.reply.lines, next_step(GO_ON, code="recipe-waits"))
            return replace(outcome, reply=replace(outcome.reply, lines=lines))
        return outcome
    again = ask(recipe_collecting.more(text, said.parts["name"]), text)
    lines = (*outcome.reply.lines, fact("question-waits", said=Said(text)))
    events = (*outcome.events, *again.events)
    return replace(outcome, reply=replace(outcome.reply, lines=lines), events=events)


OPEN_AGAIN = timedelta(minutes=30)
"""How long after its last line a recipe is opened again by itself (common practice, no source)."""

"""Where the kitchen's sentences enter a turn: recipes, estimates, portions to find, days, privacy."""

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import recipe_it, recipe_talk
from assistant.dialogue.events import FoodSaved, MeasureSaved, QuestionAsked, RecipeNamed
from assistant.dialogue.meals import meal
from assistant.dialogue.outcome import Outcome, fact, next_step
from assistant.dialogue.state import Context
from assistant.values import Said
from grammar.recipes import read_recipe
from grammar.words import name_key

Plain = Callable[[Context], Outcome]
"""The turn for a sentence that stands for itself."""
GO_ON = "go on with the recipe"


def stands_alone(text: str) -> bool:
    """Is the text a whole sentence of the kitchen, so that it fills no slot of a question?"""
    return read_recipe(text) is not None


def talk(ctx: Context, plain: Plain) -> Outcome | None:
    """The turn for a sentence about recipes; None for all others."""
    said = read_recipe(ctx.text)
    if said is None:
        return None
    begun = recipe_talk.waiting(ctx) if said.form == "resume" else None
    if begun:
        again = replace(ctx, text=begun)
        return read_as(again, plain(again))
    return recipe_talk.handle(ctx, said)


def with_name(ctx: Context) -> Context | Outcome | None:
    """The sentence with the recipe that "it" is."""
    return recipe_it.with_name(ctx)


def read_as(ctx: Context, outcome: Outcome) -> Outcome:
    """What the words were taken to mean is told, with the answer."""
    if len(ctx.text) >= 200 or "\n" in ctx.text:
        return outcome
    lines = (*outcome.reply.lines, fact("read-as", said=Said(ctx.text)))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def eaten(ctx: Context) -> Outcome | None:
    """The turn for a meal; a recipe that is alone on the plate is what "it" means from now on."""
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
        freed = "question-closed" in kinds  # something else was said: the recipe is not lost
        kinds -= {"question-asked"}
    if not freed or kinds & {"recipe-saved", "recipe-begun", "question-asked"}:
        return outcome
    if recipe_talk.waiting(ctx) is None:
        return outcome
    lines = (*outcome.reply.lines, next_step(GO_ON, code="recipe-waits"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))

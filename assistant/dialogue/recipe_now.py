"""A food as it is counted now: a recipe with its ingredients as they are, or what is asked."""

from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts
from assistant.counting.portions import Weighed
from assistant.counting.recipes import Changed, Find, as_now
from assistant.dialogue.meal_lines import reference_of
from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name, Said


def finder(ctx: Context) -> Find:
    """Looks foods up by their id, forgotten ones too."""

    def find(food_id: str) -> FoodFacts | None:
        food = ctx.foods.by_id(food_id)
        return food.facts if food is not None else None

    return find


def current(ctx: Context, food: Food) -> Food | Ask:
    """The food; of a recipe, with what is known of its ingredients now. No count before that."""
    facts = as_now(food.facts, finder(ctx), ctx.settings.kitchen)
    if isinstance(facts, Changed):
        return _does_it_follow(ctx, facts)
    return replace(food, facts=facts)


def _does_it_follow(ctx: Context, changed: Changed) -> Ask:
    """ "The label of red lentils changed": does the recipe go by the new one?"""
    if changed.only_measure:
        return _does_it_follow_a_measure(ctx, changed)
    recipe, ingredient = quoted(changed.recipe), quoted(changed.ingredient.facts.name)
    kind = "recipe" if changed.now.recipe is not None else "label"
    food, inside = Name(changed.recipe), Name(changed.ingredient.facts.name)
    args: dict[str, Arg] = {"food": food, "ingredient": inside}
    choices = (
        choice("choice-follow", f"recipe {recipe} follows the new label of {ingredient}", ctx.text,
               word="new", food=food, ingredient=inside),
        choice("choice-not-follow",
               f"recipe {recipe} keeps the old label of {ingredient}", ctx.text,
               word="old", food=food, ingredient=inside),
    )  # fmt: skip
    return Ask("measure", f"ask-follow-{kind}", args, choices=choices, hint=("1", "2", "cancel"))


def _does_it_follow_a_measure(ctx: Context, changed: Changed) -> Ask:
    """ "Your bowl holds more than it did": does the recipe go by the bowl of now?"""
    each, read = changed.ingredient, changed.read
    recipe, ingredient = quoted(changed.recipe), quoted(each.facts.name)
    food, inside, one = Name(changed.recipe), Name(each.facts.name), reference_of(each.facts)
    before = Amount(one.value * each.factor.value, one.unit, 2)
    args: dict[str, Arg] = {"food": food, "ingredient": inside, "said": Said(each.said),
                            "before": before}  # fmt: skip
    keeps = choice("choice-not-follow-measure",
                   f"recipe {recipe} keeps the old measure of {ingredient}", ctx.text,
                   word="old", food=food, ingredient=inside, before=before)  # fmt: skip
    if not isinstance(read, Weighed):
        return Ask("measure", "ask-keep-measure", args, choices=(keeps,), hint=("1", "cancel"))
    after = Amount(one.value * read.factor, one.unit, 2)
    follows = choice("choice-follow-measure",
                     f"recipe {recipe} follows the new measure of {ingredient}", ctx.text,
                     word="new", food=food, ingredient=inside, after=after)  # fmt: skip
    return Ask("measure", "ask-follow-measure", {**args, "after": after},
               choices=(follows, keeps), hint=("1", "2", "cancel"))  # fmt: skip

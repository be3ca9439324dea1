"""Is the weight of a finished pot plausible against what went in? Asked before it is saved.

The typical slip is a pot that was weighed with the food in it. Water that is soaked up and stands
in no list is lawful, so the answer "that is right" keeps the weight, and a caution stays with it.
"""

from fractions import Fraction

from msgspec import Struct

from assistant.counting.facts import FoodFacts, Ingredient, Recipe
from assistant.counting.units import conversion
from assistant.dialogue.meal_questions import bare
from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.recipe_pot import kind_of
from assistant.dialogue.replies import Choice
from assistant.dialogue.sentence_parts import quoted
from assistant.dialogue.state import Context
from assistant.values import Amount, Arg, Name, decimal_text
from grammar.nodes import Complaint, Number
from grammar.phrases import read_phrase
from grammar.recipes import RecipeSentence, YieldSaid

TAKEN_UP, BY_VOLUME = Fraction(102, 100), Fraction(105, 100)
"""A finished pot above what went in by more than this took up water that was not said, or the pot
itself was weighed: 2 per cent for the scales; what went in by volume counts as a gram a millilitre
and may be 5 per cent heavier, as milk and juice are (common practice, no source)."""
BOILED_AWAY = Fraction(1, 3)
"""A finished pot below this share of what went in is asked about (common practice, no source)."""
RISEN = Fraction(2)
"""Millilitres of finished food for a gram that went in: beyond this it is asked about, as air that
is beaten or baked in seldom doubles a food (common practice, no source)."""


class WentIn(Struct, frozen=True):
    """Grams that went in, and millilitres of what was not weighed. whole: none is missing."""

    grams: Fraction
    millilitres: Fraction
    whole: bool

    @property
    def about(self) -> Fraction:
        """Grams, with a gram for a millilitre."""
        return self.grams + self.millilitres


def went_in(recipe: Recipe) -> WentIn:
    """What went into the pot, as far as it is known; what is not counted is in it by its words."""
    grams = millilitres = Fraction(0)
    whole = True
    for each in recipe.ingredients:
        volume = _millilitres(each)
        if each.grams is not None:
            grams += each.grams
        elif volume is not None:
            millilitres += volume
        else:
            whole = False
    for words in recipe.uncounted:
        weight, volume = _amount_of(words)
        grams += weight
        millilitres += volume
    return WentIn(grams, millilitres, whole)


def _millilitres(each: Ingredient) -> Fraction | None:
    facts = each.facts
    if facts.per == "100 ml":
        return each.factor.value * 100
    if facts.per == "serving" and facts.serving_millilitres is not None:
        return each.factor.value * facts.serving_millilitres
    return None


def _amount_of(words: str) -> tuple[Fraction, Fraction]:
    """Grams and millilitres of "1 l water"; nought where its words tell neither ("salt")."""
    nothing = (Fraction(0), Fraction(0))
    phrase = read_phrase(words)
    if isinstance(phrase, Complaint) or len(phrase.pieces) != 1:
        return nothing
    item = phrase.pieces[0][0]
    if item.measure is None or not isinstance(item.quantity, Number):
        return nothing
    if item.measure.kind == "mass":
        return item.quantity.value * conversion(item.measure.unit, "gram"), Fraction(0)
    if item.measure.kind == "volume":
        return Fraction(0), item.quantity.value * conversion(item.measure.unit, "millilitre")
    return nothing


def is_heavier(recipe: Recipe) -> bool:
    """Does the finished food weigh more than all that went in?"""
    inside, cooked = went_in(recipe), recipe.cooked_grams
    most = inside.grams * TAKEN_UP + inside.millilitres * BY_VOLUME
    return cooked is not None and inside.whole and cooked > most


def is_lighter(recipe: Recipe) -> bool:
    """Does it weigh so little that most of what is known to have gone in is gone?"""
    inside, cooked = went_in(recipe), recipe.cooked_grams
    return cooked is not None and cooked < inside.about * BOILED_AWAY


def is_odd_volume(recipe: Recipe) -> bool:
    """Does it measure far more than went in, or so little that most of it is gone?"""
    inside, made = went_in(recipe), recipe.cooked_millilitres
    if made is None:
        return False
    return made < inside.about * BOILED_AWAY or (inside.whole and made > inside.about * RISEN)


def figures(recipe: Recipe) -> dict[str, Arg]:
    """The weight of the finished food and of what went in, for the texts."""
    cooked = recipe.cooked_grams or Fraction(0)
    return {"cooked": Amount(cooked, "g"), "raw": Amount(went_in(recipe).about, "g", 1)}


def weight_doubt(ctx: Context, facts: FoodFacts, said: RecipeSentence) -> Ask | None:
    """The question about a weight that was just said, unless the user said that it is right.

    ctx.text is the sentence with the recipe's name in it.
    """
    recipe = facts.recipe
    assert recipe is not None
    if said.sure:
        return None
    if is_odd_volume(recipe) and _says_volume(said, facts.name):
        return _volume_doubt(ctx, facts)
    if not _says_weight(said, facts.name) or not (is_heavier(recipe) or is_lighter(recipe)):
        return None
    shown = figures(recipe)
    args: dict[str, Arg] = {"food": Name(facts.name), **shown}
    cooked = shown["cooked"]
    right = choice("choice-weight-right", bare(ctx.text) + ", that is right",
                   word="right", cooked=cooked)  # fmt: skip
    wrong = choice("choice-weight-wrong", "cancel", word="no")
    if is_lighter(recipe):
        return Ask("weight", "ask-recipe-lighter", args, choices=(right, wrong))
    with_pot = _with_pot(ctx.text, facts.name, said)
    if with_pot is None:  # the pot is off already
        return Ask("weight", "ask-recipe-heavier", args, choices=(right, wrong))
    pot: Choice = choice("choice-weight-pot", with_pot, word="pot", cooked=cooked)
    return Ask("weight", "ask-recipe-pot-in-it", args, choices=(pot, right, wrong))


def _volume_doubt(ctx: Context, facts: FoodFacts) -> Ask:
    """The question about a volume that does not fit what went in."""
    recipe = facts.recipe
    assert recipe is not None
    made = Amount(recipe.cooked_millilitres or Fraction(0), "ml")
    args: dict[str, Arg] = {"food": Name(facts.name), "made": made, "raw": figures(recipe)["raw"]}
    right = choice("choice-volume-right", bare(ctx.text) + ", that is right",
                   word="right", made=made)  # fmt: skip
    return Ask("weight", "ask-recipe-volume", args,
               choices=(right, choice("choice-weight-wrong", "cancel", word="no")))  # fmt: skip


def _says_volume(said: RecipeSentence, name: str) -> bool:
    return any(each.kind == "makes" and kind_of(each, name)[0] == "volume" for each in said.yields)


def _says_weight(said: RecipeSentence, name: str) -> bool:
    """Was a weight said? One that was kept before was asked about then; what goes in is new."""
    full = any(each.kind in {"full", "empty"} for each in said.yields)
    return full or any(_is_weight(each, name) for each in said.yields)


def _with_pot(text: str, name: str, said: RecipeSentence) -> str | None:
    """The sentence with its weight as that of the full pot; None where a pot was told of."""
    kinds = {each.kind for each in said.yields}
    weights = [each for each in said.yields if _is_weight(each, name)]
    if kinds & {"full", "empty"} or len(weights) != 1:
        return None
    [clause] = weights
    assert isinstance(clause.number, Number)
    weighs = f"weighs {decimal_text(clause.number.value)} {clause.unit}"
    if said.form != "save":
        return f"the pot of {quoted(name)} {weighs}"
    if text.count(clause.said) != 1:
        return None
    if clause.kind != "makes":
        return text.replace(clause.said, f"the pot {weighs}")
    return f"{text.replace(clause.said, ' ').rstrip(' .,;')}, the pot {weighs}"


def _is_weight(said: YieldSaid, name: str) -> bool:
    return said.kind == "cooked" or (said.kind == "makes" and kind_of(said, name)[0] == "mass")

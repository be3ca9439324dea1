"""A portion of a recipe as people say it: "1 bowl is one sixth of the recipe", 1 divided by 6.

Few parts of a pot are decimals, so nothing is multiplied by a rounded one: a figure of the whole is
multiplied by what was eaten and divided by what the recipe makes, both as they are.
"""

from fractions import Fraction

from assistant.counting.portions import WHOLE, Step, Weighed
from assistant.dialogue.replies import Line
from assistant.dialogue.shown import measure
from assistant.values import Arg, Part, Phrase

SIMPLE = 20
"""A part with a denominator up to this is said in words."""

Share = tuple[Fraction, Fraction]
"""So many of so many: 1 of 6 bowls, 250 of 850 g."""


def share_of(factor: Fraction) -> Share | None:
    """A part of a recipe in its lowest terms; None where it is whole recipes."""
    if factor.denominator == 1:
        return None
    return Fraction(factor.numerator), Fraction(factor.denominator)


def of_whole(weighed: Weighed) -> Share | None:
    """A portion of a recipe, in its own measure where it is no plain half, third or so."""
    lowest = share_of(weighed.factor)
    if lowest is None or lowest[0] == 1:
        return lowest
    for step in weighed.steps:
        if step.into == "recipe" and step.unit not in WHOLE:
            return step.count, step.count / step.result
    return lowest


def step_line(step: Step) -> Line:
    """The step from a measure to the recipe; step.into is the recipe."""
    args: dict[str, Arg] = {"from": measure(step.count, step.unit)}
    if step.result == 1:
        return Line("working", "step-all", args)
    if step.result.denominator == 1:
        into = measure(step.result, "recipe")
        return Line("working", "step", {**args, "into": into, "why": Phrase("because-recipe")})
    simple = step.result.denominator <= SIMPLE
    if simple:
        args["share"] = Part(step.result)
    if step.unit in WHOLE:
        return Line("working", "step-share" if simple else "step-part", args)
    args["made"] = measure(step.count / step.result, step.unit)
    return Line("working", "step-share-of" if simple else "step-part-of", args)

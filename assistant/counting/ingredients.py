"""What an ingredient list tells: sugar alcohols, sweeteners, and hints on speed."""

from grammar.words import plain

POLYOLS = (
    "erythritol", "xylitol", "maltitol", "sorbitol", "mannitol", "isomalt", "lactitol",
    "hydrogenated starch hydrolysate", "polyglycitol",
)  # fmt: skip
"""Sugar alcohols, by the names that 21 CFR 101.9(c)(1)(i)(F) and Annex XIV factors use."""
SUGARS = (
    "sugar", "syrup", "honey", "dextrose", "glucose", "fructose", "maltose", "maltodextrin",
    "molasses", "juice concentrate", "agave",
)  # fmt: skip
"""Words for sugars and fast starch in ingredient lists (common practice, no source)."""


def found_in(ingredients: tuple[str, ...], words: tuple[str, ...]) -> tuple[str, ...]:
    """The ingredients that hold one of the words, in their order (most first by weight)."""
    return tuple(i for i in ingredients if any(word in plain(i) for word in words))


def undeclared_polyols(ingredients: tuple[str, ...], nutrients: tuple[str, ...]) -> tuple[str, ...]:
    """Sugar alcohols in the ingredients of a label whose table has no line for any."""
    if {"polyols", *POLYOLS} & set(nutrients):
        return ()
    return found_in(ingredients, POLYOLS)

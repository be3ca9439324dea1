"""What the library knows of a food: the label's figures and what they are for."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

from assistant.values import Ranged
from grammar.nodes import MeasureWord

Region = Literal["US", "CA", "EU", "UK", "AU", "NZ", "JP", "table-total", "table-available"]
"""The law of a label; or, for a food from a table of food composition, what that table calls
carbohydrate: table-total is by difference, with fibre inside, table-available is without it."""

FIBRE_INSIDE: Mapping[Region, bool] = {
    "US": True,
    "CA": True,
    "JP": True,
    "EU": False,
    "UK": False,
    "AU": False,
    "NZ": False,
    "table-total": True,
    "table-available": False,
}
"""Is fibre inside the carbohydrate line? US: by difference, 21 CFR 101.9(c)(6). Canada: by
subtraction (CFIA, elements within the Nutrition Facts table). Japan: by difference. EU and UK:
carbohydrate that is metabolised, Regulation (EU) 1169/2011 Annex I. Australia and New Zealand:
available carbohydrate, FSANZ Schedule 11."""


TYPED = "typed label"
"""The source of facts that the user typed."""


class Nutrient(Struct, frozen=True, omit_defaults=True):
    """One figure of the label.

    unit: g, mg, mcg, kcal, kJ, IU. below: the label says "less than". decimals: digits after the
    point, as printed. off_by: how far the figure may be off, either way, where that does not follow
    from its last digit (a figure per 100 g that was worked out from one rounded per serving).
    """

    value: Fraction
    unit: str
    below: bool = False
    decimals: int = 0
    off_by: Fraction | None = None


class Measure(Struct, frozen=True, omit_defaults=True):
    """count of unit (2 slices, 1 medium, 1/2 cup) is so many grams or millilitres of the food.

    of_source: it came with the food from where the food was imported; else the user told it. Only
    such a measure has how ("chopped", part of what it is) and note ("3 in dia", what it tells of
    itself). With both grams and millilitres it tells what a volume of the food weighs.
    """

    count: Fraction
    unit: str
    grams: Fraction | None = None
    millilitres: Fraction | None = None
    how: str = ""
    note: str = ""
    of_source: bool = False

    @property
    def told(self) -> str:
        """The measure in the words of its source: "cup, chopped (dry)"."""
        named = f"{self.unit}, {self.how}" if self.how else self.unit
        return f"{named} ({self.note})" if self.note else named


class Ingredient(Struct, frozen=True, omit_defaults=True):
    """One food of a recipe: the food as it was when the recipe was said, and how much of it.

    factor: multiples of the food's reference amount, in the whole recipe. quantity and measure as
    said. grams: its raw weight where known. passed_over: the mark of newer facts of the food which
    the user said that the recipe does not follow (recipes.mark).
    """

    said: str
    food_id: str
    facts: "FoodFacts"
    factor: Ranged
    quantity: Ranged
    measure: MeasureWord | None
    name: str
    grams: Fraction | None = None
    passed_over: str = ""


class Recipe(Struct, frozen=True, omit_defaults=True):
    """What goes into a pot and what comes out. It holds ingredients, never their sum.

    makes: so many of a portion are the whole (6 bowls, 4 servings). cooked_*: the finished food,
    weighed or measured; None where it was not. uncounted: what the user said not to count.
    """

    ingredients: tuple[Ingredient, ...]
    makes: tuple[Measure, ...] = ()
    cooked_grams: Fraction | None = None
    cooked_millilitres: Fraction | None = None
    uncounted: tuple[str, ...] = ()


class FoodFacts(Struct, frozen=True, omit_defaults=True):
    """A food as its label states it. A nutrient that is not in nutrients is unknown, not zero.

    per: what the nutrients are for; "recipe" is a whole recipe, which has its ingredients in
    recipe and no figures of its own. like: ids of the foods that an estimate goes by; it has no
    figures of its own either. serving_*: the serving in grams or millilitres, with its
    household count and measure. extra: measures that the user added. region: the law of the
    label, which decides whether fibre is inside the carbohydrate. failed_checks: codes of the
    label checks that did not hold when the user saved it all the same. fast: the user takes it
    to treat a low. source: where the facts are from; for an imported food licence and dated too.
    """

    name: str
    region: Region
    per: Literal["serving", "100 g", "100 ml", "recipe"]
    nutrients: Mapping[str, Nutrient]
    serving_grams: Fraction | None = None
    serving_millilitres: Fraction | None = None
    household_count: Fraction | None = None
    household_unit: str | None = None
    servings_per_pack: Fraction | None = None
    pack_grams: Fraction | None = None
    pack_millilitres: Fraction | None = None
    extra: tuple[Measure, ...] = ()
    percents: Mapping[str, Fraction] = field(default_factory=dict)
    ingredients: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    barcode: str | None = None
    source: str = TYPED
    failed_checks: tuple[str, ...] = ()
    prepared: bool = False
    fast: bool = False
    recipe: Recipe | None = None
    like: tuple[str, ...] = ()
    licence: str = ""
    dated: str = ""

    @property
    def fibre_inside(self) -> bool:
        """True where fibre is part of the carbohydrate line."""
        return FIBRE_INSIDE[self.region]


class Food(Struct, frozen=True):
    """A food of the library: its identity, the version of its facts, and those facts."""

    food_id: str
    version: int
    facts: FoodFacts
    aliases: tuple[str, ...] = ()
    retired: bool = False

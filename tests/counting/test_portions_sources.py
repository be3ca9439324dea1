"""Portions by a measure of the food's source, and of a recipe: each step and what it rests on.

Every food is invented; the weights are round figures, so that counts can be checked in the head.
"""

from fractions import Fraction

import pytest

from assistant.counting.facts import FoodFacts, Measure, Recipe
from assistant.counting.portions import Need, Step, Weighed, known_measures, weigh
from grammar.nodes import MeasureWord


def src(unit, grams=None, how="", note="", count="1", ml=None):
    return Measure(
        Fraction(count), unit, None if grams is None else Fraction(grams),
        None if ml is None else Fraction(ml), how, note, of_source=True,
    )  # fmt: skip


def food(*extra, per="100 g", name="onion", **more):
    return FoodFacts(name, "table-available", per, {}, extra=extra, **more)


def word(unit, kind="kitchen", size=None, how=""):
    return MeasureWord(unit, kind, unit, size, how)


def portion(facts, quantity, measure, kitchen=None):
    own = {unit: Fraction(held) for unit, held in (kitchen or {}).items()}
    return weigh(facts, Fraction(quantity), measure, facts.name, own)


def step(count, unit, result, into, why):
    return Step(Fraction(count), unit, Fraction(result), into, why)


CHOPPED, SLICED = src("cup", "160", "chopped", "dry"), src("cup", "120", "sliced", count="2")
CUP = src("cup", "180", ml="240")
ML = word("millilitre", "volume")
GRAM = word("gram", "mass")


@pytest.mark.parametrize(
    ("facts", "quantity", "measure", "kitchen", "unit", "steps"),
    [
        (food(CHOPPED, SLICED), "3/2", word("cup", how="chopped"), {}, "cup", [
            step("3/2", "cup, chopped (dry)", "240", "gram", "source"),
            step("240", "gram", "12/5", "reference", "label"),
        ]),
        # two of it weigh 120 g
        (food(CHOPPED, SLICED), "3", word("cup", how="sliced"), {}, "cup", [
            step("3", "cup, sliced", "180", "gram", "source"),
            step("180", "gram", "9/5", "reference", "label"),
        ]),
        (food(src("medium", "150")), "2", word("medium", "size"), {}, "medium", [
            step("2", "medium", "300", "gram", "source"),
            step("300", "gram", "3", "reference", "label"),
        ]),
        (food(src("glass", ml="200"), per="100 ml"), "2", word("glass", "vessel"), {}, "glass", [
            step("2", "glass", "400", "millilitre", "source"),
            step("400", "millilitre", "4", "reference", "label"),
        ]),
        # the user's cup holds 320 ml; the source's 240 ml weigh 180 g
        (food(CUP), "2", word("cup"), {"cup": "320"}, "cup", [
            step("2", "cup", "640", "millilitre", "kitchen"),
            step("640", "millilitre", "480", "gram", "source"),
            step("480", "gram", "24/5", "reference", "label"),
        ]),
        # a volume, by what a cup of the source weighs
        (food(CUP), "120", ML, {}, "millilitre", [
            step("120", "millilitre", "90", "gram", "source"),
            step("90", "gram", "9/10", "reference", "label"),
        ]),
    ],
)  # fmt: skip
def test_a_portion_in_a_measure_of_the_source(facts, quantity, measure, kitchen, unit, steps):
    found = portion(facts, quantity, measure, kitchen)
    assert isinstance(found, Weighed), found
    assert list(found.steps) == steps
    assert (found.quantity, found.unit) == (Fraction(quantity), unit)
    assert found.factor == steps[-1].result


def test_the_weight_and_the_volume_of_such_a_portion_are_told_where_known():
    one = portion(food(CHOPPED), "2", word("cup", how="chopped"))
    assert (one.grams, one.millilitres) == (320, None)
    both = portion(food(CUP), "2", word("cup"))
    assert (both.grams, both.millilitres) == (360, 480)


def test_several_measures_that_may_be_meant_are_asked_with_all_of_them():
    asked = portion(food(CHOPPED, SLICED, src("slice", "10")), "1", word("cup"))
    assert asked == Need("which", "cup", measures=(CHOPPED, SLICED))


def test_the_question_goes_by_the_first_of_several():
    sizes = src("large", "90"), src("small", "40")
    assert portion(food(*sizes), "2", None) == Need("which", "large", measures=sizes)


def test_a_bare_count_that_no_measure_of_the_source_answers_offers_them_all():
    asked = portion(food(CHOPPED, SLICED), "2", None)
    assert asked == Need("which", "onion", measures=(CHOPPED, SLICED))
    assert portion(food(), "2", None) == Need("count", "onion")


def test_another_need_than_a_bare_counts_is_not_answered_with_the_sources_measures():
    """A word for what stands inside the program: it is named, and the known ones beside it."""
    asked = portion(food(CHOPPED), "2", word("reference", "word"))
    assert asked == Need("measure", "reference", ("cup, chopped",))


@pytest.mark.parametrize(
    ("facts", "measure", "said"),
    [
        # no spoon at all; a cup of the user's own, of which no chopped one is known
        (food(CHOPPED, SLICED), word("tablespoon", how="heaped"), "tablespoon, heaped"),
        (food(Measure(Fraction(1), "cup", Fraction(200))), word("cup", how="heaped"),
         "cup, heaped"),
        # in the words of a source that is not this food's
        (food(CHOPPED, SLICED), word("cup, grated", "source"), "cup, grated"),
        (food(CHOPPED, SLICED), word("slice", "source"), "slice"),
        # the source's cup was meant, which the user's own is not
        (food(CHOPPED, Measure(Fraction(1), "cup", Fraction(200))), word("cup", "source"), "cup"),
    ],
)  # fmt: skip
def test_words_that_no_measure_knows_are_never_dropped(facts, measure, said):
    known = known_measures(facts)
    assert known
    assert portion(facts, "1", measure, {"tablespoon": "15"}) == Need("measure", said, known)


def test_a_cup_of_the_users_needs_the_volume_of_the_sources():
    facts = food(src("cup", "160"))
    assert portion(facts, "1", word("cup"), {"cup": "250"}) == Need("measure", "cup")
    assert portion(facts, "1", word("cup")).grams == 160


@pytest.mark.parametrize(
    ("facts", "needed"),
    [
        (food(src("glass", ml="200")), Need("volume", "millilitre", ("glass",))),
        (food(src("glass", "200"), per="100 ml"), Need("mass", "gram", ("glass",))),
    ],
)
def test_a_measure_that_does_not_reach_the_figures_says_what_is_missing(facts, needed):
    assert portion(facts, "1", word("glass", "vessel")) == needed


def test_a_measure_of_the_source_is_no_step_of_the_foods_own():
    """One that is counted by its words only: its weight is not lent to the bare measure."""
    facts = food(src("dollop", "30", "heaped"), Measure(Fraction(1), "dollop", Fraction(20)))
    assert portion(facts, "1", word("dollop", "word")).grams == 20
    assert portion(facts, "1", word("dollop", "word", how="heaped")).grams == 30


def test_several_measures_of_the_source_are_asked_about_whatever_the_labels_is():
    facts = food(src("cup", "100", "sliced"), per="serving", serving_grams=Fraction(50),
                 household_count=Fraction(2), household_unit="cup")  # fmt: skip
    assert portion(facts, "1", word("cup")).why == "which"


def test_the_known_measures_name_the_sources_words():
    facts = food(CHOPPED, src("slice", "10"), household_unit="slices")
    assert known_measures(facts) == ("cup, chopped", "slice", "slices")


# A recipe: its portions, all of it, and the finished food by weight or volume.


def made(*makes, grams=None, millilitres=None, extra=()):
    portions = tuple(Measure(Fraction(n), unit) for n, unit in makes)
    inside = Recipe((), portions, grams, millilitres)
    return FoodFacts("stew", "EU", "recipe", {}, extra=extra, recipe=inside)


@pytest.mark.parametrize("unit", ["pot", "pan", "batch", "tray"])
def test_each_word_for_all_of_a_recipe_is_the_whole_of_it(unit):
    found = portion(made((6, "bowl")), "1/2", word(unit, "word"))
    assert found.steps == (
        step("1/2", unit, "1/2", "recipe", "recipe"),
        step("1/2", "recipe", "1/2", "reference", "label"),
    )
    # unless its portions are called so, or the user told what one weighs
    assert portion(made((6, unit)), "1", word(unit, "word")).factor == Fraction(1, 6)
    told = (Measure(Fraction(1), unit, Fraction(200)),)
    weighed = portion(made(grams=Fraction(800), extra=told), "1", word(unit, "word"))
    assert weighed.factor == Fraction(1, 4)


def test_such_a_word_is_no_measure_of_a_food_with_a_label():
    assert portion(food(), "1", word("tray", "word")) == Need("measure", "tray")


@pytest.mark.parametrize(
    ("facts", "quantity", "measure", "first"),
    [
        (made((6, "bowl")), "2", word("bowl", "vessel"),
         step("2", "bowl", "1/3", "recipe", "recipe")),
        (made((4, "serving")), "1", word("serving", "serving"),
         step("1", "serving", "1/4", "recipe", "recipe")),
        (made((8, "box")), "2", word("box", "pack"), step("2", "box", "1/4", "recipe", "recipe")),
        (made(grams=Fraction(850)), "170", GRAM, step("170", "gram", "1/5", "recipe", "recipe")),
        (made(millilitres=Fraction(1200)), "300", ML,
         step("300", "millilitre", "1/4", "recipe", "recipe")),
        (made(), "1/3", word("recipe", "word"), step("1/3", "recipe", "1/3", "reference", "label")),
    ],
)  # fmt: skip
def test_a_portion_of_a_recipe(facts, quantity, measure, first):
    found = portion(facts, quantity, measure)
    assert isinstance(found, Weighed), found
    assert found.steps[0] == first
    assert found.factor == found.steps[-1].result == first.result


def test_a_bowl_of_the_recipe_goes_before_the_users_bowl():
    facts = made((6, "bowl"), millilitres=Fraction(1200))
    found = portion(facts, "1", word("bowl", "vessel"), {"bowl": "300"})
    assert found.factor == Fraction(1, 6)
    assert portion(made((6, "cup"), millilitres=Fraction(1200)), "1", word("cup"),
                   {"cup": "250"}).factor == Fraction(1, 6)  # fmt: skip


def test_a_recipe_in_packs_or_boxes_leaves_other_containers_to_be_asked():
    assert portion(made((8, "box")), "1", word("tub", "pack")) == Need("pack", "tub", ("box",))
    packs = made((4, "pack"))
    assert portion(packs, "1", word("pack", "pack")).factor == Fraction(1, 4)


def test_a_recipes_portions_are_known_measures_and_its_servings_are_not():
    told = (Measure(Fraction(1), "ladle", Fraction(120)),)
    facts = made((6, "bowl"), (4, "serving"), extra=told)
    assert known_measures(facts) == ("ladle", "bowl")


def test_a_finished_food_that_was_not_weighed_has_no_grams():
    asked = portion(made((6, "bowl")), "250", GRAM)
    assert asked == Need("mass", "gram", ("bowl",))
    asked = portion(made((6, "bowl")), "250", ML)
    assert asked == Need("volume", "millilitre", ("bowl",))


def loaf(slice_grams, unit="slices", how="", serving="50"):
    """A label that says 2 slices (50 g), and a source that weighs a slice."""
    return food(
        src("slice", slice_grams, how), household_count=Fraction(2), household_unit=unit,
        serving_grams=None if serving is None else Fraction(serving),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "grams"),
    [
        (loaf("25"), 75),  # as the label has it
        (loaf("25.5"), Fraction("76.5")),  # 2 per cent apart, which labels and tables are
        (loaf("24.6"), Fraction("73.8")),  # the other way
        (loaf("10", unit="pieces"), 30),  # the label tells of another measure
        (loaf("10", serving=None), 30),  # the label's serving has no weight
    ],
)
def test_a_measure_of_a_source_beside_the_labels_own(facts, grams):
    found = portion(facts, "3", word("slice", "piece"))
    assert isinstance(found, Weighed)
    assert found.grams == grams


def test_the_sources_words_more_than_the_labels_are_another_measure():
    found = portion(loaf("10", how="thin"), "3", word("slice", "piece", how="thin"))
    assert isinstance(found, Weighed)
    assert found.grams == 30


@pytest.mark.parametrize(
    ("weight", "factors"),
    [("25.6", ("0.75", "0.768")), ("10", ("0.75", "0.3")), ("24.4", ("0.75", "0.732"))],
)
def test_a_source_that_differs_from_the_label_is_asked_about(weight, factors):
    """3 slices are 75 g by the label, 0.75 of its 100 g. Beyond 2 per cent is no rounding."""
    found = portion(loaf(weight), "3", word("slice", "piece"))
    assert found == Need(
        "conflict", "slice", ("slice", "slices"), tuple(Fraction(f) for f in factors)
    )


def test_a_cup_of_the_label_beside_a_cup_of_the_source():
    facts = food(CUP, household_count=Fraction(1), household_unit="cup", serving_grams=Fraction(90))
    found = portion(facts, "1", word("cup"))
    assert isinstance(found, Need)
    assert (found.why, found.factors) == ("conflict", (Fraction("0.9"), Fraction("1.8")))


def test_a_cup_of_unknown_volume_beside_the_labels_own_is_asked_about():
    """The user's cup is set, and nobody knows how much the source's cup held."""
    facts = food(src("cup", "180"), household_count=Fraction(1), household_unit="cup",
                 serving_grams=Fraction(90))  # fmt: skip
    found = portion(facts, "1", word("cup"), {"cup": "250"})
    assert isinstance(found, Need)
    assert (found.why, found.unit) == ("measure", "cup")

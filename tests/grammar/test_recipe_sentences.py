"""The frame of a recipe sentence, and the other sentences of the kitchen."""

from fractions import Fraction

import pytest

from grammar.kitchen import read_kitchen
from grammar.recipes import read_recipe

YIELDS = [
    ("recipe stew makes 6 bowls: 300 g rice", [("makes", 6, "bowls")]),
    ("recipe stew (makes 6 bowls): 300 g rice", [("makes", 6, "bowls")]),
    ("recipe stew, serves 4: 300 g rice", [("serves", 4, "")]),
    ("recipe stew for 4: 300 g rice", [("serves", 4, "")]),
    ("recipe for stew serves four people: 300 g rice", [("serves", 4, "")]),
    ("recipe stew: 300 g rice, makes 12", [("makes", 12, "")]),
    ("recipe stew: 300 g rice. It makes 2 kg.", [("makes", 2, "kg")]),
    (
        "recipe stew: 300 g rice, the pot weighs 1450 g, the empty pot 600 g",
        [("empty", 600, "g"), ("full", 1450, "g")],
    ),
    (
        "recipe stew\nserves 4\n300 g rice\nempty pot 600 g\nfull pot 1.45 kg",
        [("serves", 4, ""), ("empty", 600, "g"), ("full", Fraction(29, 20), "kg")],
    ),
    ("recipie stew makes 6 bowls 300 g rice", [("makes", 6, "bowls")]),
    ("recipe stew: 300 g rice, the finished food weighs 850 g", [("cooked", 850, "g")]),
]


@pytest.mark.parametrize(("text", "expected"), YIELDS)
def test_what_comes_out_is_read_and_only_the_ingredient_is_left(text, expected):
    said = read_recipe(text)
    assert (said.form, said.parts["name"]) == ("save", "stew")
    assert [(y.kind, y.number.value, y.unit) for y in said.yields] == expected
    assert len(said.body) == len(text)
    left = " ".join(said.body.replace(",", " ").replace(":", " ").replace(".", " ").split())
    assert left == "300 g rice"
    assert text[said.body.index("300") :].startswith("300 g rice")


def test_many_lines_keep_every_ingredient_at_its_place():
    lines = ("recipe stew", "makes 6 bowls", "Ingredients:", "- 300 g rice", "- 2 onions")
    text = "\n".join((*lines, "not counted: salt, water"))
    said = read_recipe(text)
    assert said.uncounted == ("salt", "water")
    assert [text[said.body.index(w) :][: len(w)] for w in ("300 g rice", "2 onions")] == [
        "300 g rice",
        "2 onions",
    ]
    assert "salt" not in said.body
    assert "ngredients" not in said.body


@pytest.mark.parametrize(
    ("text", "form", "parts"),
    [
        ("recipes", "list", {}),
        ("my recipes", "list", {}),
        ("show recipe stew", "show", {"name": "stew"}),
        ("double the recipe stew", "scale", {"by": "double", "name": "stew"}),
        ("halve the recipe stew as small stew", "scale", {"name": "stew", "new": "small stew"}),
        ("3 times the recipe stew", "scale", {"by": "3 times", "name": "stew"}),
        ("half the recipe stew", "half", {"name": "stew"}),
        ("forget recipe stew", "forget", {"name": "stew"}),
        ("the pot of stew weighs 1450 g, the empty pot 600 g", "weight", {"name": "stew"}),
        ("the finished stew weighs 850 g", "weight", {"name": "stew"}),
        ("stew makes 6 bowls", "makes", {"name": "stew"}),
        ("go on with the recipe", "resume", {}),
        ("recipe stew 300 g rice", "unclear", {}),
        ('recipe "stew" keeps the old label of "rice"', "follow", {"how": "keeps"}),
        (
            'recipe "stew" follows the new measure of "rice"',
            "follow",
            {"how": "follows", "of": "measure"},
        ),
    ],
)
def test_other_sentences_on_recipes(text, form, parts):
    said = read_recipe(text)
    assert said.form == form
    assert parts.items() <= said.parts.items()


@pytest.mark.parametrize(
    "text",
    [
        *(
            "1 slice of rye bread weighs 35 g",
            "half the recipe",
            "a quarter of the pot",
            "250 g of it",
        ),
        *("2 bowls of stew", "how much milk makes 40 g", "my mug holds 300 ml", "recipe"),
        *("the bowl is full", "new food stew: US label", "took 4 units", ""),
    ],
)
def test_other_words_are_no_recipe_sentence(text):
    assert read_recipe(text) is None


@pytest.mark.parametrize(
    ("text", "form", "parts"),
    [
        (
            "estimate a bowl of ramen like stew",
            "estimate",
            {"what": "a bowl of ramen", "like": "stew"},
        ),
        ("1 apple plus how much milk makes 40 g", "fill", {"plate": "1 apple", "name": "milk"}),
        (
            "1 apple, fill the rest with milk up to 40 g",
            "fill",
            {"plate": "1 apple", "name": "milk", "number": "40"},
        ),
        (
            "1 apple and then fill it up with milk to 40 g in all",
            "fill",
            {"plate": "1 apple", "name": "milk", "number": "40"},
        ),
        ("1 apple; fill up with oat milk", "fill-open", {"plate": "1 apple", "name": "oat milk"}),
        ("fill the rest with milk", "fill-empty", {"name": "milk"}),
        ("how many slices of rye bread is 45 g", "how-many", {"unit": "slices"}),
        ("what can I have with 30 g left", "what-fits", {"number": "30"}),
        ("my goal is 180 g of carbohydrate a day", "goal", {"number": "180"}),
        ("no goal", "no-goal", {}),
        ("what is left", "left", {}),
        ("yesterday", "yesterday", {}),
        ("this week", "week", {}),
        ("last week", "last-week", {}),
        ("last 7 days", "some-days", {"count": "7"}),
        ("where is my data", "where", {}),
        ("export everything", "export", {}),
        ("forget everything", "forget-all", {}),
        ("delete all my data", "forget-all", {}),
        ("Forget everything and delete my record with its backups.", "forget-all-sure", {}),
    ],
)
def test_sentences_of_the_kitchen(text, form, parts):
    said = read_kitchen(text)
    assert said.form == form
    assert parts.items() <= said.parts.items()


@pytest.mark.parametrize(
    "text",
    [
        *(
            "how much milk is 40 g",
            "1 apple plus 200 ml milk",
        ),
        *("how many carbs are in 1 apple", "yes", "forget milk", "2 slices of rye bread"),
    ],
)
def test_other_words_are_no_sentence_of_the_kitchen(text):
    assert read_kitchen(text) is None

"""Sentences about the library: each form takes the whole sentence, or is not that form."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.foods import read_food_sentence, unquoted
from grammar.nodes import Number, Unclear

SENTENCES = (
    ("new food oat cereal: US label, serving 40 g", "new-food",
     {"name": "oat cereal", "label": "US label, serving 40 g"}),
    ("New food oat cereal\nUS label\nserving 40 g", "new-food",
     {"name": "oat cereal", "label": "US label\nserving 40 g"}),
    ("add food rye bread: per 100 g", "new-food", {"name": "rye bread", "label": "per 100 g"}),
    ("add a new food called rye bread: per 100 g", "new-food", {"name": "rye bread"}),
    ("new label for oat cereal: US label", "new-food", {"how": "new label for",
                                                        "name": "oat cereal"}),
    ("new food oat cereal, unread words left out: US label", "new-food",
     {"name": "oat cereal", "label": "US label"}),
    ("new food rye bread", "new-food-open", {"name": "rye bread"}),
    ("add a food rye bread", "new-food-open", {"name": "rye bread"}),
    ("oat cereal is also called morning oats", "alias",
     {"name": "oat cereal", "alias": "morning oats"}),
    ("oat cereal is also known as flakes", "alias", {"name": "oat cereal", "alias": "flakes"}),
    ("orange juice is fast acting", "fast", {"name": "orange juice"}),
    ("glucose tablets are fast-acting.", "fast", {"name": "glucose tablets"}),
    ("orange juice is not fast acting", "fast", {"name": "orange juice", "how": "not"}),
    ("a slice of rye bread weighs 35 g", "measure", {"left": "a slice of rye bread",
                                                     "number": "35", "unit": "g"}),
    ("1 slice of rye bread weighs 35 grams.", "measure", {"unit": "grams"}),
    ("100 ml of milk weighs 103 g", "measure", {"left": "100 ml of milk"}),
    ("my mug of milk holds 300 ml", "measure", {"left": "my mug of milk", "unit": "ml"}),
    ("a pack of crackers holds 8 servings", "pack", {"name": "crackers", "number": "8"}),
    ("one box of crackers has 8 servings", "pack", {"pack": "box"}),
    ("the pack of crackers contains 1 serving", "pack", {"number": "1"}),
    ("fibre of oat cereal is 6 g", "nutrient", {"nutrient": "fibre", "name": "oat cereal"}),
    ("fiber in oat cereal is 6 grams", "nutrient", {"nutrient": "fiber"}),
    ("carbohydrate of milk is 4.8 g", "nutrient", {"number": "4.8"}),
    ("sugar alcohol of mint bar is 8 g", "nutrient", {"nutrient": "sugar alcohol"}),
    ("how much rice is 45 g of carbohydrate", "how-much", {"name": "rice", "number": "45"}),
    ("how much rice is 45 g", "how-much", {"name": "rice"}),
    ("How much of the rice is 45 grams of carbs?", "how-much", {"name": "rice"}),
    ("how much rice for 45 g carbs", "how-much", {"name": "rice"}),
    ("compare oat cereal and rye bread", "compare",
     {"first": "oat cereal", "second": "rye bread"}),
    ("compare oat cereal with rye bread", "compare", {"second": "rye bread"}),
    ("compare oat cereal to rye bread?", "compare", {"second": "rye bread"}),
    ("foods", "list", {}),
    ("my foods", "list", {}),
    ("list all foods", "list", {}),
    ("what foods do I have?", "list", {}),
    ("show my library", "list", {}),
    ("foods like oat", "like", {"name": "oat"}),
    ("find foods like oat", "like", {"name": "oat"}),
    ("food called oat", "like", {"name": "oat"}),
    ("what does the label of oat cereal say", "show", {"name": "oat cereal"}),
    ("what does the label on oat cereal say?", "show", {"name": "oat cereal"}),
    ("show oat cereal", "show", {"name": "oat cereal"}),
    ("show me the label of the oat cereal", "show", {"name": "oat cereal"}),
    ("forget oat cereal", "forget", {"name": "oat cereal"}),
    ("delete the food oat cereal", "forget", {"name": "oat cereal"}),
    ("remove oat cereal", "forget", {"name": "oat cereal"}),
)  # fmt: skip


@pytest.mark.parametrize(("text", "form", "parts"), SENTENCES)
def test_a_sentence_about_a_food_has_its_form_and_parts(text, form, parts):
    found = read_food_sentence(text)
    assert found is not None
    assert found.form == form
    assert {k: found.parts.get(k) for k in parts} == parts


@pytest.mark.parametrize(
    "text",
    [
        "1.5 servings of the oat cereal plus 200 ml milk",
        "two slices of rye bread and a medium apple, glucose 9.1",
        "my ratio is 1 unit per 10 g",
        "took 4 units at 12:45",
        "milk",
        "a slice of rye bread weighs nothing",
        "a slice of rye bread weighs 35 g more or less",
        "a slice of rye bread weighs 35 g and then some",
        "a pack of crackers holds 8 servings or so",
        "fibre of oat cereal is 6 g I think",
        "how much rice is 45 g of fat",
        "how much rice",
        "compare oat cereal",
        "",
        "   ",
    ],
)
def test_a_sentence_with_words_left_over_is_no_such_sentence(text):
    assert read_food_sentence(text) is None


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a slice of rye bread weighs 35 g", "35"),
        ("a slice of rye bread weighs 35.5 g", "71/2"),
        ("a slice of rye bread weighs 1 1/2 oz", "3/2"),
        ("a slice of rye bread weighs ½ oz", "1/2"),
        ("fibre of oat cereal is .5 g", "1/2"),
    ],
)
def test_the_figure_is_exact(text, value):
    assert read_food_sentence(text).number == Number(
        Fraction(value), read_food_sentence(text).parts["number"]
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("a slice of rye bread weighs 35,5 g", "comma"),
        ("a slice of rye bread weighs 0 g", "zero"),
        ("a slice of rye bread weighs -35 g", "negative"),
        ("a slice of rye bread weighs 1/0 g", "zero-denominator"),
        ("a slice of rye bread weighs 1.2.3 g", "odd"),
        ("a slice of rye bread weighs 1000000 g", "huge"),
    ],
)
def test_an_unclear_figure_stays_unclear(text, why):
    number = read_food_sentence(text).number
    assert isinstance(number, Unclear)
    assert number.why == why


def test_a_name_loses_its_quotation_marks():
    assert unquoted(' "rye bread" ') == "rye bread"
    assert unquoted("“rye bread”") == "rye bread"
    assert unquoted("rye bread") == "rye bread"


def test_any_text_is_read_without_a_fault(request):
    more = request.config.getoption("--long", default=False)
    words = st.sampled_from(
        [
            "new",
            "food",
            ":",
            "label",
            "for",
            "is",
            "also",
            "called",
            "weighs",
            "holds",
            "35",
            "g",
            "servings",
            "a",
            "pack",
            "of",
            "fibre",
            "how",
            "much",
            "compare",
            "and",
            "foods",
            "like",
            "show",
            "forget",
            "\n",
            "(",
            ")",
            "[",
            "]",
            "\\",
            "*",
            "+",
            "?",
            ".",
            "$",
            "^",
            "%s",
            "{}",
        ]
    )
    texts = st.one_of(st.text(max_size=60), st.lists(words, max_size=12).map(" ".join))

    @settings(max_examples=5000 if more else 200, deadline=None)
    @given(texts)
    def law(text):
        read_food_sentence(text)

    law()

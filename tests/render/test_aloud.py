"""What a voice stumbles on is put into words, and what is to be typed is still understood.

The rows follow trials with a voice and two readers: "60 g" is heard "sixty gee", "1/2" as
"one slash
two", "5-10" as "five dash ten" or "five ten", "<3" as "three", "mg/dL" as "em gee slash dee el".
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.offers import OPEN, SETTING_SENTENCES
from assistant.render.aloud import aloud
from assistant.render.texts import TEXTS
from grammar.foods import read_food_sentence
from grammar.kitchen import read_kitchen
from grammar.labels import read_label
from grammar.measures import find_measure
from grammar.numbers import read_number
from grammar.phrases import read_phrase
from grammar.recipes import read_recipe
from grammar.statements import Statement, read_statement


@pytest.mark.parametrize(
    ("written", "heard"),
    [
        ("60 g", "60 grams"),
        ("1 g", "1 gram"),
        ("40g", "40 grams"),
        ("200 ml milk", "200 millilitres milk"),
        ("2 fl oz", "2 fluid ounces"),
        ("250 kcal", "250 kilocalories"),
        ("162 mg/dL", "162 milligrams per decilitre"),
        ("9.1 mmol/L", "9.1 millimoles per litre"),
        ("50%", "50 percent"),
        ("2/3 cup", "two thirds cup"),
        ("2 1/3 cups", "two and one third cups"),
        ("1/0 cup", "1 over 0 cup"),
        ("1/2 cup", "0.5 cup"),
        ("3/4 cup", "0.75 cup"),
        ("1 1/2 cups", "1.5 cups"),
        ("1½ cups", "1.5 cups"),
        ("3-1/4 in", "3.25 in"),
        ("2-3/4 in", "2.75 in"),
        ("2-1/4 in to 3-1/4 in", "2.25 in to 3.25 in"),
        ("1/2-3/4 cup", "0.5 to 0.75 cup"),
        ("1-8/4 cups", "1 to 2 cups"),
        ("⅓ of it", "one third of it"),
        ("3 1/2 g", "3.5 grams"),
        ("7/13 of it", "7 over 13 of it"),
        ("2x", "2 times"),
        ("2 x 3", "2 times 3"),
        ("5-10", "5 to 10"),
        ("1.5–2.5 servings", "1.5 to 2.5 servings"),
        ("-3", "minus 3"),
        ("(-3)", "(minus 3)"),
        ("<3", "below 3"),
        (".5 cup", "0.5 cup"),
        ("1,5 servings", "1 comma 5 servings"),
        ("2026-03-02", "2 March 2026"),
        ("2026-99-99", "2026 99 99"),
        ("at 12:40", "at 12:40"),
        ("ratio 1:10", "ratio 1 to 10"),
        ("took ... units at ...", "took blank units at blank"),
        ("... g per unit", "blank grams per unit"),
        ("glucose ... mg/dL", "glucose blank milligrams per decilitre"),
        ("new food oat cereal: ...", "new food oat cereal: blank"),
        ("fat ... of it", "fat blank of it"),
        ("took 4u", "took 4 units"),
        ("half & half", "half and half"),
        ("a → b ─ c ✓", "a b c"),
        ("7-up", "7-up"),
        ("sugar-free jam", "sugar-free jam"),
        ("vitamin b12", "vitamin b12"),
        ("ご飯 100 g", "ご飯 100 grams"),
    ],
)
def test_aloud(written: str, heard: str) -> None:
    assert aloud(written) == heard


@given(st.text(max_size=80))
def test_aloud__is_one_line_and_says_the_same_again(text: str) -> None:
    once = aloud(text)
    assert "\n" not in once
    assert aloud(once) == once


@given(
    st.integers(1, 10),
    st.sampled_from(["1/2", "1/3", "2/3", "1/4", "3/4", "1/5", "4/5", "1/8", "3/8", "7/8", "1/10"]),
)
def test_aloud__a_fraction_keeps_its_value(whole: int, part: str) -> None:
    for written in (part, f"{whole} {part}"):
        assert read_number(aloud(written)).value == read_number(written).value


def _to_type() -> set[str]:
    """Every sentence in the catalogue that a user is told to type, as it is written there."""
    quoted = (re.findall(r'"([^"{}]+)"', text) for text in TEXTS.values())
    return {*SETTING_SENTENCES.values(), *(q for found in quoted for q in found)}


def _meaning(text: str) -> object:
    """What a sentence is read as, without where in the sentence it stands."""
    recipe, kitchen = read_recipe(text), read_kitchen(text)
    if recipe is not None:
        yields = [(y.kind, getattr(y.number, "value", None), find_measure(y.unit) or y.unit)
                  for y in recipe.yields]  # fmt: skip
        parts = {k: v for k, v in recipe.parts.items() if k != "clause"}
        return recipe.form, parts, yields, _foods(recipe.body)
    if kitchen is not None:
        plate = _foods(kitchen.parts.get("plate", ""))
        return kitchen.form, getattr(kitchen.number, "value", None), plate
    statement = read_statement(text)
    if isinstance(statement, Statement):
        said = re.sub(r"said='[^']*'", "", repr(statement))
        return re.sub(r"unit='(ml|millilitres)'", "unit='ml'", said)
    food = read_food_sentence(text)
    if food is not None and "label" in food.parts:
        read = read_label(food.parts["label"])
        columns = [
            (c.per, {n: (f.value, f.unit) for n, f in c.figures.items()}) for c in read.columns
        ]
        size = read.serving and (read.serving.count, read.serving.grams, read.serving.millilitres)
        return food.form, food.parts["name"], read.region, columns, size, read.doubts, read.unread
    if food is not None:
        return food.form, food.number and food.number.value, sorted(food.parts)
    return _foods(text)


def _foods(text: str) -> list[object]:
    """The amounts of a phrase."""
    pieces = getattr(read_phrase(text), "pieces", ())
    return [
        [(getattr(i.quantity, "value", None), i.measure and i.measure.unit) for i in options[:1]]
        for options in pieces
    ]


@pytest.mark.parametrize("written", sorted(_to_type()))
def test_what_is_spoken_to_be_typed_is_understood_as_the_written_form_is(written: str) -> None:
    if OPEN in written:  # it is asked about when it is typed: tests/dialogue/test_talk_offers.py
        assert "blank" in aloud(written)
        return
    assert _meaning(aloud(written)) == _meaning(written)


@pytest.mark.parametrize("unit", ["millilitres", "milliliters", "millilitre"])
def test_millilitres_in_words_are_the_basis_of_a_label(unit: str) -> None:
    label = f"EU label, per 100 {unit}: carbohydrate 4.8 grams, fibre 0 grams"
    assert [c.per for c in read_label(label).columns] == ["100 ml"]
    serving = read_label(
        f"US label, serving 2 tablespoons (30 {unit}), carbohydrate 1 gram"
    ).serving
    assert serving is not None
    assert serving.millilitres == 30

"""Recipes in the record: kept, undone, read back; older records; forgetting that is cut short."""

import json
import sqlite3
from datetime import UTC, datetime
from fractions import Fraction

import pytest

from assistant.counting.facts import FoodFacts, Ingredient, Measure, Nutrient, Recipe
from assistant.dialogue.events import (
    AliasSaved,
    FoodForgotten,
    FoodSaved,
    GoalSaid,
    MealCounted,
    MeasureSaved,
    RecipeBegun,
    RecipeNamed,
    RecipeSaved,
    Undone,
)
from assistant.shell.session import Session
from assistant.store import codec, forgetting
from assistant.values import Ranged
from grammar.kitchen import FORGET_ALL
from grammar.nodes import MeasureWord

RYE = FoodFacts("rye", "EU", "100 g", {"carbohydrate": Nutrient(Fraction(48), "g")})
THREE = Ranged(Fraction(3), Fraction(12, 5), Fraction(18, 5))
GRAM = MeasureWord("gram", "mass", "g")
PART = Ingredient("about 300 g rye", "rye", RYE, THREE, THREE, GRAM, "rye", Fraction(300))


def stew(bowls):
    recipe = Recipe((PART,), (Measure(Fraction(bowls), "bowl"),), Fraction(850), None, ("salt",))
    return FoodFacts("stew", "EU", "recipe", {}, source="recipe", recipe=recipe)


@pytest.mark.parametrize(
    "event",
    [
        RecipeSaved("stew", stew(6)),
        RecipeBegun("recipe stew: salt"),
        RecipeNamed("stew"),
        GoalSaid(Fraction(361, 2)),
        GoalSaid(None),
    ],
)
def test_the_events_of_the_kitchen_come_back_the_same(event):
    assert codec.event_of(event.kind, codec.event_json(event)) == event


def test_a_recipe_inside_a_recipe_comes_back_the_same():
    inner = Ingredient("1 stew", "stew", stew(6), THREE, THREE, None, "stew")
    outer = FoodFacts("pot", "EU", "recipe", {}, recipe=Recipe((inner, PART)))
    assert codec.facts_of(codec.facts_json(outer)) == outer


def test_older_records_are_read():
    """Foods and meals as they were written before there were recipes."""
    facts = json.loads(codec.facts_json(RYE))
    assert "recipe" not in facts
    assert "like" not in facts
    whole = {**facts, "extra": [], "percents": {}, "barcode": None, "recipe": None, "fast": False}
    for older in (facts, whole):  # records once had what is as it would be by itself, too
        assert codec.facts_of(json.dumps(older)) == RYE
    meal = json.loads(codec.event_json(MealCounted("x", (), THREE, ())))
    del meal["eaten"]
    assert codec.event_of("meal-counted", json.dumps(meal)).eaten == ()


def test_a_recipe_is_a_food_with_versions_names_and_measures(store, keep):
    keep(store, FoodSaved("rye", RYE), RecipeSaved("stew", stew(6)))
    keep(store, AliasSaved("stew", "winter pot"))
    keep(store, MeasureSaved("stew", Measure(Fraction(1), "ladle", Fraction(200))))
    second = keep(store, RecipeSaved("stew", stew(4)))
    with store.reading() as (_, foods):
        (food,) = foods.exact("winter pot")
        assert food.version == 3
        assert food.facts.recipe.makes[0].count == 4
    keep(store, Undone(second))
    with store.reading() as (_, foods):
        (food,) = foods.exact("stew")
        assert food.facts.recipe.makes[0].count == 6
        assert [m.unit for m in food.facts.extra] == ["ladle"]
    keep(store, FoodForgotten("stew"))
    with store.reading() as (_, foods):
        assert foods.exact("stew") == ()


def test_forgetting_that_is_cut_short_keeps_the_record_whole(store, keep, monkeypatch):
    keep(store, FoodSaved("rye", RYE))

    def cut(connection, kind):
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr(forgetting, "_names", cut)
    session = Session(store, lambda: datetime(2026, 3, 2, 8, 0, tzinfo=UTC))
    reply = session.say(FORGET_ALL)
    assert reply.status == "failed"
    assert reply.lines[0].code == "data-not-forgotten"
    with store.reading() as (record, foods):
        assert foods.exact("rye")
        # whatever was removed, doses wait until the record is called complete
        assert [kept.event.kind for kept in record.events(("record-gap",))] == ["record-gap"]
    monkeypatch.undo()
    assert session.say(FORGET_ALL).status == "answered"
    with store.reading() as (_, foods):
        assert not foods.exact("rye")

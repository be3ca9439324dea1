"""Foods by name, by likeness and by identity, as the journal makes them."""

from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.counting.facts import Measure
from assistant.dialogue.events import (
    AliasSaved,
    FoodForgotten,
    FoodSaved,
    MeasureSaved,
    QuestionClosed,
    Undone,
)
from assistant.store import library
from grammar.words import name_key


@pytest.fixture
def look(store):
    """Calls one method of the library."""

    def one(method, *args):
        with store.reading() as (_, foods):
            return getattr(foods, method)(*args)

    return one


def measure(unit, grams=None, millilitres=None, count=1):
    return Measure(Fraction(count), unit, grams, millilitres)


def test_a_food_is_found_by_name(store, keep, facts, look):
    keep(store, FoodSaved("oat cereal", facts("Oat Cereals")))
    (food,) = look("exact", name_key("oat-cereal"))
    assert (food.food_id, food.version, food.facts, food.aliases, food.retired) == (
        "oat cereal",
        1,
        facts("Oat Cereals"),
        (),
        False,
    )
    assert look("by_id", "oat cereal") == food
    assert look("by_id", "nothing") is None
    assert look("exact", "nothing") == ()
    assert look("exact", "") == ()


def test_an_alias_finds_the_food_once(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Oat cereal")), AliasSaved("a", "Porridge"))
    keep(store, AliasSaved("a", "oat-cereals"))
    assert [food.food_id for food in look("exact", "porridge")] == ["a"]
    assert [food.food_id for food in look("exact", "oat cereal")] == ["a"]
    assert look("by_id", "a").aliases == ("Porridge", "oat-cereals")
    assert look("names") == ("Oat cereal",)


def test_two_foods_may_share_a_name(store, keep, facts, look):
    keep(store, FoodSaved("one", facts("Rice", 20)), FoodSaved("two", facts("rice", 30)))
    keep(store, FoodSaved("three", facts("Basmati")), AliasSaved("three", "rice"))
    assert [food.food_id for food in look("exact", "rice")] == ["one", "three", "two"]


def test_a_new_version_replaces_the_old_name(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Rice", 20)))
    keep(store, FoodSaved("a", facts("Brown rice", 25)))
    assert look("exact", "rice") == ()
    (food,) = look("exact", "brown rice")
    assert (food.version, food.facts) == (2, facts("Brown rice", 25))


def test_measures_make_versions(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Bread")))
    keep(store, MeasureSaved("a", measure("slice", Fraction(30))))
    keep(store, MeasureSaved("a", measure("slices", Fraction(100, 3), count=2)))
    keep(store, MeasureSaved("a", measure("cup", None, Fraction(240))))
    keep(store, MeasureSaved("a", measure("cup", Fraction(50))))
    food = look("by_id", "a")
    assert food.version == 5
    assert food.facts.extra == (
        measure("slices", Fraction(100, 3), count=2),
        measure("cup", None, Fraction(240)),
        measure("cup", Fraction(50)),
    )


def test_a_forgotten_food_is_in_no_answer(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Oat cereal")), AliasSaved("a", "porridge"))
    keep(store, FoodForgotten("a"))
    assert look("exact", "oat cereal") == look("exact", "porridge") == ()
    assert look("near", "oat ceral") == look("names") == ()
    assert look("by_id", "a").retired
    with pytest.raises(ValueError, match="no food"):
        keep(store, AliasSaved("a", "gruel"))


def test_a_food_saved_again_after_it_was_forgotten_begins_anew(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Oat cereal")), AliasSaved("a", "porridge"))
    keep(store, FoodForgotten("a"))
    keep(store, FoodSaved("a", facts("Oat cereal", 30)))
    food = look("by_id", "a")
    assert (food.version, food.aliases, food.retired) == (2, (), False)
    assert look("exact", "porridge") == ()


def test_undo_restores_each_state(store, keep, facts, look):
    saved = keep(store, FoodSaved("a", facts("Bread")))
    states = [look("by_id", "a")]
    turns = []
    for event in (
        AliasSaved("a", "loaf"),
        MeasureSaved("a", measure("slice", Fraction(30))),
        FoodSaved("a", facts("White bread", 50)),
        FoodForgotten("a"),
    ):
        turns.append(keep(store, event, QuestionClosed()))
        states.append(look("by_id", "a"))
    for turn in reversed(turns):
        assert look("by_id", "a") == states.pop()
        keep(store, Undone(turn))
    assert look("by_id", "a") == states.pop()
    assert [food.food_id for food in look("exact", "bread")] == ["a"]
    assert look("exact", "loaf") == look("exact", "white bread") == ()
    keep(store, Undone(saved))
    assert look("by_id", "a") is None
    assert look("exact", "bread") == look("names") == look("near", "bread") == ()


def test_undo_of_a_middle_turn_keeps_what_came_after(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Bread")))
    slip = keep(store, MeasureSaved("a", measure("slice", Fraction(300))))
    keep(store, MeasureSaved("a", measure("loaf", Fraction(500))))
    keep(store, Undone(slip))
    food = look("by_id", "a")
    assert food.facts.extra == (measure("loaf", Fraction(500)),)
    assert food.version == 3


def test_a_version_number_is_never_used_twice(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Bread", 1)))
    slip = keep(store, FoodSaved("a", facts("Bread", 2)))
    keep(store, Undone(slip), FoodSaved("a", facts("Bread", 3)))
    food = look("by_id", "a")
    assert (food.version, food.facts) == (3, facts("Bread", 3))


def test_near_names_best_first(store, keep, facts, look):
    names = ["Oat cereal", "Oat milk", "Rye bread", "Cereal bar", "Goat cheese", "Crème fraîche"]
    keep(store, *(FoodSaved(name_key(name), facts(name)) for name in names))
    assert look("near", "oat ceral")[0] == "Oat cereal"
    assert look("near", "OAT-CEREALS")[0] == "Oat cereal"
    assert look("near", "creme fraiche") == ("Crème fraîche",)
    assert look("near", "oat", 9)[:2] == ("Oat milk", "Oat cereal")
    assert look("near", "oat", 1) == ("Oat milk",)
    assert look("near", "rye braed")[0] == "Rye bread"
    for nothing in ("zzzz", "", "  ", "\x00", '"', "*", "ea"):
        assert look("near", nothing) == ()
    assert look("near", "oat", 0) == ()


def test_near_gives_each_food_once_by_its_best_name(store, keep, facts, look):
    keep(store, FoodSaved("a", facts("Oat cereal")), AliasSaved("a", "Oat cereals, sweet"))
    assert look("near", "oat cereal sweet") == ("Oat cereals, sweet",)


def test_near_finds_the_right_one_among_many_foods(store, facts, look, monkeypatch, now):
    monkeypatch.setattr(library, "_COMPARED_WHOLE", 100)
    first = ("Oat", "Rye", "Rice", "Bean", "Plum", "Corn", "Fig")
    second = ("cereal", "bread", "cake", "soup", "bar", "drink", "pie")
    events = [
        FoodSaved(f"{n}", facts(f"{first[n % 7]} {second[n // 7 % 7]} number {n}"))
        for n in range(1500)
    ]
    with store.turn() as tx:
        tx.keep(now, "many", "answered", "{}", [*events, FoodSaved("z", facts("Oat cereal"))])
    assert look("near", "oat ceral")[0] == "Oat cereal"
    assert look("near", "rice ceral")[0].startswith("Rice cereal")
    assert look("near", "zzzz") == ()
    assert look("near", '"oat" NOT (ceral* OR NEAR')[0] == "Oat cereal"


def test_names_in_order_and_limited(store, keep, facts, look):
    keep(store, *(FoodSaved(name, facts(name)) for name in ("rye", "Éclair", "Date", "apple")))
    assert look("names") == ("apple", "Date", "Éclair", "rye")
    assert look("names", 2) == ("apple", "Date")


@pytest.mark.parametrize(
    "name", ["oat\x1b[31m cereal", "oat\n\tcereal", "\u202eoat cereal", "oat\x00cereal\x07"]
)
def test_names_with_control_characters_are_shown_without(store, keep, facts, look, name):
    keep(store, FoodSaved("a", facts(name)))
    assert look("names") == ("oat cereal",)
    assert look("near", "oat ceral") == ("oat cereal",)
    assert look("by_id", "a").facts.name == name
    for key in (name_key(name), name_key("oat cereal")):
        assert [food.food_id for food in look("exact", key)] == ["a"]


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20))
def test_any_name_is_found_by_its_key(store, keep, facts, look, name):
    keep(store, FoodSaved("a", facts(name)))
    found = look("exact", name_key(name))
    assert len(found) == (1 if name_key(name) else 0)
    look("near", name)

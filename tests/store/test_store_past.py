"""A turn of the past can read what it could read then: its settings, its foods, its doses."""

from assistant.dialogue.events import DoseTaken, FoodSaved, SettingSaid


def cap(units):
    return SettingSaid("cap_dose", {"units": str(units)}, f"cap {units}")


def test_the_settings_are_those_of_that_time(store, keep, facts, now):
    keep(store, cap(8), FoodSaved("a", facts("Apple")))
    then = keep(store, DoseTaken(4, now))
    keep(store, cap(6), FoodSaved("a", facts("Quince")), DoseTaken(2, now))
    with store.before(then) as found:
        assert [kept.event for kept in found.record.settings()] == [cap(8)]
        assert [kept.event for kept in found.record.events(("setting-said",))] == [cap(8)]
        assert found.record.events(("dose-taken",)) == ()
        assert found.foods.by_id("a").facts.name == "Apple"

"""Of one food the later date stands: dates are compared as dates."""

import pytest
from msgspec.structs import replace

from assistant.store import shelf, shelf_writer


@pytest.fixture
def put(home, facts):
    """Puts one food of a date on the shelf: what was done."""

    def one(grams, dated):
        with shelf_writer.filling(home) as writer:
            source = writer.source("invented foods", "made up")
            return writer.add("a", replace(facts("Apple", grams), dated=dated), source)

    return one


@pytest.mark.parametrize(
    ("there", "new", "done"),
    [
        ("31/12/2020", "2025-01-01", "changed"),  # no date: an older version kept it as it was
        ("7", "2019-04-01", "changed"),
        ("2025-01-01", "31/12/2026", "older"),
        ("2025", "2019-04-01", "older"),
        ("2019-04-01", "2025", "changed"),
        ("2025-06-01", "2025", "changed"),  # not surely later
        ("2025", "2025-06-01", "changed"),
        ("2025-06-02", "2025-06-01", "older"),
        ("", "", "changed"),
        ("2025-06-02", "", "older"),
    ],
)
def test_the_later_date_stands(put, home, there, new, done):
    put(10, there)
    assert put(12, new) == done
    one = shelf.Shelf(home)
    food = one.by_id("a")
    one.close()
    assert food.facts.nutrients["carbohydrate"].value == (10 if done == "older" else 12)

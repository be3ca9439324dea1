"""Shared by the tests of the store. Every food, figure and person here is invented."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.counting.facts import FoodFacts, Nutrient
from assistant.store.store import Store

NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "data folder?#%"


@pytest.fixture
def opened(home: Path) -> Iterator[Callable[..., Store]]:
    """Opens stores that are closed at the end of the test."""
    stores: list[Store] = []

    def make(folder: Path = home, at: datetime = NOW, busy_seconds: float = 0.1) -> Store:
        stores.append(Store.open(folder, at, busy_seconds=busy_seconds))
        return stores[-1]

    yield make
    for store in stores:
        store.close()


@pytest.fixture
def store(opened: Callable[..., Store]) -> Store:
    return opened()


@pytest.fixture
def keep() -> Callable[..., int]:
    """Keeps one turn with these events."""

    def one(store: Store, *events: object, text: str = "said", at: datetime = NOW) -> int:
        with store.turn() as tx:
            return tx.keep(at, text, "answered", "{}", events)

    return one


@pytest.fixture
def facts() -> Callable[..., FoodFacts]:
    def of(name: str, grams: int = 27) -> FoodFacts:
        nutrients = {"carbohydrate": Nutrient(Fraction(grams), "g")}
        return FoodFacts(name, "US", "serving", nutrients, serving_grams=Fraction(40))

    return of

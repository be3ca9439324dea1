"""Talks for the tests of the dialogue: empty, with foods, with foods and numbers."""

import shutil

import pytest
from talk import FOODS, NET, NUMBERS, talking


@pytest.fixture
def empty(tmp_path):
    with talking(tmp_path / "home") as talk:
        yield talk


@pytest.fixture(scope="session")
def prepared(tmp_path_factory):
    """Data folders in which the foods, or the foods and the numbers, were said; to be copied."""
    homes = {}
    for name, sentences in (("counting", (*FOODS, NET)), ("dosing", (*FOODS, *NUMBERS))):
        homes[name] = tmp_path_factory.mktemp("prepared") / "home"
        with talking(homes[name], *sentences):
            pass
    return homes


@pytest.fixture
def counting(prepared, tmp_path):
    """Foods and a way of counting; no numbers for a dose."""
    shutil.copytree(prepared["counting"], tmp_path / "home")
    with talking(tmp_path / "home") as talk:
        yield talk


@pytest.fixture
def dosing(prepared, tmp_path):
    """Foods, and every number that a dose needs."""
    shutil.copytree(prepared["dosing"], tmp_path / "home")
    with talking(tmp_path / "home") as talk:
        yield talk


@pytest.fixture(scope="module")
def still(tmp_path_factory):
    """As counting; for tests that keep nothing (try_out)."""
    with talking(tmp_path_factory.mktemp("still") / "home", *FOODS, NET) as talk:
        yield talk


@pytest.fixture(scope="module")
def still_dosing(tmp_path_factory):
    """As dosing; for tests that keep nothing (try_out)."""
    with talking(tmp_path_factory.mktemp("still") / "home", *FOODS, *NUMBERS) as talk:
        yield talk


@pytest.fixture
def examples(request):
    """How many examples a law is tried on: more under --long."""

    def of(modest: int, more: int) -> int:
        return more if request.config.getoption("--long", default=False) else modest

    return of

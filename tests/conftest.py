"""Shared by all tests: a home of its own for each, and what takes long only when asked for."""

from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("short", deadline=None, max_examples=60)
settings.register_profile("long", deadline=None, max_examples=500)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--more", action="store_true", help="also run the tests marked more")
    parser.addoption("--long", action="store_true", help="also run those marked more or long")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("long" if config.getoption("--long") else "short")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--long"):
        return
    left_out = {"long": "a long check: run with --long"}
    if not config.getoption("--more"):
        left_out["more"] = "run in CI, or with --more"
    for item in items:
        for mark, reason in left_out.items():
            if mark in item.keywords:
                item.add_marker(pytest.mark.skip(reason=reason))


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test can reach the real home or the real data folder."""
    monkeypatch.setenv("COUNTALOUD_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HOME", str(tmp_path))

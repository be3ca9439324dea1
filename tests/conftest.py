"""Shared by all tests: a home of its own for each, and what takes long only when asked for."""

from collections.abc import Iterator
from functools import wraps
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from long_report import LAW, summary

# The same cases each time, so that a run that fails fails again; the long check looks for others.
settings.register_profile("short", deadline=None, max_examples=25, derandomize=True)
settings.register_profile("more", deadline=None, max_examples=80, derandomize=True)
settings.register_profile("long", deadline=None, max_examples=500)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--more", action="store_true", help="also run the tests marked more; laws on more cases"
    )
    parser.addoption("--long", action="store_true", help="also run those marked more or long")


def pytest_configure(config: pytest.Config) -> None:
    chosen = next((name for name in ("long", "more") if config.getoption(f"--{name}")), "short")
    settings.load_profile(chosen)


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


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Iterator[None]:
    """In the long check each law notes on how many cases it was tried."""
    law = getattr(getattr(item, "obj", None), "hypothesis", None)
    if law is None or not item.config.getoption("--long"):
        return (yield)
    tried, inner = 0, law.inner_test

    @wraps(inner)
    def counted(*args: Any, **kwargs: Any) -> Any:
        nonlocal tried
        tried += 1
        return inner(*args, **kwargs)

    law.inner_test = counted
    try:
        return (yield)
    finally:
        law.inner_test = inner
        item.user_properties.append((LAW, tried))


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """The figures of the long check."""
    if not config.getoption("--long"):
        return
    terminalreporter.section("the long check")
    found = (terminalreporter.stats.get(kind, ()) for kind in ("passed", "failed"))
    for line in summary(report for reports in found for report in reports):
        terminalreporter.line(line)


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No test can reach the real home or the real data folder."""
    monkeypatch.setenv("COUNTALOUD_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HOME", str(tmp_path))
    # processes of the tests keep compiled modules, as an installed program does
    monkeypatch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)

"""Every test has its own home, and none can reach the real one."""

import os
import subprocess

import pytest
from shell_stand_ins import PROGRAM


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """The data folder of this test, for this process and for those that it starts."""
    folder = tmp_path / "home"
    monkeypatch.setenv("COUNTALOUD_HOME", str(folder))
    monkeypatch.setenv("HOME", str(tmp_path / "user"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    for name in ("COUNTALOUD_SPOKEN", "NO_COLOR", "PYTHONIOENCODING"):
        monkeypatch.delenv(name, raising=False)
    return folder


@pytest.fixture
def program():
    """Runs the program in a process of its own: program("ask", "x", typed=b"...")."""

    def run(*argv: str | bytes, typed: bytes = b"", **environ: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            [*PROGRAM, *argv],
            input=typed,
            capture_output=True,
            env={**os.environ, **environ},
            timeout=60,
            check=False,
        )

    return run

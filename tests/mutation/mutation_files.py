"""The modules that are mutated: all of counting and dosing."""

from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
ROOT = TESTS.parent
ROOMS = ("dosing", "counting")
FILES = [
    f"{room}/{path.name}"
    for room in ROOMS
    for path in sorted((ROOT / "assistant" / room).glob("*.py"))
    if path.name != "__init__.py"
]


def parts(file: str) -> int:
    """Into how many parts the run over a module is cut: one for some fifty lines."""
    return 1 + len((ROOT / "assistant" / file).read_text(encoding="utf-8").splitlines()) // 50

"""What the long check prints at its end, from what its tests wrote down (record_property)."""

import json
from collections.abc import Iterable
from typing import Any

ORACLE, KILLS, MUTANTS, LAW = "oracle cases", "kills survived", "mutants", "law cases"


def _all(reports: Iterable[Any]) -> list[tuple[str, Any, Any]]:
    return [
        (name, held, r) for r in reports if r.when == "call" for name, held in r.user_properties
    ]


def summary(reports: Iterable[Any]) -> list[str]:
    """One figure a line. What failed does not count as tried against, and is told as such."""
    told = _all(reports)

    def total(name: str) -> tuple[int, int]:
        held = [(int(value), r.passed) for key, value, r in told if key == name]
        return sum(n for n, passed in held if passed), sum(n for n, passed in held if not passed)

    lines = []
    for title, name in (("cases against the oracle", ORACLE), ("kills survived (kill -9)", KILLS)):
        good, bad = total(name)
        failed = f"; in tests that FAILED: {bad:,}" if bad else ""
        lines.append(f"{title}: {good:,}{failed}")
    laws = [r for key, _, r in told if key == LAW]
    of_the_dose = [r for r in laws if "dosing/test_laws.py" in r.nodeid]
    failed = sum(not r.passed for r in laws)
    lines.append(
        f"laws tried: {len(laws)}, {len(of_the_dose)} of them on the dose, with {total(LAW)[0]:,} "
        f"cases; failed: {failed}"
    )
    parts = [json.loads(value) for key, value, _ in told if key == MUTANTS]
    killed = sum(part["killed"] for part in parts)
    named = [name for part in parts for name in part["justified"]]
    living = [name for part in parts for name in part["living"]]
    tried = killed + len(named) + len(living)
    lines.append(
        f"mutants killed: {killed:,} of {tried:,}; justified by name in DEVELOPERS.md: "
        f"{len(named)}; neither: {len(living)}"
    )
    lines += [f"  lives, justified: {name}" for name in sorted(named)]
    lines += [f"  LIVES: {name}" for name in sorted(living)]
    return lines

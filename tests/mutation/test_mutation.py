"""Every mutant of counting and dosing is killed by the tests beside its module, or is named in
DEVELOPERS.md with the reason why no test can tell it from the true program."""

import json
import os
import subprocess
import sys

import pytest
from justified import justified
from mutation_files import FILES, TESTS, parts

RUNS = TESTS / "mutation" / "mutant_runs.py"
PARTS = [(file, part) for file in FILES for part in range(1, parts(file) + 1)]


def fates(file: str, *which: str) -> list[dict[str, str | None]]:
    done = subprocess.run(
        [sys.executable, RUNS, file, *which],
        capture_output=True, text=True, env=os.environ | {"PYTHONHASHSEED": "0"}, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


@pytest.mark.long
@pytest.mark.parametrize(("file", "part"), PARTS, ids=[f"{f}-{p}" for f, p in PARTS])
def test_every_mutant_is_killed_or_justified_by_name(file, part, record_property):
    whole, *rest = fates(file, f"{part}/{parts(file)}")
    assert whole["killer"] is None, f"the tests fail without any mutant: {whole['killer']}"
    living = {each["name"] for each in rest if each["killer"] is None}
    killed = {each["name"]: each["killer"] for each in rest if each["killer"] is not None}
    named = set(justified())
    record_property(
        "mutants",
        json.dumps(
            {
                "killed": len(killed),
                "justified": sorted(living & named),
                "living": sorted(living - named),
            }
        ),
    )
    assert sorted(living - named) == []
    no_longer = {name: killer for name, killer in killed.items() if name in named}
    assert no_longer == {}, "named as living in DEVELOPERS.md, and killed"


@pytest.mark.more
def test_the_runs_tell_a_mutant_that_is_killed_from_the_module_as_it_is():
    """Number -1 is no mutant. The first of ingredients.py leaves one sugar alcohol out."""
    whole, first = fates("counting/ingredients.py", "-1", "1")
    assert whole["killer"] is None
    assert str(first["name"]).startswith("counting/ingredients.py module: ('erythritol'")
    assert str(first["killer"]).startswith("counting/test_ingredients.py::")

"""Runs the tests of a room on mutants of one of its modules, each in a process of its own.

    python tests/mutation/mutant_runs.py dosing/rules.py [FIRST END | PART/PARTS]

prints one line of JSON for each mutant: its name, and the test that killed it or null. The
process loads once whatever does not hang on the mutated module, then forks for each mutant: the
child loads the changed module in place of the true one and runs the tests, those of the module
first, until one fails. A limit on its processor time and memory ends an endless loop. Nothing is
random: the same mutants are killed in every run. Number -1 is no mutant: it has to survive.
"""

import ast
import contextlib
import importlib
import importlib.abc
import importlib.util
import io
import json
import os
import resource
import sys
import tempfile
import traceback
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, ModuleType

import pytest
from hypothesis import HealthCheck, Phase, settings
from mutants import Mutant, mutants
from mutation_files import ROOT, TESTS

SECONDS = 20
BYTES = 4 << 30
JUDGES = {
    "dosing/rule.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/rules.py": (
        "dosing/test_rules.py", "dosing/test_rules_tell.py", "dosing/test_review.py",
    ),
    "dosing/rules_life.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/caps.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/rules_range.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/rules_record.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/rules_time.py": ("dosing/test_rules.py", "dosing/test_rules_tell.py"),
    "dosing/active.py": ("dosing/test_active.py",),
    "dosing/working.py": (
        "dosing/test_working.py", "dosing/test_published_examples.py", "dosing/test_active.py",
        "dosing/test_oracle.py",
    ),
    "counting/facts.py": (
        "counting/test_policy.py", "counting/test_source_measures.py", "counting/test_recipes.py",
    ),
    "counting/policy.py": ("counting/test_policy.py", "counting/test_recipes.py"),
    "counting/labels.py": ("counting/test_labels.py", "counting/test_labels_facts.py"),
    "counting/checks.py": ("counting/test_checks_each.py", "counting/test_checks.py"),
    "counting/portions.py": (
        "counting/test_portions_steps.py", "counting/test_portions.py",
        "counting/test_household_measures.py", "counting/test_portions_sources.py",
        "counting/test_source_measures.py", "counting/test_recipes.py",
    ),
    "counting/source_measures.py": (
        "counting/test_source_measures.py", "counting/test_portions_sources.py",
    ),
}  # fmt: skip
"""The tests of a module, where they are others than its own, in the order in which they run. The
rest of the suite would kill more: the tests that stand beside a module have to do it alone."""
LEFT_OUT = (
    # what reads the sources from the disk sees no mutant
    "test_no_other_module", "test_a_suggestion_is_built_once", "test_the_working_knows_nothing",
    # the same again with other random figures; an outside program
    "test_oracle.py::test_a_second_working_comes_to_the_same_figures[2]",
    "test_oracle.py::test_a_second_working_comes_to_the_same_figures[3]",
    "at_length", "gnu", "test_a_changed_digit_is_caught", "test_a_lawful_label_raises_no_alarm",
)  # fmt: skip


def judges(file: str) -> list[str]:
    """The test files of a module."""
    room, name = file.split("/")
    named = JUDGES.get(file, (f"{room}/test_{name}",))
    return [str(TESTS / each) for each in (*named, f"{room}/test_{room}_frozen.py")]


NOT_NEEDED = (
    "cacheprovider", "doctest", "faulthandler", "logging", "pastebin", "setuponly",
    "setupplan", "stepwise", "threadexception", "unraisableexception", "warnings", "xdist",
)  # fmt: skip
"""Parts of pytest that cost time on each of some three thousand runs and kill nothing."""


class First:
    """Notes the first test that fails; leaves out what cannot see a mutant."""

    def __init__(self) -> None:
        self.failed: str | None = None

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [i for i in items if not any(name in i.nodeid for name in LEFT_OUT)]

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        settings.register_profile(
            "mutants", max_examples=25, deadline=None, derandomize=True, database=None,
            phases=[Phase.explicit, Phase.generate], report_multiple_bugs=False,
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        settings.load_profile("mutants")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed and self.failed is None:
            self.failed = report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed and self.failed is None:
            self.failed = report.nodeid


class Changed(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Loads one module from other code."""

    def __init__(self, module: str, code: CodeType) -> None:
        self.module, self.code = module, code

    def find_spec(self, name: str, path: object = None, target: object = None) -> object:
        return importlib.util.spec_from_loader(name, self) if name == self.module else None

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)


def used_by(module: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{a.name}" for a in node.names)}
    return names


def preload(target: str) -> None:
    """Loads and warms what does not hang on the target, so that no child has to."""
    paths = [*(ROOT / "assistant").rglob("*.py"), *(ROOT / "grammar").glob("*.py")]
    uses = {".".join(p.relative_to(ROOT).with_suffix("").parts): used_by(p) for p in paths}
    hang = {target}
    while more := {name for name, used in uses.items() if used & hang} - hang:
        hang |= more
    for name in sorted(set(uses) - hang):
        if name.startswith(("grammar.", "assistant.values", "assistant.counting.")):
            importlib.import_module(name)
    for name in ("hypothesis.strategies", "hypothesis.internal.conjecture.engine", "pint"):
        importlib.import_module(name)
    if "assistant.counting.units" in sys.modules:
        sys.modules["assistant.counting.units"].conversion("kilogram", "gram")
    phrases = importlib.import_module("grammar.phrases")
    phrases.read_phrase("1 cup of milk")
    labels = importlib.import_module("grammar.labels")
    labels.read_label("Serving size 1 cup (240mL)\nTotal Carbohydrate 12g")
    with contextlib.redirect_stdout(io.StringIO()):  # loads and warms pytest itself
        nothing = str(Path(__file__).with_name("mutation_files.py"))
        pytest.main(["-q", "--co", "-o", "addopts=", "--noconftest", nothing])


def run_tests(file: str, folder: str) -> str | None:
    """The test that failed first, or None. One file after the other: most die in the first."""
    for judge in judges(file):
        first = First()
        code = pytest.main(
            ["-x", "-q", "-s", "--tb=no", "-o", "addopts=", "--assert=plain", "--noconftest",
             "--rootdir", str(ROOT), "--basetemp", folder,
             *(f"-pno:{name}" for name in NOT_NEEDED), judge],
            plugins=[first],
        )  # fmt: skip
        if code != pytest.ExitCode.OK:
            return (first.failed or f"pytest ends with {int(code)}").removeprefix("tests/")
    return None


def child(file: str, module: str, source: str, mutant: Mutant | None, out: int) -> None:
    """Writes to out what killed the mutant: nothing when it lives."""
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
    if "--show" not in sys.argv:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
    assert module not in sys.modules
    tree = ast.parse(source)
    tree = ast.parse(ast.unparse(tree)) if mutant is None else mutant.change(tree)
    sys.meta_path.insert(0, Changed(module, compile(tree, module, "exec")))
    try:
        importlib.import_module(module)
        with tempfile.TemporaryDirectory() as folder:
            killer = run_tests(file, f"{folder}/own")
    except BaseException as error:
        traceback.print_exc()
        killer = f"loading: {type(error).__name__}"
    os.write(out, (killer or "").encode() or b"-")


def killed_by(file: str, module: str, source: str, mutant: Mutant | None) -> str | None:
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        with contextlib.suppress(BaseException):
            child(file, module, source, mutant, writing)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        said = pipe.read().decode()
    os.waitpid(pid, 0)
    if said == "-":
        return None
    return said or "the limit on time or memory"


def chosen(words: list[str], number: int) -> range | list[int]:
    """ "3 9": from 3 up to 8; "2/4": the second of four parts, behind -1; nothing: all of them."""
    if len(words) == 1:
        part, parts = (int(each) for each in words[0].split("/"))
        return [-1, *range(part - 1, number, parts)]
    return range(*(int(each) for each in words)) if words else range(-1, number)


def run(file: str, words: list[str]) -> Iterator[tuple[str, str | None]]:
    """(name, what killed it or None) for the chosen mutants of the file; -1 is the true module."""
    module = "assistant." + file.removesuffix(".py").replace("/", ".")
    source = (ROOT / "assistant" / file).read_text(encoding="utf-8")
    every = mutants(file, source)
    preload(module)
    for number in chosen(words, len(every)):
        if number < len(every):
            mutant = every[number] if number >= 0 else None
            name = mutant.name if mutant else f"{file} as it is"
            yield name, killed_by(file, module, source, mutant)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT), str(TESTS)]
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    sys.dont_write_bytecode = False
    os.chdir(ROOT)
    for name, killer in run(sys.argv[1], [word for word in sys.argv[2:] if word != "--show"]):
        sys.stdout.write(json.dumps({"name": name, "killer": killer}) + "\n")
        sys.stdout.flush()

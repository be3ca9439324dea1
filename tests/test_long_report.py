"""The figures at the end of the long check: what failed is never among what was tried well."""

from dataclasses import dataclass, field
from json import dumps

from long_report import KILLS, LAW, MUTANTS, ORACLE, summary


@dataclass
class Report:
    user_properties: list = field(default_factory=list)
    passed: bool = True
    nodeid: str = "tests/dosing/test_laws.py::test_a_law"
    when: str = "call"


def test_the_figures_are_added_up():
    reports = [
        Report([(ORACLE, 1000)]), Report([(ORACLE, 10_000)]), Report([(ORACLE, 500)], passed=False),
        Report([(KILLS, 200)]), Report([(KILLS, 999)], when="setup"),
        Report([(LAW, 60)]), Report([(LAW, 40)], nodeid="tests/x.py::test_another"),
        Report([(LAW, 7)], passed=False), Report([("other", 5)]),
        Report([(MUTANTS, dumps({"killed": 8, "justified": ["b"], "living": []}))]),
        Report([(MUTANTS, dumps({"killed": 2, "justified": ["a"], "living": ["c"]}))], False),
    ]  # fmt: skip
    assert summary(reports) == [
        "cases against the oracle: 11,000; in tests that FAILED: 500",
        "kills survived (kill -9): 200",
        "laws tried: 3, 2 of them on the dose, with 100 cases; failed: 1",
        "mutants killed: 10 of 13; justified by name in DEVELOPERS.md: 2; neither: 1",
        "  lives, justified: a",
        "  lives, justified: b",
        "  LIVES: c",
    ]


def test_a_check_in_which_nothing_was_tried_says_nought():
    assert [line.split(": ")[1][0] for line in summary([])] == ["0"] * 4

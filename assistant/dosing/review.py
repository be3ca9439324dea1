"""The review: the only place where a working becomes a suggestion.

It runs every rule. Refuse wins over ask, ask over a suggestion; an exception in a rule is a
refusal. A Suggestion made anywhere else raises: no unreviewed dose can be shown.
"""

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from assistant.dosing.rules import Case, Finding, OpenSuggestion, Rule
from assistant.dosing.working import Facts, Working, work_out


class _Seal(Struct, frozen=True):
    """Made by the review alone, for one dose and one working."""

    units: Fraction
    working: Working
    cautions: tuple[Finding, ...]


class Suggestion(Struct, frozen=True):
    """A dose that passed every rule, with the cautions that go with it."""

    units: Fraction
    working: Working
    cautions: tuple[Finding, ...]
    seal: object

    def __post_init__(self) -> None:
        seal = self.seal
        if (
            not isinstance(seal, _Seal)
            or seal.units != self.units
            or seal.working is not self.working
            or seal.cautions is not self.cautions
        ):
            raise TypeError("only the review makes a Suggestion")


class Refusal(Struct, frozen=True):
    """No dose: which rules said so, and every caution. It carries no dose figure."""

    findings: tuple[Finding, ...]
    cautions: tuple[Finding, ...]


class Asks(Struct, frozen=True):
    """No dose until this is answered."""

    finding: Finding


def _look(rule: Rule, case: Case) -> Finding | None:
    try:
        return rule.look(case)
    except Exception:
        return Finding("rule-failed", "refuse")


def review(
    facts: Facts, open_suggestion: OpenSuggestion | None, rules: Sequence[Rule]
) -> Suggestion | Refusal | Asks:
    """Works the dose out and runs every rule on it. Without rules nothing is reviewed: refused."""
    failed: list[Finding] = [] if rules else [Finding("rule-failed", "refuse")]
    working: Working | None = None
    if not facts.settings.missing():
        try:
            working = work_out(facts)
        except Exception:
            failed.append(Finding("rule-failed", "refuse"))
    case = Case(facts, working, open_suggestion)
    findings = [*failed, *(f for f in (_look(rule, case) for rule in rules) if f)]
    refusals = tuple(f for f in findings if f.kind == "refuse")
    cautions = tuple(f for f in findings if f.kind == "caution")
    if refusals:
        return Refusal(refusals, tuple(c for c in cautions if not c.about_dose))
    asks = [f for f in findings if f.kind == "ask"]
    if asks:
        return Asks(asks[0])
    if working is None:
        return Refusal((Finding("rule-failed", "refuse"),), cautions)
    return Suggestion(working.rounded, working, cautions, _Seal(working.rounded, working, cautions))

"""What a rule is: what it looks at, and what it may say."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, Protocol

from msgspec import Struct, field

from assistant.dosing.working import Facts, Working
from assistant.values import Amount, Arg, Moment


def units(value: Fraction) -> Amount:
    """Units of insulin as an argument of a text."""
    return Amount(value, "unit")


class OpenSuggestion(Struct, frozen=True):
    """An earlier suggestion that was neither confirmed nor declined.

    settings_changed: a number from the care team was said since, which it did not know of.
    """

    units: Fraction
    moment: Moment
    settings_changed: bool = False


class Case(Struct, frozen=True):
    """What a rule may look at. working is None where settings are missing."""

    facts: Facts
    working: Working | None
    open_suggestion: OpenSuggestion | None


class Finding(Struct, frozen=True):
    """What a rule says: its id, how grave, and the figures for its text (code = 'rule-' + id).

    about_dose marks a caution that tells figures of the dose: a refusal leaves it out.
    """

    rule: str
    kind: Literal["refuse", "ask", "caution"]
    args: Mapping[str, Arg] = field(default_factory=dict)
    about_dose: bool = False


class Rule(Protocol):
    """One rule. id is public: it stands in JSON replies and in the journal."""

    id: str

    def look(self, case: Case) -> Finding | None:
        """None when the rule has nothing to say. An exception in here is a refusal."""
        ...

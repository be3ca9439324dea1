"""A reply is data. Renderers turn one Reply into sighted text, spoken text or JSON."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

from assistant.values import Arg, Ranged

Status = Literal["answered", "asked", "refused", "failed"]

Role = Literal[
    "answer",  # what the turn comes to, first
    "refusal",  # a rule that forbids a dose, with its figures
    "question",  # what is asked
    "choice",  # one numbered choice of a question
    "caution",  # a warning that does not stop the answer
    "portion",  # one food as counted
    "total",  # the sum of the portions
    "working",  # one step that can be redone by hand
    "fact",  # anything the turn was about
    "unread",  # words that were not understood
    "next",  # what to type next
]


class Line(Struct, frozen=True):
    """One sentence: its role, its text by code (assistant.render.texts), its arguments.

    detail marks lines that "short answers" may leave to "why".
    """

    role: Role
    code: str
    args: Mapping[str, Arg] = field(default_factory=dict)
    detail: bool = False


class Choice(Struct, frozen=True):
    """One answer to a question: what is shown, and the sentences that choosing it stands for.

    word is an answer by word ("yes"), beside the number. remember is a sentence that keeps the
    choice for good ("1 always").
    """

    label: Line
    texts: tuple[str, ...]
    word: str | None = None
    remember: str | None = None


class Slot(Struct, frozen=True):
    """Where a typed answer goes: each text, with {} in its place, is said in turn.

    accepts names what an answer must look like: amount, glucose, number, name, grams.
    """

    accepts: str
    texts: tuple[str, ...]


class Question(Struct, frozen=True):
    """An open question. kind names what it is about; asked is the line shown."""

    kind: str
    asked: Line
    choices: tuple[Choice, ...] = ()
    slot: Slot | None = None


class Portion(Struct, frozen=True):
    """One food of a meal as it was counted. Exactly the contract's portion object."""

    said: str
    food: str
    quantity: Fraction
    unit: str
    grams: Fraction | None
    millilitres: Fraction | None
    counted: Ranged


class Dose(Struct, frozen=True):
    """A reviewed suggestion. Made only from a dosing.review.Suggestion."""

    suggested: Fraction
    exact: Fraction
    meal: Fraction
    correction: Fraction
    active: Fraction
    settings: Mapping[str, object]


class RuleHit(Struct, frozen=True):
    """A rule that spoke: its id, and its line."""

    rule: str
    line: Line


class Reply(Struct, frozen=True):
    """Everything that a turn answers.

    between has the ends of a count that is a range as yet: such a reply has no counted figure.
    """

    status: Status
    lines: tuple[Line, ...]
    portions: tuple[Portion, ...] = ()
    counted: Ranged | None = None
    dose: Dose | None = None
    rules: tuple[RuleHit, ...] = ()
    question: Question | None = None
    unread: tuple[str, ...] = ()
    facts: Mapping[str, object] = field(default_factory=dict)
    between: Ranged | None = None

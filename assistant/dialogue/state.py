"""What is so at the start of a turn, worked out from the record alone."""

from collections.abc import Callable
from datetime import datetime, timedelta

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.events import (
    DoseRefused,
    DoseSuggested,
    DoseTaken,
    GlucoseRead,
    MealCounted,
    QuestionAsked,
    QuestionClosed,
    SettingSaid,
    SuggestionClosed,
)
from assistant.dialogue.record import Foods, Kept, Record
from assistant.dialogue.replies import Choice
from assistant.dosing.active import Taken
from assistant.dosing.rules import OpenSuggestion, is_low
from assistant.dosing.rules_time import SLACK
from assistant.dosing.settings import Settings, fold
from assistant.values import Amount, Glucose, GlucoseUnit, Moment
from grammar.statements import form_of

TOLD = "dose-told"
"""The kind of a question about a dose that was told in words of no sentence form."""
_LOGGED = frozenset({"dose-check", "same-dose"})
"""Kinds of questions about doses that are in the journal already."""


def tells_dose(asked: QuestionAsked) -> bool:
    """Is it about a dose that was told, and that is not in the journal yet?"""
    kind = asked.question.kind
    return kind == TOLD or (kind not in _LOGGED and form_of(asked.text) == "took")


LOOK_BACK = timedelta(hours=48)
"""Doses older than this matter to no rule: durations and cap windows are at most 24 hours, and the
curve is counted over two durations."""


ToldAs = Callable[[Choice], tuple[str, ...]]
"""The words in which a choice is told, for the eye and for the ear. What puts lines into words is
no part of a talk, so the turn is given it."""


def in_no_words(_: Choice) -> tuple[str, ...]:
    """For turns whose choices nobody was told."""
    return ()


class Context(Struct, frozen=True):
    """All that a turn works from: the record, the library, the words, the clock, and the state.

    said_at, read_at: when the words were said, and when the glucose in them was, where they waited
    for the answer to a question; None where both are of now.
    """

    record: Record
    foods: Foods
    text: str
    now: datetime
    settings: Settings
    doses: tuple[Taken, ...]
    suggestion: Kept | None
    question: Kept | None
    said_at: datetime | None = None
    read_at: datetime | None = None
    told_as: ToldAs = in_no_words

    @property
    def said(self) -> datetime:
        """When the words were said: "now" and "10 minutes ago" in them are seen from then."""
        return self.said_at or self.now

    @property
    def read(self) -> datetime:
        """When the glucose in the words was said; an answer may have brought it in later."""
        return self.read_at or self.said

    def waiting(self, text: str, *, reads: bool = False) -> "Context":
        """The context of the open question's sentence, with the times at which it was said.

        reads: the answer that was put into it is a glucose reading, and so of now.
        """
        event = self.question.event if self.question else None
        if self.question is None or not isinstance(event, QuestionAsked):
            return replace(self, text=text)
        said = event.said_at or self.question.said_at
        read = self.now if reads else event.read_at or said
        return replace(self, text=text, said_at=said, read_at=read)

    @property
    def asked_text(self) -> str:
        """The whole sentence that led to the open question; empty when none is open."""
        event = self.question.event if self.question else None
        return event.text if isinstance(event, QuestionAsked) else ""

    def moment(self, at: datetime) -> Moment:
        """A time as an argument of a line, seen from now."""
        return Moment(at, self.now)

    def open_suggestion(self) -> OpenSuggestion | None:
        """The open suggestion as the rules want it."""
        if self.suggestion is None or not isinstance(self.suggestion.event, DoseSuggested):
            return None
        moment = self.moment(self.suggestion.said_at)
        return OpenSuggestion(self.suggestion.event.units, moment, self.settings_changed())

    def settings_changed(self) -> bool:
        """A number was said since the open suggestion was made (turn 0 is being said)."""
        if self.suggestion is None:
            return False
        last = self.record.events(("setting-said",), last=1)
        return bool(last) and (last[-1].turn == 0 or last[-1].turn > self.suggestion.turn)

    def last_worked(self) -> Kept | None:
        """The last suggestion, refusal or count, for "why"."""
        kinds = (MealCounted, DoseSuggested, DoseRefused)
        found = self.record.events(("meal-counted", "dose-suggested", "dose-refused"), last=1)
        return found[-1] if found and isinstance(found[-1].event, kinds) else None

    def last_reading(self) -> GlucoseRead | None:
        """The newest glucose reading by when it was taken; of two at one time, the later said."""
        readings = [
            kept.event
            for kept in self.record.events(("glucose-read",), since=self.now - LOOK_BACK)
            if isinstance(kept.event, GlucoseRead)
        ]
        return max(reversed(readings), key=lambda r: r.taken_at, default=None)

    def low_felt_at(self) -> datetime | None:
        """When a low was felt in the last 24 hours, after the newest reading."""
        felt = self.record.events(("low-felt",), since=self.now - timedelta(hours=24), last=1)
        return felt[-1].said_at if felt and self._stands(felt[-1].said_at) else None

    def _stands(self, said_at: datetime) -> bool:
        """No reading is newer than what was said then."""
        last = self.last_reading()
        return last is None or said_at >= last.taken_at

    def glucose_doubted_at(self) -> datetime | None:
        """When a glucose figure was told that may be a low, in one of its units, and whose unit was
        asked and never answered; in the last 24 hours, after the newest reading."""
        since = self.now - timedelta(hours=24)
        asked = self.record.events(("question-asked",), since=since)
        doubted = [kept for kept in asked if _may_be_low(kept) and self._stands(kept.said_at)]
        open_yet = [k.said_at for k in doubted if not _closed(k, self.record, answered=True)]
        return max(open_yet, default=None)

    def unsettled_elsewhere(self) -> bool:
        """A dose was told, in any chat, with a question about it that nobody has settled."""
        return bool(unsettled(self.record, self.now))

    def unsettled_dose(self) -> bool:
        """The open question is about a dose that was told."""
        event = self.question.event if self.question else None
        if not isinstance(event, QuestionAsked):
            return False
        return tells_dose(event) or event.question.kind == "dose-check"

    def newest(self) -> datetime | None:
        """The newest time in the journal, as far as the user did not say that it was wrong."""
        right = self.record.events(("clock-right",), last=1)
        if right and right[-1].turn == 0:
            return None  # it is being said: all that was kept before is passed over
        return self.record.newest(right[-1].turn if right else 0)

    def clock_behind(self) -> datetime | None:
        """The newest time in the journal where the clock of now is behind it, and so is wrong."""
        newest = self.newest()
        return newest if newest is not None and newest - self.now > SLACK else None

    def record_gap(self) -> bool:
        """Doses may be missing from the record, and nobody has said that they are typed."""
        return _open(self.record, "record-gap", "record-complete") is not None

    def reading_of_the_day(self) -> GlucoseRead | None:
        """The newest reading of the last 24 hours."""
        last = self.last_reading()
        if last is None or self.now - last.taken_at > timedelta(hours=24):
            return None
        return last


def _may_be_low(asked: Kept) -> bool:
    """Was the unit of a glucose figure asked, and is it a low in one of those it could have?"""
    event = asked.event
    if not isinstance(event, QuestionAsked) or event.question.kind != "glucose-unit":
        return False
    units: tuple[GlucoseUnit, ...] = ("mg/dL", "mmol/L")
    told = [choice.label.args.get("glucose") for choice in event.question.choices]
    return any(
        isinstance(arg, Amount) and arg.unit == unit and is_low(Glucose(arg.value, unit))
        for arg in told
        for unit in units
    )


def _open(record: Record, opening: str, closing: str) -> Kept | None:
    last = record.events((opening, closing), last=1)
    return last[-1] if last and last[-1].event.kind == opening else None


def _question(record: Record, now: datetime) -> Kept | None:
    """The newest question, if it is open: another chat's answers close other questions.

    Where it is not, the newest about a dose that is still not settled is open again.
    """
    asked = record.events(("question-asked",), last=1)
    if not asked:
        return None
    if not _closed(asked[-1], record):
        return asked[-1]
    waiting = unsettled(record, now, last=_QUESTIONS)
    return waiting[-1] if waiting else None


_QUESTIONS = 50
"""So many questions are looked through for one about a dose that this chat has seen."""


def unsettled(record: Record, now: datetime, last: int | None = None) -> tuple[Kept, ...]:
    """Questions about doses that were told, and that no answer, "cancel" or undoing has closed.

    A dose older than LOOK_BACK matters to no rule, and neither does a question about it.
    """
    return tuple(
        kept
        for kept in record.events(("question-asked",), since=now - LOOK_BACK, last=last)
        if isinstance(kept.event, QuestionAsked)
        and tells_dose(kept.event)
        and not _closed(kept, record, by_name=True)
    )


def _closed(asked: Kept, record: Record, *, by_name: bool = False, answered: bool = False) -> bool:
    """Turn 0 is being said: what closes then closes what was kept before. by_name: only where it
    was told which question is closed. answered: only by an answer."""
    if asked.turn == 0:
        return False
    return any(
        isinstance(kept.event, QuestionClosed)
        and (kept.turn == 0 or kept.turn > asked.turn)
        and kept.event.closes in ((asked.turn,) if by_name else (None, asked.turn))
        and (kept.event.answered or not answered)
        for kept in record.events(("question-closed",), since=asked.said_at - _SLACK)
    )


_SLACK = timedelta(hours=26)
"""A clock that was set back, or another zone: turns are compared by their numbers."""


def _settings(record: Record) -> Settings:
    said = []
    for kept in record.settings():
        if isinstance(kept.event, SettingSaid):
            said.append((kept.event.name, kept.event.value, kept.said_at))
    return fold(said)


def _doses(record: Record, now: datetime) -> tuple[Taken, ...]:
    """Doses taken since LOOK_BACK. They may have been said later than they were taken."""
    taken = []
    for kept in record.events(("dose-taken",), since=now - LOOK_BACK):
        if isinstance(kept.event, DoseTaken):
            taken.append(Taken(kept.event.units, kept.event.taken_at))
    return tuple(taken)


def context(record: Record, foods: Foods, text: str, now: datetime) -> Context:
    """The context of a turn."""
    suggestion = _open(record, "dose-suggested", "suggestion-closed")
    question = _question(record, now)
    assert suggestion is None or not isinstance(suggestion.event, SuggestionClosed)
    assert question is None or isinstance(question.event, QuestionAsked)
    return Context(
        record, foods, text, now, _settings(record), _doses(record, now), suggestion, question
    )

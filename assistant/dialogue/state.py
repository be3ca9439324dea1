"""What is so at the start of a turn, worked out from the record alone."""

from dataclasses import dataclass
from datetime import datetime, timedelta

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
from assistant.dosing.active import Taken
from assistant.dosing.rules import OpenSuggestion
from assistant.dosing.rules_time import SLACK
from assistant.dosing.settings import Settings, fold
from assistant.values import Glucose, Moment
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


@dataclass(frozen=True, slots=True)
class Context:
    """All that a turn works from: the record, the library, the words, the clock, and the state."""

    record: Record
    foods: Foods
    text: str
    now: datetime
    settings: Settings
    doses: tuple[Taken, ...]
    suggestion: Kept | None
    question: Kept | None

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

    def low_felt(self) -> bool:
        """A low was felt in the last 24 hours, after the newest reading."""
        felt = self.record.events(("low-felt",), since=self.now - timedelta(hours=24), last=1)
        last = self.last_reading()
        return bool(felt) and (last is None or felt[-1].said_at >= last.taken_at)

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

    def reading_of_the_day(self) -> Glucose | None:
        """The newest reading of the last 24 hours."""
        last = self.last_reading()
        if last is None or self.now - last.taken_at > timedelta(hours=24):
            return None
        return last.glucose


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


def _closed(asked: Kept, record: Record, *, by_name: bool = False) -> bool:
    """Turn 0 is being said: what closes then closes what was kept before. by_name: only where it
    was told which question is closed."""
    if asked.turn == 0:
        return False
    return any(
        isinstance(kept.event, QuestionClosed)
        and (kept.turn == 0 or kept.turn > asked.turn)
        and kept.event.closes in ((asked.turn,) if by_name else (None, asked.turn))
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

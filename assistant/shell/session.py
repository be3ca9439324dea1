"""One turn, kept: the words go to the turn, its events to the journal, and only then the reply."""

import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import MappingProxyType

from msgspec.structs import replace

from assistant.dialogue.manners import Manner, manner_of
from assistant.dialogue.outcome import Outcome
from assistant.dialogue.record import Foods, Kept, Record
from assistant.dialogue.replies import Line, Reply
from assistant.render.as_json import as_json, one_line_json
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.voice import Voice
from assistant.shell.world import World
from assistant.store.problems import StoreProblem
from assistant.store.store import Store, Tx
from assistant.values import Name, Said
from grammar import patterns
from grammar.saving import read_save

Turn = Callable[[Record, Foods, str, datetime], Outcome]
Opening = Callable[[Record, Foods, datetime], Reply]

EXIT = MappingProxyType({"answered": 0, "asked": 3, "refused": 4, "failed": 1})
"""The exit code of one turn, by its status."""


def readable(text: str) -> str:
    """The text as it can be stored: bytes that are not UTF-8 and NULs become U+FFFD.

    That mark has no role in any sentence, so the turn asks about it; nothing is dropped.
    """
    return patterns.sub("[\0\ud800-\udfff]", "\ufffd", text)


class OwnQuestions:
    """A record without the questions that another chat asked since this chat's last turn.

    An answer belongs to the question that its writer has seen, and to no other.
    """

    def __init__(self, record: Record, last: int) -> None:
        self._record = record
        self._last = last

    def events(
        self, kinds: Sequence[str], since: datetime | None = None, last: int | None = None
    ) -> tuple[Kept, ...]:
        """As Record.events."""
        if "question-asked" not in kinds or last is None:
            return self._record.events(kinds, since, last)
        found = self._record.events(kinds, since, last + 50)
        own = [k for k in found if k.event.kind != "question-asked" or k.turn <= self._last]
        return tuple(own[-last:])

    def newest(self, after: int = 0) -> datetime | None:
        """As Record.newest: every chat's."""
        return self._record.newest(after)

    def offsets(self, around: datetime) -> tuple[int, ...]:
        """As Record.offsets: every chat's."""
        return self._record.offsets(around)

    def place(self) -> str:
        """As Record.place."""
        return self._record.place()

    def settings(self, since: int | None = None) -> tuple[Kept, ...]:
        """As Record.settings."""
        return self._record.settings(since)


class Session:
    """Turns on one open store. turn and opening are the dialogue's; tests may give others."""

    def __init__(
        self,
        store: Store,
        clock: Callable[[], datetime],
        turn: Turn | None = None,
        opening: Opening | None = None,
    ) -> None:
        from assistant.dialogue import turn as dialogue
        from assistant.render import turns

        self._store = store
        self._clock = clock
        self._turn = turn or turns.turn
        self._opening = opening or dialogue.opening
        self._last: int | None = None
        self._first: int | None = None

    def say(self, text: str) -> Reply:
        """The reply to a text, after the journal has it. Raises StoreProblem alone.

        The reply is put into words before the commit: a reply that cannot be shown keeps nothing.
        """
        said = readable(text)
        now = self._clock()
        try:
            return self._aside(said, now) or self._kept(said, now)
        except StoreProblem:
            raise
        except Exception as fault:
            return self._failed(said, now, fault)

    def _kept(self, said: str, now: datetime) -> Reply:
        with self._store.turn() as tx:
            record = tx.record if self._last is None else OwnQuestions(tx.record, self._last)
            outcome = self._turn(record, tx.foods, said, now)
            if outcome.deed == "export":
                outcome = _exported(tx, outcome, now)
            if "report" in outcome.reply.facts:
                from assistant.shell.report import kept_beside

                outcome = kept_beside(record, tx.foods, outcome, now, self._store.home)
            reply = outcome.reply
            kept = one_line_json(as_json(reply))
            if outcome.deed != "forget":
                last = tx.keep(now, said, reply.status, kept, outcome.events)
        if outcome.deed == "forget":
            return self._forgotten(outcome, said, now)
        self._last = last
        self._first = self._first or last
        return reply

    def _aside(self, said: str, now: datetime) -> Reply | None:
        """A sentence that saves a talk: it needs the whole journal, and is no part of the talk."""
        sentence = read_save(said)
        if sentence is None:
            return None
        from assistant.teaching.saving import saved

        reply = saved(self._store, sentence, said, now, self._first)
        with self._store.turn() as tx:
            tx.keep(now, said, reply.status, one_line_json(as_json(reply)), ())
        return reply

    def _forgotten(self, outcome: Outcome, said: str, now: datetime) -> Reply:
        """Everything is forgotten; this turn is the first of the new record."""
        try:
            self._store.forget()
        except StoreProblem as problem:
            detail = Name(problem.detail)
            told = Line("answer", "data-not-forgotten", {"detail": detail})
            # the record may be empty by now: doses wait until it is called complete, all the same
            outcome = Outcome(Reply("failed", (told,)), outcome.events)
        with self._store.turn() as tx:
            kept = one_line_json(as_json(outcome.reply))
            self._last = tx.keep(now, said, outcome.reply.status, kept, outcome.events)
        self._first = None  # what this chat said before is gone
        return outcome.reply

    def _failed(self, said: str, now: datetime, fault: Exception) -> Reply:
        """A turn that broke: nothing of it happened, but its words go into the journal."""
        reply = failed_reply(said, fault)
        try:
            with self._store.turn() as tx:
                tx.keep(now, said, "failed", one_line_json(as_json(reply)), ())
        except StoreProblem:
            raise
        except Exception:
            return replace(reply, lines=(*reply.lines, Line("caution", "failed-not-kept")))
        return reply

    def look_after(self) -> tuple[str, ...]:
        """What is done once a day for a large record, after a reply; its warnings as sentences."""
        return tuple(str(warning) for warning in self._store.look_after())

    def opening(self) -> Reply:
        """What is open as the chat starts: a suggestion or a question, or a reply of no lines."""
        try:
            with self._store.reading() as (record, foods):
                return self._opening(record, foods, self._clock())
        except StoreProblem:
            raise
        except Exception as fault:
            return failed_reply("", fault)

    def food_names(self) -> tuple[str, ...]:
        """Names for completion; none where the library cannot be read just now."""
        try:
            with self._store.reading() as (_, foods):
                return foods.names()
        except Exception:
            return ()

    def manner(self) -> Manner:
        """How answers are to be given in this folder; as if never said where it cannot be read."""
        try:
            with self._store.reading() as (record, _):
                return manner_of(record)
        except Exception:
            return Manner()

    def is_new(self) -> bool:
        """True where nothing was ever said in this folder."""
        return not self._store.history(1)

    def earlier(self, limit: int) -> list[str]:
        """What was typed in this folder, the last so many turns."""
        return [row.text for row in self._store.history(limit)]


def _exported(tx: Tx, outcome: Outcome, now: datetime) -> Outcome:
    """The outcome after its file was written, or why it was not."""
    try:
        tx.export(str(outcome.reply.facts["export"]), now)
    except StoreProblem as problem:
        line = Line("answer", "data-export-failed", {"detail": Name(problem.detail)})
        return Outcome(Reply("failed", (line,)))
    return outcome


def failed_reply(said: str, fault: Exception) -> Reply:
    """The reply to words that met a bug: it says so, and gives no figure."""
    line = Line("answer", "failed-turn", {"said": Said(said), "fault": Name(_named(fault))})
    return Reply("failed", (line,), facts={"fault": _named(fault), "place": _place(fault)})


def _named(fault: Exception) -> str:
    return type(fault).__name__


def _place(fault: Exception) -> str:
    """File and line of a fault, without the machine's folders."""
    frames = traceback.extract_tb(fault.__traceback__)
    return f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""


@contextmanager
def opened(folder: Path, options: Options, voice: Voice) -> Iterator[Session]:
    """A session on a folder; the store's warnings are told first, and it is closed at the end."""
    store = Store.open(folder, options.clock())
    try:
        for warning in store.warnings:
            voice.world.stderr.write(f"{warning}\n")
        session = Session(store, options.clock)
        voice.follow(session.manner())
        yield session
    finally:
        store.close()


@contextmanager
def session_for(options: Options, world: World, voice: Voice) -> Iterator[Session]:
    """The session of this run, on its data folder."""
    with opened(home_of(options, world), options, voice) as session:
        yield session


def problem_sentence(problem: StoreProblem) -> str:
    """One sentence for a store that cannot be used: the folder, the reason, and what to do."""
    told = words.say(
        "store-problem",
        folder=problem.path,
        detail=str(problem.detail).rstrip(".") + ".",
        advice=words.advice(problem.code),
    )
    from assistant.shell.restore import offer

    return " ".join((told, *offer(problem)))

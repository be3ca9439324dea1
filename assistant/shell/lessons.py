"""A learner at the keys or behind a pipe: questions out, answers in, a summary at the end."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from msgspec.structs import replace

from assistant.dialogue.replies import Line, Reply
from assistant.shell import words
from assistant.shell.kept_summaries import Unread, keep, last_kept
from assistant.shell.options import Options, home_of
from assistant.shell.voice import Voice
from assistant.store.forgetting import SUMMARIES
from assistant.teaching import learner
from assistant.teaching.answers import tidy
from assistant.teaching.exercise import Exercise
from assistant.teaching.learner import Lesson, Mark
from assistant.teaching.summary import summed, told_summary
from assistant.teaching.told import NUMBERS
from assistant.values import Name


class Classroom:
    """One run. notice: the code of the line that says, on each screen, that it is no advice."""

    def __init__(self, options: Options, voice: Voice, notice: str) -> None:
        self._options = options
        self._voice = voice
        self._notice = Line("caution", notice)
        self._input: Iterator[str] | None = None
        self._known: frozenset[str] = frozenset()
        self.marks: list[Mark] = []
        self.asked = False
        self._begun = False
        self.stopped = False

    def show(self, reply: Reply, *, notice: bool = True) -> None:
        """One screen; without the notice where another follows at once."""
        if self._begun:
            self._voice.gap()
        self._begun = True
        lines = (*reply.lines, self._notice) if notice else reply.lines
        self._voice.reply(replace(reply, lines=lines))

    def tell(self, *lines: Line) -> None:
        """Lines that are no screen of their own."""
        self._voice.reply(Reply("answered", lines))

    def ask(self, exercise: Exercise, *before: Line) -> None:
        """Every question of one turn, behind these lines; ends early where the learner stops."""
        lesson = Lesson(exercise)
        self.asked = True
        self.show(learner.begin(lesson, self._known, before))
        self._known |= {name for name, _ in exercise.labels}
        self._known |= {NUMBERS} if exercise.numbers or exercise.scene is not None else set()
        while not lesson.over:
            text = self._answer()
            if text is None:
                self.stopped = True
                break
            lesson, replies = learner.answer(lesson, text)
            for reply in replies:
                self.show(reply)
        self.marks.extend(lesson.marks)
        self.stopped = self.stopped or lesson.stopped

    def forget_numbers(self) -> None:
        """The numbers may have changed: they are shown again."""
        self._known -= {NUMBERS}

    def forget_labels(self, names: Iterable[str]) -> None:
        """These foods have a new label."""
        self._known -= frozenset(names)

    def _answer(self) -> str | None:
        """What was typed; None at the end of the input."""
        try:
            if self._voice.world.typed_by_hand:
                self._voice.chat_gap()
                return input(words.say("learn-prompt"))
            self._input = self._input or self._voice.world.lines()
            return next(self._input, None)
        except (EOFError, KeyboardInterrupt):
            self._voice.line("")
            return None

    def end(self, title: str) -> None:
        """The summary, the one of last time, and whether this one is kept."""
        folder = home_of(self._options, self._voice.world)
        summary = summed(self.marks, title, self._options.clock())
        last = last_kept(folder)
        earlier = None if isinstance(last, Unread) else last
        self.show(told_summary(summary, earlier))
        place = Name(str(folder / SUMMARIES))
        if isinstance(last, Unread):
            self.tell(Line("caution", "learn-earlier-unread", {"place": place}))
        if not summary.answered:
            return
        self.tell(Line("next", "learn-keep"))
        self._keep(folder, place, title)

    def _keep(self, folder: Path, place: Name, title: str) -> None:
        text = self._answer()
        if text is None or tidy(text) != "keep":
            self.tell(Line("answer", "learn-not-kept"))
            return
        why = keep(folder, summed(self.marks, title, self._options.clock()))
        if why is None:
            self.tell(Line("answer", "learn-kept", {"place": place}))
        else:
            self.tell(Line("answer", "learn-keep-failed", {"place": place, "why": Name(why)}))

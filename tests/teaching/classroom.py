"""A stage with a small invented library, and a learner who answers."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime

from assistant.dialogue.replies import Reply
from assistant.render.sighted import sighted
from assistant.render.spoken import spoken
from assistant.teaching import learner
from assistant.teaching.exercise import Exercise, exercise_of
from assistant.teaching.learner import Lesson, Mark
from assistant.teaching.session_file import Header
from assistant.teaching.stage import Stage, staged

NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)

FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 42 g, "
    "fibre 8.5 g",
    "new food crackers: US label, serving 5 crackers (15 g), 12 servings, carbohydrate 10 g, "
    "fibre 1 g",
    "new food mint bar: US label, serving 1 bar (40 g), 6 servings, carbohydrate 24 g, fibre 3 g, "
    "sugar alcohol 10 g",
    "new food plum juice: EU label, per 100 ml: carbohydrate 9 g, fibre 0.5 g",
    "new food ginger drops: US label, serving 3 drops (25 g), carbohydrate 20 g, fibre 0 g, "
    "sugar alcohol 8 g",
)
NET = "count net carbohydrate"
TOTAL = "count total carbohydrate"
HALVED = "count fibre over 5 g halved"
RATIO = "my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00"
MG = ("correction factor 45 mg/dL per unit", "target 110 mg/dL")
MMOL = ("correction factor 2.5 mmol/L per unit", "target 6 mmol/L")
OFF_CORRECTION = "active insulin comes off the correction only"
OFF_WHOLE = "active insulin comes off the whole dose"
REST = (
    "my insulin lasts 4 hours",
    "active insulin falls in a straight line",
    "my pen goes in half units, round down",
    "never more than 8 units at once",
    "never more than 15 units in 4 hours",
)
NUMBERS = (NET, RATIO, *MG, OFF_CORRECTION, *REST)
IN_MMOL = (NET, RATIO, *MMOL, OFF_CORRECTION, *REST)


@contextmanager
def stage_with(*said: str, foods: Sequence[str] = FOODS) -> Iterator[Stage]:
    """A stage on which the library and these sentences have been said."""
    with staged(Header(title="test", clock="+00:00")) as stage:
        for sentence in (*foods, *said):
            _, outcome, _ = stage.say(sentence, NOW)
            assert outcome.reply.status == "answered", sentence
        yield stage


@dataclass
class Pupil:
    """Answers the questions of one turn, one after the other."""

    exercise: Exercise
    lesson: Lesson
    replies: tuple[Reply, ...] = ()

    def answer(self, text: str) -> "Pupil":
        self.lesson, self.replies = learner.answer(self.lesson, text)
        for reply in self.replies:  # every reply can be written and spoken
            assert sighted(reply, 80).strip()
            assert spoken(reply).strip()
        return self

    def until(self, kind: str) -> "Pupil":
        """Skips to a question of this kind."""
        while self.lesson.wanted.kind != kind:
            self.answer("skip")
        return self

    @property
    def codes(self) -> list[str]:
        return [line.code for reply in self.replies for line in reply.lines]

    @property
    def text(self) -> str:
        return "\n".join(spoken(reply) for reply in self.replies)

    @property
    def last(self) -> Mark:
        return self.lesson.marks[-1]

    @property
    def mistakes(self) -> set[str]:
        """Kinds that were told."""
        return {code.removeprefix("mistake-") for code in self.codes if code.startswith("mistake-")}


def pupil(stage: Stage, said: str, at: datetime = NOW) -> Pupil:
    """A learner before the first question of a turn."""
    exercise = exercise_of(stage, said, at)
    assert exercise is not None
    assert exercise.scene is not None
    found = Pupil(exercise, Lesson(exercise))
    found.replies = (learner.begin(found.lesson),)
    return found

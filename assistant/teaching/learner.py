"""A learner at one turn of a session: a question, an answer, what it comes to, the next question.

A state machine of values: a Lesson and an answer give the next Lesson and what is shown. It knows
no terminal and no clock, and writes nothing.
"""

from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.replies import Choice, Line, Question, Reply
from assistant.teaching import told
from assistant.teaching.answers import Doubt, Given, Refused, Spoken, Unit, read_answer
from assistant.teaching.exercise import Exercise, Wanted
from assistant.teaching.finding import Suspected, suspected
from assistant.teaching.judging import judge_count
from assistant.teaching.rule_answers import Chosen, read_rule

Verdict = Literal["right", "wrong", "skipped", "shown"]


class Mark(Struct, frozen=True):
    """How one question was answered. mistakes: kinds, where one way to the figure was found.

    unclear: several ways were. in_grams, in_share: of a count, which bounds it met.
    """

    kind: str
    verdict: Verdict
    mistakes: tuple[str, ...] = ()
    unclear: bool = False
    in_grams: bool | None = None
    in_share: bool | None = None


class Lesson(Struct, frozen=True):
    """A turn on the way. position: the open question; past the last one the lesson is over.

    own_count: the learner's count, where it was another than the right one. found: what was found
    behind the answers, for the working.
    """

    exercise: Exercise
    position: int = 0
    own_count: Fraction | None = None
    marks: tuple[Mark, ...] = ()
    found: tuple[Suspected, ...] = ()
    stopped: bool = False

    @property
    def over(self) -> bool:
        """Is every question answered, or was the lesson stopped?"""
        return self.stopped or self.position >= len(self.exercise.wanted)

    @property
    def counted(self) -> bool:
        """Was the count right?"""
        return any(mark.kind == "count" and mark.verdict == "right" for mark in self.marks)

    @property
    def wanted(self) -> Wanted:
        """The open question. Raises IndexError where the lesson is over."""
        return self.exercise.wanted[self.position]

    def marked(self, mark: Mark, found: Suspected | None = None) -> "Lesson":
        """One question further; a rule is asked only of who said that it is refused."""
        after = self.position + 1
        wanted = self.exercise.wanted
        if after < len(wanted) and wanted[after].kind == "rule" and mark.verdict != "right":
            after += 1
        found_now = self.found if found is None else (*self.found, found)
        return replace(self, position=after, marks=(*self.marks, mark), found=found_now)


def question(lesson: Lesson, *before: Line) -> Reply:
    """The open question, behind these lines."""
    wanted = lesson.wanted
    asked = told.question_line(wanted)
    choices = tuple(Choice(Line("choice", f"learn-rule-{rule}"), ()) for rule in wanted.choices)
    lines = (*before, asked, *(choice.label for choice in choices))
    return Reply("asked", lines, question=Question("learn", asked, choices))


def begin(
    lesson: Lesson, known: frozenset[str] = frozenset(), before: tuple[Line, ...] = ()
) -> Reply:
    """The turn and its first question, behind other lines. known: foods whose label was shown."""
    return question(lesson, *before, *told.opening(lesson.exercise, known))


def answer(lesson: Lesson, text: str) -> tuple[Lesson, tuple[Reply, ...]]:
    """The lesson after an answer, and what is shown: at the end the working, last."""
    wanted = lesson.wanted
    if wanted.kind == "rule":
        given: Given | Refused | Spoken | Doubt | Chosen = read_rule(text, wanted.choices)
    else:
        given = read_answer(text, _unit(wanted), dose=wanted.kind == "dose")
    match given:
        case Doubt():
            return lesson, (question(lesson, Line("answer", given.code, given.args)),)
        case Spoken("hint" | "again" | "labels" | "numbers" | "help"):
            return lesson, (question(lesson, *told.helping(given.word, lesson.exercise, wanted)),)
        case Spoken("stop"):
            return replace(lesson, stopped=True), ()
        case Spoken("why"):
            return _shown(lesson)
        case Spoken():
            mark = Mark(wanted.kind, "skipped")
            return _on(lesson.marked(mark), told.skipped(wanted))
        case Chosen():
            return _rule(lesson, given)
        case Refused():
            return _refused(lesson)
    return _figure(lesson, given)


def _unit(wanted: Wanted) -> Unit:
    if wanted.kind == "dose":
        return "unit"
    return "ml" if wanted.of == "millilitres" else "g"


def _shown(lesson: Lesson) -> tuple[Lesson, tuple[Reply, ...]]:
    """The working is shown before it was asked for: what is left is not judged."""
    left = lesson.exercise.wanted[lesson.position :]
    marks = tuple(Mark(wanted.kind, "shown") for wanted in left if wanted.kind != "rule")
    over = replace(lesson, position=len(lesson.exercise.wanted), marks=(*lesson.marks, *marks))
    return _on(over, (Line("answer", "learn-shown"),))


def _on(lesson: Lesson, lines: tuple[Line, ...]) -> tuple[Lesson, tuple[Reply, ...]]:
    """The judgement with the next question, or at the end with the whole working."""
    if not lesson.over:
        return lesson, (question(lesson, *lines),)
    return lesson, (Reply("answered", lines), closing(lesson))


def closing(lesson: Lesson) -> Reply:
    """The reply of the turn, with marks where the learner's figures part from it."""
    return told.with_marks(lesson.exercise.outcome.reply, lesson.found)


def _rule(lesson: Lesson, given: Chosen) -> tuple[Lesson, tuple[Reply, ...]]:
    wanted = lesson.wanted
    right = given.rule in wanted.rules
    mark = Mark("rule", "right" if right else "wrong", () if right else ("other-rule",))
    return _on(lesson.marked(mark), told.rule_judged(wanted, given.rule))


def _refused(lesson: Lesson) -> tuple[Lesson, tuple[Reply, ...]]:
    wanted = lesson.wanted
    if wanted.refused:
        return _on(lesson.marked(Mark("dose", "right")), (Line("answer", "learn-is-refused"),))
    mark = Mark("dose", "wrong", ("refused-where-dose",))
    return _on(lesson.marked(mark), told.not_refused(wanted))


def _near(value: Fraction, truth: Fraction) -> bool:
    judged = judge_count(value, truth)
    return judged.in_grams or judged.in_share


def _where_refused(lesson: Lesson, given: Given) -> tuple[Lesson, tuple[Reply, ...]]:
    """A dose where it is refused. A mistake behind it is named; the refused figure never is."""
    wanted, scene = lesson.wanted, lesson.exercise.scene
    cap = scene.facts.settings.cap_dose if scene is not None and scene.facts else None
    capped = given.value == cap and "over-dose-cap" in wanted.rules
    found = Suspected()
    if scene is not None and not capped:
        found = suspected(scene, "dose", given, None, lesson.own_count, lesson.counted)
    if len(found.ways) != 1 or len(found.ways[0]) != 1:
        found = Suspected()
    kind = "cap-in-place-of-refusal" if capped else "dose-where-refused"
    mark = Mark("dose", "wrong", (kind, *(m.id for way in found.ways for m in way)))
    lines = told.was_refused(wanted, lesson.exercise, given, capped)
    if found.ways:
        lines = (*lines, *told.suspicions(found))
    return _on(lesson.marked(mark), lines)


def _figure(lesson: Lesson, given: Given) -> tuple[Lesson, tuple[Reply, ...]]:
    wanted, scene = lesson.wanted, lesson.exercise.scene
    if wanted.truth is None:
        return _where_refused(lesson, given)
    found = Suspected()
    right = given.value == wanted.truth if wanted.kind == "dose" else given.same_as(wanted.truth)
    if scene is not None and not right:
        own = lesson.own_count if wanted.kind == "dose" else None
        found = suspected(scene, wanted.of, given, wanted.at, own, lesson.counted)
        if wanted.kind == "count" and _near(given.value, wanted.truth):
            # a fair estimate: two mistakes that happen to give it are not laid at its door
            found = Suspected(tuple(way for way in found.ways if len(way) == 1))
    mistakes = tuple(m.id for m in found.ways[0]) if len(found.ways) == 1 else ()
    mark = Mark(wanted.kind, "right" if right else "wrong", mistakes,
                unclear=found.many or len(found.ways) > 1)  # fmt: skip
    if wanted.kind == "count":
        judged = judge_count(given.value, wanted.truth)
        mark = replace(mark, in_grams=judged.in_grams, in_share=judged.in_share)
        lesson = lesson if right else replace(lesson, own_count=given.value)
    lines = told.figure_judged(lesson.exercise, wanted, given, right, found)
    return _on(lesson.marked(mark, found), lines)

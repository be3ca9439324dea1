"""What holds of every lesson: over the demo sessions, and over made problems."""

from pathlib import Path

import pytest
from classroom import Pupil

from assistant.teaching.answers import Given
from assistant.teaching.dose_mistakes import dose_mistakes
from assistant.teaching.exercise import Wanted, exercise_of
from assistant.teaching.finding import matches, suspected
from assistant.teaching.learner import Lesson
from assistant.teaching.mistake import figure_of
from assistant.teaching.mistakes import count_mistakes
from assistant.teaching.practice import LEVELS, practising, problem, set_out, settle
from assistant.teaching.session_file import Header, Turn, read
from assistant.teaching.stage import staged
from assistant.values import decimal_text

SESSIONS = sorted((Path(__file__).parent.parent.parent / "demo_sessions").glob("*.jsonl"))


def truth(wanted: Wanted) -> str:
    """The right answer, as it can be typed."""
    if wanted.kind == "rule":
        return str(wanted.choices.index(wanted.rules[0]) + 1)
    return "refused" if wanted.truth is None else decimal_text(wanted.truth)


def all_right(exercise) -> int:
    """Answers every question rightly; how many there were."""
    learner = Pupil(exercise, Lesson(exercise))
    told: list[str] = []
    while not learner.lesson.over:
        learner.answer(truth(learner.lesson.wanted))
        told += learner.codes
    assert {mark.verdict for mark in learner.lesson.marks} == {"right"}
    assert not [mark for mark in learner.lesson.marks if mark.mistakes or mark.unclear]
    assert not [c for c in told if c.startswith("mistake-") or c.endswith("part-here")]
    assert "learn-no-way" not in told
    return len(learner.lesson.marks)


@pytest.mark.more
@pytest.mark.parametrize("path", SESSIONS, ids=lambda path: path.stem)
def test_right_answers_to_a_demo_session_get_no_mistake(path):
    with path.open(encoding="utf-8") as file:
        header, turns = read(line.rstrip("\n") for line in file)
        assert isinstance(header, Header)
        with staged(header) as stage:
            for position, turn in enumerate(turns):
                assert isinstance(turn, Turn)
                exercise = exercise_of(stage, turn.say, turn.at, position)
                if exercise is not None:
                    assert exercise.scene is not None or exercise.outcome.reply.counted is None
                    all_right(exercise)
                stage.say(turn.say, turn.at, turn.turn or 0)


def test_the_demo_sessions_have_questions():
    assert len(SESSIONS) >= 5


@pytest.mark.more
@pytest.mark.parametrize("level", range(1, LEVELS + 1))
def test_right_answers_to_made_problems_get_no_mistake(level):
    asked = 0
    with practising(level, 21) as stage:
        for number in range(1, 13):
            given = problem(level, 21, number)
            asked += all_right(set_out(stage, given, number))
            settle(stage, given, number)
    assert asked >= 12


@pytest.mark.more
@pytest.mark.parametrize("level", range(1, LEVELS + 1))
def test_whoever_makes_a_single_mistake_is_told_of_it(level):
    """Each mistake that a made problem has room for, typed to the last digit, is among the ways."""
    tried = 0
    with practising(level, 5) as stage:
        for number in range(1, 9):
            given = problem(level, 5, number)
            scene = set_out(stage, given, number).scene
            settle(stage, given, number)
            assert scene is not None
            ways = [("count", m) for m in count_mistakes(scene)]
            if scene.facts is not None:
                ways += [("dose", m) for m in dose_mistakes(scene)]
            for of, mistake in ways:
                figure = mistake.figure(scene, of)
                right = figure_of(scene, of)
                if figure is None or figure < 0:
                    continue
                typed = Given(figure, 4, "")
                if matches(typed, right, scene, of):
                    continue
                found = suspected(scene, of, typed, counted=True)
                assert (mistake.id, mistake.at) in {(m.id, m.at) for way in found.ways for m in way}
                tried += 1
    assert tried > 20

"""'learn': a session file with questions. 'practice': problems made from a seed.

Nothing of either goes into the user's journal.
"""

import json
import secrets
from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.events import FoodSaved
from assistant.dialogue.replies import Line, Reply
from assistant.render.texts import TEXTS
from assistant.shell import session_files
from assistant.shell.lessons import Classroom
from assistant.shell.options import Options
from assistant.shell.session_files import Opened
from assistant.shell.voice import voice_for
from assistant.shell.world import World
from assistant.teaching import practice as making
from assistant.teaching.exercise import exercise_of
from assistant.teaching.player import moment_of, without_next
from assistant.teaching.session_file import Damage, Turn
from assistant.teaching.stage import FAULTS, Stage, staged
from assistant.teaching.verify import compared
from assistant.values import Amount, Arg, Moment, Name, Said

SEEDS = 1_000_000
"""A seed that is chosen for the learner is below this, so that it is short to type again."""
PROBLEMS = 5
"""Problems of a run, where no number was given."""


def learn(options: Options, world: World) -> int:
    """Goes through the session with questions. 0; 1 for a file that cannot be read whole."""
    voice = voice_for(options, world)
    with session_files.opened(options.rest[0], options, world) as session:
        if isinstance(session, str):
            voice.trouble(session)
            return 1
        room = Classroom(options, voice, "learn-replay")
        room.show(Reply("answered", tuple(_title(session))))
        damage = _through(room, session)
        if damage is not None:
            voice.trouble(session_files.damage_sentence(damage, session.file))
        if not room.asked and not room.stopped:
            room.tell(Line("answer", "learn-no-questions"))
        else:
            room.end(session.header.title)
        return 0 if damage is None else 1


def _title(session: Opened) -> Iterator[Line]:
    header = session.header
    yield Line("answer", "learn-title", {"title": Name(header.title.rstrip("."))})
    if header.teaches:
        yield Line("fact", "learn-teaches", {"teaches": Name(header.teaches.rstrip("."))})
    if header.note:
        yield Line("fact", "replay-note", {"note": Name(header.note.rstrip("."))})


def _through(room: Classroom, session: Opened) -> Damage | None:
    """Turn after turn, until the end, the learner's stop, or the damage."""
    first = next(session.turns, None)
    if first is None or isinstance(first, Damage):
        return first
    try:
        with staged(session.header) as stage:
            turns = session_files.chained(first, session.turns)
            before: Turn | None = None
            for position, turn in enumerate(turns, 1):
                if isinstance(turn, Damage):
                    return turn
                _one(room, stage, turn, position, moment_of(turn, before))
                before = turn
                if room.stopped:
                    return None
    except FAULTS as fault:
        return Damage("header", 1, str(fault))
    return None


def _one(room: Classroom, stage: Stage, turn: Turn, position: int, moment: Moment) -> None:
    """A turn is asked about first, where there is something to ask, and then said."""
    exercise = exercise_of(stage, turn.say, turn.at, position, moment)
    _, outcome, reply = stage.say(turn.say, turn.at, turn.turn or 0)
    differs = any(compared(turn, json.loads(reply)))
    if any(event.kind == "setting-said" for event in outcome.events):
        room.forget_numbers()
    room.forget_labels(e.facts.name for e in outcome.events if isinstance(e, FoodSaved))
    if exercise is not None:
        room.ask(exercise, *((Line("caution", "learn-now-differs"),) if differs else ()))
        return
    args: dict[str, Arg] = {"said": Said(turn.say), "moment": moment}
    room.show(Reply("answered", (Line("answer", "learn-turn", args),)), notice=False)
    room.show(without_next(outcome.reply))


def practice(options: Options, world: World) -> int:
    """Asks problems of a level, made from a seed. 0."""
    level: int = options.get("level") or 1
    given: int | None = options.get("seed")
    seed = secrets.randbelow(SEEDS) if given is None else given
    count: int = options.get("count") or PROBLEMS
    room = Classroom(options, voice_for(options, world), "learn-practice")
    args: dict[str, Arg] = {
        "level": Name(str(level)),
        "seed": Name(str(seed)),
        "count": Amount(Fraction(count), "problem"),
    }
    room.show(Reply("answered", (Line("answer", "practice-seed", args),)))
    with making.practising(level, seed) as stage:
        for number in range(1, count + 1):
            problem = making.problem(level, seed, number)
            exercise = making.set_out(stage, problem, number)
            room.ask(exercise, *_problem(problem, number, count))
            making.settle(stage, problem, number)
            if room.stopped:
                break
    room.end(TEXTS["practice-title"].format(level=level, seed=seed))
    return 0


def _problem(problem: making.Problem, number: int, count: int) -> Iterator[Line]:
    """The number of the problem, and what was typed before it."""
    counted: dict[str, Arg] = {
        "number": Amount(Fraction(number), ""),
        "count": Amount(Fraction(count), ""),
    }
    yield Line("answer", "learn-problem", counted)
    for before in problem.earlier:
        at = making.time_before(problem, before, number)
        yield Line("fact", "learn-before", {"said": Said(before.say), "moment": Moment(at, at)})

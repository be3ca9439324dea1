"""What a learner is told: the lines of each step of a lesson. Their sentences are in the texts."""

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.replies import Line, Reply
from assistant.teaching.answers import Given, Word
from assistant.teaching.exercise import Exercise, Wanted, place_of
from assistant.teaching.finding import Suspected
from assistant.teaching.judging import judge_count, pen_steps
from assistant.teaching.mistake import Mistake
from assistant.values import Amount, Arg, Listed, Phrase, Said

UNITS = {"count": "g", "grams": "g", "millilitres": "ml", "dose": "unit"}


def shown(value: Fraction, wanted: Wanted) -> Amount:
    """A figure of this question, with its unit."""
    return Amount(value, UNITS[wanted.of])


def question_line(wanted: Wanted) -> Line:
    """What is asked."""
    if wanted.kind == "portion":
        code = "learn-ask-grams" if wanted.of == "grams" else "learn-ask-millilitres"
        return Line("question", code, {"said": Said(wanted.said)})
    return Line("question", f"learn-ask-{wanted.kind}")


NUMBERS = "my numbers"
"""Stands for the numbers among the things that were shown before."""


def _numbers(exercise: Exercise) -> tuple[Line, ...]:
    """The numbers of a dose; for a count alone, the way to count."""
    scene = exercise.scene
    if exercise.numbers or scene is None:
        return exercise.numbers
    return (Line("fact", f"set-policy-{scene.ctx.settings.policy}"),)


def opening(exercise: Exercise, known: frozenset[str]) -> tuple[Line, ...]:
    """The turn, the labels that were not shown yet, and what a dose is worked out from."""
    args: dict[str, Arg] = {"said": Said(exercise.said), "moment": exercise.moment}
    lines = [Line("answer", "learn-turn", args)]
    for name, label in exercise.labels:
        lines.extend(() if name in known else label)
    lines.extend(() if NUMBERS in known else _numbers(exercise))
    lines.extend(exercise.earlier)
    return tuple(lines)


def helping(word: Word, exercise: Exercise, wanted: Wanted) -> tuple[Line, ...]:
    """What helps with a question, and gives no answer away."""
    if word == "again":
        return opening(exercise, frozenset(name for name, _ in exercise.labels))
    if word == "labels":
        labels = tuple(line for _, label in exercise.labels for line in label)
        return labels or (Line("answer", "learn-no-labels"),)
    if word == "numbers":
        return (*exercise.numbers, *exercise.earlier) or (Line("answer", "learn-no-numbers"),)
    if word == "help":
        return tuple(Line("fact", f"learn-help-{n}") for n in range(1, 5))
    return _hint(exercise, wanted)


def _hint(exercise: Exercise, wanted: Wanted) -> tuple[Line, ...]:
    lines = [Line("answer", f"learn-hint-{wanted.kind}")]
    scene = exercise.scene
    if wanted.kind == "portion" and scene is not None and wanted.at is not None:
        name = scene.helpings[wanted.at].facts.name
        lines.extend(line for food, label in exercise.labels for line in label if food == name)
    if wanted.kind == "count" and scene is not None:
        lines.append(Line("fact", f"set-policy-{scene.ctx.settings.policy}"))
    if wanted.kind == "dose" and scene is not None and scene.facts is not None:
        lines.append(Line("fact", f"work-formula-{scene.facts.settings.active_rule}"))
        lines.extend((*exercise.numbers, *exercise.earlier))
    return tuple(lines)


def skipped(wanted: Wanted) -> tuple[Line, ...]:
    """The answer of a question that was passed over."""
    if wanted.kind == "rule":
        return (Line("answer", "learn-skipped-rule", {"rules": _rules(wanted.rules)}),)
    if wanted.truth is None:
        return (Line("answer", "learn-skipped-refused"),)
    return (Line("answer", "learn-skipped", {"exact": shown(wanted.truth, wanted)}),)


def _rules(rules: tuple[str, ...]) -> Listed:
    return Listed(tuple(Phrase(f"learn-rule-{rule}") for rule in rules))


def rule_judged(wanted: Wanted, rule: str) -> tuple[Line, ...]:
    """Right or not; all the rules that refuse are told."""
    right = rule in wanted.rules
    code = "learn-rule-right" if right else "learn-rule-wrong"
    lines = [Line("answer", code, {"rules": _rules(wanted.rules)})]
    if right and len(wanted.rules) > 1:
        lines.append(Line("fact", "learn-rules-all", {"rules": _rules(wanted.rules)}))
    return tuple(lines)


def not_refused(wanted: Wanted) -> tuple[Line, ...]:
    """The learner said refused; there is a dose."""
    assert wanted.truth is not None
    return (Line("answer", "learn-not-refused", {"exact": shown(wanted.truth, wanted)}),)


def was_refused(wanted: Wanted, exercise: Exercise, given: Given, capped: bool) -> tuple[Line, ...]:
    """The learner gave a dose; it is refused."""
    args: dict[str, Arg] = {"given": shown(given.value, wanted), "rules": _rules(wanted.rules)}
    if not set(wanted.rules) <= {c for w in exercise.wanted for c in w.choices}:
        return (Line("answer", "learn-was-refused-plainly", args),)
    lines = [Line("answer", "learn-was-refused", args)]
    if capped:
        lines.append(Line("fact", "mistake-cap-in-place-of-refusal", args))
    return tuple(lines)


def figure_judged(
    exercise: Exercise, wanted: Wanted, given: Given, right: bool, found: Suspected
) -> tuple[Line, ...]:
    """How far off the figure is, and what it may come from."""
    assert wanted.truth is not None
    off = given.value - wanted.truth
    args: dict[str, Arg] = {
        "exact": shown(wanted.truth, wanted),
        "given": shown(given.value, wanted),
        "off": shown(abs(off), wanted),
    }
    side = "above" if off > 0 else "below"
    kind = wanted.kind
    if right and off == 0:
        return (Line("answer", f"learn-{kind}-right", args),)
    if right:
        lines = [Line("answer", f"learn-{kind}-rounded", args)]
    else:
        lines = [Line("answer", f"learn-{kind}-{side}", args)]
    if kind == "count":
        lines.extend(_bounds(given, wanted))
    if kind == "dose":
        lines.extend(_steps(exercise, wanted, given))
    if not right:
        lines.extend(suspicions(found))
    return tuple(lines)


def _bounds(given: Given, wanted: Wanted) -> Iterator[Line]:
    """Which of the two published bounds the count meets."""
    assert wanted.truth is not None
    judged = judge_count(given.value, wanted.truth)
    yield Line("fact", judged.code)
    if wanted.truth:
        share = Amount(abs(judged.off) / wanted.truth * 100, "percent", 1)
        yield Line("fact", "judge-share", {"share": share})


def _steps(exercise: Exercise, wanted: Wanted, given: Given) -> Iterator[Line]:
    """How far off a dose is in steps of the pen."""
    scene = exercise.scene
    step = scene.facts.settings.pen_step if scene is not None and scene.facts else None
    if step is None or wanted.truth is None:
        return
    steps = Amount(pen_steps(given.value, wanted.truth, step), "step", 2)
    yield Line("fact", "judge-steps", {"steps": steps, "step": Amount(step, "unit")})


def suspicions(found: Suspected) -> tuple[Line, ...]:
    """The ways to come to the figure, as sentences."""
    if found.many:
        return (Line("fact", "learn-many-ways"),)
    if not found.ways:
        return (Line("fact", "learn-no-way"),)
    lines: list[Line] = []
    several = len(found.ways) > 1
    pairs = len(found.ways[0]) > 1
    if several:
        count = Amount(Fraction(len(found.ways)), "")
        lines.append(Line("fact", "learn-could-be", {"count": count}))
    for number, way in enumerate(found.ways, 1):
        if pairs:
            code = "learn-pair-numbered" if several else "learn-pair"
            lines.append(Line("fact", code, {"number": Amount(Fraction(number), "")}))
        lines.extend(Line("fact", mistake.code, mistake.args) for mistake in way)
    return tuple(lines)


def with_marks(reply: Reply, found: tuple[Suspected, ...]) -> Reply:
    """The reply without what to type next, and with the step at which a figure parts from it."""
    lines = [line for line in reply.lines if line.role != "next" and line.code != "count-only"]
    for each in found:
        sure = len(each.ways) == 1 and len(each.ways[0]) == 1
        for mistake in (m for way in each.ways for m in way):
            _mark(lines, mistake, sure)
    return replace(reply, lines=tuple(lines))


def _mark(lines: list[Line], mistake: Mistake, sure: bool) -> None:
    """One mark behind the first of the mistake's steps, or at its food where none is shown."""
    first, last = (0, len(lines))
    if mistake.at is not None:
        first, last = place_of(tuple(lines), mistake.at)
    places = [n for n in range(first, last) if lines[n].code in mistake.steps]
    if not places and (mistake.at is None or last == 0):
        return
    place = places[0] if places else first
    side = "work" if lines[place].code.startswith("work-") else "count"
    code = f"{side}-parts-here" if sure else f"{side}-may-part-here"
    mark = Line("working", code, {"what": Phrase(f"kind-{mistake.id}")})
    if mark not in lines[place : place + 3]:
        lines.insert(place + 1, mark)

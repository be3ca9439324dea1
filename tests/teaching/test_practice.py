"""Problems from a seed: the same again, and each one answered by the core."""

from fractions import Fraction

import pytest

from assistant.dosing.rules import all_rules
from assistant.render.texts import TEXTS
from assistant.render.turns import turn
from assistant.teaching.draws import Draws
from assistant.teaching.exercise import REFUSING
from assistant.teaching.practice import (
    LEVELS,
    RECIPES,
    numbers,
    practising,
    problem,
    set_out,
    settle,
    time_before,
    time_of,
)  # fmt: skip
from assistant.teaching.sample_foods import DEMO_FOODS, PRACTICE_FOODS, WAYS

SEEDS, ALL_SEEDS = 30, 500


def test_draws_are_the_same_on_every_machine():
    """SHA-256 of "a 1", by the standard (FIPS 180-4), here from another maker of it."""
    import hashlib

    expected = int.from_bytes(hashlib.new("sha256", b"a 1").digest()[:8], "big")
    assert Draws("a").below(2**64) == expected


def test_the_same_seed_gives_the_same_problems():
    for level in range(1, LEVELS + 1):
        first = [problem(level, 7, n) for n in range(1, 20)]
        assert first == [problem(level, 7, n) for n in range(1, 20)]
        assert first != [problem(level, 8, n) for n in range(1, 20)]
        assert len({p.say for p in first}) > 8


def test_a_problem_does_not_depend_on_those_before_it():
    with practising(4, 11) as stage:
        for number in range(1, 6):
            given = problem(4, 11, number)
            after_others = set_out(stage, given, number).outcome.reply
            with practising(4, 11) as fresh:
                alone = set_out(fresh, given, number).outcome.reply
            assert (alone.counted, alone.dose, alone.status) == (
                after_others.counted, after_others.dose, after_others.status,
            )  # fmt: skip
            settle(stage, given, number)


def by_numbers(level, seeds):
    """Seeds whose settings are the same, together: they share a stage."""
    found: dict[tuple[str, ...], list[int]] = {}
    for seed in range(seeds):
        found.setdefault(numbers(level, seed), []).append(seed)
    return found.values()


@pytest.mark.more
@pytest.mark.parametrize("level", range(1, LEVELS + 1))
def test_every_problem_can_be_answered(level):
    """A count each, from level 4 on with a dose or a refusal, and nothing asked."""
    answered(level, SEEDS)


@pytest.mark.long
@pytest.mark.parametrize("level", range(1, LEVELS + 1))
def test_every_problem_of_500_seeds_can_be_answered(level):
    answered(level, ALL_SEEDS)


def answered(level, count):
    refused = doses = 0
    for seeds in by_numbers(level, count):
        with practising(level, seeds[0]) as stage:
            for number, seed in enumerate(seeds, 1):
                given = problem(level, seed, 1)
                for before in given.earlier:
                    at = time_before(given, before, number)
                    stage.say(before.say, at)
                outcome = stage.ask(given.say, time_of(given, number))
                reply = outcome.reply
                assert reply.counted is not None, given
                assert reply.status in {"answered", "refused"}, given
                assert reply.question is None, given
                if level >= 4:
                    assert (reply.dose is not None) or reply.status == "refused", given
                refused += reply.status == "refused"
                doses += reply.dose is not None
                settle(stage, given, number)
    if level == 4:
        assert doses > 0.85 * count
    if level == 5:
        assert 0.4 * count < refused < 0.9 * count
        assert doses > 0.1 * count


def test_the_mistakes_of_made_problems_can_be_worked_out():
    """Each problem has a scene whose figures are the reply's: counted anew, by the core."""
    for level in range(1, LEVELS + 1):
        with practising(level, 3) as stage:
            for number in range(1, 13):
                given = problem(level, 3, number)
                exercise = set_out(stage, given, number)
                scene = exercise.scene
                assert scene is not None
                assert scene.count == exercise.outcome.reply.counted.value
                dose = exercise.outcome.reply.dose
                if dose is not None:
                    assert scene.dose() == dose.suggested
                settle(stage, given, number)


def test_each_level_teaches_what_it_is_for():
    says = {level: " | ".join(problem(level, s, n).say for s in range(20) for n in range(1, 6))
            for level in range(1, LEVELS + 1)}  # fmt: skip
    assert "glucose" not in says[1] + says[2] + says[3]
    assert "servings" in says[1]
    assert " and " not in says[1].replace("half and half", "cream")
    assert all(word in says[2] for word in (" g ", " ml ", "pack", " and "))
    assert all(food in says[3] for food in ("mint bar", "berry drops", "rye bread", "oat cereal"))
    assert "glucose" in says[4]
    earlier = [e.say for s in range(20) for n in range(1, 6) for e in problem(4, s, n).earlier]
    assert earlier
    assert all(say.startswith("took ") for say in earlier)
    assert "no reading" in says[5]


def test_portions_of_every_food_are_known():
    named = {
        food.split(":")[0].removeprefix("new food ") for food in (*DEMO_FOODS, *PRACTICE_FOODS)
    }
    assert set(WAYS) == named


def test_a_problem_by_hand():
    """Half a pack of lentil salad of 300 g is 150 g: 150 x 14 / 100 = 21 g."""
    from datetime import UTC, datetime

    with practising(1, 0) as stage:
        reply = stage.ask("1/2 pack of lentil salad", datetime(2026, 3, 3, tzinfo=UTC)).reply
    assert reply.counted.value == Fraction(21)


def test_rules_to_choose_from_are_those_that_refuse():
    """By reading dosing/rules*.py: what gives Finding(..., "refuse")."""
    known = {rule.id for rule in all_rules()}
    assert set(REFUSING) <= known
    import re
    from pathlib import Path

    import assistant.dosing

    source = "\n".join(
        path.read_text()
        for path in sorted(Path(assistant.dosing.__file__).parent.glob("rules*.py"))
    )
    classes = re.split(r"\nclass ", source)
    refuse = {m[1] for c in classes if '"refuse"' in c and (m := re.search(r'id = "([\w-]+)"', c))}
    assert set(REFUSING) == refuse
    assert all(f"learn-rule-{rule}" in TEXTS for rule in REFUSING)


def test_the_dialogue_is_what_answers():
    """The stage's answer is the dialogue's own."""
    given = problem(2, 5, 1)
    with practising(2, 5) as stage, stage.looking() as (record, foods):
        at = time_of(given, 1)
        assert turn(record, foods, given.say, at).reply == stage.ask(given.say, at).reply


def test_recipes_are_practised_without_telling_what_they_count() -> None:
    """The learner gets what goes in, what comes out and the labels: a count would be the answer."""
    met = 0
    for seed in range(6):
        with practising(3, seed) as stage:
            for number in range(1, 7):
                given = problem(3, seed, number)
                if not any(name in given.say for name in RECIPES):
                    continue
                met += 1
                exercise = set_out(stage, given, number)
                codes = [line.code for _, lines in exercise.labels for line in lines]
                assert codes.count("learn-ingredient") == 2
                assert "recipe-makes-only" in codes
                assert not {"recipe-makes", "recipe-whole", "recipe-part"} & set(codes)
    assert met > 3

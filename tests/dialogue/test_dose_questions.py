"""What a rule asks, and the lines of a reduced dose, from facts that no phrase gives yet."""

from datetime import timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace
from strategies import NOW, ago, invented_facts, invented_settings

from assistant.dialogue.asking import Answer, answer_to
from assistant.dialogue.dose_questions import question_of
from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.meal_lines import dose_lines
from assistant.dialogue.outcome import ask
from assistant.dialogue.record import Kept
from assistant.dialogue.state import context
from assistant.dosing.rules import Finding
from assistant.dosing.working import Reduction, work_out
from assistant.render.arguments import sentence
from assistant.values import Ranged

RUN = "1 serving of oat cereal, glucose 162, going for a run"


@pytest.mark.parametrize(
    ("said", "texts"),
    [
        ("30%", (f"{RUN}, 30% less",)),
        ("30 percent less", (f"{RUN}, 30% less",)),
        ("12.5 per cent", (f"{RUN}, 12.5% less",)),
        ("no reduction", (f"{RUN}, no reduction",)),
        ("none", (f"{RUN}, no reduction",)),
        *((wrong, None) for wrong in ("a bit", "30", "100%", "30% more", "-30%")),
    ],
)
def test_the_answer_to_activity_is_put_into_the_sentence(dosing, said, texts):
    with dosing.store.reading() as (record, foods):
        ctx = context(record, foods, RUN, dosing.now)
        (event,) = ask(question_of(ctx, Finding("activity-not-settled", "ask"), ()), RUN).events
        assert isinstance(event, QuestionAsked)
        waiting = replace(ctx, text=said, question=Kept(event, 1, dosing.now, RUN))
        given = answer_to(waiting, sentence=False)
    assert (given.texts if isinstance(given, Answer) else None) == texts


def told(facts):
    return [sentence(line, "spoken") for line in dose_lines(facts, work_out(facts))]


def test_a_reduction_is_shown_step_by_step():
    """60/10 + (220 - 120)/50 is 8; less 30 per cent is 5.6."""
    settings = invented_settings(max_reduction=Fraction(1, 2))
    reduction = Reduction(Fraction(3, 10), "activity")
    lines = told(invented_facts("60", "220", settings, reduction=reduction))
    assert "Sum: 6 units plus 2 units is 8 units." in lines
    assert (
        "Reduction for activity: 30 percent of 8 units is 2.4 units. 8 units minus 2.4 units is "
        "5.6 units." in lines
    )
    assert "Rounded down to a step of 1 unit: 5.6 units becomes 5 units." in lines


def test_a_stated_nought_shows_no_reduction():
    facts = invented_facts("60", "220", reduction=Reduction(Fraction(0), "activity"))
    assert not [line for line in told(facts) if line.startswith("Reduction")]


def test_a_range_within_one_step_names_no_item():
    both = Ranged(Fraction(52), Fraction(50), Fraction(55))
    lines = told(invented_facts(both, "120", widest="rice"))
    assert any("Both round to 5 units" in line for line in lines)
    assert not [line for line in lines if "rice" in line]
    lines = told(invented_facts(Ranged(Fraction(52), Fraction(45), Fraction(55)), "120",
                                widest="rice"))  # fmt: skip
    assert "Most of that range comes from rice. Weigh it to narrow the range." in lines


def test_a_dose_dated_ahead_is_told_as_such():
    lines = told(invented_facts("60", "220", doses=[ago("4", hours=-1)]))
    assert any("dated after now" in line for line in lines)


def test_the_settings_are_told_with_the_day_on_which_they_were_said():
    day = timedelta(days=1)
    since = {"ratio": NOW - day, "target": NOW, "factor": NOW - day + timedelta(minutes=5)}
    lines = told(invented_facts("60", "220", invented_settings(since=since)))
    used = [line for line in lines if line.startswith("Settings used")]
    assert len(used) == 2
    assert "12:05 yesterday: the insulin-to-carb ratio and the correction factor" in used[0]
    assert "at 12:00: the glucose target" in used[1]

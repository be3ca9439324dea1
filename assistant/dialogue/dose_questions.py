"""The questions that a rule of the review can lead to. Each answer makes a whole sentence."""

from assistant.dialogue import meal_questions as questions
from assistant.dialogue.clocks import clock_question, clocks
from assistant.dialogue.meal_questions import bare
from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.dosing.rules import Finding


def question_of(ctx: Context, finding: Finding, lines: tuple[Line, ...]) -> Ask:
    """What is asked, after the lines of the count."""
    code = f"rule-{finding.rule}"
    match finding.rule:
        case "glucose-not-given":
            return questions.glucose(ctx, lines)
        case "clock-changed":
            found = clocks(ctx.record, ctx.settings, ctx.now)
            return questions.after(clock_question(ctx, found, ctx.text), lines)
        case "activity-not-settled":
            text = bare(ctx.text)
            slot = Slot("percent", (f"{text}, {ANSWER}% less", f"{text}, no reduction"))
            return Ask("activity", code, before=lines, slot=slot, hint=("no reduction", "cancel"))
        case "same-meal-twice" | "range-too-wide":
            again = bare(ctx.text) + ", that is right"
            choices = (
                choice(f"choice-{finding.rule}", again, word="yes"),
                choice("choice-drop-meal", "cancel", word="no"),
            )
            return Ask(finding.rule, code, finding.args, before=lines, choices=choices)
    return Ask("rule", code, finding.args, before=lines)

"""The questions that a rule of the review can lead to. Each answer makes a whole sentence."""

from datetime import timedelta

from assistant.dialogue import meal_questions as questions
from assistant.dialogue.clocks import clock_question, clocks
from assistant.dialogue.meal_questions import bare
from assistant.dialogue.outcome import Ask, choice
from assistant.dialogue.replies import Choice, Line, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.dosing.rules import Finding
from assistant.values import decimal_text
from grammar.nodes import Complaint
from grammar.phrases import read_phrase


def question_of(ctx: Context, finding: Finding, lines: tuple[Line, ...]) -> Ask:
    """What is asked, after the lines of the count."""
    code = f"rule-{finding.rule}"
    match finding.rule:
        case "glucose-not-given":
            return questions.glucose(ctx, lines)
        case "newer-reading":
            return newer_reading(ctx, finding, lines)
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


def newer_reading(ctx: Context, finding: Finding, lines: tuple[Line, ...]) -> Ask:
    """The newer reading of the journal in place of the one said, or a figure measured now."""
    text, last = bare(ctx.text), ctx.reading_of_the_day()
    phrase = read_phrase(text)
    assert last is not None
    assert not isinstance(phrase, Complaint)
    clauses = sorted(phrase.clauses, key=lambda clause: clause.start)
    at = next(place for place, clause in enumerate(clauses) if clause.kind == "glucose")
    begin, end = clauses[at].start, clauses[at].end
    for clause in clauses[at + 1 :]:  # its time, where one was said
        if clause.kind == "when" and not text[end : clause.start].strip():
            end = clause.end

    def put(words: str) -> str:
        return f"{text[:begin]}glucose {words}{text[end:]}"

    choices = [choice("choice-drop-meal", "cancel", word="no")]
    age = -(-(ctx.read - last.taken_at) // timedelta(minutes=1))
    if age >= 0:
        ago = {0: "", 1: " 1 minute ago"}.get(age, f" {age} minutes ago")
        newer = put(f"{decimal_text(last.glucose.value)} {last.glucose.unit}{ago}")
        line = Line("choice", "choice-newer-reading", finding.args)
        choices.insert(0, Choice(line, (newer,), "newer"))
    return Ask("glucose", f"rule-{finding.rule}", finding.args, before=lines,
               choices=tuple(choices), slot=Slot("glucose", (put(ANSWER),)))  # fmt: skip

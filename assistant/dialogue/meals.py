"""A phrase about food: resolved, counted, worked to a suggestion, a refusal or a question."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from assistant.counting.policy import POLICIES, Policy, Unknown, count_reference
from assistant.counting.portions import Need, weigh
from assistant.dialogue import meal_questions as questions
from assistant.dialogue.dose_facts import facts_of
from assistant.dialogue.dose_questions import question_of
from assistant.dialogue.events import (
    DoseRefused,
    DoseSuggested,
    Event,
    GlucoseRead,
    LowFelt,
    MealCounted,
)
from assistant.dialogue.glucose import settle
from assistant.dialogue.label_explained import avoided
from assistant.dialogue.lows import treat_low
from assistant.dialogue.meal_lines import (
    dose_lines,
    portion_lines,
    rule_hit,
    settings_used,
    total_line,
    units,
)
from assistant.dialogue.outcome import Ask, Outcome, answer, ask, caution, choice, next_step
from assistant.dialogue.plates import Plate
from assistant.dialogue.replies import Dose, Line, Portion, Reply, RuleHit
from assistant.dialogue.resolve import Found, Meaning, Resolved, resolve
from assistant.dialogue.state import Context
from assistant.dosing.review import Asks, Refusal, Suggestion, review
from assistant.dosing.rules import all_rules, is_low
from assistant.dosing.working import Facts, NoReading, NotGiven, Reading
from assistant.values import Amount, Arg, Glucose, Name, Ranged, Said, decimal_text
from grammar.nodes import Complaint, Phrase, Unclear, Unstated
from grammar.phrases import loose_joiner, read_phrase

_LOWS = frozenset({"glucose-low", "glucose-was-low", "low-was-felt"})

MAX_FOODS = 40
"""Foods of one sentence; a longer list is no plate."""


def count_item(
    found: Found, policy: Policy, ctx: Context
) -> tuple[Portion, tuple[Line, ...]] | Ask:
    """One food, counted; or what has to be asked."""
    item, facts = found.item, found.food.facts
    if isinstance(item.quantity, Unstated):
        return questions.how_much(ctx, found)
    if isinstance(item.quantity, Unclear):
        return questions.unclear_amount(ctx, item)
    weighed = weigh(facts, item.quantity.value, item.measure, item.name, ctx.settings.kitchen)
    if isinstance(weighed, Need):
        return questions.missing_measure(ctx, found, weighed)
    counted = count_reference(facts, policy, ctx.settings.polyols)
    if isinstance(counted, Unknown):
        return questions.unknown_figure(ctx, found, counted)
    total = counted.result.times(weighed.factor)
    portion = Portion(
        item.said, facts.name, weighed.quantity, weighed.unit.removeprefix("label "),
        weighed.grams, weighed.millilitres, total,
    )  # fmt: skip
    warned = avoided(facts, ctx.settings.avoid)
    return portion, (*warned, *portion_lines(item.said, facts, weighed, counted, total))


def count_meaning(meaning: Meaning, policy: Policy, ctx: Context) -> Plate | Ask:
    """A whole reading, counted; or the first thing that has to be asked."""
    portions: list[Portion] = []
    lines: list[Line] = []
    for found in meaning:
        result = count_item(found, policy, ctx)
        if isinstance(result, Ask):
            return questions.after(result, tuple(lines))
        portions.append(result[0])
        lines.extend(result[1])
    counted = sum((p.counted for p in portions), Ranged.exactly(Fraction(0)))
    return Plate(tuple(portions), tuple(lines), counted)


def meal(ctx: Context) -> Outcome | None:
    """The turn for a phrase. None where the text has nothing that could be food.

    A low in it is told and kept at once, whatever else in the sentence has to be asked.
    """
    outcome = _meal(ctx)
    if outcome is None or outcome.reply.status != "asked":
        return outcome
    return _low_first(ctx) or outcome


def _low_first(ctx: Context) -> Outcome | None:
    """The reply when a sentence that cannot be counted yet says that glucose is low."""
    phrase = read_phrase(ctx.text)
    if isinstance(phrase, Complaint):
        return None
    for clause in phrase.clauses:
        if clause.kind == "low-said":
            return low_without_count(ctx, (LowFelt(ctx.text),), "low-was-felt", {})
        unit = clause.unit if clause.unit in {"mg/dL", "mmol/L"} else None
        if clause.value is None:
            continue
        settled = settle(clause.value, unit, ctx.settings, str)  # type: ignore[arg-type]
        if isinstance(settled, Glucose) and is_low(settled):
            shown = {"glucose": Amount(settled.value, settled.unit)}
            return low_without_count(ctx, (GlucoseRead(settled, ctx.now),), "glucose-low", shown)
    return None


def low_without_count(
    ctx: Context, events: tuple[Event, ...], rule: str, args: Mapping[str, Arg]
) -> Outcome:
    """A low first: the steps, and that the meal was not counted."""
    hit = RuleHit(rule, Line("refusal", f"rule-{rule}", args))
    lines = (
        Line("answer", "refused"),
        hit.line,
        *treat_low(ctx),
        Line("fact", "meal-not-counted"),
        Line("next", "next-after-low"),
    )
    return Outcome(Reply("refused", lines, rules=(hit,)), events)


def _meal(ctx: Context) -> Outcome | None:
    phrase = read_phrase(ctx.text)
    if isinstance(phrase, Complaint):
        return ask(Ask("unread", f"phrase-{phrase.why}"), ctx.text)
    if not phrase.pieces:
        return None
    loose = loose_joiner(phrase)
    if loose is not None:
        return ask(Ask("unread", "loose-joiner", {"said": Said(loose.said)}, unread=(loose.said,)),
                   ctx.text)  # fmt: skip
    if len(phrase.pieces) > MAX_FOODS:
        return ask(Ask("unread", "phrase-too-long"), ctx.text)
    resolved = resolve(phrase, ctx.foods)
    if not isinstance(resolved, Resolved):
        if ctx.text.count("\n") >= 2:
            return ask(questions.unreadable_paste(resolved), ctx.text)
        return ask(questions.unknown_name(ctx, resolved), ctx.text)
    policy = ctx.settings.policy
    if policy is None:
        return ask(_policy_question(ctx), ctx.text)
    plates = [count_meaning(m, policy, ctx) for m in resolved.meanings]
    first = plates[0]
    if (len(plates) > 1 and not _same(plates)) or resolved.cut:
        return ask(questions.which_meaning(ctx, phrase, resolved.meanings, plates), ctx.text)
    if isinstance(first, Ask):
        return ask(first, ctx.text)
    odd = questions.implausible(ctx, first.portions)
    if odd:
        return ask(odd, ctx.text)
    reading = _reading(ctx, phrase)
    if isinstance(reading, Ask):
        return ask(reading, ctx.text)
    return _dose(ctx, first, facts_of(ctx, first, reading, resolved.meanings[0]))


def _same(plates: list[Plate | Ask]) -> bool:
    """Do all readings come to the same foods and counts?"""
    keys = {
        tuple((p.food, p.counted) for p in plate.portions) if isinstance(plate, Plate) else None
        for plate in plates
    }
    return len(keys) == 1 and None not in keys


def _policy_question(ctx: Context) -> Ask:
    sentences = {
        "total": "count total carbohydrate",
        "net": "count net carbohydrate",
        "fibre-over-5": "count fibre over 5 g halved",
    }
    choices = tuple(choice(f"choice-policy-{p}", sentences[p], ctx.text) for p in POLICIES)
    return Ask("policy", "ask-policy", choices=choices)


def _reading(ctx: Context, phrase: Phrase) -> Reading | Ask:
    if not phrase.clauses:
        return NotGiven()
    if len(phrase.clauses) > 1:
        return Ask("glucose-figure", "glucose-twice", hint=("glucose 162 mg/dL",))
    clause = phrase.clauses[0]
    if clause.kind == "low-said":
        return Ask("glucose-figure", "glucose-in-words")
    if clause.kind == "high-said":
        return Ask("glucose-figure", "meter-high")
    if clause.kind == "no-reading" or clause.value is None:
        return NoReading()
    before, after = ctx.text[: clause.start], ctx.text[clause.end :]
    unit = clause.unit if clause.unit in {"mg/dL", "mmol/L"} else None
    return settle(
        clause.value,
        unit,  # type: ignore[arg-type]
        ctx.settings,
        lambda figure: f"{before}glucose {figure}{after}",
    )


def _dose(ctx: Context, plate: Plate, facts: Facts) -> Outcome:
    counted, reading = (
        MealCounted(ctx.text, plate.portions, plate.counted, plate.lines),
        facts.glucose,
    )
    if ctx.settings.untouched and isinstance(reading, NotGiven):
        return _count_only(plate, counted, facts.unchecked)
    verdict = review(facts, ctx.open_suggestion(), all_rules())
    read: tuple[Event, ...] = ()
    if isinstance(reading, Glucose):
        read = (GlucoseRead(reading, min(facts.glucose_at or ctx.now, ctx.now)),)
    if isinstance(verdict, Asks):
        lines = (*plate.lines, total_line(plate.counted))
        return ask(question_of(ctx, verdict.finding, lines), ctx.text)
    if isinstance(verdict, Refusal):
        return _refused(ctx, plate, verdict, read)
    return _suggested(ctx, plate, facts, verdict, (*read, counted))


def _count_only(plate: Plate, counted: MealCounted, unchecked: tuple[str, ...]) -> Outcome:
    lines = (
        replace(total_line(plate.counted, "answer-count"), role="answer"),
        *plate.lines,
        *(caution("food-failed-check", food=Name(name)) for name in unchecked),
        Line("fact", "count-only"),
    )
    reply = Reply("answered", lines, plate.portions, plate.counted)
    return Outcome(reply, (counted,))


def _refused(ctx: Context, plate: Plate, verdict: Refusal, read: tuple[Event, ...]) -> Outcome:
    hits = tuple(rule_hit(f) for f in verdict.findings)
    warned = tuple(rule_hit(f) for f in verdict.cautions)
    low = [h for h in hits if h.rule in _LOWS]
    lines: list[Line] = [Line("answer", "refused")]
    for hit in low or hits:
        lines.append(hit.line)
        lines.extend(questions.after_refusal(hit.rule, ctx))
    lines.extend(hit.line for hit in warned)
    lines.append(total_line(plate.counted))
    if low:  # a low comes first: the steps, the count, and nothing to read through
        lines.append(Line("next", "next-after-low"))
    else:
        lines.extend(plate.lines)
        lines.append(Line("next", "next-after-refusal"))
    reply = Reply("refused", tuple(lines), plate.portions, plate.counted, None, (*hits, *warned))
    event = DoseRefused(ctx.text, tuple(h.rule for h in hits), tuple(lines))
    return Outcome(reply, (*read, event))


def _suggested(
    ctx: Context, plate: Plate, facts: Facts, given: Suggestion, events: tuple[Event, ...]
) -> Outcome:
    w = given.working
    hits = tuple(rule_hit(f) for f in given.cautions)
    code = "suggest" if given.units > 0 else "suggest-none"
    lines = [
        answer(code, units=units(given.units)),
        caution("only-a-suggestion"),
        total_line(plate.counted),
        *(hit.line for hit in hits),
        *plate.lines,
        *dose_lines(facts, w),
    ]
    if given.units > 0:
        took = f"took {decimal_text(given.units)} units"
        lines.append(next_step(took, "not taken", "cancel", "why", code="next-after-dose"))
    dose = Dose(
        given.units, w.exact, w.meal.value, w.correction, w.active_total,
        settings_used(ctx.settings, facts),
    )  # fmt: skip
    reply = Reply("answered", tuple(lines), plate.portions, plate.counted, dose, hits)
    if given.units > 0:
        suggested = DoseSuggested(ctx.text, given.units, w.exact, tuple(lines))
        events = (*events, suggested)
    return Outcome(reply, events)

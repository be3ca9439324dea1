"""A phrase about food: resolved, counted, worked to a suggestion, a refusal or a question."""

from collections.abc import Mapping
from datetime import timedelta
from fractions import Fraction

from msgspec.structs import replace

from assistant.counting.nutrients import sums
from assistant.counting.policy import POLICIES
from assistant.dialogue import amount_questions, fate, offers
from assistant.dialogue import meal_questions as questions
from assistant.dialogue.dose_facts import facts_of
from assistant.dialogue.dose_questions import question_of
from assistant.dialogue.events import (
    DoseRefused,
    DoseSuggested,
    Eaten,
    Event,
    GlucoseRead,
    LowFelt,
    MealCounted,
)
from assistant.dialogue.glucose import settle
from assistant.dialogue.item_counts import count_meaning
from assistant.dialogue.last_meal import (
    as_dosed,
    carried,
    dose_since,
    is_of_now,
    last_meal,
    none_to_change,
)
from assistant.dialogue.lead_names import lead_or_name
from assistant.dialogue.lows import LOWS, treat_low
from assistant.dialogue.meal_lines import (
    dose_lines,
    grams,
    rule_hit,
    settings_used,
    total_line,
    units,
)
from assistant.dialogue.more_after_dose import as_food
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    ask,
    caution,
    choice,
    fact,
    next_step,
    took_text,
)
from assistant.dialogue.plates import Plate
from assistant.dialogue.record import Kept
from assistant.dialogue.replies import Dose, Line, Reply, RuleHit
from assistant.dialogue.resolve import Resolved, resolve
from assistant.dialogue.said_around import Around, said_around
from assistant.dialogue.state import Context
from assistant.dosing.active import Taken
from assistant.dosing.review import Asks, Refusal, Suggestion, review
from assistant.dosing.rules import all_rules, is_low
from assistant.dosing.rules_time import FRESH
from assistant.dosing.working import Facts, NotGiven
from assistant.values import Amount, Arg, Glucose, Name, Said, decimal_text
from grammar.nodes import Complaint, Phrase
from grammar.phrases import loose_joiner, read_phrase

MINUTE = timedelta(minutes=1)
MAX_FOODS = 40
"""Foods of one sentence; a longer list is no plate."""


def meal(ctx: Context) -> Outcome | None:
    """The turn for a phrase. None where the text has nothing that could be food.

    A low in it is told and kept at once, whatever else in the sentence has to be asked.
    """
    outcome = _meal(ctx)
    if outcome is None or outcome.reply.status != "asked":
        return outcome
    return _low_first(ctx) or fate.with_reading(ctx, outcome)


def _low_first(ctx: Context) -> Outcome | None:
    """The reply when a sentence that cannot be counted yet says that glucose is low."""
    phrase = read_phrase(ctx.text)
    if isinstance(phrase, Complaint):
        return None
    for clause in phrase.clauses:
        if clause.kind == "low-said":
            return low_without_count(ctx, (LowFelt(ctx.text),), "low-was-felt", {})
        unit = clause.unit if clause.unit in {"mg/dL", "mmol/L"} else None
        if clause.kind != "glucose" or clause.value is None:
            continue
        settled = settle(clause.value, unit, ctx.settings, str)  # type: ignore[arg-type]
        if isinstance(settled, Glucose) and is_low(settled):
            return low_read(ctx, settled, (GlucoseRead(settled, ctx.now),))
    return None


def low_read(ctx: Context, glucose: Glucose, events: tuple[Event, ...]) -> Outcome:
    """A low first: the figure, the steps, and that the meal was not counted."""
    shown = {"glucose": Amount(glucose.value, glucose.unit)}
    return low_without_count(ctx, events, "glucose-low", shown)


def low_without_count(
    ctx: Context,
    events: tuple[Event, ...],
    rule: str,
    args: Mapping[str, Arg],
    rest: Line | None = None,
) -> Outcome:
    """A low first: the steps, and that the meal was not counted; rest tells that in other words."""
    hit = RuleHit(rule, Line("refusal", f"rule-{rule}", args))
    lines = (
        Line("answer", "refused"),
        hit.line,
        *treat_low(ctx),
        rest or Line("fact", "meal-not-counted"),
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
    named = lead_or_name(ctx, phrase)
    if named is not None:
        return ask(named, ctx.text)
    if not isinstance(resolved, Resolved):
        if ctx.text.count("\n") >= 2:
            return ask(questions.unreadable_paste(resolved), ctx.text)
        asked = ask(questions.unknown_name(ctx, resolved), ctx.text)
        return fate.of_foods(phrase, resolved, asked)
    plate = _plate(ctx, phrase, resolved)
    if isinstance(plate, Ask):
        return ask(plate, ctx.text)
    around = said_around(ctx, phrase)
    if isinstance(around, Ask):
        return ask(around, ctx.text)
    if isinstance(around, Outcome):
        return around
    return _dose(ctx, plate, around)


def _plate(ctx: Context, phrase: Phrase, resolved: Resolved) -> Plate | Ask:
    """The one plate that the words mean, counted through; or what has to be asked."""
    policy = ctx.settings.policy
    if policy is None:
        return _policy_question(ctx)
    plates = [count_meaning(m, policy, ctx) for m in resolved.meanings]
    first = plates[0]
    if (len(plates) > 1 and not _same(plates)) or resolved.cut:
        return questions.which_meaning(ctx, phrase, resolved.meanings, plates)
    if isinstance(first, Ask):
        return first
    if first.open:
        return amount_questions.narrow(ctx, first)
    odd = questions.implausible(ctx, first.portions)
    if odd:
        return odd
    return first


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


def _dose(ctx: Context, plate: Plate, around: Around) -> Outcome:
    facts = facts_of(ctx, plate, around)
    reading = facts.glucose
    if around.count_only:
        return _count_asked(ctx, plate, facts)
    replaced = None
    if around.replaces:
        replaced = last_meal(ctx)
        if replaced is None:
            code, hint = none_to_change(ctx)
            return ask(Ask("change", code, hint=hint), ctx.text)
        untimed = around.glucose_at is None or around.glucose_waited
        if isinstance(reading, Glucose) and untimed:
            repeats = carried(ctx, reading)
            if repeats is not None and not is_of_now(ctx, repeats):
                shown: dict[str, Arg] = {
                    "glucose": Amount(reading.value, reading.unit),
                    "moment": ctx.moment(repeats.said_at),
                }
                return ask(Ask("glucose-figure", "ask-carried-glucose", shown,
                               hint=(offers.glucose(ctx.settings),)), ctx.text)  # fmt: skip
    turn = replaced.turn if replaced else None
    eaten = tuple(
        Eaten(s.nutrient, s.amount, s.unit, s.known, s.missing) for s in sums(plate.parts)
    )
    counted = MealCounted(ctx.text, plate.portions, plate.counted, plate.lines, turn, eaten)
    if replaced is not None:
        facts = replace(facts, same_meal_at=None)
        taken = dose_since(ctx, replaced)
        if taken is not None:
            more = _more_after_dose(ctx, plate, facts, replaced, taken)
            changed = more or _changed_after_dose(ctx, plate, counted, facts, taken)
            return changed if more else _with_reading(ctx, facts, changed)
    if ctx.settings.untouched and isinstance(reading, NotGiven):
        dose_words = facts.reduction is not None or facts.activity or facts.illness
        why = "count-only-dose-words" if dose_words else "count-only"
        return _count_only(plate, counted, facts.unchecked, why)
    verdict = review(facts, ctx.open_suggestion(), all_rules())
    read = _read(ctx, facts)
    if isinstance(verdict, Asks):
        lines = (*plate.lines, total_line(plate.counted))
        return ask(question_of(ctx, verdict.finding, lines), ctx.text)
    if isinstance(verdict, Refusal):
        return _refused(ctx, plate, verdict, read)
    return _suggested(ctx, plate, facts, verdict, (*read, counted))


def _count_asked(ctx: Context, plate: Plate, facts: Facts) -> Outcome:
    """ "count ...", "..., no dose": the count and nothing else. A reading beside it is logged, and
    that is told."""
    outcome = _with_reading(ctx, facts, _count_only(plate, None, facts.unchecked, "count-asked"))
    reading, reply = facts.glucose, outcome.reply
    if reply.status != "answered":
        return outcome
    told: list[Line] = []
    if isinstance(reading, Glucose):
        shown = Amount(reading.value, reading.unit)
        told.append(Line("fact", "count-glucose-logged", {"glucose": shown}))
    phrase = read_phrase(ctx.text)
    assert not isinstance(phrase, Complaint)
    said = next(c.said for c in phrase.clauses if c.kind == "count-only")
    asks = said.casefold().startswith(("how", "what", "carb"))
    if not ctx.settings.untouched and not asks:
        told.append(Line("next", "count-or-dose", {"said": Said(said.strip(" ,:"))}))
    return replace(outcome, reply=replace(reply, lines=(*reply.lines, *told)))


def _with_reading(ctx: Context, facts: Facts, outcome: Outcome) -> Outcome:
    """A count without a dose keeps the reading said with it; a low one comes before everything."""
    reading = facts.glucose
    if not isinstance(reading, Glucose):
        return outcome
    read = _read(ctx, facts)
    if is_low(reading):
        return low_read(ctx, reading, read)
    return replace(outcome, events=(*read, *outcome.events))


def _read(ctx: Context, facts: Facts) -> tuple[Event, ...]:
    """The reading for the journal; one carried over into a changed meal is there already."""
    reading, last = facts.glucose, ctx.last_reading()
    if not isinstance(reading, Glucose):
        return ()
    at = min(facts.glucose_at or ctx.now, ctx.now)
    if last is None or last.glucose != reading:
        return (GlucoseRead(reading, at),)
    if facts.glucose_at is not None and abs(at - last.taken_at) < MINUTE:
        return ()  # a time of day is told in whole minutes: it is the same reading
    phrase, known = read_phrase(ctx.text), at - last.taken_at <= FRESH
    if known and not isinstance(phrase, Complaint) and phrase.says("replaces"):
        return ()
    return (GlucoseRead(reading, at),)


def _count_only(
    plate: Plate, counted: MealCounted | None, unchecked: tuple[str, ...], why: str
) -> Outcome:
    """A count without a dose. counted is None where nothing is kept as eaten."""
    lines = (
        replace(total_line(plate.counted, "answer-count"), role="answer"),
        *plate.lines,
        *(caution("food-failed-check", food=Name(name)) for name in unchecked),
        Line("fact", why),
    )
    reply = Reply("answered", lines, plate.portions, plate.counted)
    return Outcome(reply, (counted,) if counted else ())


def _more_after_dose(
    ctx: Context, plate: Plate, facts: Facts, replaced: Kept, taken: Taken
) -> Outcome | None:
    """What a changed meal has more than the one with the dose, as food of its own."""
    dosed = as_dosed(ctx, replaced)
    assert isinstance(dosed.event, MealCounted)
    more = plate.counted.value - dosed.event.counted.value
    if more <= 0 or dosed.turn != replaced.turn:
        return None
    text = as_food(dosed.event, plate.portions, ctx.text)
    if text is None:
        return None
    reading = facts.glucose
    if isinstance(reading, Glucose) and carried(ctx, reading) is None:
        text = f"{text}, glucose {decimal_text(reading.value)} {reading.unit}"
    added = replace(ctx, text=text)
    phrase = read_phrase(text)
    resolved = None if isinstance(phrase, Complaint) else resolve(phrase, ctx.foods)
    if isinstance(phrase, Complaint) or not isinstance(resolved, Resolved):
        return None
    alone = _plate(added, phrase, resolved)
    if not isinstance(alone, Plate) or alone.counted.value != more:
        return None
    outcome = meal(added)
    assert outcome is not None
    told = (_without_dose(ctx, dosed.event, taken, more), fact("more-after-dose-added"))
    lines = outcome.reply.lines
    at = 0 if outcome.reply.status == "asked" else 1
    reply = replace(outcome.reply, lines=(*lines[:at], *told, *lines[at:]))
    return replace(outcome, reply=reply)


def _without_dose(ctx: Context, dosed: MealCounted, taken: Taken, more: Fraction) -> Line:
    return caution("more-after-dose", units=units(taken.units), moment=ctx.moment(taken.at),
                   dosed=grams(dosed.counted.value), more=grams(more))  # fmt: skip


def _changed_after_dose(
    ctx: Context, plate: Plate, counted: MealCounted, facts: Facts, taken: Taken
) -> Outcome:
    """The count is changed; the insulin is in the body, and is not worked out again."""
    replaced = last_meal(ctx)
    dosed = as_dosed(ctx, replaced).event if replaced else None
    more = plate.counted.value - (dosed.counted.value if isinstance(dosed, MealCounted) else 0)
    if isinstance(dosed, MealCounted) and more > 0:
        outcome = _count_only(plate, counted, facts.unchecked, "more-after-dose-recorded")
        told = _without_dose(ctx, dosed, taken, more)
    else:
        outcome = _count_only(plate, counted, facts.unchecked, "changed-after-dose-next")
        told = caution("changed-after-dose", units=units(taken.units), moment=ctx.moment(taken.at))
    reply = outcome.reply
    return replace(outcome, reply=replace(reply, lines=(reply.lines[0], told, *reply.lines[1:])))


def _refused(ctx: Context, plate: Plate, verdict: Refusal, read: tuple[Event, ...]) -> Outcome:
    hits = tuple(rule_hit(f) for f in verdict.findings)
    warned = tuple(rule_hit(f) for f in verdict.cautions)
    low = [h for h in hits if h.rule in LOWS]
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
        took = took_text(given.units)
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

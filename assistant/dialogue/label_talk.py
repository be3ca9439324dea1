"""New foods and new labels: read, asked about, checked, saved."""

from msgspec.structs import replace

from assistant.counting.checks import Finding, against_like, check, doubts_carbohydrate
from assistant.counting.facts import FoodFacts, Measure
from assistant.counting.labels import LabelProblem, facts_from_label
from assistant.dialogue import food_lines, label_region, offers
from assistant.dialogue.events import AliasSaved, Event, FoodSaved
from assistant.dialogue.naming import MAX_NAME, bad_name
from assistant.dialogue.outcome import (
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
    next_step,
    yes_no,
)
from assistant.dialogue.replies import Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Arg, Listed, Name, Phrase, Said
from grammar.foods import FoodSentence, read_food_sentence, unquoted
from grammar.label_nodes import LabelReading
from grammar.label_turned import turned
from grammar.labels import read_label
from grammar.words import name_key


def new_food(ctx: Context, said: FoodSentence) -> Outcome:
    """ "new food NAME: LABEL", "new label for NAME: LABEL"."""
    name = unquoted(said.parts["name"])
    bad = bad_name(name)
    if bad:
        return ask(Ask("name", bad, {"said": Said(name[:MAX_NAME])},
                       hint=("new food ...: ...",)), ctx.text)  # fmt: skip
    label = said.parts["label"]
    if not label:
        return new_food_open(ctx, said)
    reading = read_label(label)
    spoken = _as_spoken(ctx, name, label, reading)
    if spoken:
        return spoken
    problem = _label_questions(ctx, name, label, reading, "sure" in said.parts)
    if problem:
        return problem
    facts = facts_from_label(name, reading)
    if isinstance(facts, LabelProblem):
        return _problem(ctx, label_problem(ctx, name, facts))
    like = (f for n in ctx.foods.near(name) for f in ctx.foods.exact(name_key(n)))
    others = (f.facts for f in like if name_key(f.facts.name) != name_key(name))
    findings = (*check(facts), *against_like(facts, others))
    if findings and "checked" not in said.parts:
        return _does_not_add_up(ctx, facts, label, findings)
    facts = replace(facts, failed_checks=tuple(sorted({_failed(f) for f in findings})))
    existing = ctx.foods.exact(name_key(name))
    replacing = said.parts["how"].casefold().startswith("new label")
    if existing and not replacing:
        again = f"new label for {ctx.text[ctx.text.index(said.parts['name']) :]}"
        code = "ask-replace-recipe-by-label" if existing[0].facts.recipe else "ask-replace"
        return ask(
            Ask("replace", code, {"food": Name(existing[0].facts.name)},
                choices=yes_no(again)), ctx.text
        )  # fmt: skip
    old = existing[0] if existing else None
    if old is not None:
        facts = replace(facts, name=old.facts.name, extra=_kept_measures(old.facts, facts),
                        fast=old.facts.fast)  # fmt: skip
    food_id = old.food_id if old else name_key(name)
    code = "food-replaced" if old else "food-saved"
    lines = (
        answer(code, food=Name(facts.name)),
        *food_lines.summary(facts),
        *food_lines.left_out(reading),
        *((caution("label-kept-unchecked"),) if facts.failed_checks else ()),
        *((caution("label-kept-doubted"),) if doubts_carbohydrate(facts) else ()),
        next_step(f"... {_PORTIONS.get(facts.per, 'g')} of {facts.name}", f"show {facts.name}"),
    )
    events: tuple[Event, ...] = (FoodSaved(food_id, facts),)
    if facts.barcode and not ctx.foods.exact(name_key(facts.barcode)):
        events = (
            *events,
            AliasSaved(food_id, facts.barcode),
        )  # typed or scanned, it finds the food
    return answered(*lines, events=events, facts={"food": food_lines.as_data(facts)})


_PORTIONS = {"serving": "servings", "100 ml": "ml"}


def _failed(found: Finding) -> str:
    """The code of a failed check; of a daily value also the nutrient, since it matters which."""
    return f"{found.code} {found.nutrient}" if found.code == "daily-value" else found.code


def _problem(ctx: Context, wanted: Ask) -> Outcome:
    """The question of a label that makes no food; its law may be settled by the user's setting."""
    chosen = label_region.chosen(ctx, wanted.choices) if wanted.kind == "region" else None
    said = read_food_sentence(chosen.texts[0]) if chosen else None
    if chosen is None or said is None or _looks_like_another(said.parts["label"]):
        return ask(wanted, ctx.text)
    return label_region.told(ctx, new_food(replace(ctx, text=chosen.texts[0]), said))


def _looks_like_another(label: str) -> bool:
    """Is a law that the user did not type at odds with the label? Then it is asked, not blamed."""
    return any(doubt.code == "region" for doubt in read_label(label).doubts)


def _kept_measures(old: FoodFacts, new: FoodFacts) -> tuple[Measure, ...]:
    """The user's own measures, less one that the new label now states itself."""
    stated = name_key(new.household_unit or "")
    return tuple(m for m in old.extra if name_key(m.unit) != stated)


def _does_not_add_up(
    ctx: Context, facts: FoodFacts, label: str, findings: tuple[Finding, ...]
) -> Outcome:
    """Two figures of the label do not meet: shown, and asked before anything is saved."""
    at = ctx.text.index(label)
    head = ctx.text[:at].rstrip().rstrip(":").rstrip()
    again = f"{head}, figures checked: {label}"
    return ask(
        Ask(
            "label",
            "ask-label-check",
            {"food": Name(facts.name)},
            before=(*food_lines.summary(facts), *(food_lines.finding(f) for f in findings)),
            choices=yes_no(again),
        ),
        ctx.text,
    )


def _as_spoken(ctx: Context, name: str, label: str, reading: LabelReading) -> Outcome | None:
    """ "45 g carbs per 100 g": read in printed order where it is plain, else asked."""
    if not reading.doubts or not {d.code for d in reading.doubts} <= {"order", "no-figure"}:
        return None
    other = turned(label)
    again = read_label(other.text) if other is not None else reading
    if other is None or again.doubts or again.unread:
        return None
    at = ctx.text.index(label)
    text = ctx.text[:at] + other.text + ctx.text[at + len(label) :]
    said = read_food_sentence(text)
    if said is None:
        return None
    if other.plain:
        outcome = new_food(replace(ctx, text=text), said)
        lines = (fact("read-change", said=Said(text)), *outcome.reply.lines)
        return replace(outcome, reply=replace(outcome.reply, lines=lines))
    args: dict[str, Arg] = {"food": Name(name), "said": Said(other.text)}
    return ask(Ask("label", "ask-label-order", args, choices=yes_no(text)), ctx.text)


def _typed_again(ctx: Context, wanted: Ask) -> Ask:
    """The question, with the place for the whole label again: its name is not typed twice."""
    said = read_food_sentence(ctx.text)
    if said is None or "name" not in said.parts or wanted.choices:
        return wanted
    head = f"{said.parts.get('how', 'new food')} {said.parts['name']}"
    return replace(wanted, slot=Slot("label", (f"{head}: {ANSWER}",)),
                   hint=(offers.label(ctx.settings), "cancel"))  # fmt: skip


def _label_questions(
    ctx: Context, name: str, label: str, reading: LabelReading, sure: bool
) -> Outcome | None:
    """Doubts first; then, unless the user said to leave them out, words without a role."""
    if reading.doubts:
        apart = food_lines.measures_apart(label, name)
        lines = (*(food_lines.doubt(d) for d in reading.doubts), *apart)
        wanted = Ask("label", "ask-label-doubts", {"food": Name(name)}, before=lines,
                     unread=tuple(d.said for d in reading.doubts))  # fmt: skip
        return ask(_typed_again(ctx, wanted), ctx.text)
    if reading.unread and not sure:
        said = tuple(u.said for u in reading.unread)
        listed = Listed(tuple(Said(s) for s in said))
        if not any(c.figures for c in reading.columns):
            wanted = Ask("label", "ask-label-nothing", {"food": Name(name), "unread": listed},
                         unread=said)  # fmt: skip
            return ask(_typed_again(ctx, wanted), ctx.text)
        at = ctx.text.index(label)
        head = ctx.text[:at].rstrip().rstrip(":").rstrip()
        again = f"{head}, unread words left out: {label}"
        before = (*food_lines.read_so_far(reading), *food_lines.measures_apart(label, name))
        return ask(
            Ask("label", "ask-label-unread", {"food": Name(name), "unread": listed},
                before=before, choices=yes_no(again), unread=said),
            ctx.text,
        )  # fmt: skip
    return None


def label_problem(ctx: Context, name: str, problem: LabelProblem) -> Ask:
    """The question that a label leads to which cannot be made a food."""
    args: dict[str, Arg] = {"food": Name(name)}
    if problem.why == "region":
        at = ctx.text.index(":") + 1
        regions = ("US", "CA", "EU", "UK", "AU", "NZ", "JP")
        words = {"CA": "Canadian label", "AU": "Australian label", "JP": "Japanese label"}
        choices = tuple(
            choice(
                "choice-region",
                f"{ctx.text[:at]} {words.get(r, r + ' label')}, {ctx.text[at:].lstrip()}",
                word=r,
                region=Phrase(f"region-{r}"),
                fibre=Phrase("fibre-inside" if r in {"US", "CA", "JP"} else "fibre-outside"),
            )
            for r in regions
        )
        return Ask("region", "ask-region", args, choices=choices)
    if problem.why in {"part-over-whole", "over-hundred"}:
        args |= {"part": food_lines.nutrient_name(problem.part)}
        if problem.whole:
            args |= {"whole": food_lines.nutrient_name(problem.whole)}
    return _typed_again(ctx, Ask("label", f"label-{problem.why}", args, hint=(f"new food {name}",)))


def new_food_open(ctx: Context, said: FoodSentence) -> Outcome:
    """ "new food NAME" without its label."""
    name = unquoted(said.parts["name"])
    return ask(
        Ask("label", "ask-label", {"food": Name(name)},
            slot=Slot("label", (f"{said.parts.get('how', 'new food')} {name}: {ANSWER}",)),
            hint=(offers.label(ctx.settings), "cancel")), ctx.text
    )  # fmt: skip


def _cannot_paste(ctx: Context, reading: LabelReading) -> Outcome:
    """A pasted label that cannot be counted from is said so before a name is asked."""
    lines = [*food_lines.read_so_far(reading), *(food_lines.doubt(d) for d in reading.doubts)]
    code = "paste-doubts" if reading.doubts else "paste-no-carbohydrate"
    unread = tuple(d.said for d in reading.doubts)
    return ask(Ask("label", code, before=tuple(lines), unread=unread), ctx.text)


def pasted_label(ctx: Context) -> Outcome:
    """A label without a name."""
    reading = read_label(ctx.text)
    if reading.doubts or not any("carbohydrate" in c.figures for c in reading.columns):
        return _cannot_paste(ctx, reading)
    args = {"title": Said(reading.title)} if reading.title else {}
    return ask(
        Ask("label-name", "ask-label-name-title" if reading.title else "ask-label-name", args,
            before=food_lines.read_so_far(reading),
            slot=Slot("new-name", (f"new food {ANSWER}: {ctx.text}",)),
            hint=("cancel",)), ctx.text
    )  # fmt: skip

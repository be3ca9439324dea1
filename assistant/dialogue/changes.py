"""A few words about the last meal, done by saying its whole sentence anew.

The new sentence is read as if it had been typed, so nothing of the count or of the rules is done
here; and the reply shows it, so that what "it" or "another" referred to is told.
"""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue.events import (
    DoseRefused,
    DoseSuggested,
    GlucoseRead,
    MealCounted,
    QuestionAsked,
)
from assistant.dialogue.glucose import settle
from assistant.dialogue.last_meal import (
    JUST,
    carried,
    dose_since,
    is_of_now,
    last_meal,
    meals_since,
    none_to_change,
)
from assistant.dialogue.outcome import DROP, Ask, Outcome, as_said, ask, choice, took_text
from assistant.dialogue.record import Kept
from assistant.dialogue.resolve import Resolved, resolve
from assistant.dialogue.sentence_parts import measure_behind, put
from assistant.dialogue.state import Context
from assistant.values import Amount, Glucose, Listed, Name, Said, decimal_text
from grammar import patterns
from grammar.changes import Change, read_change
from grammar.nodes import Complaint, Item, MeasureWord, Number, Phrase, Unstated
from grammar.numbers import read_number
from grammar.phrases import read_phrase
from grammar.words import name_key

_READINGS = frozenset({"glucose", "no-reading"})
PREFIX = "change the last meal to: "


class Subject(Struct, frozen=True):
    """The sentence that the words are about. counted: its meal is in the journal.

    said_at, read_at: when it and the glucose in it were said, where that is not now. Of a meal in
    the journal the reading is there too.
    """

    text: str
    phrase: Phrase
    counted: Kept | None
    items: tuple[Item, ...]
    said_at: datetime | None = None
    read_at: datetime | None = None

    @property
    def named(self) -> list[Item]:
        """Its foods that have a name."""
        return [item for item in self.items if item.name]

    def with_measure(self, measure: MeasureWord) -> list[Item]:
        """Its named foods whose amount is said in this measure."""
        return [i for i in self.named if i.measure is not None and i.measure.unit == measure.unit]

    def changed(self, text: str) -> str:
        """The changed sentence; one that stands for a meal in the journal says so."""
        if self.counted is None or text.casefold().startswith(PREFIX.strip()):
            return text
        return PREFIX + text


class Again(Struct, frozen=True):
    """The sentence to be read in place of the few words, and the times of it (see Subject)."""

    text: str
    said_at: datetime | None = None
    read_at: datetime | None = None


def change(ctx: Context) -> Again | Outcome | None:
    """What the words come to; None when they are no change, or could be a food's name."""
    read = read_change(ctx.text)
    if read is None or ctx.foods.exact(name_key(ctx.text)):
        return None
    if read.form in {"again", "again-of"}:
        return _again(ctx, read)
    said = _subject(ctx)
    if said is None:
        return _nothing(ctx, read)
    found = _changed(ctx, said, read)
    if isinstance(found, Outcome):
        return as_said(found, said.said_at, said.read_at)
    return found


def _changed(ctx: Context, said: Subject, read: Change) -> Again | Outcome | None:
    """The change of this sentence."""
    if read.form == "instead":
        return _instead(ctx, said, read.parts["words"])
    if read.form == "without":
        return _without(ctx, said, read.parts["words"])
    if read.form in {"part", "part-left"}:
        return _part(ctx, said, read)
    if read.form == "another":
        return _another(ctx, said, read)
    return _added(ctx, said, read.parts["words"])


_MEAL_QUESTIONS = frozenset(
    {"amount", "number", "measure", "name", "meaning", "range", "implausible", "glucose", "policy"}
)
_OPEN_MEALS = _MEAL_QUESTIONS | {
    "activity", "reduction", "glucose-figure", "glucose-unit", "same-meal-twice", "range-too-wide",
    "time", "same-meal", "label",
}  # fmt: skip
"""Kinds of questions behind which a meal waits."""


def open_meal(ctx: Context) -> Subject | None:
    """The meal that waits behind the open question, as it was said."""
    if ctx.question is None or not isinstance(ctx.question.event, QuestionAsked):
        return None
    if ctx.question.event.question.kind not in _OPEN_MEALS:
        return None
    return _said(ctx, _fresh(ctx.asked_text, ctx, ctx.question), None)


def joined(said: Subject, words: str) -> str:
    """The meal with more food behind its foods, and the newer reading where both have one."""
    more = read_phrase(words)
    text = said.text
    if not isinstance(more, Complaint) and any(c.kind in _READINGS for c in more.clauses):
        text = _without_clauses(said.phrase, _READINGS)
    phrase = read_phrase(text)
    assert not isinstance(phrase, Complaint)
    at = max(piece[0].end for piece in phrase.pieces)
    return f"{text[:at]}, {words.strip()}{text[at:]}"


def _nothing(ctx: Context, read: Change) -> Outcome | None:
    """No meal is there to change. Words that could be a meal by themselves are read as one."""
    if read.form == "without" and len(ctx.foods.near(read.parts["words"])) == 0:
        return None
    code, hint = none_to_change(ctx)
    return ask(Ask("change", code, {"said": Said(ctx.text)}, hint=hint,
                   unread=(ctx.text,)), ctx.text)  # fmt: skip


def _subject(ctx: Context) -> Subject | None:
    """The open question's sentence; else the last meal, counted or refused, within JUST."""
    if ctx.question is not None and isinstance(ctx.question.event, QuestionAsked):
        if ctx.question.event.question.kind in _MEAL_QUESTIONS:
            then = ctx.waiting(ctx.asked_text)
            asked = replace(ctx.question, said_at=then.read)
            said = _said(ctx, _fresh(ctx.asked_text, ctx, asked), None)
            return said and replace(said, said_at=then.said_at, read_at=then.read_at)
        if ctx.question.event.question.kind not in {"change", "undo"}:
            return None
    meal = last_meal(ctx)
    refused = ctx.record.events(("dose-refused",), since=ctx.now - JUST, last=1)
    if refused and (meal is None or refused[-1].turn > meal.turn):
        event = refused[-1].event
        assert isinstance(event, DoseRefused)
        since = ctx.record.events(("dose-taken",), since=ctx.now - 2 * JUST)
        if meal is not None or since:
            return None  # a dose may stand for part of that plate: it has to be typed whole
        said = _said(ctx, _fresh(event.said, ctx, refused[-1]), None)
        return said and replace(said, read_at=_read_time(ctx, event.said, refused[-1]))
    if meal is None or not isinstance(meal.event, MealCounted):
        return None
    return _said(ctx, _fresh(meal.event.said, ctx, meal), meal)


def _said(ctx: Context, text: str, counted: Kept | None) -> Subject | None:
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint) or not phrase.pieces:
        return None
    found = resolve(phrase, ctx.foods)
    if isinstance(found, Resolved) and len(found.meanings) == 1:
        items = tuple(each.item for each in found.meanings[0])
    else:
        items = tuple(piece[0] for piece in phrase.pieces)
    if not any(item.name for item in items):
        return None
    return Subject(text, phrase, counted, items)


def _fresh(text: str, ctx: Context, kept: Kept) -> str:
    """The sentence without a glucose figure that is not of now any more, and without its times."""
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint):
        return text
    timed = any(c.kind == "when" for c in phrase.clauses)
    if is_of_now(ctx, _read_with(ctx, phrase, kept)) and not timed:
        return text
    return _without_clauses(phrase, frozenset({"glucose", "no-reading", "when"}))


def _read_with(ctx: Context, phrase: Phrase, kept: Kept) -> Kept:
    """The reading of the sentence as it was logged; the sentence itself where it was not."""
    for clause in phrase.clauses:
        if clause.kind != "glucose" or not isinstance(clause.value, Number):
            continue
        unit = clause.unit if clause.unit in {"mg/dL", "mmol/L"} else None
        settled = settle(clause.value, unit, ctx.settings, str)  # type: ignore[arg-type]
        if isinstance(settled, Glucose):
            return carried(ctx, settled) or kept
    return kept


def _read_time(ctx: Context, text: str, kept: Kept) -> datetime:
    """When the reading in the sentence was taken; when it was said, where it is not logged."""
    phrase = read_phrase(text)
    read = kept if isinstance(phrase, Complaint) else _read_with(ctx, phrase, kept)
    return read.event.taken_at if isinstance(read.event, GlucoseRead) else read.said_at


def _without_clauses(phrase: Phrase, kinds: frozenset[str]) -> str:
    """The text without these clauses and the joiners before them."""
    text = phrase.text
    for clause in sorted(phrase.clauses, key=lambda c: -c.start):
        if clause.kind not in kinds:
            continue
        start = _before_joiners(phrase, clause.start)
        text = text[:start].rstrip() + text[clause.end :]
    return text.strip().lstrip(",;. ")


def _before_joiners(phrase: Phrase, at: int) -> int:
    """Where the joiners that lead up to this position begin; the position where there are none."""
    for word in reversed([w for w in phrase.words if w.end <= at]):
        if word.role != "joiner":
            break
        at = word.start
    return at


def _whole(ctx: Context, said: Subject, text: str, addition: str | None = None) -> Again | Outcome:
    """The changed sentence; asked first where a dose may have been taken for the old one."""
    old = said.counted
    if old is None:
        return Again(text, said.said_at, said.read_at)
    text = said.changed(text)
    if addition is not None and dose_since(ctx, old) is not None:
        return Again(addition)
    waiting = ctx.suggestion.event if ctx.suggestion else None
    if not isinstance(waiting, DoseSuggested):
        return Again(text)
    took = took_text(waiting.units)
    units = Amount(waiting.units, "unit")
    taken = (took, addition) if addition is not None else (took,)
    code = "choice-taken-then-added" if addition is not None else "choice-taken-count-stays"
    return ask(
        Ask(
            "change",
            "ask-taken-before-change",
            {"units": units, "said": Said(text)},
            choices=(
                choice("choice-not-taken-yet", "not taken", text, word="not taken"),
                choice(code, *taken, word="took it", units=units),
            ),
            hint=("1", "2", "cancel"),
        ),
        ctx.text,
    )


def same_food(ctx: Context, a: str, b: str) -> bool:
    """Do two names mean one food? By the library, where it knows both."""
    if name_key(a) == name_key(b):
        return True
    first = {f.food_id for f in ctx.foods.exact(name_key(a))}
    return bool(first & {f.food_id for f in ctx.foods.exact(name_key(b))})


def _which(
    ctx: Context, said: Subject, items: list[Item], changed: Callable[[Item], str]
) -> Outcome:
    """Several foods may be meant: each is a choice."""
    return _choose(ctx, said, [(item.said, changed(item)) for item in items])


def _choose(ctx: Context, said: Subject, options: list[tuple[str, str]]) -> Outcome:
    """The question between changed sentences, each shown by a few words."""
    choices = tuple(
        choice("choice-text", said.changed(text), text=Said(shown)) for shown, text in options
    )
    return ask(Ask("change", "ask-which-item", {"said": Said(ctx.text)}, choices=choices,
                   hint=("cancel",)), ctx.text)  # fmt: skip


def _one_item(words: str) -> Item | None:
    """The words as one food or amount and nothing else; None where they are not."""
    new = read_phrase(words)
    if isinstance(new, Complaint) or len(new.pieces) != 1 or new.clauses:
        return None
    return new.pieces[0][0]


def _no_such(ctx: Context, said: Subject, words: str) -> Outcome:
    names = Listed(tuple(Name(i.name) for i in said.named))
    return ask(Ask("change", "not-in-the-meal", {"said": Said(words), "foods": names},
                   hint=("cancel",), unread=(words,)), ctx.text)  # fmt: skip


def _instead(ctx: Context, said: Subject, words: str) -> Again | Outcome:
    """ "make that two servings", "I meant 150", "no, 150 ml milk"."""
    item = _one_item(words)
    if item is None:
        return _not_one(ctx, words)
    items = list(said.items)
    if item.name and not isinstance(item.quantity, Unstated):
        same = [i for i in items if same_food(ctx, i.name, item.name)]
        if len(same) == 1:
            return _whole(ctx, said, put(said.text, same[0], words))
        if not same and len(items) == 1 and ctx.foods.exact(name_key(item.name)):
            return _whole(ctx, said, put(said.text, items[0], words))
        return _no_such(ctx, said, item.name)
    if item.name:  # "I meant rye bread"
        if not ctx.foods.exact(name_key(item.name)):
            return _not_one(ctx, words)

        def renamed(old: Item) -> str:
            return said.text[: old.name_start] + item.name + said.text[old.name_end :]

        if len(items) == 1 and items[0].name:
            return _whole(ctx, said, renamed(items[0]))
        return _which(ctx, said, said.named, renamed)
    return _new_amount(ctx, said, item, words)


def _new_amount(ctx: Context, said: Subject, new: Item, words: str) -> Again | Outcome:
    """An amount without a food: of the food with that measure, or the only one; else asked."""
    items = said.named

    def changed(old: Item) -> str:
        measure = measure_behind(old) if new.measure is None else ""
        return put(said.text, old, f'{words}{measure} "{old.name}"')

    if new.measure is None and said.phrase.says("glucose"):
        return _figure_of_what(ctx, said, items, changed, words)
    if new.measure is not None and len(items) > 1:
        alike = said.with_measure(new.measure)
        if len(alike) == 1:
            return _whole(ctx, said, changed(alike[0]))
    if len(items) == 1:
        doubt = _which_amount(ctx, said, items[0], new, words)
        return doubt or _whole(ctx, said, changed(items[0]))
    return _which(ctx, said, items, changed)


def _which_amount(ctx: Context, said: Subject, old: Item, new: Item, words: str) -> Outcome | None:
    """ "make it two" after 60 g: two grams, or two times 60 g? A figure far off is asked."""
    if new.measure is not None or old.measure is None or old.measure.kind not in _METRIC:
        return None
    if not isinstance(new.quantity, Number) or not isinstance(old.quantity, Number):
        return None
    share = new.quantity.value / old.quantity.value
    if Fraction(1, 5) <= share <= 5 and any(c.isdigit() for c in words):
        return None
    figure = decimal_text(new.quantity.value)
    was = decimal_text(old.quantity.value)
    amounts = (f"{figure} {old.measure.said}", f"{figure} x {was} {old.measure.said}")
    options = [(amount, put(said.text, old, f'{amount} "{old.name}"')) for amount in amounts]
    return _choose(ctx, said, options)


_METRIC = frozenset({"mass", "volume", "oz", "kitchen"})


def _figure_of_what(
    ctx: Context, said: Subject, items: list[Item], changed: Callable[[Item], str], words: str
) -> Outcome:
    """ "I meant 150", where a glucose figure was said too: the amount, or the glucose?"""
    options = [(item.said, changed(item)) for item in items]
    for clause in said.phrase.clauses:
        if clause.kind == "glucose":
            text = said.text[: clause.start] + f"glucose {words}" + said.text[clause.end :]
            options.append(("glucose", text))
    return _choose(ctx, said, options)


def _not_one(ctx: Context, words: str) -> Outcome:
    return ask(Ask("change", "change-unread", {"said": Said(words)}, hint=("cancel",),
                   unread=(words,)), ctx.text)  # fmt: skip


def _named(ctx: Context, said: Subject, words: str) -> list[Item]:
    """The items of the meal that these words name."""
    items = said.named
    exact = [i for i in items if same_food(ctx, i.name, words)]
    return exact or [i for i in items if name_key(words) in name_key(i.name).split()]


def _without(ctx: Context, said: Subject, words: str) -> Again | Outcome | None:
    """ "no milk after all": the food leaves the sentence, with the joiner before or behind it."""
    found = _named(ctx, said, words)
    if len(found) > 1:
        return _which(ctx, said, found, lambda i: _cut(said, i))
    if not found:
        return _no_such(ctx, said, words)
    if len(said.phrase.pieces) == 1:
        return ask(Ask("change", "nothing-left", {"said": Said(words)},
                       hint=("undo",) if ctx.suggestion is None else ("not taken", DROP)),
                   ctx.text)  # fmt: skip
    return _whole(ctx, said, _cut(said, found[0]))


def _cut(said: Subject, item: Item) -> str:
    """The sentence without this item: joiners beside it go too."""
    words = said.phrase.words
    start, end = _before_joiners(said.phrase, item.start), item.end
    if not any(w.role in {"food", "amount"} for w in words if w.end <= start):
        start = item.start
        for word in (w for w in words if w.start >= item.end):
            if word.role != "joiner":
                break
            end = word.end
    head, tail = said.text[:start].rstrip(), said.text[end:].lstrip()
    return f"{head} {tail}".strip() if not tail.startswith((",", ";", ".")) else head + tail


def _part(ctx: Context, said: Subject, read: Change) -> Again | Outcome:
    """ "only ate half", "left a quarter", "ate half of the milk"."""
    share = read_number(read.parts["share"])
    if not isinstance(share, Number) or share.value >= 1:
        return _not_one(ctx, read.parts["share"])
    eaten = share.value if read.form == "part" else 1 - share.value
    items = said.named
    if "words" in read.parts:
        items = _named(ctx, said, read.parts["words"])
        if len(items) != 1:
            return _no_such(ctx, said, read.parts["words"])
    if any(isinstance(i.quantity, Unstated) for i in items) or len(items) < 1:
        return _not_one(ctx, ctx.text)
    text = said.text
    for item in sorted(items, key=lambda i: -i.start):
        text = text[: item.start] + _times(item, eaten) + text[item.end :]
    return _whole(ctx, said, text)


def _times(item: Item, share: Fraction) -> str:
    """The item with its amount multiplied: "0.5 x 200 ml milk"."""
    figure = decimal_text(share)
    if item.name_start > item.start:  # the amount stands before the name
        return f"{figure} x {item.said}"
    return f"{item.said} x {figure}"


def _another(ctx: Context, said: Subject, read: Change) -> Again | Outcome:
    """ "another slice", "and another apple", "one more serving of the oat cereal"."""
    words, count = read.parts["words"], read.parts.get("count", "1")
    counted = _STATED.match(words)
    if counted and "count" in read.parts:
        return _not_one(ctx, ctx.text)  # "two more 1/2 slices"
    if counted:
        return _another_amount(ctx, said, words)
    number = read_number(count)
    assert isinstance(number, Number)
    figure = decimal_text(number.value)
    item = _one_item(f"{figure} {words}")
    if item is None:
        return _added(ctx, said, f"{figure} {words}")
    if not item.name and item.measure is not None:
        alike = said.with_measure(item.measure)
        if len(alike) != 1:
            return _no_such(ctx, said, words)
        size = f"{alike[0].measure.size} " if alike[0].measure and alike[0].measure.size else ""
        measure = item.measure.said if item.measure.size else size + item.measure.said
        return _added(ctx, said, f'{figure} {measure} "{alike[0].name}"')
    if item.name and item.measure is None:
        same = [i for i in said.named if same_food(ctx, i.name, item.name)]
        if len(same) == 1 and same[0].measure is not None and same[0].measure.kind != "mass":
            return _added(ctx, said, f'{figure} {same[0].measure.said} "{same[0].name}"')
    return _added(ctx, said, f"{figure} {words}")


_STATED = patterns.compile(r"[\d.½⅓⅔¼¾]|(half|an?|one|two|three|four|five|six)(?!\w)", re.I)


def _another_amount(ctx: Context, said: Subject, words: str) -> Again | Outcome:
    """ "another 100 ml", "another half slice": the amount is said; the food is found by it."""
    item = _one_item(words)
    if item is None or item.name or item.measure is None:
        return _added(ctx, said, words)
    alike = said.with_measure(item.measure)
    if len(alike) != 1:
        return _no_such(ctx, said, words)
    return _added(ctx, said, f'{words} "{alike[0].name}"')


def _added(ctx: Context, said: Subject, words: str) -> Again | Outcome:
    """More food on the same plate."""
    more = read_phrase(words)
    if not isinstance(more, Complaint) and any(c.kind in _READINGS for c in more.clauses):
        text = _without_clauses(said.phrase, _READINGS)  # the newer reading stands
        newer = _said(ctx, text, said.counted)
        said = replace(newer, said_at=said.said_at, read_at=ctx.now) if newer else said
    at = max(i.end for i in said.items)
    text = said.text[:at] + f", {words}" + said.text[at:]
    return _whole(ctx, said, text, addition=words)


def _again(ctx: Context, read: Change) -> Again | Outcome | None:
    """The foods of an earlier meal, without its glucose, time or exercise."""
    if read.form == "again":
        meals = meals_since(ctx, ctx.now - timedelta(hours=48))
        if not meals:
            return ask(Ask("change", "no-meal-before", hint=("today",)), ctx.text)
        return Again(_foods_of(meals[-1]))
    day = read.parts.get("day") or read.parts.get("when") or "today"
    name = read.parts.get("meal") or read.parts.get("other")
    back = 1 if day.casefold() == "yesterday" else 0
    midnight = ctx.now.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=back)
    meals = tuple(k for k in meals_since(ctx, midnight) if k.said_at < midnight + timedelta(days=1))
    if not meals:
        return ask(Ask("change", "no-meal-that-day", hint=("today",)), ctx.text)
    called = [k for k in meals if name and _called(k, name)]
    if len(called) == 1:
        return Again(_foods_of(called[0]))
    choices = tuple(
        choice("choice-meal", _foods_of(k), moment=ctx.moment(k.said_at), text=Said(_foods_of(k)))
        for k in (called or meals)
    )
    return ask(Ask("change", "ask-which-meal", {"said": Said(ctx.text)}, choices=choices,
                   hint=("cancel",)), ctx.text)  # fmt: skip


def _called(meal: Kept, name: str) -> bool:
    """Was the meal said with this name ("for breakfast ...")?"""
    event = meal.event
    assert isinstance(event, MealCounted)
    return patterns.search(rf"\bfor\s+(?:my\s+)?{name}\b", event.said, re.I) is not None


def _foods_of(meal: Kept) -> str:
    event = meal.event
    assert isinstance(event, MealCounted)
    return ", ".join(p.said for p in event.portions)


def leave_out_or_forget(ctx: Context) -> Outcome | None:
    """ "forget milk", just after a meal with milk: the meal, or the library?"""
    read = read_change(ctx.text)
    if read is None or read.form != "without":
        return None
    words = read.parts["words"]
    said = _subject(ctx)
    if said is None or not _named(ctx, said, words) or words.casefold().startswith("food "):
        return None
    choices = (
        choice("choice-leave-out", f"no {words} after all", word="meal", food=Name(words)),
        choice("choice-forget-food", f"forget the food {words}", word="library", food=Name(words)),
    )
    return ask(Ask("change", "ask-leave-out-or-forget", {"said": Said(ctx.text)}, choices=choices,
                   hint=("cancel",)), ctx.text)  # fmt: skip

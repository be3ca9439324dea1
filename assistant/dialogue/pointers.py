"""Words that are no sentence of a meal, but often typed: each gets the one sentence that is right.

Only where the library knows no food of that name, and nothing else has read the words. Figures in
what is offered are the person's own; where a sentence would need one that was not said, the answer
tells it in words.
"""

import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache

from msgspec.structs import replace

from assistant.dialogue import days, explain, happened, numbers_talk
from assistant.dialogue.events import DoseTaken
from assistant.dialogue.glucose import user_unit
from assistant.dialogue.last_meal import last_meal
from assistant.dialogue.outcome import (
    DROP,
    Ask,
    Outcome,
    answer,
    answered,
    ask,
    caution,
    choice,
    fact,
    next_step,
    took_text,
)
from assistant.dialogue.replies import Line, Slot
from assistant.dialogue.resolve import Resolved, resolve
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import LOOK_BACK, Context
from assistant.values import Amount, Said
from grammar import patterns
from grammar.changes import read_change
from grammar.nodes import Complaint, Number
from grammar.numbers import read_number
from grammar.phrases import asks_count_only, read_phrase
from grammar.statements import Statement, read_statement
from grammar.words import name_key

_FIGURE = r"\d{1,4}(?:[.,]\d{1,2})?"
_UNIT = r"(?:mg\s*/?\s*dl|mmols?(?:\s*/\s*l)?)"
_GLUCOSE = rf"(?P<figure>{_FIGURE})\s*(?P<unit>{_UNIT})?"
_READING = r"(?:my\s+)?(?:(?:blood\s+)?(?:glucose|sugar)|bgl?|reading)\s*(?:is|at|of|[:=])?\s*"
_FORMS: tuple[tuple[str, str], ...] = (
    ("dose", r"bolus|(?:my\s+)?(?:dose|insulin)|(?:what|which|whats|what['’]s|what\s+is)\s+"
             r"(?:(?:my|the|is\s+my|is\s+the)\s+)?(?:dose|bolus|suggestion)|how\s+(?:much|many\s+units)"
             r"(?:\s+insulin)?(?:\s+(?:do|should|must|shall|can)\s+i\s+(?:take|inject|bolus|need|dose|have)|"
             r"\s+to\s+(?:take|inject|bolus|dose))?(?:\s+(?:now|for\s+(?:it|this|that)))?|"
             r"what\s+(?:do|should|shall)\s+i\s+(?:take|inject|bolus|dose)"),
    ("last-dose", r"(?:(?:what|when)\s+(?:was|is)\s+)?(?:my\s+|the\s+)?last\s+(?:dose|bolus|"
                  r"injection|insulin)|"
                  r"when\s+(?:did|have)\s+i\s+(?:last\s+)?(?:take|took|taken|inject|injected|bolus|dose)"
                  r"(?:\s+(?:any\s+|my\s+)?(?:insulin|dose|it))?(?:\s+last)?"),
    ("today", r"how\s+(?:much\s+insulin|many\s+units)"
              r"(?:\s+(?:did|have)\s+i\s+(?:take|taken|had|have))?(?:\s+so\s+far)?\s+today|insulin\s+today|total\s+insulin(?:\s+today)?|"
              r"how\s+(?:much\s+insulin|many\s+units)\s+(?:did|have)\s+i\s+(?:take|taken|had)"),
    ("numbers", r"(?:what['’]?s|what\s+(?:is|are)|show(?:\s+me)?)\s+my\s+"
                r"(?:(?:insulin[\s-]+to[\s-]+)?carb\s+)?(?:ratios?|correction(?:\s+factor)?|factor|sensitivity(?:\s+factor)?|targets?|caps?|"
                r"limits?|pen|insulin\s+duration|duration|settings|numbers)"),
    ("why", r"why\s+(?:only\s+)?(?:\d[\d.,]*(?:\s*(?:u|units?))?|so\s+(?:much|many|little|few)|not|"
            r"no\s+dose)"),
    ("how-many", r"(?:how\s+many\s+)?(?:carbs?|carbohydrates?)|count"),
    ("leave", r"q|:q|exit|quit|bye|leave|close|end|goodbye|ctrl\s*\+?-?\s*[cd]"),
    ("no-meal", rf"{_READING}{_GLUCOSE}[\s,;.]*(?:and\s+|but\s+)?"
                rf"(?:no\s+(?:food|meal|carbs)|not\s+eating|"
                rf"without\s+(?:food|eating|a\s+meal)|nothing\s+to\s+eat|just\s+correct(?:ion|ing)?|"
                rf"correction(?:\s+only)?)"),
    ("correction", r"(?:correction(?:\s+(?:dose|bolus))?|correct)(?:\s+(?:for|of|from|at|a))*\s+"
                   rf"(?:(?:my\s+)?(?:bg|glucose|sugar)\s+(?:of\s+)?)?{_GLUCOSE}|"
                   r"correction\s+(?:dose|bolus)"),
    ("day", rf"{_READING}{_GLUCOSE}\s*,?\s*(?:yesterday|last\s+night)"),
    ("sugar", rf"sugars?(?:\s+level)?\s*(?:is|at|of|[:=])?\s*{_GLUCOSE}"),
    ("units", rf"(?:i\s+)?(?:(?:forgot(?:\s+to\s+(?:log|type|enter|add))?|"
              rf"log(?:ged)?|add(?:ed)?|enter(?:ed)?|"
              rf"record(?:ed)?|gave|did|had|bolus(?:ed)?|insulin|dose)\s+)?(?P<units>{_FIGURE}|½)\s*"
              r"(?:u|units?|iu)(?:\s+(?:of\s+)?(?:(?:rapid|fast|mealtime)\s+)?insulin)?"
              r"(?P<when>\s+(?:at|@|\d|an?\s|half\s|just\s|now|yesterday|today).*)?"),
    ("may-i", r"(?:can|may|could|should|am\s+i\s+allowed\s+to|"
              r"is\s+it\s+(?:ok|okay|safe|fine)(?:\s+for\s+me)?\s+to)"
              r"\s*(?:i\s+)?(?:have|eat|drink)\s+(?P<words>.+)"),
    ("only-ate", r"i\s+only\s+(?:ate|had|drank|managed|finished)\s+(?P<words>.*\d.*|"
                 r"(?:a|an|one|two|three|half)\s+.+)"),
    ("number", rf"(?P<figure>{_FIGURE})\s*"),
)  # fmt: skip


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (form, patterns.compile(rf"\s*(?:{pattern})\s*[.!?]*\s*", re.I)) for form, pattern in _FORMS
    )


def pointed(ctx: Context) -> Outcome | None:
    """The answer to words of the table above; None for all others, and for a food of that name."""
    if "\n" in ctx.text.strip() or len(ctx.text) > 200 or ctx.foods.exact(name_key(ctx.text)):
        return None
    if asks_count_only(ctx.text):
        return _count_alone(ctx)
    for form, pattern in _patterns():
        match = pattern.fullmatch(ctx.text)
        if match is not None:
            return _answer(ctx, form, match)
    return None


def _answer(ctx: Context, form: str, match: re.Match[str]) -> Outcome | None:
    same: dict[str, Callable[[Context], Outcome]] = {
        "dose": _dose,
        "last-dose": _last_dose,
        "today": days.today,
        "numbers": numbers_talk.show,
        "why": explain.why,
        "how-many": _how_many,
        "leave": lambda _: answered(answer("to-leave")),
    }
    if form in same:
        return same[form](ctx)
    with_words: dict[str, Callable[[Context, re.Match[str]], Outcome | None]] = {
        "no-meal": _no_meal,
        "day": _of_yesterday,
        "correction": _correction,
        "sugar": _sugar,
        "units": _units,
        "may-i": _may_i,
        "only-ate": _only_ate,
        "number": _number,
    }
    return with_words[form](ctx, match)


def _example(ctx: Context) -> str:
    """A meal with a food of the person's own, without a figure for glucose: that is then asked."""
    names = ctx.foods.names(1)
    return f"1 serving of {names[0]}" if names else "set up"


def _count_alone(ctx: Context) -> Outcome:
    """ "no dose", with no food beside it."""
    lines = [answer("count-alone", said=Said(ctx.text.strip(" .!?")))]
    if ctx.suggestion is not None:
        return answered(*lines, *_open_dose(ctx))
    return answered(*lines, next_step(f"how many carbs in {_example(ctx)}" if ctx.foods.names(1)
                                      else "help meals"))  # fmt: skip


def _open_dose(ctx: Context) -> tuple[Line, Line]:
    waiting = ctx.open_suggestion()
    assert waiting is not None
    told = caution("open-suggestion", units=Amount(waiting.units, "unit"), moment=waiting.moment)
    return told, next_step(took_text(waiting.units), "not taken", DROP, "why")


def _dose(ctx: Context) -> Outcome:
    """ "bolus?", "how much do I take": the open suggestion, or how one is asked for."""
    if ctx.suggestion is not None:
        waiting = ctx.open_suggestion()
        assert waiting is not None
        told = answer("dose-open", units=Amount(waiting.units, "unit"), moment=waiting.moment)
        return answered(told, _open_dose(ctx)[1])
    return answered(answer("dose-how"), next_step(_example(ctx)))


def _last_dose(ctx: Context) -> Outcome:
    """The newest dose by when it was taken."""
    kept = ctx.record.events(("dose-taken",), since=ctx.now - LOOK_BACK)
    kept = kept or ctx.record.events(("dose-taken",), last=1)
    doses = [k.event for k in kept if isinstance(k.event, DoseTaken)]
    if not doses:
        return answered(answer("last-dose-none"), next_step("what is active now"))
    last = max(doses, key=lambda dose: dose.taken_at)
    shown = answer("last-dose", units=Amount(last.units, "unit"), moment=ctx.moment(last.taken_at))
    return answered(shown, next_step("what is active now", "today"))


def _how_many(ctx: Context) -> Outcome:
    """ "how many carbs": of what?"""
    if not ctx.foods.names(1):
        return answered(answer("how-many-what"), next_step("help meals"))
    return answered(answer("how-many-what"), next_step(f"how many carbs in {_example(ctx)}"))


def _said_glucose(match: re.Match[str]) -> str:
    return f"glucose {match['figure']} {match['unit'] or ''}".strip()


def _no_meal(ctx: Context, match: re.Match[str]) -> Outcome | None:
    """ "bg 250, no food": the reading is kept; a correction alone is not worked out."""
    sentence = _said_glucose(match)
    said = read_statement(sentence)
    if not isinstance(said, Statement):
        return None
    outcome = happened.glucose(replace(ctx, text=sentence), said)
    lines = (*outcome.reply.lines, fact("no-correction-alone"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


OF_YESTERDAY = "reading-time"
"""The kind of the question when a reading of yesterday was; such a one is no low of now."""


def _of_yesterday(ctx: Context, match: re.Match[str]) -> Outcome:
    """ "glucose 3 mmol/L yesterday": at what time? Without one it cannot be kept."""
    slot = Slot("clock", (f"{_said_glucose(match)} at {ANSWER} yesterday",))
    asked = Ask(OF_YESTERDAY, "ask-time-yesterday", {"said": Said(ctx.text.strip(" .!?"))},
                slot=slot, hint=("cancel",))  # fmt: skip
    return ask(asked, ctx.text)


def _correction(ctx: Context, match: re.Match[str]) -> Outcome:
    """ "correction for 250", "correction 50": a reading, or a setting?"""
    if not match["figure"]:
        return answered(answer("no-correction-alone"), next_step("show my numbers"))
    figure, unit = match["figure"], match["unit"] or user_unit(ctx.settings)
    reading = _said_glucose(match)
    choices = [choice("choice-is-reading", reading, text=Said(f"{figure} {unit or ''}".strip()))]
    if unit:
        setting = f"correction factor {figure} {unit} per unit"
        choices.append(choice("choice-text", setting, text=Said(setting)))
    choices.append(choice("choice-neither", "cancel", word="no"))
    return ask(Ask("glucose-figure", "ask-correction", {"said": Said(figure)},
                   choices=tuple(choices)), reading)  # fmt: skip


def _sugar(ctx: Context, match: re.Match[str]) -> Outcome:
    """ "sugar 130": glucose, or sugar that is eaten?"""
    reading = _said_glucose(match)
    choices = [choice("choice-is-reading", reading, text=Said(reading.removeprefix("glucose ")))]
    if not match["unit"]:
        choices.append(choice("choice-text", f"{match['figure']} g of sugar",
                              text=Said(f"{match['figure']} g of sugar")))  # fmt: skip
    choices.append(choice("choice-neither", "cancel", word="no"))
    return ask(Ask("glucose-figure", "ask-is-it-glucose", {"said": Said(ctx.text.strip())},
                   choices=tuple(choices)), reading)  # fmt: skip


_MOST_CHOICES = 3


def _number(ctx: Context, match: re.Match[str]) -> Outcome | None:
    """ "7.2" with no question open: a reading, or units?"""
    if ctx.question is not None:
        return None
    figure = match["figure"]
    number = read_number(figure)
    if figure.isdigit() and int(figure) <= _MOST_CHOICES:
        # typed again it would be the number of a choice: here it has to be said in words
        told = (f"glucose {figure}", took_text(Fraction(figure)))
        return ask(Ask("glucose-figure", "ask-number-of-what", {"said": Said(figure)}, hint=told,
                       unread=(figure,)), ctx.text)  # fmt: skip
    choices = [choice("choice-is-reading", f"glucose {figure}", text=Said(figure))]
    if isinstance(number, Number) and number.value <= happened.MOST:
        choices.append(choice("choice-text", f"took {figure} units",
                              text=Said(f"took {figure} units")))  # fmt: skip
    choices.append(choice("choice-neither", "cancel", word="no"))
    asked = Ask("glucose-figure", "ask-number-of-what", {"said": Said(figure)},
                choices=tuple(choices), unread=(figure,))  # fmt: skip
    return ask(asked, ctx.text)


_HOUR = patterns.compile(r"\s+(?:at|@)\s*(?P<hour>\d{1,2})\s*(?P<day>yesterday|today)?", re.I)


def _units(ctx: Context, match: re.Match[str]) -> Outcome | None:
    """ "3 units", "forgot to log 3 units at 8": taken? The next dose waits for the answer."""
    said = f"took {match['units']} units"
    when = (match["when"] or "").strip()
    hour = _HOUR.fullmatch(match["when"] or "")
    if hour and int(hour["hour"]) < 24:
        texts = _at_hour(ctx, said, int(hour["hour"]), hour["day"])
    else:
        texts = (f"{said} {when}".strip(),)
    if not all(isinstance(read_statement(text), Statement) for text in texts):
        texts = ()
    choices = tuple(choice("choice-text", text, text=Said(text)) for text in texts)
    if len(choices) == 1:
        choices = (choice("choice-text", texts[0], word="yes", text=Said(texts[0])),)
    no = choice("choice-not-taken", "cancel", word="no")
    # the question stands in the journal as one about a dose: no other is worked out before it
    return ask(Ask("number", "ask-units-taken" if texts else "ask-units-when",
                   {"said": Said(ctx.text.strip())}, choices=(*choices, no)), said)  # fmt: skip


def _at_hour(ctx: Context, said: str, hour: int, day: str | None) -> tuple[str, ...]:
    """ "at 8": each time of the clock that it may be, the last one that has been."""
    hours = (hour,) if hour > 12 or hour == 0 else (hour % 12, hour % 12 + 12)
    texts = []
    for each in hours:
        clock = f"{each:02d}:00"
        to_come = each > ctx.now.hour
        yesterday = (day or "").casefold() == "yesterday" or (to_come and not day)
        if day and day.casefold() == "today" and to_come:
            continue
        texts.append(f"{said} at {clock}{' yesterday' if yesterday else ''}")
    return tuple(texts)


def _known(ctx: Context, words: str) -> bool:
    """Are the words a meal of known foods?"""
    phrase = read_phrase(words)
    if isinstance(phrase, Complaint) or not phrase.pieces:
        return False
    return isinstance(resolve(phrase, ctx.foods), Resolved)


def _may_i(ctx: Context, match: re.Match[str]) -> Outcome | None:
    """ "can I have 200 ml milk?": what it counts can be told, and no more."""
    words = match["words"].strip(" ?!.")
    if not _known(ctx, words):
        return answered(answer("may-i"), next_step("help meals"))
    bare = read_phrase(words)
    alone = not isinstance(bare, Complaint) and not bare.clauses
    counted = next_step(f"how many carbs in {words}", words) if alone else next_step(words)
    return answered(answer("may-i"), counted)


def _only_ate(ctx: Context, match: re.Match[str]) -> Outcome | None:
    """ "I only ate 1 slice": less of the last meal, or a meal of its own?"""
    if read_change(ctx.text) is not None:
        return None  # "I only ate half of it" says what it changes
    words, last = match["words"].strip(" .!"), last_meal(ctx)
    if last is None and not _known(ctx, words):
        return answered(answer("only-ate-none"), next_step("today"))
    change = f"make that {words}"
    choices = []
    if last is not None:
        choices.append(choice("choice-last-meal", change, text=Said(change)))
    if _known(ctx, words):
        choices.append(choice("choice-own-meal", words, text=Said(words)))
    choices.append(choice("choice-neither", "cancel", word="no"))
    return ask(Ask("change", "ask-only-ate", {"said": Said(ctx.text.strip())},
                   choices=tuple(choices)), ctx.text)  # fmt: skip


_BESIDE: tuple[tuple[str, str], ...] = (
    ("ketones", r"(?:my\s+|blood\s+|urine\s+|with\s+)*ketones?(?!\w).*|.*\sketones?"),
    ("rising", r"(?:(?:and|my|blood|glucose|sugar|bg|is|it['’]?s|it|sensor|i\s*['’]?\s*m|still|now|"
               r"quickly|slowly|fast)\s+)*(?:rising|climbing|spiking|going\s+up|trending\s+up|(?:double\s+)?"
               r"(?:up\s+arrows?|arrows?\s+up))(?:\s+(?:fast|quickly|slowly|rapidly|now|steadily))*"),
)  # fmt: skip
_PARTS = patterns.compile(r"\s*(?:[,;\n]|\.(?=\s|$)|(?<!\w)(?:and|plus|but)(?!\w))\s*", re.I)


def beside(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; or, where its unknown words tell of ketones or of where glucose is heading, what
    is done with them. The rest of the sentence goes on only by its own choice."""
    question = outcome.reply.question
    if question is None or question.kind not in {"name", "unread"}:
        return outcome
    parts = [part for part in _PARTS.split(ctx.text.strip(" .!?")) if part]
    for kind, pattern in _BESIDE:
        told = [p for p in parts if patterns.fullmatch(pattern, p, re.I)]
        if not told:
            continue
        rest = ", ".join(p for p in parts if p not in told)
        said = {"said": Said(told[0])}
        if not rest:
            return answered(answer(f"beside-{kind}", **said))
        go_on = choice("choice-go-on", rest, text=Said(rest))
        return ask(Ask("beside", "ask-beside", said, (caution(f"beside-{kind}", **said),),
                       (go_on, choice("choice-neither", "cancel", word="no")), unread=(told[0],)),
                   ctx.text)  # fmt: skip
    return outcome

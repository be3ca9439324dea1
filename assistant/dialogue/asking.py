"""Answers to the open question: which sentences an answer stands for.

None means that the text is no answer; it is then read as a sentence of its own.
"""

import re
from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from assistant.dialogue import first_run, offers
from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.replies import Choice, Line, Question, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Name, Said, Typed
from grammar import patterns
from grammar.labels import looks_like_label
from grammar.measures import find_measure
from grammar.nodes import Complaint, Number, Span
from grammar.numbers import read_number
from grammar.phrases import asks_count_only, read_phrase
from grammar.statements import Statement, read_statement
from grammar.words import name_key

_YES = {"yes", "y", "yeah", "yep", "ok", "okay", "sure"}
_NO = {"no", "n", "nope"}
_NUMBERED = patterns.compile(
    r"(?:(?:number|choice|option)\s+)?(?P<always>always\s+)?(?:(?P<number>\d{1,2})|"
    r"(?P<word>one|two|three|four|five|six|seven|eight|nine))"
    r"(?P<behind>\s+always)?",
    re.I,
)
_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_NUMBER_WORDS = {word: at for at, word in enumerate(_WORDS, start=1)}
_FIGURE = r"\d+(?:[.,]\d+)?(?:\s+\d+/\d+)?|\d+/\d+|\.\d+"
_GRAMS = patterns.compile(rf"(?P<n>{_FIGURE})\s*(?:g|gr|grams?|grammes?)?", re.I)
_VOLUME = patterns.compile(rf"(?P<n>{_FIGURE})\s*(?P<u>ml|mls|millilit(?:re|er)s?|cl|dl|l)?", re.I)
_GLUCOSE = patterns.compile(
    r"(?:(?:my\s+)?(?:blood\s+)?(?:glucose|sugar|bgl?)\s*(?:is|was|[:=])?\s*)?"
    r"(?P<n>-?\d+(?:[.,]\d+)?)\s*(?P<u>mg\s*/?\s*dl|mmols?(?:\s*/\s*l)?)?",
    re.I,
)
_NO_READING = {"no reading", "no glucose reading", "not measured", "no glucose"}
_NO_REDUCTION = {"no reduction", "none", "nothing", "0", "0%", "full dose", "the full dose"}
_PERCENT = patterns.compile(
    r"(?P<n>\d{1,2}(?:\.\d+)?)\s*(?:%|percent|per\s+cent)(?:\s+less)?", re.I
)
_CLOCK = patterns.compile(
    r"(?:at\s+)?(?P<clock>\d{1,2}[:.h]\d{2}(?:\s*[ap]\.?m)?|\d{1,2}\s*[ap]\.?m|noon|midnight)"
    r"(?:\s+yesterday)?", re.I)  # fmt: skip
_FREE = {"name", "measure-word", "label", "new-name", "ingredient"}


class Answer(Struct, frozen=True):
    """What the answer stands for: sentences to be read in turn.

    reads: the answer itself is a glucose reading, and so of now. now: the answer is "just now".
    notes: what of it was not taken.
    """

    texts: tuple[str, ...]
    reads: bool = False
    now: bool = False
    notes: tuple[Line, ...] = ()


class OutOfRange(Struct, frozen=True):
    """A number that no choice has."""

    count: int


def answer_to(ctx: Context, *, sentence: bool) -> Answer | OutOfRange | None:
    """The sentences behind the answer to the open question.

    sentence: the text is a whole sentence by itself ("took 5 units"), so it fills no free slot.
    """
    if ctx.question is None or not isinstance(ctx.question.event, QuestionAsked):
        return None
    question = ctx.question.event.question
    said = ctx.text.strip().rstrip(".!").strip()
    chosen = _chosen(ctx, question, said)
    if isinstance(chosen, Answer):
        just_now = {c.texts for c in question.choices if c.label.code == "choice-now"}
        return replace(chosen, now=chosen.texts in just_now)
    if chosen is not None:
        return chosen
    if offers.is_open(ctx):
        return None
    if question.slot is not None and not (sentence and question.slot.accepts in _FREE):
        texts = (
            first_run.fill(question.slot, said, sentence=sentence)
            if question.slot.accepts.startswith(first_run.KIND)
            else _fill(ctx, question.slot, said)
        )
        if texts:
            return Answer(texts, reads=question.slot.accepts == "glucose")
    return None


def _chosen(ctx: Context, question: Question, said: str) -> Answer | OutOfRange | None:
    choices = question.choices
    if not choices:
        return None
    low = said.casefold()
    for choice in choices:
        word = choice.word.casefold() if choice.word else None
        if word is not None and (
            low == word
            or (word in {"yes", "yesterday"} and low in _YES)
            or (word == "no" and low in _NO)
        ):
            return Answer(choice.texts)
        if word in {"mg/dl", "mmol/l"} and low.replace(" ", "").rstrip("/l") == word.rstrip("/l"):
            return Answer(choice.texts)
    key = "" if said.isdigit() else name_key(said)  # a bare figure is the number of a choice
    named = [each for each in choices if key and key in _labels(each)]
    if len(named) == 1:  # words that two choices share choose neither
        return Answer(named[0].texts)
    part = _part_of_one(question, low)
    if part is not None:
        return Answer(part.texts)
    as_told = [c for c in choices if _as_typed(said) in map(_as_typed, ctx.told_as(c))]
    if len(as_told) == 1:
        return Answer(as_told[0].texts)
    match = _NUMBERED.fullmatch(said)
    if match is None:
        return None
    number = int(match["number"]) if match["number"] else _NUMBER_WORDS[match["word"].casefold()]
    if not 1 <= number <= len(choices):
        return OutOfRange(len(choices))
    choice = choices[number - 1]
    always = match["always"] or match["behind"]
    if always and choice.remember:
        return Answer((choice.remember, *choice.texts))
    return Answer(choice.texts, notes=(Line("fact", "not-remembered"),) if always else ())


def _as_typed(told: str) -> str:
    """Words without quotation marks, case and the stop at their end, as a person types them."""
    return " ".join(patterns.sub(r'["“”]', "", told).casefold().split()).rstrip(".!?: ")


def _part_of_one(question: Question, low: str) -> Choice | None:
    """In the first talk: the choice in whose sentence, and in no other's, these words stand."""
    if question.kind != first_run.KIND or len(low) < 4:
        return None
    words = re.compile(rf"(?<!\w){re.escape(low)}(?!\w)", re.I)
    told = [(c, c.label.args.get("text")) for c in question.choices]
    found = [c for c, arg in told if isinstance(arg, Typed) and words.search(arg.text)]
    return found[0] if len(found) == 1 else None


def _labels(choice: Choice) -> set[str]:
    found = set()
    for key in ("food", "text"):
        arg = choice.label.args.get(key)
        if isinstance(arg, Name | Said | Typed):
            found.add(name_key(arg.text))
    return found


def _has_measure(amount: str) -> bool:
    """Does this amount say of what: "200 ml", and not "200"?"""
    phrase = read_phrase(amount)
    return not isinstance(phrase, Complaint) and phrase.pieces[0][0].measure is not None


def _amount(said: str) -> str | None:
    """The answer when it is an amount and nothing else: "2 servings", "60 g", "half a cup"."""
    phrase = read_phrase(said)
    if isinstance(phrase, Complaint) or len(phrase.pieces) != 1 or phrase.clauses:
        return None
    item = phrase.pieces[0][0]
    return said if isinstance(item.quantity, Number | Span) and not item.name else None


def _fill(ctx: Context, slot: Slot, said: str) -> tuple[str, ...] | None:
    """The slot's sentences with the answer in place; None when it is no such answer."""

    def put(answer: str, texts: tuple[str, ...] = slot.texts) -> tuple[str, ...]:
        return tuple(t.replace(ANSWER, answer) for t in texts)

    accepts = slot.accepts
    if accepts == "amount":
        amount = _amount(said)
        return put(amount) if amount else None
    if accepts == "number-or-amount":
        if isinstance(read_number(said), Number):
            return put(said, slot.texts[:1])
        amount = _amount(said)
        return put(amount, slot.texts[1:]) if amount else None
    if accepts == "number":
        figure = patterns.sub(r"\s*units?$", "", said, flags=re.I)
        if not isinstance(read_number(figure), Number):
            return None
        return tuple(patterns.sub(r"\btook 1 units\b", "took 1 unit", t) for t in put(figure))
    if accepts == "glucose":
        return _fill_glucose(slot, said, put)
    if accepts == "percent":
        if said.casefold() in _NO_REDUCTION:
            return slot.texts[1:]
        match = _PERCENT.fullmatch(said)
        return put(match["n"], slot.texts[:1]) if match else None
    if accepts in {"grams", "volume"}:
        metric = _metric(accepts, said)
        return put(metric) if metric else None
    return _fill_words(ctx, slot, said, put)


def _metric(accepts: str, said: str) -> str | None:
    """A weight or a volume, with the unit where none was said."""
    pattern, unit = (_GRAMS, "g") if accepts == "grams" else (_VOLUME, "ml")
    match = pattern.fullmatch(said)
    return f"{match['n']} {match.groupdict().get('u') or unit}" if match else None


def _fill_glucose(
    slot: Slot, said: str, put: Callable[[str, tuple[str, ...]], tuple[str, ...]]
) -> tuple[str, ...] | None:
    """A figure, "no reading", or "no dose": the meal is then counted and no more."""
    if said.casefold() in _NO_READING:
        return slot.texts[1:]
    if asks_count_only(said):
        return tuple(t.removesuffix("no reading") + "count only" for t in slot.texts[1:])
    match = _GLUCOSE.fullmatch(said)
    return put(f"{match['n']} {match['u'] or ''}".strip(), slot.texts[:1]) if match else None


_LABEL_AMOUNT = patterns.compile(
    r"(?P<per>per\s+100\s*(?:g|ml))|(?:serving\s+(?:size\s+)?)?(?P<size>[^,;:]*\d\s*(?:g|grams?|ml)\)?)",
    re.I,
)


def _fill_label_line(
    slot: Slot, said: str, put: Callable[[str], tuple[str, ...]]
) -> tuple[str, ...] | None:
    """One line of a guided label: an amount ("1/2 cup (40 g)", "per 100 g"), or a figure."""
    if said.casefold() == "skip" and len(slot.texts) > 1:
        return slot.texts[1:]
    if slot.accepts == "label-amount":
        match = _LABEL_AMOUNT.fullmatch(said)
        if match is None:
            return None
        return put(match["per"] or f"serving {match['size']}")[:1]
    match = patterns.fullmatch(r"(?P<n><?\s*\d+(?:[.,]\d+)?)\s*(?:g|grams?|servings?)?", said, re.I)
    return put(match["n"])[:1] if match else None


def _looks_like_meal(said: str) -> bool:
    """A sentence with an amount and a measure, units of insulin, or glucose is no food's name."""
    phrase = read_phrase(said)
    if isinstance(phrase, Complaint):
        return True
    if phrase.clauses or patterns.search(r"\d\s*(?:units?|u)\b", said, re.I):
        return True
    first = phrase.pieces[0][0] if phrase.pieces else None
    return first is not None and isinstance(first.quantity, Number) and first.measure is not None


def _knows_food(ctx: Context, said: str) -> bool:
    """Does the text name a food of the library with an amount? Then it is a meal, and no label."""
    phrase = read_phrase(said)
    if isinstance(phrase, Complaint):
        return False
    items = (item for piece in phrase.pieces for item in piece)
    return any(item.name and ctx.foods.exact(name_key(item.name)) for item in items)


def _fill_time(said: str, put: Callable[[str], tuple[str, ...]]) -> tuple[str, ...] | None:
    """When a dose was taken: "at 12:45", "12:45", "30 minutes ago", "just now"."""
    for words in (said, f"at {said}"):
        dose = read_statement(f"took 1 unit {words}")
        if isinstance(dose, Statement) and dose.when is not None:
            return put(words)
    return None


def _fill_words(
    ctx: Context, slot: Slot, said: str, put: Callable[..., tuple[str, ...]]
) -> tuple[str, ...] | None:
    if slot.accepts == "dose-time":
        return _fill_time(said, put)
    if slot.accepts == "name":
        name = patterns.sub(r"^(?:of\s+)?(?:the\s+)?", "", said, flags=re.I)
        return put(f'of "{name}"') if ctx.foods.exact(name_key(name)) else None
    if slot.accepts == "clock":
        clock = _CLOCK.fullmatch(said)
        return put(clock["clock"]) if clock else None
    if slot.accepts == "ingredient":
        return put(f'"{said}"') if ctx.foods.exact(name_key(said)) else None
    if slot.accepts == "measure-word":
        if find_measure(said):
            return put(said, slot.texts[:1])
        amount = _amount(said)
        return put(amount, slot.texts[1:]) if amount and _has_measure(amount) else None
    if slot.accepts in {"label-amount", "figure"}:
        return _fill_label_line(slot, said, put)
    if slot.accepts == "label":
        label = looks_like_label(said) or (":" not in said and not _knows_food(ctx, said))
        return put(said) if label else None
    if slot.accepts == "new-name":
        fits = (
            name_key(said)
            and not _looks_like_meal(said)
            and len(said) <= 80
            and ":" not in said
            and "\n" not in said
        )
        return put(said) if fits else None
    return None

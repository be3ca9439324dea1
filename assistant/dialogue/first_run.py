"""The first talk: one short question for each setting that is not said yet.

Its answers are put into the same sentences that set the numbers at any other time. What was left
out stands in the waiting sentence itself ("set up, without ratio"), so the talk needs no memory of
its own: "set up" goes on with whatever is not set.
"""

import re
from collections.abc import Mapping

from msgspec.structs import replace

from assistant.counting.policy import POLICIES
from assistant.dialogue import label_region, offers
from assistant.dialogue.events import QuestionAsked
from assistant.dialogue.offers import OTHER_SENTENCES, SETTING_SENTENCES
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
)
from assistant.dialogue.replies import Choice, Line, Slot
from assistant.dialogue.sentence_parts import ANSWER
from assistant.dialogue.state import Context
from assistant.values import Arg, Listed, Phrase, Typed
from grammar import patterns
from grammar.nodes import Number
from grammar.statements import Statement, read_statement

KIND = "set-up"
"""The kind of this talk's questions."""

OWN = ("glucose_unit", "label_region", "policy")
"""What is asked before the care team's numbers: enough to count."""

_TALK = patterns.compile(r"\s*set\s+up(?:\s*,\s*without\s+(?P<left>[a-z ,]+?))?\s*[.!]*\s*", re.I)
_STARTS_AS_ANSWER = patterns.compile(r"[-−\d.½¼¾⅓⅔]|(?:half|one|whole|full|single)\b", re.I)
_POLICIES = {
    "total": "count total carbohydrate",
    "net": "count net carbohydrate",
    "fibre-over-5": "count fibre over 5 g halved",
}
_FILLED: Mapping[str, tuple[str, ...]] = {
    "ratio": ("my ratio is {}", "my ratio is 1 unit per {} g", "my ratio is 1 unit per {}"),
    "factor": ("correction factor {}",),
    "target": ("target {}",),
    "duration": ("my insulin lasts {}", "my insulin lasts {} hours"),
    "pen_step": ("my pen goes in {}", "my pen goes in {} units"),
    "cap_dose": ("never more than {}", "never more than {} at once",
                 "never more than {} units at once"),
    "cap_window": ("never more than {}",),
}  # fmt: skip
"""Where a short answer goes. The first sentence that is read to its last word is taken."""
_WORDS: Mapping[str, tuple[str | None, str | None]] = {
    "active_shape": ("line", "curve"),
    "active_rule": ("correction", "whole"),
    "rounding": ("down", "nearest"),
}
"""A word for each of two choices, in the order of their sentences."""
_FORM = {"pen_step": "pen"}


def _left_out(text: str) -> tuple[str, ...]:
    """Settings that this talk leaves out, by name."""
    match = _TALK.fullmatch(text)
    words = match["left"] if match else None
    return tuple(w.strip().replace(" ", "_") for w in words.split(",")) if words else ()


def _sentence(left: tuple[str, ...]) -> str:
    return f"set up, without {', '.join(n.replace('_', ' ') for n in left)}" if left else "set up"


def early(ctx: Context) -> Outcome | None:
    """The talk, or the kind of labels; None for any other sentence."""
    if _TALK.fullmatch(ctx.text):
        return talk(ctx)
    return label_region.said(ctx)


def talk(ctx: Context) -> Outcome:
    """The next question, or that all is done."""
    left = _left_out(ctx.text)
    names = (*OWN, *ctx.settings.NEEDED)
    open_ones = [n for n in names if getattr(ctx.settings, n) is None]
    wanted = next((n for n in open_ones if n not in left), None)
    if wanted is None:
        return _done(ctx)
    before: tuple[Line, ...] = ()
    if len(open_ones) == len(names) and not left:
        before = (answer("setup-intro"), caution("setup-care"))
    text = _sentence(left)
    return ask(replace(_question(ctx, wanted, left), before=before), text)


def _question(ctx: Context, name: str, left: tuple[str, ...]) -> Ask:
    go_on, without = _sentence(left), _sentence((*left, name))
    skip = choice("choice-skip", without, word="skip")
    none_of_them = _sentence((*left, *(n for n in ctx.settings.missing() if n not in left)))
    slot = Slot(f"{KIND}:{name}", (ANSWER, go_on, without, none_of_them))
    if name == "glucose_unit":
        choices = tuple(
            choice("choice-unit", f"my glucose is in {unit}", go_on, word=unit,
                   unit=Phrase(f"unit-{unit}"))
            for unit in ("mg/dL", "mmol/L")
        )  # fmt: skip
        return Ask(KIND, "setup-glucose_unit", choices=(*choices, skip), slot=slot)
    if name == "label_region":
        choices = tuple(
            choice("choice-law", label_region.sentence(code), go_on, word=code,
                   region=Phrase(f"region-{code}"))
            for code in label_region.REGIONS
        )  # fmt: skip
        return Ask(KIND, "setup-label_region", choices=(*choices, skip), slot=slot)
    if name == "policy":
        words = {"total": "total", "net": "net", "fibre-over-5": "halved"}
        choices = tuple(
            choice(f"choice-policy-{p}", _POLICIES[p], go_on, word=words[p]) for p in POLICIES
        )
        return Ask(KIND, "setup-policy", choices=(*choices, skip), slot=slot)
    args: dict[str, Arg] = {"setting": Phrase(f"setting-{name}")}
    if name in OTHER_SENTENCES:
        both = (SETTING_SENTENCES[name], OTHER_SENTENCES[name])
        short = _WORDS.get(name, (None, None))
        choices = tuple(
            choice("choice-text", s, go_on, word=w, text=Typed(s))
            for s, w in zip(both, short, strict=True)
        )
        code = f"setup-{name}" if name in _WORDS else "setup-other"
        return Ask(KIND, code, args, choices=(*choices, skip), slot=slot)
    hint = ("skip", "count only") if name == ctx.settings.NEEDED[0] else ("skip",)
    code = f"setup-{name}" if name in _FILLED else "setup-other"
    if code == "setup-other":
        hint = (offers.setting(name, ctx.settings), *hint)
    return Ask(KIND, code, args, slot=slot, hint=hint)


def _done(ctx: Context) -> Outcome:
    """What is set, what is not, and what to type now."""
    missing = ctx.settings.missing()
    lines = [answer("setup-done")]
    if missing:
        items = tuple(Phrase(f"setting-{n}") for n in missing)
        lines = [answer("setup-count-only"), fact("setup-left", missing=Listed(items))]
    names = ctx.foods.names(1)
    example = f"... servings of {names[0]}" if names else (
        f"new food ...: {offers.label(ctx.settings)}"
    )  # fmt: skip
    return answered(*lines, next_step("show my numbers", example))


def fill(slot: Slot, said: str, *, sentence: bool) -> tuple[str, ...] | None:
    """The sentences behind an answer to this talk; None when it is none.

    sentence: the words stand by themselves ("glucose 143"), so they are no short answer, unless
    they begin with a figure, as "110 mg/dL" does.
    """
    name = slot.accepts.removeprefix(f"{KIND}:")
    low = said.casefold()
    if low in {"skip", "leave it out", "later"}:
        return (slot.texts[2],)
    if low in {"count only", "only count", "skip all"}:
        return (slot.texts[3],)
    if sentence and not _STARTS_AS_ANSWER.match(said):
        return None
    shapes = _FILLED.get(name, ())
    for candidate in (s.format(said) for s in shapes):
        if _is_clear(candidate, name):
            return (candidate, slot.texts[1])
    spelt = patterns.sub(r"^([\d.½]+)\s+(?=in\b)", r"\1 units ", said)
    for candidate in (s.format(spelt) for s in shapes if spelt != said):
        if _is_clear(candidate, name):
            return (candidate, slot.texts[1])
    return None


def _is_clear(text: str, name: str) -> bool:
    """The text is read to its end as this setting, and its figures are clear."""
    read = read_statement(text)
    if not isinstance(read, Statement) or read.form != _FORM.get(name, name):
        return False
    figures = [q for e in read.entries for q in (e.value, e.per)]
    figures += [read.number] if read.number is not None else []
    return bool(figures) and all(isinstance(q, Number) for q in figures)


def is_step(text: str) -> bool:
    """True for a sentence of this talk, which is not read back to the user."""
    return _TALK.fullmatch(text) is not None


def going_on(outcome: Outcome, rest: tuple[str, ...]) -> Outcome:
    """A setting's own question ("that is unusual, is it right?"), whose answers go on.

    After "no" nothing is set, so the talk asks the same again.
    """
    question = outcome.reply.question
    if question is None or not question.choices or not rest or not is_step(rest[-1]):
        return outcome
    choices = tuple(_then(c, rest) for c in question.choices)
    asked = replace(question, choices=choices)
    events = tuple(
        replace(e, question=asked) if isinstance(e, QuestionAsked) else e for e in outcome.events
    )
    return Outcome(replace(outcome.reply, question=asked), events)


def _then(given: Choice, rest: tuple[str, ...]) -> Choice:
    texts = rest if given.texts == ("cancel",) else (*given.texts, *rest)
    return replace(given, texts=texts)

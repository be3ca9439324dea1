"""For words that nothing understands: the two sentences most like them that would work now.

Only a hint beside the question. Nothing is ever read as one of these. A place that needs a figure
is left open, or has the one that was just typed (see offers.py).
"""

from msgspec.structs import replace

from assistant.dialogue import offers
from assistant.dialogue.outcome import DROP, Outcome, answer, answered, next_step
from assistant.dialogue.state import Context
from assistant.dialogue.undoing import UNDOABLE
from grammar import patterns

ALWAYS = (
    "why", "today", "what is active now", "took ... units", "took ... units at ...",
    "show my numbers", "foods", "set up", "guide me through a label",
    "what is net carbohydrate", "what is a serving", "what is a correction factor",
    "new food ...: ...",
    "speak plainly", "show it for the eye", "short answers", "full working", "keep no history",
    "how was my glucose this week", "what happened after lunch", "report for the visit",
    "help", "help meals", "help labels", "help numbers", "help chat", "what can I say",
    "help recipes", "recipes", "yesterday", "this week", "last 7 days", "what is left",
    "recipe ... makes ... bowls: ... g of ..., ... g of ...", "where is my data",
    "my goal is ... g of carbohydrate a day", "what can I have with ... g left",
    "export everything", "my mug holds ... ml",
    "count net carbohydrate", "count total carbohydrate", "never more than ... g in a meal",
    "my glucose is in mg/dL", "my glucose is in mmol/L", "my cup is ... ml",
    "I avoid ...", "erythritol counts as ...", "my labels are ... labels",
)  # fmt: skip
"""Sentences that work whatever the library and the settings hold."""
ABOUT_FOODS = (
    "... servings of {food}", "... g of {food}, glucose ...", "... g of {food}",
    "show {food}", "explain the label of {food}", "how much {food} is ... g of carbohydrate",
    "{food} is also called ...", "1 slice of {food} weighs ... g", "forget {food}",
    "foods like {food}", "new label for {food}: ...",
)  # fmt: skip
ABOUT_TWO = (
    "compare {food} and {other}", "... servings of {food} plus ... servings of {other}"
)  # fmt: skip
"""Sentences about foods: told with names from the user's own library, so that they work."""
LIKE = 60.0
"""Likeness, of 100, from which a sentence is offered (tried out; no source)."""
_UNKNOWN = frozenset({"not-understood", "ask-name-none", "phrase-no-food", "no-such-food"})


def forms(ctx: Context) -> tuple[str, ...]:
    """Every sentence that would work now."""
    names = ctx.foods.names(2)
    found = [*ALWAYS, *offers.settings_sentences(ctx.settings)]
    found += [offers.glucose(ctx.settings), offers.glucose(ctx.settings, at=True)]
    if ctx.question is not None:
        found.append("cancel")
    if ctx.suggestion is not None:
        found += ["took it", "not taken", DROP]
    last = ctx.record.events((*UNDOABLE, "setting-said"), last=1)
    if last and last[0].event.kind != "setting-said":
        found.append("undo")
    if names:
        found += [f.replace("{food}", names[0]) for f in ABOUT_FOODS]
    if len(names) > 1:
        found += [f.replace("{food}", names[0]).replace("{other}", names[1]) for f in ABOUT_TWO]
    return tuple(found)


def nearest(ctx: Context, count: int = 2) -> tuple[str, ...]:
    """The sentences most like the words, best first; none where nothing is like them."""
    from rapidfuzz import process  # noqa: PLC0415 - only words that nothing understands need it

    said = patterns.sub(r"\d[\d.,:/]*", offers.OPEN, " ".join(ctx.text.casefold().split()))[:120]
    keyed = {form: form.casefold() for form in forms(ctx)}
    scored = process.extract(said, keyed, scorer=_likeness, limit=count, score_cutoff=LIKE)
    return tuple(offers.with_own_figure(form, ctx.text) for _, _, form in scored)


def _likeness(said: str, form: str, *, score_cutoff: float | None = None) -> float:
    """How the words go together, whole or at their opening; a slip of the pen costs little."""
    from rapidfuzz import fuzz  # noqa: PLC0415 - as above

    opening = form[: len(said) + 4]
    best = max(fuzz.ratio(said, opening), fuzz.token_sort_ratio(said, form))
    return best if score_cutoff is None or best >= score_cutoff else 0.0


def with_forms(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome; where it is that nothing was understood, with the nearest sentences."""
    question = outcome.reply.question
    if question is None or question.asked.code not in _UNKNOWN or question.choices:
        return outcome
    found = nearest(ctx)
    if not found:
        return outcome
    lines = (*outcome.reply.lines, next_step(*found, code="nearest-forms"))
    return replace(outcome, reply=replace(outcome.reply, lines=lines))


def what_now(ctx: Context) -> Outcome:
    """ "what can I say": the sentences that fit what is open and what is there."""
    names = ctx.foods.names(2)
    missing = ctx.settings.missing()
    lines = [answer("say-now")]
    if ctx.suggestion is not None:
        lines.append(next_step("took it", "not taken", DROP, code="say-open"))
    if ctx.question is not None:
        lines.append(next_step("question", "cancel", code="say-question"))
    if not names:
        lines.append(next_step("new food ...", "guide me through a label", code="say-foods"))
    else:
        meal = f"... servings of {names[0]}"
        if not missing:
            meal += f", {offers.glucose(ctx.settings)}"
        lines.append(next_step(meal, f"show {names[0]}", "foods", code="say-meal"))
    if missing or ctx.settings.policy is None:
        lines.append(next_step("set up", "show my numbers", code="say-set-up"))
    lines.append(next_step("why", "today", "what is active now", code="say-questions"))
    lines.append(next_step("help meals", "help labels", "help numbers", "help recipes", "help chat",
                           code="say-help"))  # fmt: skip
    return answered(*lines)

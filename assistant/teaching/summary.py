"""What a learner's answers come to, by kind of mistake; and the line that keeps it.

One line of JSON a summary: the time, the title, the counts, the mistakes.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from fractions import Fraction
from typing import Annotated

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from assistant.dialogue.replies import Line, Reply
from assistant.render.texts import TEXTS
from assistant.teaching.learner import Mark
from assistant.values import Amount, Arg, Listed, Moment, Phrase, Said

MOST = 5
"""Kinds of mistakes of an earlier summary that are told again."""

_Count = Annotated[int, Field(ge=0)]


class Summary(BaseModel):
    """A learner's answers, counted. answered: without those that were skipped or shown."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    at: AwareDatetime
    title: str
    answered: _Count
    right: _Count
    skipped: _Count
    counts: _Count
    within_10_g: _Count
    within_20_percent: _Count
    mistakes: dict[str, _Count]
    unclear: _Count


def summed(marks: Sequence[Mark], title: str, at: datetime) -> Summary:
    """The summary of these marks."""
    answered = [mark for mark in marks if mark.verdict in {"right", "wrong"}]
    counts = [mark for mark in answered if mark.in_grams is not None]
    kinds = Counter(kind for mark in answered for kind in mark.mistakes)
    return Summary(
        at=at,
        title=title,
        answered=len(answered),
        right=sum(mark.verdict == "right" for mark in answered),
        skipped=len(marks) - len(answered),
        counts=len(counts),
        within_10_g=sum(mark.in_grams is True for mark in counts),
        within_20_percent=sum(mark.in_share is True for mark in counts),
        mistakes=dict(sorted(kinds.items(), key=lambda kind: (-kind[1], kind[0]))),
        unclear=sum(mark.unclear for mark in answered),
    )


def _number(count: int) -> Amount:
    return Amount(Fraction(count), "")


def _scores(summary: Summary) -> Mapping[str, Arg]:
    return {
        "answered": _number(summary.answered),
        "right": _number(summary.right),
        "skipped": _number(summary.skipped),
        "counts": Amount(Fraction(summary.counts), "count"),
        "grams": _number(summary.within_10_g),
        "share": _number(summary.within_20_percent),
        "unclear": _number(summary.unclear),
        "title": Said(summary.title),
    }


def told_summary(summary: Summary, earlier: Summary | None = None) -> Reply:
    """The summary in sentences, and what was told at the end of the last one."""
    args = _scores(summary)
    if not summary.answered:
        lines = [Line("answer", "summary-none")]
    else:
        lines = [Line("answer", "summary-answered", args)]
    if summary.skipped:
        lines.append(Line("fact", "summary-skipped", args))
    if summary.counts:
        lines.append(Line("fact", "summary-counts", args))
    lines.extend(_mistakes(summary))
    if summary.unclear:
        lines.append(Line("fact", "summary-unclear", args))
    if earlier is not None:
        lines.extend(_earlier(earlier, summary.at))
    return Reply("answered", tuple(lines))


def _mistakes(summary: Summary) -> Iterator[Line]:
    """One line a kind, the most frequent first."""
    if summary.answered and not summary.mistakes and not summary.unclear:
        yield Line("fact", "summary-no-mistake")
    for kind, times in summary.mistakes.items():
        what = Phrase(f"kind-{kind}")
        yield Line(
            "fact", "summary-mistake", {"what": what, "times": Amount(Fraction(times), "time")}
        )


def _earlier(earlier: Summary, now: datetime) -> Iterator[Line]:
    args = {**_scores(earlier), "moment": Moment(earlier.at, now)}
    yield Line("fact", "summary-last-time", args)
    known = [kind for kind in earlier.mistakes if f"kind-{kind}" in TEXTS][:MOST]
    if known:
        what = Listed(tuple(Phrase(f"kind-{kind}") for kind in known))
        yield Line("fact", "summary-last-mistakes", {"what": what})


def kept_line(summary: Summary) -> str:
    """The summary as one line of JSON, without its end."""
    return json.dumps(summary.model_dump(mode="json"), ensure_ascii=False)


def read_kept(line: str) -> Summary | None:
    """A summary from its line; None where the line is none."""
    try:
        return Summary.model_validate_json(line)
    except ValidationError:
        return None

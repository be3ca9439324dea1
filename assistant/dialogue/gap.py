"""A record that lacks doses: what is said when it is put back, and when it is called complete."""

from datetime import datetime

from assistant.dialogue.events import RecordComplete, RecordGap
from assistant.dialogue.outcome import Outcome, answer, answered, caution, next_step
from assistant.dialogue.state import Context
from assistant.values import Moment


def begun(since: datetime | None, now: datetime) -> Outcome:
    """The record was put back as it was at a time, or begun anew (None)."""
    if since is None:
        first = answer("record-begun")
    else:
        first = answer("record-restored", moment=Moment(since, now))
    lines = (
        first,
        caution("rule-record-gap"),
        next_step("show my numbers", "the record is complete"),
    )
    return answered(*lines, events=(RecordGap(since),))


def complete(ctx: Context) -> Outcome:
    """ "the record is complete": doses are worked out again."""
    if not ctx.record_gap():
        return answered(answer("record-no-gap"))
    return answered(answer("record-complete"), events=(RecordComplete(),))

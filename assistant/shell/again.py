"""A past reply, made again from the record as it stood then."""

from assistant.render.as_json import as_json, one_line_json
from assistant.render.turns import turn
from assistant.store.store import Store


def made_again(store: Store, number: int) -> tuple[str, str]:
    """(the reply that was kept, the reply that the turn gives again), as JSON text.

    They are the same for every turn that one chat said; a turn that failed gave no reply of the
    dialogue, and one that was said beside another chat could not see that chat's questions.
    Raises LookupError where there is no such turn, StoreProblem where the journal is unreadable.
    """
    with store.before(number) as past:
        outcome = turn(past.record, past.foods, past.row.text, past.row.said_at)
        return past.row.reply, one_line_json(as_json(outcome.reply))

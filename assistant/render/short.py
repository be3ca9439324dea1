"""Short answers: a reply without the steps of its working. "why" tells them."""

from msgspec.structs import replace

from assistant.dialogue.replies import Reply


def shortened(reply: Reply) -> Reply:
    """The reply without its working. The dose, the count and its range, each food as it was taken,
    every caution, refusal and question stay. An answer to "why" is the working, and stays whole.
    """
    if "explained" in reply.facts:
        return reply
    lines = tuple(line for line in reply.lines if line.role != "working")
    return replace(reply, lines=lines) if lines else reply

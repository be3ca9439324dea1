"""What the shell itself says, by code: the sentences are in the catalogue of texts."""

from assistant.render.texts import TEXTS

LEAVING = frozenset({"bye", "quit", "exit"})
"""Words that end the chat, alone on a line."""


def say(code: str, **fields: object) -> str:
    """The shell's sentence of this code, with its fields."""
    return TEXTS[f"shell-{code}"].format_map(fields)


def advice(problem: str) -> str:
    """What to do about a problem of the store, by its code."""
    return TEXTS.get(f"shell-advice-{problem}", TEXTS["shell-advice"])

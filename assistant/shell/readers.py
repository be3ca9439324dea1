"""Where the chat's lines come from. Both readers raise EOFError and KeyboardInterrupt."""

from collections.abc import Callable
from typing import Protocol

from assistant.shell import words
from assistant.shell.history import TypedLines
from assistant.shell.pasted import collected, input_waits, starts_label
from assistant.shell.voice import Voice


class Reader(Protocol):
    """One text at a time from the person."""

    def read(self) -> str:
        """The next text. EOFError: the person leaves. KeyboardInterrupt: the line is cleared."""
        ...


class PlainReader:
    """input() and nothing more: no redrawing, so a screen reader hears each line once."""

    def __init__(
        self,
        ask: Callable[[str], str],
        tell: Callable[[str], None],
        more_waits: Callable[[], bool] = lambda: False,
        keep: Callable[[str], None] = lambda _: None,
    ) -> None:
        self._ask = ask
        self._tell = tell
        self._more_waits = more_waits
        self._keep = keep
        self._told = False

    def read(self) -> str:
        """One line, or a whole label where a line announces one."""
        try:
            text = self._text()
        except KeyboardInterrupt:
            self._tell("")
            raise
        self._keep(text)
        return text

    def _text(self) -> str:
        text = self._ask(words.say("prompt"))
        if not starts_label(text, self._more_waits):
            return text
        if not self._told:
            self._tell(words.say("collecting"))
            self._told = True
        return collected(text, lambda: self._ask(words.say("more")), self._more_waits)


class ByMode:
    """Reads as the mode is now: with the line editor for the eye, plainly for the ear.

    "speak plainly" changes it in the middle of a chat, so each reader is made when it is needed.
    """

    def __init__(
        self, typed: TypedLines, names: Callable[[], tuple[str, ...]], voice: Voice
    ) -> None:
        self._typed, self._names, self._voice = typed, names, voice
        self._made: dict[bool, Reader] = {}

    def read(self) -> str:
        """As Reader.read."""
        plain = self._voice.mode == "spoken" or self._voice.world.plain_terminal
        if plain not in self._made:
            self._made[plain] = (
                plain_reader(self._typed, self._voice.line)
                if plain
                else editing_reader(self._typed, self._names, self._voice.tell)
            )
        return self._made[plain].read()


def plain_reader(typed: TypedLines, tell: Callable[[str], None]) -> PlainReader:
    """input() with the system's line editor, where there is one, and the history file."""
    try:
        import readline
    except ImportError:
        return PlainReader(input, tell, input_waits, typed.add)
    readline.clear_history()
    for text in typed.load():
        if "\n" not in text:
            readline.add_history(text)
    readline.set_auto_history(True)
    return PlainReader(input, tell, input_waits, typed.add)


def editing_reader(
    typed: TypedLines, names: Callable[[], tuple[str, ...]], tell: Callable[[str], None]
) -> Reader:
    """The line editor with completion, for the eye."""
    from assistant.shell.editor import EditingReader

    return EditingReader(typed, names, tell)

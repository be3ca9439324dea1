"""The line editor of the sighted chat: completion while typing, history, whole pastes."""

from collections.abc import Callable, Iterable

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import History

from assistant.shell import words
from assistant.shell.completion import suggestions
from assistant.shell.history import TypedLines
from assistant.shell.keys import line_keys


class _Kept(History):
    """The history file, as the editor wants it: newest first."""

    def __init__(self, typed: TypedLines) -> None:
        super().__init__()
        self._typed = typed

    def load_history_strings(self) -> Iterable[str]:
        """Newest first."""
        return reversed(self._typed.load())

    def store_string(self, string: str) -> None:
        """Appends to the file."""
        self._typed.add(string)


class _Words(Completer):
    """Suggestions as the editor's own completions."""

    def __init__(self) -> None:
        self.names: tuple[str, ...] = ()

    def get_completions(self, document: Document, _: CompleteEvent) -> Iterable[Completion]:
        """Completions for the text before the cursor."""
        for found in suggestions(document.text_before_cursor, self.names):
            yield Completion(found.text, start_position=-found.replaces)


class EditingReader:
    """Reads with the line editor. A pasted text of many lines is sent whole by one Enter."""

    def __init__(self, typed: TypedLines, names: Callable[[], tuple[str, ...]]) -> None:
        self._names = names
        self._words = _Words()
        self._session: PromptSession[str] = PromptSession(
            words.say("prompt"),
            history=_Kept(typed),
            completer=self._words,
            complete_while_typing=True,
            complete_in_thread=False,
            key_bindings=line_keys(),
            reserve_space_for_menu=4,
            enable_suspend=True,
        )

    def read(self) -> str:
        """The next text; the foods' names are read anew, for the last turn may have added one."""
        self._words.names = self._names()
        return self._session.prompt()

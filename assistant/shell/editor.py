"""The line editor of the sighted chat: completion while typing, history, whole pastes."""

from collections.abc import Callable, Iterable

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import History
from prompt_toolkit.input.typeahead import get_typeahead, store_typeahead

from assistant.shell import words
from assistant.shell.completion import suggestions
from assistant.shell.history import TypedLines
from assistant.shell.keys import line_keys
from assistant.shell.pasted import collected, input_waits, starts_label


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
    """Reads with the line editor. A pasted text of many lines is sent whole by one Enter.

    Lines that came before the editor was there arrive one by one; a label in them is collected.
    """

    def __init__(
        self,
        typed: TypedLines,
        names: Callable[[], tuple[str, ...]],
        tell: Callable[[str], None],
    ) -> None:
        self._typed, self._names, self._tell = typed, names, tell
        self._told = False
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
        text = self._session.prompt()
        if not starts_label(text, self._more_waits):
            return text
        if not self._told:
            self._tell(words.say("collecting"))
            self._told = True
        more: PromptSession[str] = PromptSession(words.say("more"), key_bindings=line_keys())
        label = collected(text, more.prompt, self._more_waits)
        self._typed.add(label)
        return label

    def _more_waits(self) -> bool:
        """True while lines are waiting that were typed or pasted before they were asked for."""
        source = self._session.input
        keys = get_typeahead(source)
        store_typeahead(source, keys)
        return bool(keys) or input_waits()

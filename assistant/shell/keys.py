"""Keys of the line editor: Enter always sends the line as it stands; arrows walk the history."""

from prompt_toolkit.application.current import get_app
from prompt_toolkit.filters import Condition
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent


@Condition
def _offered_but_not_taken() -> bool:
    """A list of completions is open and none of them was chosen with Tab."""
    state = get_app().current_buffer.complete_state
    return state is not None and state.current_completion is None


def line_keys() -> KeyBindings:
    """The bindings that differ from the editor's own."""
    keys = KeyBindings()

    @keys.add("enter")
    def _(event: KeyPressEvent) -> None:
        """Sends what is seen on the line, never a completion that was only offered."""
        buffer = event.current_buffer
        buffer.cancel_completion() if _offered_but_not_taken() else None
        buffer.validate_and_handle()

    @keys.add("up", filter=_offered_but_not_taken)
    def _(event: KeyPressEvent) -> None:
        """The earlier line, not the last completion."""
        event.current_buffer.cancel_completion()
        event.current_buffer.auto_up(count=event.arg)

    @keys.add("down", filter=_offered_but_not_taken)
    def _(event: KeyPressEvent) -> None:
        """The later line, not the first completion."""
        event.current_buffer.cancel_completion()
        event.current_buffer.auto_down(count=event.arg)

    return keys

"""The chat: greets, reads, says, shows, until the person leaves."""

from collections.abc import Callable
from pathlib import Path

from assistant.shell import words
from assistant.shell.history import TypedLines
from assistant.shell.one_turn import each_line
from assistant.shell.options import Options, home_of
from assistant.shell.readers import ByMode, Reader
from assistant.shell.session import Session, opened, problem_sentence
from assistant.shell.voice import Voice, voice_for
from assistant.shell.world import World
from assistant.store.problems import StoreProblem


def chat_or_lines(options: Options, world: World) -> int:
    """The chat where a person types; one turn a line where input is no terminal."""
    voice = voice_for(options, world)
    folder = home_of(options, world)
    with opened(folder, options, voice) as session:
        if not world.typed_by_hand:
            return each_line(world, voice, session.say, session.manner)
        greet(options, voice, new=session.is_new())
        show_open(session, voice)
        return by_hand(folder, session, voice)


def greet(options: Options, voice: Voice, *, new: bool = False) -> None:
    """How spoken mode was turned on; in a new folder what this is, a caution, what to type."""
    if voice.mode == "spoken":
        voice.tell(words.say("spoken-on", how=options.spoken or words.say("spoken-saved")))
    if new:
        voice.tell(words.say("greeting"))
        voice.tell(words.say("care"))
        voice.tell(words.say("first-step"))


def by_hand(folder: Path, session: Session, voice: Voice) -> int:
    """The chat with a person at the keys: the line editor for the eye, plain input for the ear."""
    typed = TypedLines(folder / "history", lambda: session.manner().history)
    typed.settle()
    return chat(session, voice, ByMode(typed, session.food_names, voice), typed.settle)


def show_open(session: Session, voice: Voice) -> None:
    """What is open or active in this folder, if anything is."""
    left_open = session.opening()
    if left_open.lines:
        voice.chat_gap()
        voice.reply(left_open)


def chat(
    session: Session, voice: Voice, reader: Reader, settle: Callable[[], None] = lambda: None
) -> int:
    """The loop itself. 0 when the person leaves. settle runs after each turn."""
    voice.chat_gap()
    while True:
        try:
            text = reader.read()
        except KeyboardInterrupt:
            voice.tell(words.say("cleared"))
            continue
        except EOFError:
            voice.line("")
            break
        if text.strip().casefold() in words.LEAVING:
            break
        _one(session, voice, text)
        settle()
        voice.chat_gap()
    voice.tell(words.say("goodbye"))
    return 0


def _one(session: Session, voice: Voice, text: str) -> None:
    """One turn of the chat; a store that fails is told, and the chat goes on."""
    voice.chat_gap()
    try:
        reply = session.say(text)
        voice.follow(session.manner())
        voice.reply(reply)
        for warning in session.look_after():
            voice.trouble(warning)
    except KeyboardInterrupt:
        voice.tell(words.say("stopped"))
    except StoreProblem as problem:
        voice.trouble(problem_sentence(problem))

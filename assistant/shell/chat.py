"""The chat: greets, reads, says, shows, until the person leaves."""

from pathlib import Path

from assistant.shell import words
from assistant.shell.history import TypedLines
from assistant.shell.one_turn import each_line
from assistant.shell.options import Options, home_of
from assistant.shell.readers import Reader, editing_reader, plain_reader
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
            return each_line(world, voice, session.say)
        greet(options, voice)
        show_open(session, voice)
        return chat(session, voice, reader_for(folder, session, voice))


def greet(options: Options, voice: Voice) -> None:
    """One line of what this is and one of care, before anything is typed."""
    if options.spoken:
        voice.tell(words.SPOKEN_ON.format(how=options.spoken))
    voice.tell(words.GREETING)
    voice.tell(words.CARE)
    voice.tell(words.HOW)


def reader_for(folder: Path, session: Session, voice: Voice) -> Reader:
    """The line editor for the eye; plain input for the ear and for dumb terminals."""
    typed = TypedLines(folder / "history")
    if voice.mode == "spoken" or voice.world.plain_terminal:
        return plain_reader(typed, voice.line)
    return editing_reader(typed, session.food_names)


def show_open(session: Session, voice: Voice) -> None:
    """The suggestion or the question that was left open, if there is one."""
    left_open = session.opening()
    if left_open.lines:
        voice.chat_gap()
        voice.reply(left_open)


def chat(session: Session, voice: Voice, reader: Reader) -> int:
    """The loop itself. 0 when the person leaves."""
    voice.chat_gap()
    while True:
        try:
            text = reader.read()
        except KeyboardInterrupt:
            voice.tell(words.CLEARED)
            continue
        except EOFError:
            voice.line("")
            break
        if text.strip().casefold() in words.LEAVING:
            break
        _one(session, voice, text)
        voice.chat_gap()
    voice.tell(words.GOODBYE)
    return 0


def _one(session: Session, voice: Voice, text: str) -> None:
    """One turn of the chat; a store that fails is told, and the chat goes on."""
    voice.chat_gap()
    try:
        voice.reply(session.say(text))
        for warning in session.look_after():
            voice.trouble(warning)
    except KeyboardInterrupt:
        voice.tell(words.STOPPED)
    except StoreProblem as problem:
        voice.trouble(problem_sentence(problem))

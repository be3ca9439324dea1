"""'ask' and 'read': one turn, or one turn a line from standard input."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from assistant.dialogue.manners import Manner
from assistant.dialogue.replies import Reply
from assistant.shell.options import Options
from assistant.shell.voice import Voice, voice_for
from assistant.shell.world import World

if TYPE_CHECKING:
    from assistant.shell.session import Session


def ask(options: Options, world: World) -> int:
    """Says TEXT to the journal of the data folder and shows the reply. The exit code tells it."""
    from assistant.shell.session import EXIT, session_for

    voice = voice_for(options, world)
    with session_for(options, world, voice) as session:
        if options.from_input:
            code = each_line(world, voice, session.say, session.manner)
            _look_after(session, world)
            return code
        reply = session.say(options.text)
        voice.follow(session.manner())
        voice.reply(reply)
        _look_after(session, world)
        return EXIT[reply.status]


def _look_after(session: "Session", world: World) -> None:
    """After the reply, so that nobody waits for it; a fault is told, and told again next time."""
    from assistant.shell.session import problem_sentence
    from assistant.store.problems import StoreProblem

    try:
        told = session.look_after()
    except StoreProblem as problem:
        told = (problem_sentence(problem),)
    for sentence in told:
        world.stderr.write(f"{sentence}\n")


def each_line(
    world: World, voice: Voice, say: Callable[[str], Reply], manner: Callable[[], Manner]
) -> int:
    """One turn a line, replies in order; 1 if any turn failed. A blank line is a turn too."""
    from assistant.shell.session import problem_sentence
    from assistant.store.problems import StoreProblem

    failed = False
    for number, line in enumerate(world.lines()):
        if number:
            voice.gap()
        try:
            reply = say(line)
        except StoreProblem as problem:
            failed = True
            voice.trouble(problem_sentence(problem))
        else:
            failed = failed or reply.status == "failed"
            voice.follow(manner())
            voice.reply(reply)
    return 1 if failed else 0


def read(options: Options, world: World) -> int:
    """Shows how the words of TEXT are read: no library, no state, nothing kept."""
    voice = voice_for(options, world)
    if not options.from_input:
        return _read_one(options.text, voice)
    codes = []
    for number, line in enumerate(world.lines()):
        if number:
            voice.gap()
        codes.append(_read_one(line, voice))
    return 1 if 1 in codes else 0


def _read_one(text: str, voice: Voice) -> int:
    """0 read, 3 asked, 1 failed. JSON is the contract's object of 'read', not of a turn."""
    from assistant.shell.session import readable

    reply = _reading(readable(text))
    if voice.mode == "json":
        from assistant.render.as_json import one_line_json, plain_object

        voice.line(one_line_json(plain_object(reply.facts)))
    else:
        voice.reply(reply)
    return {"asked": 3, "failed": 1}.get(reply.status, 0)


def _reading(said: str) -> Reply:
    from assistant.dialogue.reading import read_reply
    from assistant.shell.session import failed_reply

    try:
        return read_reply(said)
    except Exception as fault:
        broken = failed_reply(said, fault)
        facts = {"status": "failed", "items": [], "unread": [said], "readings": 0}
        return replace(broken, facts={**facts, **broken.facts})

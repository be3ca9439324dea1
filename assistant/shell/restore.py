"""'restore': the backups of a damaged or missing record, and putting one back by its name."""

import shlex
from datetime import datetime
from pathlib import Path

from assistant.dialogue.replies import Reply
from assistant.shell import words
from assistant.shell.options import Options, home_of
from assistant.shell.world import World
from assistant.store import recovery
from assistant.store.problems import StoreProblem


def typed(folder: Path, name: str) -> str:
    """What restores a copy, as it is typed at the shell."""
    return f"countaloud --home {shlex.quote(str(folder))} restore {name}"


def moment(at: datetime) -> str:
    """A time as it is read aloud."""
    return f"{at:%Y-%m-%d %H:%M}"


def offer(problem: StoreProblem) -> tuple[str, ...]:
    """What a backup could mend, in sentences; none where no backup can."""
    if problem.code not in recovery.MENDABLE:
        return ()
    copy = recovery.newest(problem.path)
    nothing = words.say("offer-nothing", restore=typed(problem.path, recovery.NOTHING))
    if copy is None:
        return (words.say("offer-none"), nothing)
    told = words.say("offer", last=moment(copy.last_said), restore=typed(problem.path, copy.name))
    return (told, nothing)


def restore(options: Options, world: World) -> int:
    """Lists the backups, or puts one back. 0 done or listed, 1 not done."""
    from assistant.shell.voice import voice_for

    voice = voice_for(options, world)
    folder = home_of(options, world).absolute()
    if not options.rest:
        rows = recovery.copies(folder)
        for copy in rows:
            voice.line(
                words.say("restore-row",
                    name=copy.name, turns=copy.turns, last=moment(copy.last_said),
                    restore=typed(folder, copy.name),
                )
            )  # fmt: skip
        if not rows:
            voice.line(words.say("restore-none", folder=folder))
        return 0
    name = " ".join(options.rest)
    if recovery.is_sound(folder):
        voice.trouble(words.say("restore-sound"))
        return 1
    done = recovery.restore(folder, name, options.clock())
    if done is None:
        voice.trouble(words.say("restore-unknown", name=name, folder=folder))
        return 1
    names = ", ".join(path.name for path in done.kept)
    if names:
        voice.line(words.say("restore-kept", names=names))
    voice.reply(_marked(folder, options, f"restore {name}", done))
    return 0


def _marked(folder: Path, options: Options, said: str, done: recovery.Restored) -> Reply:
    """The record knows that doses may be missing, so none is worked out until the user says so."""
    from assistant.dialogue.gap import begun
    from assistant.render.as_json import as_json, one_line_json
    from assistant.store.store import Store

    now = options.clock()
    store = Store.open(folder, now, anew=True)
    try:
        outcome = begun(done.copy.last_said if done.copy else None, now)
        with store.turn() as tx:
            kept = one_line_json(as_json(outcome.reply))
            tx.keep(now, said, outcome.reply.status, kept, outcome.events)
    finally:
        store.close()
    return outcome.reply

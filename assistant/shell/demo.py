"""The demo: an invented person and invented foods, said through ordinary turns."""

import shutil
import sys
from pathlib import Path
from tempfile import mkdtemp

from assistant.render.spoken import spoken
from assistant.shell import words
from assistant.shell.chat import by_hand, greet, show_open
from assistant.shell.one_turn import each_line
from assistant.shell.options import Options
from assistant.shell.sample_numbers import NUMBERS
from assistant.shell.session import Session, opened
from assistant.shell.voice import voice_for
from assistant.shell.world import World
from assistant.teaching.sample_foods import DEMO_FOODS

DEMO_LINES = (
    *DEMO_FOODS,
    "count net carbohydrate",
    *NUMBERS,
)
"""Everything that the demo's journal starts with; each must be answered."""

DEMO_PHRASE = "1.5 servings of the oat cereal plus 200 ml milk, glucose 162"


def _program() -> str:
    """The command as it can be typed here: by its name where the shell finds it, else by path."""
    called = sys.argv[0]
    if Path(called).name != "countaloud" or shutil.which("countaloud"):
        return "countaloud"
    return called


def demo(options: Options, world: World) -> int:
    """Fills a new folder, shows one count, and goes on as the chat. Never uses a real journal.

    COUNTALOUD_HOME is left alone on purpose: only a folder named with --home is opened.
    """
    voice = voice_for(options, world)
    folder = options.home or Path(mkdtemp(prefix="countaloud-demo-"))
    with opened(folder, options, voice) as session:
        earlier = session.earlier(10_000)
        seeded = set(DEMO_LINES) <= set(earlier)
        if earlier and not seeded:
            voice.trouble(words.say("demo-foreign", folder=folder))
            return 1
        if not seeded and (fault := seed(session)):
            voice.trouble(fault)
            return 1
        voice.tell(words.say("demo-invented"))
        voice.tell(words.say("demo-again", program=_program(), folder=folder))
        if seeded:
            voice.tell(words.say("demo-seeded"))
        else:
            voice.chat_gap()
            voice.line(words.say("prompt") + DEMO_PHRASE)
            voice.chat_gap()
            voice.reply(session.say(DEMO_PHRASE))
        voice.chat_gap()
        if not world.typed_by_hand:
            return each_line(world, voice, session.say, session.manner)
        greet(options, voice, new=not seeded)
        if seeded:
            show_open(session, voice)
        return by_hand(folder, session, voice)


def seed(session: Session) -> str | None:
    """Says every line of the demo; a sentence about the first that is not answered, or None."""
    for line in DEMO_LINES:
        reply = session.say(line)
        if reply.status != "answered":
            return words.say("demo-failed", said=line) + "\n" + spoken(reply)
    return None

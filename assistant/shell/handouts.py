"""'replay --as': a session as Markdown or as an HTML page, on standard output."""

from collections.abc import Iterator

from assistant.shell import session_files
from assistant.shell.options import Options
from assistant.shell.session_files import Opened
from assistant.shell.voice import Voice
from assistant.teaching import handout as made
from assistant.teaching.player import Player, everything
from assistant.teaching.session_file import Damage
from assistant.teaching.stage import FAULTS, staged


def handout(session: Opened, options: Options, voice: Voice) -> int:
    """Writes the handout turn by turn. 1 where the file could not be read to its end."""
    voice.world.as_utf8()
    first = next(session.turns, None)
    if first is None or isinstance(first, Damage):
        damage = first or Damage("empty", 1)
        voice.trouble(session_files.damage_sentence(damage, session.file))
        return 1
    form = made.page if options.get("as") == "html" else made.markdown
    try:
        with staged(session.header) as stage:
            turns = session_files.chained(first, session.turns)
            player = Player(stage, turns, keep=False)
            foods = made.labels(stage, session.header, first.at)
            for piece in form(session.header, foods, _steps(player)):
                voice.world.stdout.write(piece)
            voice.world.stdout.flush()
    except FAULTS as fault:
        voice.trouble(session_files.damage_sentence(Damage("header", 1, str(fault)), session.file))
        return 1
    if player.damage is not None:
        voice.trouble(session_files.damage_sentence(player.damage, session.file))
        return 1
    return 0


def _steps(player: Player) -> Iterator[made.Step]:
    return (made.step_of(shown) for shown in everything(player))

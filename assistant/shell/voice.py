"""How replies leave the program: JSON, spoken sentences or sighted text, flushed one by one."""

from dataclasses import dataclass
from typing import Literal

from assistant.dialogue.replies import Reply
from assistant.shell.options import Options
from assistant.shell.world import World

Mode = Literal["json", "spoken", "sighted"]


@dataclass(slots=True)
class Voice:
    """Writes to the world's streams in one mode."""

    world: World
    mode: Mode = "sighted"

    def reply(self, reply: Reply) -> None:
        """One reply, then a flush, so that a reader behind a pipe hears it now."""
        if self.mode == "json":
            from assistant.render.as_json import as_json, one_line_json

            self.line(one_line_json(as_json(reply)))
        elif self.mode == "spoken":
            from assistant.render.spoken import spoken

            self.line(spoken(reply))
        else:
            from assistant.render.sighted import sighted

            self.line(sighted(reply, self.world.width, self.world.color))

    def line(self, text: str) -> None:
        """Text of the shell's own, on standard output."""
        self.world.stdout.write(text + "\n")
        self.world.stdout.flush()

    def tell(self, sentence: str) -> None:
        """A sentence of the shell's own, wrapped for the eye between words."""
        if self.mode == "sighted" and not self.world.plain_terminal:
            from assistant.render.sighted import wrap

            sentence = "\n".join(wrap(sentence, self.world.width))
        self.line(sentence)

    def gap(self) -> None:
        """An empty line between the replies of one run; JSON has none."""
        if self.mode != "json":
            self.line("")

    def chat_gap(self) -> None:
        """An empty line around a reply of the chat, for the eye only."""
        if self.mode == "sighted":
            self.line("")

    def trouble(self, sentence: str) -> None:
        """One sentence on standard error; in JSON a failed object on standard output too."""
        self.world.stderr.write(sentence + "\n")
        self.world.stderr.flush()
        if self.mode == "json":
            from assistant.render.as_json import failed_json, one_line_json

            self.line(one_line_json(failed_json(sentence)))


def voice_for(options: Options, world: World) -> Voice:
    """The voice that the command line and the environment ask for."""
    if options.json:
        world.as_utf8()
        return Voice(world, "json")
    return Voice(world, "spoken" if options.spoken else "sighted")

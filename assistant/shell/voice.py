"""How replies leave the program: JSON, spoken sentences or sighted text, flushed one by one."""

from typing import Literal

from msgspec import Struct

from assistant.dialogue.manners import Manner
from assistant.dialogue.replies import Reply
from assistant.shell.options import Options
from assistant.shell.words import say
from assistant.shell.world import World

Mode = Literal["json", "spoken", "sighted"]
BELOW = 6
"""Rows under a reply in the chat: an empty one, the prompt, and what completion keeps free."""


class Voice(Struct):
    """Writes to the world's streams in one mode. chosen: this run named the mode, so it stays."""

    world: World
    mode: Mode = "sighted"
    chosen: bool = False
    short: bool = False

    def follow(self, manner: Manner) -> None:
        """Takes on the manner that was said in this folder. What this run named wins."""
        self.short = manner.short
        if not self.chosen:
            self.mode = manner.form or "sighted"

    def reply(self, reply: Reply) -> None:
        """One reply, then a flush, so that a reader behind a pipe hears it now."""
        if self.mode == "json":
            from assistant.render.as_json import as_json, one_line_json

            self.line(one_line_json(as_json(reply)))
            return
        if self.short:
            from assistant.render.short import shortened

            reply = shortened(reply)
        if self.mode == "spoken":
            from assistant.render.spoken import spoken

            self.line(self._on_screen(spoken(reply)))
        else:
            self._show(reply)

    def _show(self, reply: Reply) -> None:
        """One reply for the eye; where its top scrolls away, the answer stands at its end too."""
        from assistant.render.sighted import answer_of, sighted

        ink = self.world.ink
        shown = sighted(reply, self.world.width, ink)
        self.line(shown)
        height, answer = self.world.height, answer_of(reply)
        if answer is None or height is None or shown.count("\n") + 1 + BELOW <= height:
            return
        self.line("")
        self.tell(say("answer-again"))
        self.line(sighted(answer, self.world.width, ink))

    def line(self, text: str) -> None:
        """Text of the shell's own, on standard output."""
        self.world.stdout.write(text + "\n")
        self.world.stdout.flush()

    def tell(self, sentence: str) -> None:
        """A sentence of the shell's own: in words for the ear, wrapped for the eye."""
        if self.mode == "sighted" and not self.world.plain_terminal:
            from assistant.render.wrapping import wrap

            sentence = "\n".join(wrap(sentence, self.world.width))
        elif self.mode == "spoken":
            from assistant.render.arguments import without_quotes

            sentence = self._on_screen(without_quotes(sentence))
        self.line(sentence)

    def _on_screen(self, text: str) -> str:
        """Lines for the ear as they stand on a terminal: broken at blanks, never inside a word.

        A pipe gets them whole: a sentence a line.
        """
        if not self.world.stdout.isatty():
            return text
        from assistant.render.wrapping import wrap

        width = self.world.width
        return "\n".join(row for line in text.split("\n") for row in wrap(line, width))

    def gap(self) -> None:
        """An empty line between the replies of one run; JSON has none, and no reader hears one."""
        if self.mode == "sighted" or (self.mode == "spoken" and not self.world.stdout.isatty()):
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
        return Voice(world, "json", chosen=True)
    if options.spoken:
        return Voice(world, "spoken", chosen=True)
    return Voice(world)

"""'replay': a session file at a pace, step by step, or verified. Nothing of it is ever kept."""

import select
import sys
import time
from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction

from assistant.dialogue.outcome import answer, caution, fact
from assistant.dialogue.replies import Line, Reply
from assistant.render.aloud import aloud
from assistant.render.as_json import Json, as_json, one_line_json, plain_object
from assistant.shell import session_files, words
from assistant.shell.options import Options
from assistant.shell.session_files import Opened
from assistant.shell.voice import Voice, voice_for
from assistant.shell.world import World
from assistant.teaching.player import Player, Shown, without_next
from assistant.teaching.session_file import Damage
from assistant.teaching.stage import FAULTS, staged
from assistant.teaching.verify import Checked, verified
from assistant.values import Amount, Listed, Moment, Name, Phrase, Said

_LONG = 200


def replay(options: Options, world: World) -> int:
    """Shows or verifies the file. 0; 1 for a file that cannot be read whole, or that differs."""
    voice = voice_for(options, world)
    with session_files.opened(options.rest[0], options, world) as session:
        if isinstance(session, str):
            voice.trouble(session)
            return 1
        if options.get("as"):
            from assistant.shell.handouts import handout

            return handout(session, options, voice)
        if options.get("verify"):
            return _verify(session, voice)
        return _Replay(session, options, voice).run()


def _told(voice: Voice, *lines: Line) -> None:
    voice.reply(Reply("answered", lines))


def _turns(count: int) -> Amount:
    return Amount(Fraction(count), "turn")


def _number(count: int) -> Amount:
    return Amount(Fraction(count), "")


def opening(session: Opened) -> tuple[Line, ...]:
    """What the file is, and that it is no advice."""
    header = session.header
    lines = [answer("replay-of", title=Name(header.title)), caution("replay-caution")]
    if header.teaches:
        lines.append(fact("replay-teaches", teaches=Name(header.teaches.rstrip("."))))
    if header.note:
        lines.append(fact("replay-note", note=Name(header.note.rstrip("."))))
    if header.changed_for_sharing:
        what = Listed(tuple(Name(kind) for kind in header.changed_for_sharing))
        lines.append(fact("replay-shared", what=what))
    if session.old:
        lines.append(fact("replay-old-file"))
    return tuple(lines)


class _Replay:
    """One replay: shows turns, and listens where somebody steps through it."""

    def __init__(self, session: Opened, options: Options, voice: Voice) -> None:
        self._session = session
        self._voice = voice
        self._world = voice.world
        self._pace: float | None = options.get("pace")
        self._input: Iterator[str] | None = None
        self._steps = voice.mode != "json" and (
            bool(options.get("step")) or (self._world.typed_by_hand and self._pace is None)
        )

    def run(self) -> int:
        """The whole of it; 1 where the file could not be read to its end."""
        if self._voice.mode != "json":
            _told(self._voice, *opening(self._session))
        first = next(self._session.turns, None)
        if first is None or isinstance(first, Damage):
            return self._ended(first)
        try:
            with staged(self._session.header) as stage:
                turns = session_files.chained(first, self._session.turns)
                player = Player(stage, turns, keep=self._steps or self._world.typed_by_hand)
                if self._steps:
                    self._listen(player)
                else:
                    self._play(player)
                return self._ended(player.damage)
        except FAULTS as fault:
            return self._ended(Damage("header", 1, str(fault)))

    def _ended(self, damage: Damage | None) -> int:
        if damage is None:
            return 0
        self._voice.trouble(session_files.damage_sentence(damage, self._session.file))
        return 1

    def _play(self, player: Player) -> bool:
        """Turn after turn. True where the end was reached, False where it was paused."""
        pace = self._pace or 0.0
        waits = self._world.typed_by_hand and self._voice.mode != "json"
        if waits and pace:
            _told(self._voice, fact("replay-playing"))
        shown = player.next()
        while shown is not None:
            self._show(shown)
            if pace and self._pressed(pace, listening=waits):
                _told(self._voice, answer("replay-paused"))
                if not self._steps:
                    self._listen(player)
                return False
            shown = player.next()
        if player.damage is None and self._voice.mode != "json":
            self._voice.gap()
            _told(self._voice, answer("replay-end", turns=_turns(player.read_so_far)))
        return True

    def _pressed(self, seconds: float, *, listening: bool) -> bool:
        """Waits; True where Enter was pressed meanwhile."""
        if not listening:
            time.sleep(seconds)
            return False
        ready, _, _ = select.select([sys.stdin], [], [], seconds)
        if ready:
            sys.stdin.readline()
        return bool(ready)

    def _show(self, shown: Shown) -> None:
        if self._voice.mode == "json":
            self._voice.line(one_line_json(_json(shown)))
            return
        self._voice.gap()
        number = _number(shown.position)
        _told(self._voice, answer("replay-turn", number=number, moment=shown.moment))
        self._said(shown.turn.say)
        if shown.same or shown.turn.reply is None:
            self._voice.reply(without_next(shown.reply))
            return
        _told(self._voice, caution("replay-now-differs"))
        for line in str(shown.turn.reply.get("text", "")).splitlines():
            self._voice.tell(line)

    def _said(self, text: str) -> None:
        """The words of the turn, whole: a pasted label line by line."""
        if len(text) <= _LONG and "\n" not in text:
            _told(self._voice, fact("replay-said", said=Said(text)))
            return
        self._voice.tell(words.say("replay-words"))
        for line in text.splitlines():
            self._voice.tell(aloud(line) if self._voice.mode == "spoken" else line)

    def _listen(self, player: Player) -> None:
        """Steps by what is typed, until the person leaves."""
        _told(self._voice, fact("replay-keys"))
        while True:
            self._voice.chat_gap()
            try:
                text = self._typed()
            except (EOFError, KeyboardInterrupt):
                self._voice.line("")
                break
            if text in ("stop", "quit", "exit", "bye", "end"):
                break
            self._step(player, text)
            if player.damage is not None:
                return
        _told(self._voice, answer("replay-stopped", number=_number(player.position)))

    def _typed(self) -> str:
        if self._world.typed_by_hand:
            typed = input(words.say("replay-prompt"))
        else:
            line = next(self._lines(), None)
            if line is None:
                raise EOFError
            typed = line
        return " ".join(typed.casefold().split()).rstrip(".!?")

    def _lines(self) -> Iterator[str]:
        self._input = self._input or self._world.lines()
        return self._input

    def _step(self, player: Player, text: str) -> None:
        if text in ("", "next", "n", "forward", "go on", "more"):
            shown = player.next()
            if shown is None and player.damage is None:
                _told(self._voice, answer("replay-at-end"))
            elif shown is not None:
                self._show(shown)
        elif text in ("back", "b", "previous", "before"):
            self._show_or_tell(player, player.position - 1, "replay-at-start")
        elif text in ("again", "repeat"):
            self._show_or_tell(player, player.position, "replay-at-start")
        elif text == "why":
            self._why(player)
        elif text in ("play", "go"):
            self._pace = self._pace or _PACE
            self._play(player)
        elif text in ("help", "?"):
            _told(self._voice, answer("replay-keys-help"))
        else:
            self._jump(player, text)

    def _jump(self, player: Player, text: str) -> None:
        number = text.removeprefix("go to").removeprefix("goto").removeprefix("turn").strip()
        if not (number.isascii() and number.isdigit() and len(number) <= 9):
            _told(self._voice, answer("replay-unknown", said=Said(text)), fact("replay-keys"))
            return
        shown = player.show(int(number)) if int(number) else None
        if shown is not None:
            self._show(shown)
            return
        count = _turns(player.read_so_far)
        _told(self._voice, answer("replay-no-turn", number=_number(int(number)), turns=count))

    def _show_or_tell(self, player: Player, position: int, code: str) -> None:
        shown = player.show(position) if position >= 1 else None
        if shown is None:
            _told(self._voice, answer(code))
        else:
            self._show(shown)

    def _why(self, player: Player) -> None:
        reply = player.why()
        if reply is None:
            _told(self._voice, answer("replay-at-start"))
            return
        _told(self._voice, answer("replay-why", number=_number(player.position)))
        self._voice.reply(without_next(reply))


_PACE = 4.0
"""Seconds a turn where no pace was given."""


def _json(shown: Shown) -> dict[str, Json]:
    turn = shown.turn
    return plain_object(
        {
            "replay": True,
            "turn": shown.position,
            "at": turn.at,
            "say": turn.say,
            "same": shown.same,
            "reply": turn.reply or as_json(shown.reply),
        }
    )


def _verify(session: Opened, voice: Voice) -> int:
    """Compares every reply, and stops at the first that differs."""
    count = 0
    for found in verified(session.header, session.turns):
        if isinstance(found, Damage):
            return _not_whole(session, voice, found, count)
        if found.parts:
            return _differs(voice, found)
        count += 1
    if voice.mode == "json":
        voice.line(one_line_json({"status": "same", "turns": count}))
        return 0
    _told(voice, answer("verify-same", turns=_turns(count)))
    if session.old:
        _told(voice, fact("verify-old"))
    return 0


def _not_whole(session: Opened, voice: Voice, damage: Damage, count: int) -> int:
    sentence = session_files.damage_sentence(damage, session.file)
    if voice.mode == "json":
        voice.line(one_line_json({"status": "damaged", "turns": count, "text": sentence}))
        return 1
    voice.trouble(sentence)
    _told(voice, fact("verify-before", turns=_turns(count)))
    return 1


def _differs(voice: Voice, found: Checked) -> int:
    turn = found.turn
    if voice.mode == "json":
        parts = [{"key": p.key, "was": p.was, "now": p.now} for p in found.parts]
        told = {"status": "differs", "turn": found.position, "at": turn.at, "say": turn.say}
        voice.line(one_line_json(plain_object({**told, "parts": parts})))
        return 1
    moment = Moment(turn.at, turn.at + timedelta(days=400))  # so far away it has its day
    lines = [
        answer("verify-differs", number=_number(found.position), moment=moment,
               said=Said(turn.say)),
    ]  # fmt: skip
    for part in found.parts:
        was, now = (Phrase("verify-nothing") if text is None else Said(text)
                    for text in (part.was, part.now))  # fmt: skip
        lines.append(fact("verify-part", key=Name(part.key), was=was, now=now))
    lines.append(fact("verify-before", turns=_turns(found.position - 1)))
    _told(voice, *lines)
    return 1

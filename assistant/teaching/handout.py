"""A session as a handout: Markdown, or one self-contained HTML page for a reader or a printer."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from msgspec import Struct

from assistant.dialogue.replies import Line, Reply, Role
from assistant.render.arguments import argument, cautioned, fill, sentence
from assistant.render.markup import (
    care,
    ending,
    escaped,
    items,
    marked,
    marked_items,
    opening,
)
from assistant.render.texts import TEXTS
from assistant.teaching.player import Shown, without_next
from assistant.teaching.session_file import Header
from assistant.teaching.stage import Stage
from assistant.values import Arg

_WORKING: frozenset[Role] = frozenset({"working", "portion", "total", "fact"})


class Step(Struct, frozen=True):
    """A turn as the handout has it: what was said, the lines of the answer, and the working."""

    number: int
    moment: str
    said: str
    answer: tuple[str, ...]
    working: tuple[str, ...]
    kind: str
    """answered, asked, refused or failed."""


def step_of(shown: Shown) -> Step:
    """A shown turn. An answer that would be another now is told as it was."""
    turn = shown.turn
    moment = sentence(Line("fact", "handout-moment", {"moment": shown.moment}), "sighted")
    if not shown.same and turn.reply is not None:
        lines = tuple(str(turn.reply.get("text", "")).splitlines())
        return Step(shown.position, moment, turn.say, lines, (), str(turn.reply.get("status")))
    reply = without_next(shown.reply)
    answer = tuple(_told(line) for line in reply.lines if line.role not in _WORKING)
    working = tuple(_told(line) for line in reply.lines if line.role in _WORKING)
    if not answer:
        answer, working = working, ()
    return Step(shown.position, moment, turn.say, answer, working, reply.status)


def _told(line: Line) -> str:
    return cautioned(line, fill(line, _argument))


def _argument(arg: Arg) -> str:
    return argument(arg, "sighted")


def labels(stage: Stage, header: Header, at: datetime) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each food of the header, and what its label says, as "show" tells it."""
    found = []
    for food in header.foods:
        reply: Reply = stage.ask(f"show {food.facts.name}", at).reply
        lines = tuple(_told(line) for line in without_next(reply).lines)
        found.append((food.facts.name, lines if reply.status == "answered" else ()))
    return tuple(found)


def _text(code: str, **fields: object) -> str:
    return TEXTS[f"handout-{code}"].format(**fields)


def markdown(
    header: Header, foods: Iterable[tuple[str, tuple[str, ...]]], steps: Iterable[Step]
) -> Iterator[str]:
    """The handout as Markdown, piece by piece."""
    yield f"# {marked(header.title)}\n\n"
    if header.teaches:
        yield f"{marked(header.teaches)}\n\n"
    yield f"> {marked(_text('care'))}\n\n"
    if header.note:
        yield f"{marked(header.note)}\n\n"
    if header.settings:
        yield f"## {_text('numbers')}\n\n{marked_items(_said(header))}"
    listed = tuple(foods)
    if listed:
        yield f"## {_text('foods')}\n\n"
        for name, lines in listed:
            yield f"### {marked(name)}\n\n{marked_items(lines)}"
    yield f"## {_text('talk')}\n\n"
    for step in steps:
        yield f"### {marked(_text('turn', number=step.number, moment=step.moment))}\n\n"
        yield f"{_text('said')}:\n\n"
        yield "".join(f"> {marked(line)}  \n" for line in step.said.splitlines() or [""]) + "\n"
        yield f"{_text('answer')}:\n\n{marked_items(step.answer)}"
        if step.working:
            yield f"{_text('working')}:\n\n{marked_items(step.working)}"
    yield f"{marked(_text('made', version=header.version))}\n"


def _said(header: Header) -> tuple[str, ...]:
    return tuple(dict.fromkeys(setting.say for setting in header.settings))


_STYLE = """:root { color-scheme: light dark; }
body { font: 1.05rem/1.55 Georgia, serif; max-width: 42rem; margin: 2rem auto; padding: 0 1rem; }
h1, h2, h3 { line-height: 1.25; }
.care { border: 1px solid; padding: .6rem 1rem; }
.said { font-family: ui-monospace, monospace; white-space: pre-wrap; margin: .4rem 0 .8rem; }
.refused { border-left: .4rem double; padding-left: .8rem; }
.answered { border-left: .15rem solid; padding-left: .8rem; }
.asked { border-left: .15rem dashed; padding-left: .8rem; }
@media print {
  body { max-width: none; margin: 0; font-size: 11pt; }
  section.turn { break-inside: avoid; }
}
"""


def page(
    header: Header, foods: Iterable[tuple[str, tuple[str, ...]]], steps: Iterable[Step]
) -> Iterator[str]:
    """The handout as one HTML page: no script, no file beside it, headings to move by."""
    yield opening(header.title, _STYLE)
    if header.teaches:
        yield f"<p>{escaped(header.teaches)}</p>\n"
    yield care(_text("care"))
    if header.note:
        yield f"<p>{escaped(header.note)}</p>\n"
    if header.settings:
        yield f"<h2>{escaped(_text('numbers'))}</h2>\n{items(_said(header))}"
    listed = tuple(foods)
    if listed:
        yield f"<h2>{escaped(_text('foods'))}</h2>\n"
        for name, lines in listed:
            yield f"<h3>{escaped(name)}</h3>\n{items(lines)}"
    yield f"<h2>{escaped(_text('talk'))}</h2>\n"
    for step in steps:
        title = _text("turn", number=step.number, moment=step.moment)
        yield f'<section class="turn" aria-label="{escaped(title)}">\n<h3>{escaped(title)}</h3>\n'
        yield f'<h4>{escaped(_text("said"))}</h4>\n<p class="said">{escaped(step.said)}</p>\n'
        yield f"<h4>{escaped(_text('answer'))}</h4>\n"
        yield f'<div class="{escaped(step.kind)}">\n{items(step.answer)}</div>\n'
        if step.working:
            yield f"<h4>{escaped(_text('working'))}</h4>\n{items(step.working)}"
        yield "</section>\n"
    yield ending(_text("made", version=header.version))

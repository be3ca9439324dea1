"""Reading the command line: one table of commands, options before or after the command."""

from argparse import SUPPRESS, ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from assistant.shell.options import Options, spoken_by, time_with_offset
from assistant.shell.world import World

Run = Callable[[Options, World], int]


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, what it does, the function that runs it, and its own arguments."""

    name: str
    summary: str
    run: Run
    arguments: Callable[[ArgumentParser], None] = lambda _: None


def text_arguments(parser: ArgumentParser) -> None:
    """TEXT or '-', and --json: the arguments of 'ask' and 'read'."""
    parser.add_argument("--json", action="store_true", help="one JSON object a turn")
    parser.add_argument(
        "text", nargs="+", metavar="TEXT", help='the sentence; "-" takes one a line from input'
    )


def parser_of(commands: Sequence[Command]) -> ArgumentParser:
    """The parser for these commands."""
    parser = ArgumentParser(
        prog="countaloud",
        allow_abbrev=False,
        description="Counts the carbohydrate in a typed sentence about food, shows its working, "
        "and suggests or refuses an insulin dose within the limits set with a care team. "
        "Without a command it opens the chat.",
        epilog="Exit: 0 answered, 3 a question was asked, 4 refused, 2 wrong usage, 1 failure; "
        'with "-": 0, or 1 if a turn failed.',
    )
    _shared(parser, home=None, at=None, spoken=False)
    under = parser.add_subparsers(dest="command", metavar="COMMAND")
    for command in commands:
        own = under.add_parser(
            command.name, help=command.summary, description=command.summary, allow_abbrev=False
        )
        _shared(own, home=SUPPRESS, at=SUPPRESS, spoken=SUPPRESS)
        command.arguments(own)
    return parser


def _shared(parser: ArgumentParser, **defaults: object) -> None:
    """The options of every command. SUPPRESS keeps what stood before the command."""
    parser.add_argument(
        "--home",
        type=Path,
        metavar="DIR",
        default=defaults["home"],
        help="the data folder (or COUNTALOUD_HOME)",
    )
    parser.add_argument(
        "--at",
        type=_time,
        metavar="TIME",
        default=defaults["at"],
        help="the clock for this run: ISO 8601 with offset",
    )
    parser.add_argument(
        "--spoken",
        action="store_true",
        default=defaults["spoken"],
        help="plain sentences for a screen reader (or COUNTALOUD_SPOKEN)",
    )


def _time(text: str) -> datetime:
    try:
        return time_with_offset(text)
    except ValueError as problem:
        raise ArgumentTypeError(str(problem)) from None


def options_of(parsed: Namespace, world: World) -> Options:
    """The parsed command line as Options. Several words of TEXT are one sentence."""
    text: list[str] = getattr(parsed, "text", [])
    return Options(
        home=parsed.home,
        at=parsed.at,
        spoken=spoken_by(parsed.spoken, world),
        json=getattr(parsed, "json", False),
        text=" ".join(text),
        rest=tuple(getattr(parsed, "rest", ())),
    )

"""Reading the command line: one table of commands, options before or after the command."""

from argparse import SUPPRESS, ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any, NoReturn

from msgspec import Struct

from assistant.shell import manual
from assistant.shell.completion_scripts import SCRIPTS
from assistant.shell.options import Options, spoken_by, time_with_offset
from assistant.shell.words import say
from assistant.shell.world import World
from grammar.lookback import read_day

Run = Callable[[Options, World], int]


class Option(Struct, frozen=True):
    """An option of one command. read: what its value is made by; None for one without a value.

    about: the code of its help where another command has an option of this name.
    """

    name: str
    value: str = ""
    read: Callable[[str], Any] | None = None
    among: tuple[str, ...] = ()
    about: str = ""

    @property
    def shown(self) -> str:
        """As the help has it."""
        return f"--{self.name} {self.value}".rstrip()


def day(text: str) -> date:
    """A day as 2026-03-02. Raises ArgumentTypeError."""
    found = read_day(text)
    if found is None:
        raise ArgumentTypeError(say("not-a-day"))
    return found


def seconds(text: str) -> float:
    """A pace: more than nought, at most an hour. Raises ArgumentTypeError."""
    try:
        found = float(text)
    except ValueError:
        found = 0.0
    if not 0 < found <= 3600:
        raise ArgumentTypeError(say("not-seconds"))
    return found


def whole(low: int, high: int) -> Callable[[str], int]:
    """Reads a whole number between bounds. What it gives raises ArgumentTypeError."""

    def read(text: str) -> int:
        if text.isascii() and text.isdigit() and len(text) <= 12 and low <= int(text) <= high:
            return int(text)
        raise ArgumentTypeError(say("not-whole", low=low, high=high))

    return read


class Command(Struct, frozen=True):
    """One command: its name, the function that runs it, and what it takes.

    takes: "text" for a sentence and --json; the name of one optional word ("TOPIC"); or nothing.
    """

    name: str
    run: Run
    takes: str = ""
    options: tuple["Option", ...] = ()

    @property
    def summary(self) -> str:
        """What it does, in a line."""
        return say(f"cmd-{self.name}")

    @property
    def usages(self) -> tuple[str, ...]:
        """Each way in which it is typed, without its options."""
        if self.takes == "FOODS":
            return ("foods import FILE", "foods export FILE", "foods sources")
        taken = (name for name, _ in self.told if not name.startswith("--"))
        return (" ".join((self.name, *taken)),)

    @property
    def told(self) -> tuple[tuple[str, str], ...]:
        """Its own words and options -> what each is."""
        own = tuple(
            (option.shown, say(f"arg-{option.about or option.name}")) for option in self.options
        )
        return (*self._words_told, *own)

    @property
    def _words_told(self) -> tuple[tuple[str, str], ...]:
        match self.takes:
            case "text":
                return (("TEXT", say("arg-text")), ("--json", say("arg-json")))
            case "TOPIC":
                return (("TOPIC", say("arg-topic", topics=", ".join(manual.TOPICS))),)
            case "SHELL":
                return (("SHELL", say("arg-shell", shells=", ".join(SCRIPTS))),)
            case "WHICH":
                return (("WHICH", say("arg-which")),)
            case "PART":
                return (("PART", say("arg-part")),)
            case "FILE":
                return (("FILE", say("arg-file")), ("--json", say("arg-json")))
            case "FOODS":
                subs = ("import", "export", "sources")
                told = tuple((sub, say(f"arg-foods-{sub}")) for sub in subs)
                return (*told, ("FILE", say("arg-foods-file")), ("--json", say("arg-json")))
            case "import FILE":
                return (("import", say("arg-import")), ("FILE", say("arg-readings")),
                        ("--json", say("arg-json")))  # fmt: skip
            case "DAY":
                return (("DAY", say("arg-day")), ("--json", say("arg-json")))
        return ()


class _Parser(ArgumentParser):
    """A parser whose help is the manual's, and whose complaint is one sentence."""

    told = ""

    def format_help(self) -> str:
        """The manual's words."""
        return self.told

    def error(self, message: str) -> NoReturn:
        """Tells the problem on standard error and ends with 2."""
        self.exit(2, say("usage-wrong", problem=message.rstrip(".")) + "\n")


def parser_of(commands: Sequence[Command], spoken: bool = False) -> ArgumentParser:
    """The parser for these commands. spoken: its help is for the ear."""
    parser = _Parser(prog="countaloud", allow_abbrev=False)
    form = manual.for_ear if spoken else str
    parser.told = form(manual.overview(commands))
    _shared(parser, home=None, at=None, spoken=False)
    under = parser.add_subparsers(dest="command", metavar="COMMAND")
    for command in commands:
        own = under.add_parser(command.name, allow_abbrev=False)
        own.told = form(manual.of_command(command))
        _shared(own, home=SUPPRESS, at=SUPPRESS, spoken=SUPPRESS)
        if command.takes == "text":
            own.add_argument("--json", action="store_true")
            own.add_argument("text", nargs="+", metavar="TEXT")
        elif command.takes == "FOODS":
            _foods(own)
        elif command.takes == "import FILE":
            own.add_argument("action", choices=("import",), metavar="import")
            own.add_argument("rest", metavar="FILE")
            own.add_argument("--json", action="store_true")
        elif command.takes:
            nargs = None if command.takes == "FILE" else "?"
            own.add_argument("rest", nargs=nargs, metavar=command.takes)
            if command.takes in {"DAY", "FILE"}:
                own.add_argument("--json", action="store_true")
        for option in command.options:
            _add(own, option)
    return parser


def _add(parser: ArgumentParser, option: Option) -> None:
    name, into = f"--{option.name}", f"own_{option.name}"
    if option.among:
        parser.add_argument(name, dest=into, choices=option.among, metavar=option.value)
    elif option.read is None:
        parser.add_argument(name, dest=into, action="store_true", default=None)
    else:
        parser.add_argument(name, dest=into, type=option.read, metavar=option.value)


def _foods(parser: "_Parser") -> None:
    """The sub-words of foods; --json may stand before or behind them."""
    parser.add_argument("--json", action="store_true")
    under = parser.add_subparsers(dest="sub", metavar="import, export or sources")
    for name, files in (("import", None), ("export", "?"), ("sources", 0)):
        own = under.add_parser(name, allow_abbrev=False)
        own.told = parser.told
        _shared(own, home=SUPPRESS, at=SUPPRESS, spoken=SUPPRESS)
        own.add_argument("--json", action="store_true", default=SUPPRESS)
        if files != 0:
            own.add_argument("rest", nargs=files, metavar="FILE")


def _shared(parser: ArgumentParser, **defaults: Any) -> None:
    """The options of every command. SUPPRESS keeps what stood before the command."""
    parser.add_argument("--home", type=Path, metavar="DIR", default=defaults["home"])
    parser.add_argument("--at", type=_time, metavar="TIME", default=defaults["at"])
    parser.add_argument("--spoken", action="store_true", default=defaults["spoken"])


def _time(text: str) -> datetime:
    try:
        return time_with_offset(text)
    except ValueError as problem:
        raise ArgumentTypeError(str(problem)) from None


def options_of(parsed: Namespace, world: World) -> Options:
    """The parsed command line as Options. Several words of TEXT are one sentence."""
    text: list[str] = getattr(parsed, "text", [])
    rest: tuple[str | None, ...] = (getattr(parsed, "sub", None), getattr(parsed, "rest", None))
    return Options(
        home=parsed.home,
        at=parsed.at,
        spoken=spoken_by(parsed.spoken, world),
        json=getattr(parsed, "json", False),
        text=" ".join(text),
        rest=tuple(word for word in rest if word),
        own={k.removeprefix("own_"): v for k, v in vars(parsed).items() if k.startswith("own_")},
    )

"""The entry point: the table of commands, and the one place where a bug is caught."""

import os
import sys
from argparse import ArgumentParser
from collections.abc import Sequence

from assistant.shell import words
from assistant.shell.command_line import Command, options_of, parser_of, text_arguments
from assistant.shell.options import Options
from assistant.shell.world import World


def _ask(options: Options, world: World) -> int:
    from assistant.shell.one_turn import ask

    return ask(options, world)


def _read(options: Options, world: World) -> int:
    from assistant.shell.one_turn import read

    return read(options, world)


def _demo(options: Options, world: World) -> int:
    from assistant.shell.demo import demo

    return demo(options, world)


def _chat(options: Options, world: World) -> int:
    from assistant.shell.chat import chat_or_lines

    return chat_or_lines(options, world)


def _restore(options: Options, world: World) -> int:
    from assistant.shell.restore import restore

    return restore(options, world)


def _restore_arguments(parser: ArgumentParser) -> None:
    from assistant.shell.restore import arguments

    arguments(parser)


def _help(_: Options, world: World) -> int:
    world.stdout.write(parser_of(COMMANDS).format_help())
    return 0


def _bench_arguments(parser: ArgumentParser) -> None:
    parser.add_argument(
        "rest", nargs="*", metavar="PART", help="reading, library or journal; without it all"
    )


def _bench(options: Options, world: World) -> int:
    from assistant.shell.bench import lines

    for line in lines(options.rest):
        world.stdout.write(f"{line}\n")
        world.stdout.flush()
    return 0


COMMANDS = (
    Command(
        "ask", "one turn: the reply to TEXT, which is kept in the journal", _ask, text_arguments
    ),
    Command("read", "only how the words of TEXT are read; nothing is kept", _read, text_arguments),
    Command("demo", "a first look, with an invented person, foods and numbers", _demo),
    Command(
        "bench",
        "speeds as ratios, and how many slips on labels are caught (takes minutes)",
        _bench,
        _bench_arguments,
    ),
    Command(
        "restore",
        "the backups; with a day, puts one in place of a damaged record",
        _restore,
        _restore_arguments,
    ),
    Command("help", "this text", _help),
)
"""Every command; without one the chat opens."""


def main(argv: Sequence[str], world: World) -> int:
    """Runs one command line and gives its exit code. No exception passes."""
    try:
        parsed = parser_of(COMMANDS).parse_args(argv)
    except SystemExit as stop:
        return int(stop.code or 0)
    runs = {command.name: command.run for command in COMMANDS}
    run_command = runs.get(parsed.command or "", _chat)
    options = options_of(parsed, world)
    try:
        code = run_command(options, world)
        world.stdout.flush()
    except BrokenPipeError:
        _let_go_of_pipe()
        return 1
    except KeyboardInterrupt:
        return 130
    except Exception as fault:
        return _stopped(fault, options, world)
    return code


def _stopped(fault: Exception, options: Options, world: World) -> int:
    """The last resort: one sentence and exit code 1, for a store problem or a bug."""
    from assistant.shell.voice import voice_for

    try:
        voice_for(options, world).trouble(_sentence(fault))
    except BrokenPipeError:
        _let_go_of_pipe()
    return 1


def _sentence(fault: Exception) -> str:
    from assistant.shell.session import problem_sentence
    from assistant.store.problems import StoreProblem

    if isinstance(fault, StoreProblem):
        return problem_sentence(fault)
    return words.say("edge-failure", fault=type(fault).__name__)


def _let_go_of_pipe() -> None:
    """The reader is gone; Python would complain at exit unless standard output goes nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())


def run() -> None:
    """The console script."""
    sys.exit(main(sys.argv[1:], World.of_process()))


if __name__ == "__main__":
    run()

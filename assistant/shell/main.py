"""The entry point: the table of commands, and the one place where a bug is caught."""

import os
import sys
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

from assistant.shell import manual, words
from assistant.shell.command_line import (
    Command,
    Option,
    day,
    options_of,
    parser_of,
    seconds,
    whole,
)
from assistant.shell.completion_scripts import SCRIPTS
from assistant.shell.options import Options, spoken_by
from assistant.shell.world import World
from grammar.lookback import SHAPES


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


def _replay(options: Options, world: World) -> int:
    from assistant.shell.replay import replay

    return replay(options, world)


def _learn(options: Options, world: World) -> int:
    from assistant.shell.learn import learn

    return learn(options, world)


def _practice(options: Options, world: World) -> int:
    from assistant.shell.learn import practice

    return practice(options, world)


def _foods(options: Options, world: World) -> int:
    from assistant.shell.foods_command import foods

    return foods(options, world)


def _readings(options: Options, world: World) -> int:
    from assistant.shell.readings import readings

    return readings(options, world)


def _report(options: Options, world: World) -> int:
    from assistant.shell.report import report

    return report(options, world)


def _offset(text: str) -> timedelta:
    from assistant.shell.readings import offset

    return offset(text)


def _help(options: Options, world: World) -> int:
    """The manual: all of it in short, or one command or topic. 2 for a topic that is none."""
    wanted = options.rest[0] if options.rest else ""
    command = next((c for c in COMMANDS if c.name == wanted), None)
    form = manual.for_ear if options.spoken else str
    if not wanted:
        world.stdout.write(form(manual.overview(COMMANDS)))
    elif command is not None:
        world.stdout.write(form(manual.of_command(command)))
    elif wanted in manual.TOPICS:
        world.stdout.write(form(manual.topic(wanted)))
    else:
        topics = ", ".join((*(c.name for c in COMMANDS), *manual.TOPICS))
        return _wrong(words.say("no-topic", topic=wanted, topics=topics), world)
    return 0


def _schema(options: Options, world: World) -> int:
    """Prints the JSON schema of a reply, or of what 'read' gives."""
    import json

    from assistant.teaching.schema import MODELS, schema_of

    which = options.rest[0] if options.rest else "reply"
    if which not in MODELS:
        return _wrong(words.say("no-topic", topic=which, topics=", ".join(MODELS)), world)
    world.stdout.write(json.dumps(schema_of(which), indent=2) + "\n")
    return 0


def _completion(options: Options, world: World) -> int:
    """Prints the completion script of a shell."""
    shell = options.rest[0] if options.rest else "bash"
    if shell not in SCRIPTS:
        return _wrong(words.say("no-topic", topic=shell, topics=", ".join(SCRIPTS)), world)
    after = {
        "ask": ("--json",),
        "read": ("--json",),
        "foods": ("import", "export", "sources", "--json"),
        "help": (*(c.name for c in COMMANDS), *manual.TOPICS),
        "schema": ("reply", "read", "session"),
        "replay": ("--json", *(f"--{option.name}" for option in REPLAY_OPTIONS)),
        "learn": ("--json",),
        "practice": tuple(f"--{option.name}" for option in PRACTICE_OPTIONS),
        "readings": ("import", "--offset", "--json"),
        "report": tuple(f"--{option.name}" for option in REPORT_OPTIONS),
        "completion": tuple(SCRIPTS),
    }
    world.stdout.write(SCRIPTS[shell]([c.name for c in COMMANDS], after))
    return 0


def _wrong(sentence: str, world: World) -> int:
    """Wrong usage, told in a sentence."""
    world.stderr.write(sentence + "\n")
    return 2


def _bench(options: Options, world: World) -> int:
    from assistant.shell.bench import lines

    for line in lines(options.rest):
        world.stdout.write(f"{line}\n")
        world.stdout.flush()
    return 0


REPLAY_OPTIONS = (
    Option("verify"),
    Option("step"),
    Option("pace", "SECONDS", seconds),
    Option("as", "FORM", str, ("markdown", "html")),
)
PRACTICE_OPTIONS = (
    Option("level", "N", whole(1, 5)),
    Option("seed", "N", whole(0, 999_999_999)),
    Option("count", "N", whole(1, 100)),
)
REPORT_OPTIONS = (
    Option("from", "DAY", day),
    Option("to", "DAY", day),
    Option("as", "FORM", str, SHAPES, about="report-as"),
    Option("out", "FILE", Path),
)
COMMANDS = (
    Command("ask", _ask, "text"),
    Command("read", _read, "text"),
    Command("demo", _demo),
    Command("bench", _bench, "PART"),
    Command("restore", _restore, "DAY"),
    Command("replay", _replay, "FILE", REPLAY_OPTIONS),
    Command("learn", _learn, "FILE"),
    Command("practice", _practice, options=PRACTICE_OPTIONS),
    Command("foods", _foods, "FOODS"),
    Command("readings", _readings, "import FILE", (Option("offset", "OFFSET", _offset),)),
    Command("report", _report, "", REPORT_OPTIONS),
    Command("schema", _schema, "WHICH"),
    Command("completion", _completion, "SHELL"),
    Command("help", _help, "TOPIC"),
)
"""Every command; without one the chat opens."""


def main(argv: Sequence[str], world: World) -> int:
    """Runs one command line and gives its exit code. No exception passes."""
    try:
        spoken = bool(spoken_by("--spoken" in argv, world))
        parsed = parser_of(COMMANDS, spoken).parse_args(argv)
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
    # no other package may read along as pydantic reads the journal; and the search for them is slow
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"
    sys.exit(main(sys.argv[1:], World.of_process()))


if __name__ == "__main__":
    run()

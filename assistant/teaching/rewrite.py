"""For contributors: writes the replies of now into session files, such as those in demo_sessions.

    python -m assistant.teaching.rewrite demo_sessions/*.jsonl

Read the difference before you commit it: each changed line is an answer that a person would get.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

from msgspec.structs import replace

from assistant.teaching.session_file import (
    Damage,
    Header,
    end_line,
    header_line,
    read,
    turn_line,
)
from assistant.teaching.stage import staged


def rewritten(lines: Iterator[str]) -> Iterator[str]:
    """The lines of the file with every event and reply made anew. Raises ValueError for damage."""
    header, turns = read(lines)
    if isinstance(header, Damage):
        raise ValueError(header.code)
    count = 0
    with staged(header) as stage:
        for turn in turns:
            if isinstance(turn, Damage):
                raise ValueError(f"{turn.code}, line {turn.line}")
            count += 1
            number, outcome, reply = stage.say(turn.say, turn.at, turn.turn or 0)
            if count == 1:
                yield header_line(_with_clock(header, turn.at.isoformat()[-6:]))
            yield turn_line(number, turn.at, turn.say, outcome.events, reply)
    yield end_line(count)


def _with_clock(header: Header, clock: str) -> Header:
    return header if header.clock else replace(header, clock=clock)


def main(paths: list[str]) -> None:
    """Writes each file in place."""
    for name in paths:
        path = Path(name)
        text = path.read_text(encoding="utf-8")
        new = "".join(f"{line}\n" for line in rewritten(iter(text.splitlines())))
        if new != text:
            path.write_text(new, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(sys.argv[1:])

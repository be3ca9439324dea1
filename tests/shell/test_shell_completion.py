"""The completion scripts in the shells themselves: what each offers for a line that was begun.

In CI the shells are there (see .ci/run); elsewhere a missing one is skipped with the reason.
"""

import os
import shutil
import subprocess
from pathlib import Path

import pexpect
import pytest
from shell_stand_ins import world_of, written

from assistant.shell.completion_scripts import SCRIPTS
from assistant.shell.main import main

LINES = [
    ("countaloud sc", {"schema"}),
    ("countaloud help spo", {"spoken"}),
    ("countaloud schema re", {"reply", "read"}),
    ("countaloud ask --j", {"--json"}),
    ("countaloud --spoken de", {"demo"}),
    ("countaloud completion ", {"bash", "zsh", "fish"}),
    ("countaloud completion z", {"zsh"}),
    ("countaloud --at ", set()),
]


def script_in(folder: Path, shell: str) -> Path:
    world = world_of()
    assert main(("completion", shell), world) == 0
    script = folder / f"completion.{shell}"
    script.write_text(written(world))
    return script


def offered_by_bash(program: str, line: str, folder: Path) -> set[str]:
    script = script_in(folder, "bash")
    asked = (
        f'. {script}; read -ra COMP_WORDS <<< "{line}"; '
        f'case "{line}" in *" ") COMP_WORDS+=("") ;; esac; '
        'COMP_CWORD=$(( ${#COMP_WORDS[@]} - 1 )); _countaloud 2>/dev/null; echo "${COMPREPLY[@]}"'
    )
    run = subprocess.run([program, "-c", asked], capture_output=True, text=True, check=True)
    return set(run.stdout.split())


def offered_by_fish(program: str, line: str, folder: Path) -> set[str]:
    script = script_in(folder, "fish")
    asked = f'source {script}; complete -C "{line}"'
    run = subprocess.run([program, "-N", "-c", asked], capture_output=True, text=True, check=True)
    assert run.stderr == ""
    return {row.partition("\t")[0] for row in run.stdout.splitlines()}


def offered_by_zsh(program: str, line: str, folder: Path) -> set[str]:
    """Zsh completes in its line editor only: Tab is pressed, and what fits is written to a file."""
    script, found = script_in(folder, "zsh"), folder / "found"
    (folder / ".zshrc").write_text(
        f"unset zle_bracketed_paste\nautoload -Uz compinit\ncompinit -u -D\nsource {script}\n"
        f'compadd() {{ builtin compadd -O hits "$@"; print -l -- $hits >> {found} }}\n'
    )
    child = pexpect.spawn(
        program,
        ["-i", "--no-globalrcs"],
        env={**os.environ, "TERM": "dumb", "PS1": "READY> ", "ZDOTDIR": str(folder)},
        encoding="utf-8",
        timeout=20,
    )
    try:
        child.expect("READY> ")
        child.send(line + "\t\x15")
        child.sendline("exit")
        child.expect(pexpect.EOF)
    finally:
        child.close(force=True)
    return set(found.read_text().split()) if found.exists() else set()


OFFERED = {"bash": offered_by_bash, "zsh": offered_by_zsh, "fish": offered_by_fish}


@pytest.mark.more
@pytest.mark.parametrize("shell", SCRIPTS)
@pytest.mark.parametrize(("line", "offered"), LINES, ids=[line for line, _ in LINES])
def test_completion__in_the_shell_itself(shell, line, offered, tmp_path) -> None:
    program = shutil.which(shell)
    if program is None:
        assert not os.environ.get("CI"), f"{shell} is not installed"
        pytest.skip(f"{shell} is not installed (Debian: apt-get install {shell})")
    found = OFFERED[shell](program, line, tmp_path)
    # fish and zsh also offer options where a word may stand; those begin with a hyphen.
    words = {word for word in found if line.endswith("-j") or not word.startswith("-")}
    assert words == offered


def test_bash_is_meant_where_no_shell_is_named() -> None:
    bare, named = world_of(), world_of()
    assert main(("completion",), bare) == main(("completion", "bash"), named) == 0
    assert written(bare) == written(named)

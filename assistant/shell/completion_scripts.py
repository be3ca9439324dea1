"""Completion of the command line in bash, zsh and fish: one table of words, a script for each.

In all three a command is completed first, then what may follow it; --home takes a folder, and
after --at nothing is offered, since a time is never guessed.
"""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

Words = Mapping[str, tuple[str, ...]]
"""Each command -> what may follow it."""

OPTIONS = ("--home", "--at", "--spoken", "--help")

_BASH = """\
# Completion of countaloud for bash. To use it: eval "$(countaloud completion bash)"
_countaloud() {{
    local word="${{COMP_WORDS[COMP_CWORD]}}" before="${{COMP_WORDS[COMP_CWORD-1]}}" command="" each
    for each in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
        case "$each" in {names}) command="$each"; break ;; esac
    done
    COMPREPLY=()
    case "$before" in
        --home) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -d -- "$word"); return ;;
        --at) return ;;
    esac
    case "$command" in
        "") mapfile -t COMPREPLY < <(compgen -W "{commands}" -- "$word") ;;
{cases}
    esac
}}
complete -F _countaloud countaloud
"""

_ZSH = """\
#compdef countaloud
# Completion of countaloud for zsh, after compinit. To use it: eval "$(countaloud completion zsh)"
_countaloud() {{
    local each command=""
    local -a found
    for each in "${{(@)words[2,CURRENT-1]}}"; do
        case "$each" in ({names}) command="$each"; break ;; esac
    done
    case "${{words[CURRENT-1]}}" in
        (--home) _files -/; return ;;
        (--at) return 1 ;;
    esac
    case "$command" in
        ("") found=({commands}) ;;
{cases}
    esac
    compadd -- "${{found[@]}}"
}}
compdef _countaloud countaloud
"""

_FISH = """\
# Completion of countaloud for fish. To use it: countaloud completion fish | source
function __countaloud_command
    for each in (commandline -opc)
        if contains -- $each {names}
            echo $each
            return
        end
    end
    echo none
end
complete -c countaloud -f
complete -c countaloud -l home -x -a "(__fish_complete_directories)"
complete -c countaloud -l at -x
complete -c countaloud -l spoken
complete -c countaloud -l help
{cases}
"""


def _bash(names: Sequence[str], words: Words) -> str:
    cases = "\n".join(
        f'        {name}) mapfile -t COMPREPLY < <(compgen -W "'
        f'{" ".join((*words.get(name, ()), *OPTIONS))}" -- "$word") ;;'
        for name in names
    )
    return _BASH.format(names="|".join(names), commands=" ".join((*names, *OPTIONS)), cases=cases)


def _zsh(names: Sequence[str], words: Words) -> str:
    found = {name: " ".join((*words.get(name, ()), *OPTIONS)) for name in names}
    cases = "\n".join(f"        ({name}) found=({said}) ;;" for name, said in found.items())
    return _ZSH.format(names="|".join(names), commands=" ".join((*names, *OPTIONS)), cases=cases)


def _fish(names: Sequence[str], words: Words) -> str:
    after = {"none": tuple(names), **words}
    cases = []
    for command, follow in after.items():
        where = f"complete -c countaloud -n 'test (__countaloud_command) = {command}'"
        plain = [word for word in follow if not word.startswith("--")]
        cases += [f"{where} -l {word[2:]}" for word in follow if word.startswith("--")]
        if plain:
            cases.append(f'{where} -a "{" ".join(plain)}"')
    return _FISH.format(names=" ".join(names), cases="\n".join(cases))


SCRIPTS: Mapping[str, Callable[[Sequence[str], Words], str]] = MappingProxyType(
    {"bash": _bash, "zsh": _zsh, "fish": _fish}
)
"""The shells that are known, and what makes the script of each from commands and words."""

"""`dietcheck completion`: a script by which a shell completes commands, options and file names.

The script is made from the same tables that read the command line, and holds nothing of a
collection: pressing a key never starts the program or reads a record.
"""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

from dietcheck.commands import COMMANDS
from dietcheck.commands.output import say
from dietcheck.reading.kinds import KINDS
from dietcheck.screening.checks import Severity

FILES, FOLDERS = "files", "folders"

# What can stand at a place with this name in the help: files, folders or one of some words.
_AT: Mapping[str, str | tuple[str, ...]] = {
    "DIR": FOLDERS,
    "FOLDER": FOLDERS,
    "FILE": FILES,
    "DRAFT": FILES,
    "SEVERITY": tuple(severity.value for severity in Severity),
    "KIND": tuple(kind.replace(" ", "-") for kind in KINDS),
    "COMMAND": tuple(COMMANDS),
    "SHELL": ("bash", "zsh", "fish"),
}


class Option(Struct, frozen=True):
    """One option: its spellings, what it is for, and what stands after it (None: nothing)."""

    names: tuple[str, ...]
    what: str
    takes: str | tuple[str, ...] | None


class Shape(Struct, frozen=True):
    """What can stand after a command: its options, and its places in order."""

    does: str
    options: tuple[Option, ...]
    places: tuple[str | tuple[str, ...], ...]


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck completion`."""
    parser.add_argument(
        "shell",
        metavar="SHELL",
        choices=tuple(SHELLS),
        help="bash, zsh or fish: the shell you type in",
    )


def run(given: argparse.Namespace) -> int:
    """Print the script."""
    say(SHELLS[given.shell](shapes()))
    return 0


def shapes() -> dict[str, Shape]:
    """What can stand after each command, read from its parser."""
    from dietcheck.commands.help_ import parser_of

    return {name: _shape(COMMANDS[name].does, parser_of(name)) for name in COMMANDS}


def _shape(does: str, parser: argparse.ArgumentParser) -> Shape:
    options, places = [], []
    for action in parser._actions:
        takes = None if action.nargs == 0 else _taken(action)
        if action.option_strings:
            options.append(Option(tuple(action.option_strings), action.help or "", takes))
        else:
            places.append(takes or "")
    return Shape(does, tuple(options), tuple(places))


def _taken(action: argparse.Action) -> str | tuple[str, ...]:
    """What completes a value: files, folders, words, or the empty text for nothing."""
    if action.choices is not None:
        return tuple(map(str, action.choices))
    return _AT.get(str(action.metavar), "")


def _bash(known: Mapping[str, Shape]) -> str:
    cases = "\n".join(_bash_case(name, shape) for name, shape in known.items())
    first = shlex.quote(" ".join([*known, "--help", "--version"]))
    return f"""\
# Completion of dietcheck for bash. Switch it on with this line in ~/.bashrc:
#   source <(dietcheck completion bash)
_dietcheck() {{
    local here=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}}
    local words='' takes='' places=() at=-1 i
    COMPREPLY=()
    if (( COMP_CWORD == 1 )); then
        COMPREPLY=($(compgen -W {first} -- "$here"))
        return
    fi
    case ${{COMP_WORDS[1]}} in
{cases}
        *) return ;;
    esac
    if [[ -z $takes && $here == -* ]]; then
        COMPREPLY=($(compgen -W "$words" -- "$here"))
        return
    fi
    if [[ -z $takes ]]; then
        for (( i = 2; i <= COMP_CWORD; i++ )); do
            [[ ${{COMP_WORDS[i]}} == -* ]] || (( at++ ))
        done
        (( at >= ${{#places[@]}} )) && at=$(( ${{#places[@]}} - 1 ))
        (( at >= 0 )) && takes=${{places[at]}}
    fi
    case $takes in
        =*) COMPREPLY=($(compgen -W "${{takes#=}}" -- "$here")) ;;
        {FILES}|{FOLDERS})
            compopt -o filenames 2>/dev/null
            local IFS=$'\n' what=-f
            [[ $takes == {FOLDERS} ]] && what=-d
            COMPREPLY=($(compgen $what -- "$here")) ;;
    esac
}}
complete -F _dietcheck dietcheck
"""


def _bash_case(name: str, shape: Shape) -> str:
    words = " ".join(spelling for option in shape.options for spelling in option.names)
    after = "".join(
        f"            {'|'.join(o.names)}) takes={shlex.quote(_mark(o.takes) or 'none')} ;;\n"
        for o in shape.options
        if o.takes is not None
    )
    places = " ".join(shlex.quote(_mark(place) or "none") for place in shape.places)
    choose = f"            case $before in\n{after}            esac\n" if after else ""
    return (
        f"        {name})\n            words={shlex.quote(words)}\n            places=({places})\n"
        f"{choose}            ;;"
    )


def _mark(takes: str | tuple[str, ...] | None) -> str:
    return "=" + " ".join(takes) if isinstance(takes, tuple) else takes or ""


def _zsh(known: Mapping[str, Shape]) -> str:
    rows = "\n".join(f"    {_quoted(f'{_colon(n)}:{s.does}')}" for n, s in known.items())
    cases = "\n".join(_zsh_case(name, shape) for name, shape in known.items())
    return f"""\
#compdef dietcheck
# Completion of dietcheck for zsh. Switch it on with this line in ~/.zshrc, after compinit:
#   source <(dietcheck completion zsh)
_dietcheck() {{
  local -a commands
  commands=(
{rows}
  )
  if (( CURRENT == 2 )); then
    _describe -t commands 'dietcheck command' commands
    return
  fi
  local command=$words[2]
  shift words
  (( CURRENT-- ))
  case $command in
{cases}
  esac
}}
if [[ $zsh_eval_context[-1] == loadautofunc ]]; then
  _dietcheck "$@"
else
  compdef _dietcheck dietcheck
fi
"""


def _zsh_case(name: str, shape: Shape) -> str:
    specs = [_quoted(spec) for spec in (*_zsh_options(shape), *_zsh_places(shape))]
    return f"    {name})\n      _arguments " + " \\\n        ".join(specs) + " ;;"


def _zsh_options(shape: Shape) -> Iterator[str]:
    for option in shape.options:
        what = _brief(option.what)
        what = re.sub(r"[\[\]:]", r"\\\g<0>", what)
        for name in option.names:
            yield f"*{name}[{what}]" + (
                "" if option.takes is None else f":value:{_zsh_at(option.takes)}"
            )


def _zsh_places(shape: Shape) -> Iterator[str]:
    for number, place in enumerate(shape.places, 1):
        yield f"{number}:value:{_zsh_at(place)}"
    if shape.places:
        yield f"*:value:{_zsh_at(shape.places[-1])}"


def _zsh_at(takes: str | tuple[str, ...]) -> str:
    if isinstance(takes, tuple):
        return f"({' '.join(takes)})"
    return {FILES: "_files", FOLDERS: "_files -/"}.get(takes, " ")


def _colon(text: str) -> str:
    return text.replace(":", "\\:")


def _fish(known: Mapping[str, Shape]) -> str:
    lines = [
        "# Completion of dietcheck for fish. Switch it on with:",
        "#   dietcheck completion fish > ~/.config/fish/completions/dietcheck.fish",
        "complete -c dietcheck -f",
    ]
    for name, shape in known.items():
        does, after = _fish_quoted(shape.does), f"__fish_seen_subcommand_from {name}"
        lines.append(f"complete -c dietcheck -n __fish_use_subcommand -a {name} -d {does}")
        lines += [f"complete -c dietcheck -n '{after}' {row}" for row in _fish_rows(shape)]
    return "\n".join(lines) + "\n"


def _fish_rows(shape: Shape) -> Iterator[str]:
    for option in shape.options:
        names = " ".join(
            f"-l {n[2:]}" if n.startswith("--") else f"-s {n[1:]}" for n in option.names
        )
        only = "-r" if option.takes == FILES else "-x"  # -x: no file names beside what is given
        value = "" if option.takes is None else f" {only} {_fish_at(option.takes)}".rstrip()
        yield f"{names}{value} -d {_fish_quoted(_brief(option.what))}"
    for place in dict.fromkeys(shape.places):
        if place:
            yield _fish_at(place)


def _fish_at(takes: str | tuple[str, ...]) -> str:
    if isinstance(takes, tuple):
        return f"-a {_fish_quoted(' '.join(takes))}"
    return {FILES: "-F", FOLDERS: "-a '(__fish_complete_directories)'"}.get(takes, "")


def _brief(text: str) -> str:
    """The help of an option up to its first pause: a completion shows one short line."""
    return text.partition(";")[0].replace("%%", "%")


def _quoted(text: str) -> str:
    return shlex.quote(text)


def _fish_quoted(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


SHELLS: Mapping[str, Callable[[Mapping[str, Shape]], str]] = {
    "bash": _bash,
    "zsh": _zsh,
    "fish": _fish,
}

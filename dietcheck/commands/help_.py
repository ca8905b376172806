"""`dietcheck help`: the manual, a page for each command.

Usage, options and examples come from the commands themselves, so that they are always true; the
pages in `manual/` tell what no table can: what a command does, its exit status, its files.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from difflib import get_close_matches
from importlib import import_module
from textwrap import fill

from dietcheck.commands import COMMANDS
from dietcheck.commands.arguments import Parser, Usage
from dietcheck.commands.output import say
from dietcheck.outside.packages import files
from dietcheck.reading.problems import listed, show

WIDTH = 80


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck help`."""
    parser.add_argument(
        "command", metavar="COMMAND", nargs="?", help="such as screen; left out: all in brief"
    )


def run(given: argparse.Namespace) -> int:
    """Show the overview or a page. Raises Usage for a command that there is not."""
    if given.command is None:
        say(overview())
        return 0
    if given.command not in COMMANDS:
        near = get_close_matches(given.command, COMMANDS, n=1)
        hint = f"Did you mean dietcheck help {near[0]}? " if near else ""
        raise Usage(
            f"{show(given.command)} is no command.", f"{hint}The commands are {listed(COMMANDS)}."
        )
    say(page(given.command))
    return 0


def overview() -> str:
    """All commands in brief, each with its first example."""
    wide = max(map(len, COMMANDS)) + 2
    rows = "\n".join(
        fill(f"  {name:<{wide}}{command.does}", WIDTH, subsequent_indent=" " * (wide + 2))
        for name, command in COMMANDS.items()
    )
    examples = "\n".join(
        f"  {line}\n      {what}"
        for line, what in (command.examples[0] for command in COMMANDS.values())
    )
    return (
        "dietcheck screens the written diets of an animal collection before they reach a bowl.\n\n"
        f"commands:\n{rows}\n\nexamples:\n{examples}\n\n"
        '"dietcheck help COMMAND" shows its manual page, "dietcheck COMMAND --help" its options,\n'
        '"dietcheck --version" the version.\n'
        "Exit status: 0 done and nothing blocks; 1 something blocks; 2 the job could not be done.\n"
    )


def page(name: str) -> str:
    """The manual page of a command; KeyError for no such command."""
    command = COMMANDS[name]
    said = sections(name)
    parser = parser_of(name)
    shown = parser.format_help().split("\n\nexamples:\n")[0]
    usage, _, *lists = shown.replace("positional arguments:", "places:").split("\n\n")
    examples = "\n\n".join(f"    {line}\n        {what}" for line, what in command.examples)
    parts = [
        fill(f"dietcheck {name}: {command.does}", WIDTH),
        _titled("How to write it", _indented(usage.removeprefix("usage: "))),
        _titled("What it does", said["What it does"]),
        _titled("What can be added", "\n\n".join(lists)),
        _titled("Examples", examples),
        _titled("Exit status", said["Exit status"]),
        _titled("Files", said["Files"]),
    ]
    return "\n\n".join(parts) + "\n"


def parser_of(name: str) -> Parser:
    """The parser of a command, as it is used to read what stands after its name."""
    command = COMMANDS[name]
    parser = Parser(f"dietcheck {name}", command.does, command.examples)
    import_module(f"dietcheck.commands.{command.module}").arguments(parser)
    return parser


def sections(name: str) -> dict[str, str]:
    """What the manual's page of a command says under each of its headings."""
    text = (files("dietcheck.commands") / "manual" / f"{name}.md").read_text(encoding="utf-8")
    return dict(_split(text))


def _split(text: str) -> Iterator[tuple[str, str]]:
    for part in text.split("## ")[1:]:
        title, _, body = part.partition("\n")
        yield title.strip(), "\n\n".join(map(_wrapped, body.strip("\n").split("\n\n")))


def _wrapped(block: str) -> str:
    """A paragraph at the width of a terminal; set-in lines and statuses keep their lines."""
    if block.startswith(" "):
        return block
    lines = block.splitlines() if block[0].isdigit() else [" ".join(block.splitlines())]
    return "\n".join(
        fill(line, WIDTH, subsequent_indent=" " * (block[0].isdigit() * 3), break_on_hyphens=False)
        for line in lines
    )


def _titled(title: str, body: str) -> str:
    return f"{title}\n{'-' * len(title)}\n{body}"


def _indented(text: str) -> str:
    return "\n".join(f"    {line.strip()}" for line in text.splitlines())

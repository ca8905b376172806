"""Finds the command that was written, reads what stands after it, and runs it."""

from __future__ import annotations

import argparse
import gc
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module

from dietcheck import __version__
from dietcheck.commands import COMMANDS
from dietcheck.commands.arguments import Parser, Usage
from dietcheck.commands.output import say
from dietcheck.commands.progress import progress
from dietcheck.errors import show
from dietcheck.reading.trusted import keep_tables
from dietcheck.remembering.answers import Memory

RARELY = (50_000, 20, 50)
"""How often Python looks for circles of values: a screen makes millions of values and few circles,
and at Python's own pace a twentieth of its time goes into looking."""


def call(arguments: Sequence[str], memory: Memory | None) -> int:
    """Run one command and return its exit status. `memory` knows of former runs like this one."""
    if not arguments:
        raise Usage(
            "say what is to be done.",
            'For example "dietcheck screen". "dietcheck --help" tells more.',
        )
    name, *rest = arguments
    if name in ("--version", "-V"):
        say(f"dietcheck {__version__}\n")
        return 0
    if name in ("--help", "-h"):
        name, rest = "help", []
    if name not in COMMANDS:
        raise _no_command(name)
    if "" in rest:  # often a variable of the shell that is not set: never mistaken for "here"
        raise Usage(
            f'one of the words after "dietcheck {name}" is empty.',
            "Write what was meant there, or leave it out altogether.",
        )
    gc.set_threshold(*RARELY)
    command = COMMANDS[name]
    module = import_module(f"dietcheck.commands.{command.module}")
    parser = Parser(f"dietcheck {name}", command.does, command.examples)
    module.arguments(parser)
    given = parser.parse_args(rest, argparse.Namespace(memory=memory))
    with progress(f"dietcheck {name}"):
        status: int = module.run(given)
    keep_tables()
    return status


def _no_command(name: str) -> Usage:
    near = get_close_matches(name, COMMANDS, n=1)
    known = f"Did you mean dietcheck {near[0]}? " if near else ""
    return Usage(f"{show(name)} is no command.", f'{known}"dietcheck --help" lists them.')

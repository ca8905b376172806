"""The commands: one module each, loaded only when it is called.

A command is a module with `arguments(parser)`, which says what may be written after its name, and
`run(given)`, which does the work and returns the exit status.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Command:
    """A row of the table: the module in this package, what it does in a line, and examples."""

    module: str
    does: str
    examples: tuple[tuple[str, str], ...]  # the command line, and what it is for


COMMANDS: Mapping[str, Command] = {
    "screen": Command(
        "screen",
        "judge every diet of a collection and tell what must not be fed",
        (
            ("dietcheck screen", "the folder you are in, as at today"),
            ("dietcheck screen ~/diets --on 2026-12-24", "another folder, as at another day"),
            ("dietcheck screen --draft new-sheet.yaml", "what if this record were part of it?"),
            ("dietcheck screen --block-on medium", "stop also for what the vet has to decide"),
            ("dietcheck screen --write sarif:diets.sarif", "a file for the code host as well"),
            ("dietcheck screen --staged", "what git is about to commit (the hook does this)"),
        ),
    ),
}

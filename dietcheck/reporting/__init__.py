"""What a screen found, written for someone: a page for the terminal, files for other programs.

Each kind of file is one module with a function `render(report, asked)`; a new kind is a module
and a row in `KINDS`.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

from msgspec import Struct, field

from dietcheck.history.signed_version import Signed
from dietcheck.screening.checks import Severity
from dietcheck.screening.report import Report

KINDS: Mapping[str, str] = {
    "html": "html",
    "markdown": "markdown",
    "json": "json_report",
    "csv": "findings_csv",
    "junit": "junit",
    "sarif": "sarif",
}
"""The kinds of file that a report can be written as, each with the module that writes it."""


class Asked(Struct, frozen=True):
    """What the person asked of a run that the report itself does not hold.

    `block_on` is the mildest severity that stops a change. `root` is the way from the top of the
    git repository to the folder that was screened, empty where they are the same. `written` are the
    files that the same run writes, so that a short report can name the full one. `signed`
    holds, by group, what was last signed, for the page that the vet reads.
    """

    block_on: Severity = Severity.HIGH
    root: str = ""
    written: tuple[str, ...] = ()
    signed: Mapping[str, Signed] = field(default_factory=dict)


def render(kind: str, report: Report, asked: Asked) -> str:
    """The text of a report file of one of the `KINDS`. Only that kind's module is loaded."""
    module = import_module(f"{__name__}.{KINDS[kind]}")
    text: str = module.render(report, asked)
    return text

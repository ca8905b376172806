"""Reads what is written after a command, and says in plain words what was not understood."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches
from typing import NoReturn

from dietcheck.commands.output import say
from dietcheck.errors import HelpShown, JobError
from dietcheck.reading.problems import show
from dietcheck.screening.checks import Severity

EARLIEST, LATEST = 2025, 2199
"""The years a clock can show: dietcheck is no older, and no record can hold a later day."""


class Usage(JobError):
    """What was written after `dietcheck` cannot be understood."""


class Parser(argparse.ArgumentParser):
    """A parser that explains itself by examples and raises Usage instead of leaving."""

    def __init__(self, prog: str, does: str, examples: Iterable[tuple[str, str]]) -> None:
        rows = [f"  {line}\n      {what}" for line, what in examples]
        super().__init__(
            prog=prog,
            description=does[0].upper() + does[1:] + ".",
            epilog="examples:\n" + "\n".join(rows),
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
            add_help=False,
        )
        self.add_argument("--help", "-h", action=_Help, nargs=0, help="show this page")

    def error(self, message: str) -> NoReturn:
        """Raise Usage, in words of ours where argparse's own are a programmer's."""
        raise Usage(_plain(message, self._options()), f'"{self.prog} --help" shows examples.')

    def _options(self) -> list[str]:
        return [option for action in self._actions for option in action.option_strings]


class _Help(argparse.Action):
    """Shows the help by way of `say`, which copes with every kind of output."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object, **__: object) -> None:
        say(parser.format_help())
        raise HelpShown


def _plain(message: str, options: list[str]) -> str:
    if found := re.match(r"unrecognized arguments: (\S+)", message):
        near = get_close_matches(found[1], options, n=1)
        hint = f" Did you mean {near[0]}?" if near else ""
        return f"{show(found[1])} is nothing that can be written here.{hint}"
    if found := re.match(r"argument (\S+?)(?:/\S+)?: expected one argument", message):
        return f"something has to stand after {found[1]}."
    if found := re.match(r"argument (\S+?)(?:/\S+)?: ignored explicit argument", message):
        return f"nothing can stand after {found[1]}."
    return f"{show(message, 200)}."


def read_day(text: str) -> date:
    """The day of `--on`. Raises Usage."""
    from dietcheck.quantities import QuantityError, read_date

    try:
        return read_date(text)
    except QuantityError as error:
        raise Usage(f"--on: {error.message}.", f"{_sentence(error.remedy)}") from error


def today() -> date:
    """The day that this computer's clock shows. JobError for one that cannot be right.

    A clock that was lost starts at 1970: weights would look fresh and signatures still good.
    """
    shown = date.today()
    if EARLIEST <= shown.year <= LATEST:
        return shown
    raise JobError(
        f"the clock of this computer shows {shown.isoformat()}, which cannot be right.",
        "Set the clock; what is to be judged can also be given its day, as in --on 2026-12-24.",
    )


def read_severity(text: str) -> Severity:
    """The severity of `--block-on`. Raises Usage."""
    try:
        return Severity(text)
    except ValueError:
        raise Usage(
            f"--block-on: {show(text)} is no severity.",
            "Write high, medium or low after --block-on.",
        ) from None


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}".rstrip(".") + "."

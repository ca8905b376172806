"""The command line: finds the command, runs it, and turns whatever goes wrong into plain words.

Start it as `dietcheck`. `python -m dietcheck` works too, but Python itself then looks for modules
in the folder it is started in, before a line of this file has run; so not inside a repository
that somebody else may have written to.
"""

from __future__ import annotations

import sys

if __name__ == "__main__" and not sys.flags.safe_path:
    del sys.path[0]  # the folder that -m was started in: nothing more is imported from there

import os
import traceback
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module

from dietcheck import __version__
from dietcheck.commands import COMMANDS
from dietcheck.commands.arguments import HelpShown, Parser, Usage
from dietcheck.commands.output import complain, say
from dietcheck.commands.progress import progress
from dietcheck.errors import JobError
from dietcheck.reading.problems import show

DONE, NOT_DONE = 0, 2
_BEFORE = "dietcheck: "

TRACEBACK = "DIETCHECK_TRACEBACK"
"""Set this in the environment to see where in the program a mistake of its own happened."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; 2 if the job could not be done."""
    try:
        return _run(list(sys.argv[1:] if arguments is None else arguments))
    except HelpShown:
        return DONE
    except JobError as error:
        complain(_told(error))
    except KeyboardInterrupt:
        complain("dietcheck: stopped before the end; nothing has been cleared.")
    except OSError as error:  # that nobody foresaw: a name too long, a file of ours that is gone
        complain(_told(_refused(error)))
        _show(error)
    except BaseException as error:  # a mistake in dietcheck, or a rule that wants to leave with
        # status 0, must never look like a clean screen
        complain(_apology(error))
        _show(error)
    return NOT_DONE


def _show(error: BaseException) -> None:
    if os.environ.get(TRACEBACK):
        complain("".join(traceback.format_exception(error)))


def _refused(error: OSError) -> JobError:
    what = f": {show(str(error.filename), 200)}" if error.filename is not None else ""
    reason = error.strerror or type(error).__name__
    return JobError(
        f"the computer refused something that was needed ({reason}{what}). Nothing has been "
        "cleared: feed the last approved sheets.",
        f"Mend that and run it again. {TRACEBACK}=1 in the environment tells where it happened.",
    )


def _run(arguments: list[str]) -> int:
    if not arguments:
        raise Usage(
            "say what is to be done.",
            'For example "dietcheck screen". "dietcheck --help" tells more.',
        )
    name, *rest = arguments
    if name in ("--version", "-V"):
        say(f"dietcheck {__version__}\n")
        return DONE
    if name in ("--help", "-h"):
        name, rest = "help", []
    if name not in COMMANDS:
        raise _no_command(name)
    command = COMMANDS[name]
    module = import_module(f"dietcheck.commands.{command.module}")
    parser = Parser(f"dietcheck {name}", command.does, command.examples)
    module.arguments(parser)
    given = parser.parse_args(rest)
    with progress(f"dietcheck {name}"):
        status: int = module.run(given)
    return status


def _no_command(name: str) -> Usage:
    near = get_close_matches(name, COMMANDS, n=1)
    known = f"Did you mean dietcheck {near[0]}? " if near else ""
    return Usage(f"{show(name)} is no command.", f'{known}"dietcheck --help" lists them.')


def _apology(error: BaseException) -> str:
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    return (
        f"dietcheck: sorry, something in dietcheck itself went wrong ({_safe(what, 200)}).\n"
        "           Nothing has been cleared: feed the last approved sheets. To have it mended,\n"
        f"           set {TRACEBACK}=1, run the same again, and send what it prints to whoever\n"
        "           looks after dietcheck."
    )


def _told(error: JobError) -> str:
    from dietcheck.reporting.layout import paragraph

    message = paragraph(_safe(error.message), len(_BEFORE), _BEFORE, whole=True)
    return "\n".join((*message, *paragraph(_safe(error.remedy), len(_BEFORE), whole=True)))


def _safe(text: str, longest: int = 600) -> str:
    from dietcheck.reporting.layout import shown

    return shown(text, longest)


if __name__ == "__main__":
    sys.exit(main())

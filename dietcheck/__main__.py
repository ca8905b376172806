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

from dietcheck.errors import HelpShown, JobError, show
from dietcheck.outside.terminal import say, wants_colour
from dietcheck.remembering.answers import Memory

TYPE_CHECKING = False  # typing itself would be loaded otherwise, for nothing
if TYPE_CHECKING:
    from collections.abc import Sequence

# Everything else is loaded late: an answer that is remembered needs nothing of it.

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
        _complain(_told(error))
    except KeyboardInterrupt:
        _complain("dietcheck: stopped before the end; nothing has been cleared.")
    except OSError as error:  # that nobody foresaw: a name too long, a file of ours that is gone
        _complain(_told(_refused(error)))
        _show(error)
    except BaseException as error:  # a mistake in dietcheck, or a rule that wants to leave with
        # status 0, must never look like a clean screen
        _complain(_apology(error))
        _show(error)
    return NOT_DONE


def _run(arguments: list[str]) -> int:
    memory = None
    if arguments[:1] == ["screen"]:
        memory = Memory(arguments, wants_colour())
        if answer := memory.recall():
            say(answer.text)
            return answer.status
    from dietcheck.commands.calling import call

    return call(arguments, memory)


def _complain(text: str) -> None:
    from dietcheck.commands.output import complain

    complain(text)


def _show(error: BaseException) -> None:
    if os.environ.get(TRACEBACK):
        import traceback

        _complain("".join(traceback.format_exception(error)))


def _refused(error: OSError) -> JobError:
    what = f": {show(str(error.filename), 200)}" if error.filename is not None else ""
    reason = error.strerror or type(error).__name__
    return JobError(
        f"the computer refused something that was needed ({reason}{what}). Nothing has been "
        "cleared: feed the last approved sheets.",
        f"Mend that and run it again. {TRACEBACK}=1 in the environment tells where it happened.",
    )


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

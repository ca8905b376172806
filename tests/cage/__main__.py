"""The server: reads a run to do a line, forks, answers how it ended."""

from __future__ import annotations

import faulthandler
import io
import json
import os
import resource
import sys
import tempfile
import time
from typing import IO, Any

# Loaded once, so that a fork has to load nothing.
import dietcheck.commands.change
import dietcheck.commands.order
import dietcheck.commands.prep
import dietcheck.commands.schema
import dietcheck.commands.sign
import dietcheck.commands.start
import dietcheck.commands.trail
import dietcheck.commands.try_
import dietcheck.reading.explain
import dietcheck.reporting.html.page
import dietcheck.reporting.ration  # noqa: F401
from dietcheck.__main__ import main
from dietcheck.screening.packs import load_packs
from tests.cage.befalls import BEFALLS, seen_by
from tests.fuzz.targets import PARK, judged


def serve() -> None:
    """Answer until there is nothing more to do."""
    load_packs(["dietcheck_rules"])
    judged(PARK, {})  # the tables that the rules read on first use
    for line in sys.stdin.buffer:
        sys.stdout.buffer.write(json.dumps(_run(json.loads(line))).encode() + b"\n")
        sys.stdout.buffer.flush()


def _run(asked: dict[str, Any]) -> dict[str, Any]:
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err, _seen() as seen:
        child = os.fork()
        if not child:
            _be_the_run(asked, out, err, seen)
        status = _ended(child, time.monotonic() + 3 * asked["seconds"])
        return {
            "status": os.waitstatus_to_exitcode(status),
            "out": _text(out),
            "err": _text(err),
            "seen": _text(seen).splitlines(),
        }


def _seen() -> IO[bytes]:
    return tempfile.TemporaryFile()


def _ended(child: int, deadline: float) -> int:
    wait = 0.001
    while True:
        found, status = os.waitpid(child, os.WNOHANG)
        if found:
            return status
        if time.monotonic() > deadline:
            os.kill(child, 9)
            deadline = float("inf")
        time.sleep(wait)
        wait = min(0.02, wait * 1.3)


def _text(stream: IO[bytes]) -> str:
    stream.seek(0)
    return stream.read(2_000_000).decode("utf-8", "backslashreplace")


def _be_the_run(asked: dict[str, Any], out: IO[bytes], err: IO[bytes], seen: IO[bytes]) -> None:
    """The child: never comes back."""
    status = 99
    try:
        nothing = os.open(os.devnull, os.O_RDONLY)
        for given, place in ((nothing, 0), (out.fileno(), 1), (err.fileno(), 2)):
            os.dup2(given, place)
        encoding, _, errors = asked["env"].get("PYTHONIOENCODING", "utf-8").partition(":")
        sys.stdout, sys.stderr = (
            io.TextIOWrapper(io.FileIO(n, "w", closefd=False), encoding, errors or kind)
            for n, kind in ((1, "strict"), (2, "backslashreplace"))
        )
        os.environ.update(asked["env"])
        os.chdir(asked["cwd"])
        resource.setrlimit(resource.RLIMIT_CPU, (asked["seconds"], asked["seconds"] + 1))
        resource.setrlimit(resource.RLIMIT_AS, (asked["memory"], asked["memory"]))
        seen_by(seen.fileno())
        for name, more in asked["befalls"]:
            BEFALLS[name](more)
        status = main(asked["arguments"])
        sys.stdout.flush()
        sys.stderr.flush()
    except BaseException:
        faulthandler.dump_traceback(2)
    finally:
        os._exit(status)


if __name__ == "__main__":
    serve()

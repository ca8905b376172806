"""What can befall a run, done in the child before it begins: name → a function of one value."""

from __future__ import annotations

import datetime
import os
import resource
import signal
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

_seen: list[int] = []
OUT_OF_REACH = ("socket.", "urllib.", "http.", "ftplib.", "smtplib.", "webbrowser.", "ctypes.dl")
STARTS = ("subprocess.Popen", "os.exec", "os.posix_spawn", "os.spawn", "os.system", "os.fork")
CHANGES = ("os.rename", "os.link", "os.symlink", "os.remove", "os.rmdir", "os.mkdir", "os.chmod",
           "os.truncate", "shutil.rmtree", "shutil.move", "shutil.copyfile")  # fmt: skip


def seen_by(stream: int) -> None:
    """Where to write down what was seen."""
    _seen[:] = [stream]


def tell(what: str) -> None:
    """Write down that something was seen."""
    os.write(_seen[0], what.encode("utf-8", "backslashreplace") + b"\n")


def no_network(_: object) -> None:
    """Any use of a socket, and any program but git, is written down and stopped."""

    def watch(event: str, given: tuple[Any, ...]) -> None:
        if event.startswith(OUT_OF_REACH):
            tell(f"{event} {given!r}")
            raise RuntimeError("no network")
        if event.startswith(STARTS) and not (event == "subprocess.Popen" and given[0] == "git"):
            tell(f"{event} {given!r}")
            raise RuntimeError("no programs")

    sys.addaudithook(watch)


def only_inside(root: str) -> None:
    """Any file opened outside Python's own, the package and the folder is written down."""
    top = Path(__file__).resolve().parents[2]
    own = tuple(
        os.path.realpath(place) + os.sep
        for place in (root, sys.prefix, sys.base_prefix, top / "dietcheck", top / "rules", "/usr")
    )

    def watch(event: str, given: tuple[Any, ...]) -> None:
        if event != "open" or not isinstance(given[0], str | bytes):
            return
        path = os.path.realpath(os.fsdecode(given[0]))
        if path != os.devnull and not (path + os.sep).startswith(own):
            tell(path)

    sys.addaudithook(watch)


def _is_change(event: str, given: tuple[Any, ...]) -> bool:
    if event == "open":
        path, _, flags = given
        for_writing = flags & (os.O_WRONLY | os.O_RDWR) if isinstance(flags, int) else 0
        return bool(for_writing) and path != os.devnull and not isinstance(path, int)
    return event in CHANGES


def killed_at(number: int) -> None:
    """The n-th change to the file system is the end: the process is killed before it."""
    _at(number, lambda: os.kill(os.getpid(), signal.SIGKILL))


def stopped_at(number: int) -> None:
    """Somebody presses Ctrl-C at the n-th change to the file system."""

    def stop() -> None:
        raise KeyboardInterrupt

    _at(number, stop)


def refused_at(number: int) -> None:
    """The n-th change to the file system is refused: no space is left."""

    def refuse() -> None:
        raise OSError(28, "No space left on device")

    _at(number, refuse)


def _at(number: int, then: Callable[[], None]) -> None:
    count = 0

    def watch(event: str, given: tuple[Any, ...]) -> None:
        nonlocal count
        if _is_change(event, given):
            count += 1
            tell(f"{event} {given[0]!r}")
            if count == number:
                then()

    sys.addaudithook(watch)


def largest_file(size: int) -> None:
    """No file can grow beyond so many bytes, as on a disk that is full."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def today(day: str) -> None:
    """The clock of the computer shows another day."""
    fixed = datetime.date.fromisoformat(day)

    class Clock(datetime.date):
        @classmethod
        def today(cls) -> Clock:
            return cls(fixed.year, fixed.month, fixed.day)

    for module in list(sys.modules.values()):
        if getattr(module, "__name__", "").startswith("dietcheck.commands") and hasattr(
            module, "date"
        ):
            setattr(module, "date", Clock)  # noqa: B010


def also_installed(folder: str) -> None:
    """Distributions in that folder are installed as well."""
    sys.path.append(folder)


def as_nobody(_: object) -> None:
    """Root may read and write everything, so it becomes somebody who may not."""
    if os.geteuid() == 0:
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)


BEFALLS: Mapping[str, Callable[[Any], None]] = {
    "no network": no_network,
    "only inside": only_inside,
    "killed at": killed_at,
    "stopped at": stopped_at,
    "refused at": refused_at,
    "largest file": largest_file,
    "today": today,
    "also installed": also_installed,
    "as nobody": as_nobody,
}

"""A digest of the program that is running: all that could make it answer otherwise.

Files count by name, size and time of change, as where Python decides whether to compile anew; so
somebody who edits a rule or a table is never told what it said before.
"""

from __future__ import annotations

import os
import sys

from dietcheck import __version__
from dietcheck.remembering.store import digest, encoded

PACK = "dietcheck_rules"
"""The bundled pack: what other packs hang on is not known, so with them nothing is kept."""


_seen: list[str | None] = []


def of_program() -> str | None:
    """The digest as the files lie now; None where the program does not lie in plain folders."""
    _seen[:] = [_worked_out()]
    return _seen[0]


def program_seen() -> str | None:
    """The digest as it was when this run last looked: looking takes some milliseconds."""
    return _seen[0] if _seen else of_program()


def is_as_it_was() -> bool:
    """Whether the program is the same as when this run began, and its rules the bundled ones."""
    seen = program_seen()
    loaded = getattr(sys.modules.get(PACK), "__file__", None) or ""
    bundled = os.path.realpath(os.path.dirname(loaded)) == pack_folder()
    return bundled and seen is not None and of_program() == seen


def _worked_out() -> str | None:
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    rules = pack_folder()
    if rules is None or not os.path.isdir(package):
        return None
    facts = [__version__, sys.version, sys.executable, str(sys.flags), sys.platform]
    try:
        facts += [*_files(package), *_files(rules), *_distributions()]
    except OSError:
        return None
    return digest(map(encoded, facts))


def pack_folder() -> str | None:
    """Where the bundled pack would be loaded from."""
    for folder in sys.path:
        found = os.path.join(folder, PACK)
        if os.path.isfile(os.path.join(found, "__init__.py")):
            return os.path.realpath(found)
    return None


def _files(package: str) -> list[str]:
    found = []
    folders = [package]
    while folders:
        with os.scandir(folders.pop()) as entries:
            for entry in entries:
                if entry.name == "__pycache__":
                    continue
                if entry.is_dir():
                    folders.append(entry.path)
                else:
                    about = entry.stat()
                    found.append(f"{entry.path} {about.st_size} {about.st_mtime_ns}")
    return sorted(found)


def _distributions() -> list[str]:
    """What is installed, in the order in which Python looks: another version, another pack."""
    found = []
    for folder in sys.path:
        found.append(folder)
        if os.path.isdir(folder):
            names = [n for n in os.listdir(folder) if n.endswith((".dist-info", ".egg-info"))]
            for name in sorted(names):
                changed = os.stat(os.path.join(folder, name)).st_mtime_ns
                found.append(f"{name} {changed}")
    return found

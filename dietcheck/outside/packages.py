"""The files that lie beside a package's code, and the packs that are installed, found quickly.

The standard library's way to both is general and slow to load: it costs more than all the tables.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

_INFO = (".dist-info", ".egg-info")


class EntryPoint:
    """Where an entry point leads: `module`, or `module:attribute`."""

    def __init__(self, value: str) -> None:
        self.value = value

    def load(self) -> object:
        """The module or object; whatever importing it raises."""
        module, _, attributes = self.value.partition(":")
        loaded: object = import_module(module)
        for attribute in filter(None, attributes.split(".")):
            loaded = getattr(loaded, attribute)
        return loaded


def files(package: str | None) -> Path:
    """The folder of a package that is loaded."""
    file = sys.modules[package or ""].__file__
    if file is None:
        raise FileNotFoundError(f"the package {package} lies in no folder")
    return Path(file).parent


def entry_points(group: str, name: str) -> tuple[EntryPoint, ...]:
    """The entry points of a group and name of all that is installed.

    Each distribution counts once, as the first one of its name on the path.
    """
    seen: set[str] = set()
    found: list[EntryPoint] = []
    for folder in sys.path:
        for info in _infos(folder):
            distribution = info.partition("-")[0].replace(".", "_").lower()
            if distribution not in seen:
                seen.add(distribution)
                file = os.path.join(folder, info, "entry_points.txt")
                found += map(EntryPoint, _named(file, group, name))
    return tuple(found)


def _infos(folder: str) -> list[str]:
    try:
        return sorted(name for name in os.listdir(folder or ".") if name.endswith(_INFO))
    except OSError:  # a name on the path that is no folder
        return []


def _named(file: str, group: str, name: str) -> Iterator[str]:
    """Where the entry points of one distribution lead: `[group]`, then lines `name = value`."""
    try:
        with open(file, encoding="utf-8") as lines:
            section = ""
            for line in map(str.strip, lines):
                if line.startswith("["):
                    section = line.strip("[] ")
                elif section == group and "=" in line:
                    key, _, value = line.partition("=")
                    if key.strip() == name:
                        yield value.partition("[")[0].strip()
    except (OSError, ValueError):  # most distributions have none
        return

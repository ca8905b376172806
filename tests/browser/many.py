"""A large collection: the example park's groups over again under other names. All invented."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from pathlib import Path

PARK = Path(__file__).parents[2] / "example_repo"
KINDS = ("groups", "diet-sheets", "rotas")
_OWN = re.compile(r"^((?:id|group): [\w-]+)", re.MULTILINE)
_PLACE = re.compile(r"^(enclosure: [^#\n]*[^#\s])", re.MULTILINE)
_REACHED = re.compile(r"^(also_reached_by: \[)([^\]]*)\]", re.MULTILINE)


def collection(groups: int) -> dict[str, str]:
    """The files of a collection of so many groups: name → text."""
    files = {
        path.relative_to(PARK).as_posix(): path.read_text("utf-8")
        for path in (PARK / "dietcheck.yaml", *sorted((PARK / "foods").iterdir()))
    }
    names = sorted(path.stem for path in (PARK / "groups").iterdir())
    for number in range(groups):
        name, copy = names[number % len(names)], number // len(names)
        for file, text in _records(name):
            files[f"{file}-{copy}.yaml"] = _renamed(text, f"-{copy}")
    return files


def _records(group: str) -> Iterator[tuple[str, str]]:
    for kind in KINDS:
        for path in sorted((PARK / kind).iterdir()):
            text = path.read_text("utf-8")
            if re.search(rf"^(?:id|group): {group}\s*(?:#|$)", text, re.MULTILINE):
                yield f"{kind}/{path.stem}", text


def _renamed(text: str, mark: str) -> str:
    """The record of a copy: its group, its enclosure and whoever else reaches the food."""
    text = _PLACE.sub(rf"\g<1>{mark}", _OWN.sub(rf"\g<1>{mark}", text))
    return _REACHED.sub(partial(_neighbours, mark), text)


def _neighbours(mark: str, found: re.Match[str]) -> str:
    return found[1] + re.sub(r"[\w-]+", rf"\g<0>{mark}", found[2]) + "]"

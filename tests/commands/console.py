"""Runs the installed `dietcheck` as a person does, and looks at what it leaves behind."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tests import records

SCRIPT = Path(sys.executable).with_name("dietcheck")


@dataclass(frozen=True, slots=True)
class Done:
    """How a run ended and what it said."""

    status: int
    out: str
    err: str


def call(
    *arguments: str | Path, cwd: Path | None = None, env: Mapping[str, str] | None = None
) -> Done:
    """Run `dietcheck` with the environment of the tests and more; no input."""
    done = subprocess.run(
        [SCRIPT, *arguments],
        cwd=cwd,
        env=os.environ | (env or {}),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    out, err = (text.decode("utf-8", "backslashreplace") for text in (done.stdout, done.stderr))
    return Done(done.returncode, out, err)


def write(folder: Path, files: Mapping[str, str | bytes] | None = None, **changes: str) -> Path:
    """The small tapir park in a folder, with files changed or added; the folder."""
    wanted: dict[str, str | bytes] = {**records.small(**changes), **(files or {})}
    for name, text in wanted.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode() if isinstance(text, str) else text)
    return folder


def listing(folder: Path) -> dict[str, bytes | None]:
    """Everything in a folder: name → bytes (None for a folder)."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
    }

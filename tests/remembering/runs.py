"""Runs `dietcheck` with a cache folder of its own, in this process or as a person does."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest import mock

from dietcheck.__main__ import main
from dietcheck.remembering.answers import Memory

OFF = ("CI", "DIETCHECK_ANEW")


@contextmanager
def remembering(home: Path) -> Iterator[None]:
    """The environment of a person who has a folder for what is kept."""
    kept = {name: value for name, value in os.environ.items() if name not in OFF}
    with mock.patch.dict(os.environ, kept | {"XDG_CACHE_HOME": str(home)}, clear=True):
        yield


def screened(*arguments: str | Path) -> tuple[int, str]:
    """Status and output of `dietcheck screen` with the day of the tests."""
    out = io.StringIO()
    with mock.patch.object(sys, "stdout", out):
        status = main(["screen", *map(str, arguments)])
    return status, out.getvalue()


def is_remembered(*arguments: str | Path) -> bool:
    """Whether that run would be spared."""
    return Memory(["screen", *map(str, arguments)]).recall() is not None


def home_in(folder: Path) -> Path:
    """A home for the folder of kept things."""
    home = folder / "home"
    home.mkdir(mode=0o700)
    return home

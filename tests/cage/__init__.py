"""Runs `dietcheck` in a child of its own with limits on time, memory and files, many times fast.

A server process loads the program once; each run is a fork of it that ends with the run. What
should befall a run (no network, a full disk, a stopped clock) is named and done in the child.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TypeVar

Case = TypeVar("Case")
TOP = Path(__file__).resolve().parents[2]
ALL = os.environ.get("DIETCHECK_TESTS") == "all"
"""Whether every case is to be run, as in CI; an everyday run takes a sample of the slow ones."""
SECONDS = 10
MEMORY = 1500 * 1024 * 1024


def sample(cases: Iterable[Case], every: int) -> list[Case]:
    """Each n-th case; all of them when all are asked for."""
    return list(cases)[:: 1 if ALL else every]


@dataclass(frozen=True, slots=True)
class Ended:
    """How a run ended: its status (negative: the signal that killed it), and what it said."""

    status: int
    out: str
    err: str
    seen: tuple[str, ...]

    @property
    def said(self) -> str:
        """Both streams."""
        return f"{self.out}\n{self.err}"


class Cage:
    """The server, and the way to ask it for a run."""

    def __init__(self) -> None:
        self._server = subprocess.Popen(
            [sys.executable, "-m", "tests.cage"],
            cwd=TOP,
            env={**os.environ, "PYTHONPATH": str(TOP)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, _: type[BaseException] | None, __: BaseException | None, ___: TracebackType | None
    ) -> None:
        assert self._server.stdin is not None
        assert self._server.stdout is not None
        self._server.stdin.close()
        self._server.wait(30)
        self._server.stdout.close()

    def run(
        self,
        *arguments: str | Path,
        cwd: Path,
        befalls: Sequence[tuple[str, Any]] = (),
        env: Mapping[str, str] | None = None,
        seconds: int = SECONDS,
        memory: int = MEMORY,
    ) -> Ended:
        """Run `dietcheck` with these arguments in a folder. `befalls`: see tests/cage/befalls."""
        asked = {
            "arguments": [os.fsdecode(one) for one in arguments],
            "cwd": str(cwd),
            "befalls": list(befalls),
            "env": dict(env or {}),
            "seconds": seconds,
            "memory": memory,
        }
        assert self._server.stdin is not None
        assert self._server.stdout is not None
        self._server.stdin.write(json.dumps(asked).encode() + b"\n")
        self._server.stdin.flush()
        answer = json.loads(self._server.stdout.readline())
        return Ended(answer["status"], answer["out"], answer["err"], tuple(answer["seen"]))

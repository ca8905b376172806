"""The general-purpose program that the screen is measured against, in an environment of its own."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

SCHEMA = Path(__file__).parents[2] / "dietcheck/reading/schemas/diet-sheet.schema.json"


def check_jsonschema(scratch: Path) -> list[str] | None:
    """The command that checks diet sheets against their schema; None when it cannot be had.

    One that is installed is taken; otherwise it is installed into the scratch folder.
    """
    program = shutil.which("check-jsonschema") or _installed(scratch / "peer")
    return [program, "--schemafile", str(SCHEMA)] if program else None


def _installed(where: Path) -> str | None:
    pip = str(where / "bin" / "pip")
    for command in (
        [sys.executable, "-m", "venv", str(where)],
        [pip, "install", "-q", "--disable-pip-version-check", "check-jsonschema"],
    ):
        if subprocess.run(command, capture_output=True).returncode:
            return None
    return str(where / "bin" / "check-jsonschema")

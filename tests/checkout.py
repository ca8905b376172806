"""A private copy of this checkout as a git repository, uncommitted work included.

Hooks and installs start from a repository; the copy lets tests try what lies here, and leaves the
checkout and the person's own git settings alone.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[1]
EXAMPLE_DAY = "2026-11-25"  # the day that the files of example_repo show


def environment(**more: str) -> dict[str, str]:
    """The environment of a stranger's shell: no git settings, no coverage, nothing of ours.

    HOME stays, because the address of a package registry may be set there.
    """
    ours = ("GIT_", "COV_", "COVERAGE_", "PRE_COMMIT", "PYTHON", "PYTEST_", "SKIP", "VIRTUAL_ENV")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    git = {
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_AUTHOR_NAME": "Pia Renn",
        "GIT_AUTHOR_EMAIL": "pia@example.org",
        "GIT_COMMITTER_NAME": "Pia Renn",
        "GIT_COMMITTER_EMAIL": "pia@example.org",
        "GIT_TERMINAL_PROMPT": "0",
    }
    return kept | git | more


def run(
    *command: str | Path, cwd: Path, env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run a command without input and catch what it prints, both streams in one."""
    return subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env=env or environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )


def succeed(*command: str | Path, cwd: Path, env: Mapping[str, str] | None = None) -> str:
    """Run a command that must succeed; what it printed."""
    done = run(*command, cwd=cwd, env=env)
    assert done.returncode == 0, f"{command} ended with {done.returncode}:\n{done.stdout}"
    return done.stdout


def commit_all(folder: Path) -> str:
    """Make a folder a git repository with everything in it committed; the commit's name."""
    succeed("git", "init", "--quiet", "--initial-branch=main", cwd=folder)
    succeed("git", "add", "--all", cwd=folder)
    succeed("git", "commit", "--quiet", "--no-verify", "--message=start", cwd=folder)
    return succeed("git", "rev-parse", "HEAD", cwd=folder).strip()


def copy_checkout(to: Path) -> str:
    """Copy what lies here, without what .gitignore names, and commit it; the commit's name."""
    ignored = (CHECKOUT / ".gitignore").read_text().split()
    left_out = shutil.ignore_patterns(".git", *(name.rstrip("/") for name in ignored))
    shutil.copytree(CHECKOUT, to, ignore=left_out)
    return commit_all(to)

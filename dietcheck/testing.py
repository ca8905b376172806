"""Helpers for the author of a rule: judge a small collection written as text, in a line or two."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from dietcheck.collection.build import build
from dietcheck.collection.places import Pointer
from dietcheck.reading import Problem, check_file
from dietcheck.screening.checks import Check
from dietcheck.screening.engine import Outcome, run
from dietcheck.screening.findings import Judged
from dietcheck.screening.hookspecs import CONTRACT, Pack
from dietcheck.screening.packs import rules_of
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen


class Memory:
    """A source of records held in memory: file name → text."""

    def __init__(self, files: Mapping[str, str]) -> None:
        self._files = files

    def names(self) -> list[str]:
        """The file names, sorted."""
        return sorted(self._files)

    def read(self, name: str) -> bytes:
        """The bytes of one file."""
        return self._files[name].encode()

    def problems(self) -> tuple[Problem, ...]:
        """None: memory has no unreadable files."""
        return ()

    def describe(self) -> str:
        """What was read."""
        return "records in memory"


def outcome_of(rule: object, files: Mapping[str, str], on: date) -> Outcome:
    """What one rule says of a collection written as texts (file name → YAML).

    Raises AssertionError when a text is not a proper record: a mistake in the test.
    """
    facts = [check_file(name, text.encode()) for name, text in files.items()]
    problems = [str(problem) for one in facts for problem in one.problems]
    assert not problems, problems
    records = ((Pointer(one.file), one.data) for one in facts if one.data is not None)
    collection = build(records)
    return run(collection, rules_of(Pack("test", "0", CONTRACT, (rule,))), on)


def report_of(
    rule: object, files: Mapping[str, str], on: date, drafts: Mapping[str, str] | None = None
) -> Report:
    """The whole report on a collection written as texts, judged by one rule.

    The records may be wrong: what cannot be read is a finding of the report, as in earnest.
    """
    return screen(
        Memory(files),
        on,
        [(name, text.encode()) for name, text in (drafts or {}).items()],
        load=lambda _: rules_of(Pack("test", "0", CONTRACT, (rule,))),
    )


def checks_of(outcome: Outcome, group: str | None = None) -> tuple[Check, ...]:
    """The checks of an outcome, of one group where it is given."""
    return tuple(one.check for one in _of(outcome.judged, group))


def _of(judged: Iterable[Judged], group: str | None) -> Iterable[Judged]:
    return (one for one in judged if group is None or one.group == group)

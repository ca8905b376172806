"""The laws of reading and judging, on bytes and collections out of chance.

A fuzzer drives the same functions for longer: python -m tests.fuzz TARGET.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from dietcheck.commands.schema import known_of
from dietcheck.errors import JobError
from dietcheck.history.lookback import Lookback
from dietcheck.reading import check_file
from dietcheck.reporting import KINDS, Asked, render, terminal
from dietcheck.screening.checks import Severity
from dietcheck.screening.report import RECORDS_RULE, Report
from tests.cage import ALL
from tests.fuzz.repositories import slipped, sound, written
from tests.fuzz.seeds import QUANTITIES, WORDS
from tests.fuzz.targets import TARGETS, Bytes, judged

many = settings(
    phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink],  # to explain takes minutes
    max_examples=3000 if ALL else 100,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
some = settings(many, max_examples=500 if ALL else 12)
PIECES = st.sampled_from([*QUANTITIES, *WORDS, "\n", " ", "0", "9" * 30, "é", "\0", "- "])


@many
@given(st.one_of(st.binary(max_size=90), st.lists(PIECES, max_size=8).map("".join).map(str.encode)))
@pytest.mark.parametrize("target", ["quantity", "reader"])
def test_no_bytes_break_the_law(target: str, raw: bytes) -> None:
    TARGETS[target](raw)


@settings(many, max_examples=2000 if ALL else 60)
@given(st.binary(max_size=60))
def test_no_change_to_a_record_breaks_the_law(raw: bytes) -> None:
    TARGETS["record"](raw)


@some
@given(st.binary(max_size=60))
def test_no_draft_breaks_the_law(raw: bytes) -> None:
    TARGETS["draft"](raw)


def _shown(report: Report) -> None:
    """Every output can be made of it."""
    asked = Asked(block_on=Severity.HIGH, root="", written=())
    terminal.render(report, asked)
    for kind in KINDS:
        render(kind, report, asked)


@some
@given(sound())
def test_a_sound_collection_is_always_judged_by_every_rule(files: dict[str, Any]) -> None:
    texts = written(files)
    problems = [str(p) for name, raw in texts.items() for p in check_file(name, raw).problems]
    assert problems == []
    report = judged(texts, {})
    assert report.status(Severity.HIGH) in (0, 1)
    _shown(report)
    assert report.collection is not None
    known_of(report.collection)


@some
@given(slipped())
def test_a_collection_with_slips_is_always_reported_and_what_is_unreadable_never_passes(
    texts: dict[str, bytes],
) -> None:
    try:
        report = judged(texts, {})
    except JobError:  # no repository at all, in words of its own
        return
    _shown(report)
    bad = {name for name, raw in texts.items() if check_file(name, raw).problems}
    told = {
        place.file
        for finding in report.findings
        if finding.rule == RECORDS_RULE and finding.severity is Severity.HIGH
        for place in finding.check.places
    }
    assert bad <= told
    assert not bad or report.status(Severity.HIGH) != 0


@some
@given(sound(), slipped())
def test_any_two_versions_can_be_compared(files: dict[str, Any], texts: dict[str, bytes]) -> None:
    with suppress(JobError):  # where there is no repository at all
        _shown(judged(texts, {}, Lookback(Bytes(written(files)))))


FOUND = {  # what a fuzzer found once: the target, and the bytes
    "a remedy that listed a hundred words": (
        "record",
        bytes.fromhex(
            "3ad292d2d2d2d2d2d2d2d2d2d2d2d2d2d2d2d2d2666f6f6473d2d2d2d2d2d2d26c62d2d2d2d2d2d2d2d2d2d23a"
        ),
    ),
}


@pytest.mark.parametrize("name", FOUND)
def test_what_was_found_once_stays_mended(name: str) -> None:
    target, raw = FOUND[name]
    TARGETS[target](raw)

"""The register of the collected facts: every row is judged by a rule or says why not, and what the
rules make of a row is never surer than the row. Checked from the repository alone."""

from __future__ import annotations

import csv
from collections import Counter
from importlib.resources import files

import pytest

from dietcheck.contract import Limit, Standing
from dietcheck.screening.tables import bundled_limits
from dietcheck_rules import RULES
from tests.rules.make_fact_rows import COLUMNS, REGISTER, fact_of, registered, rows

# From the surest to the weakest; a limit may be marked weaker than its fact, never surer.
SEEN = ("original", "abstract", "reprint", "memory", "searched")
ABSENCES = ("none-published", "not-yet-sourced", "none-found")

with REGISTER.open(encoding="utf-8", newline="") as _file:
    REGISTERED = {row["row"]: row for row in csv.DictReader(_file)}


def tables() -> dict[str, dict[str, Limit]]:
    """Rule id → its bundled limits by their ids, of every registered rule."""
    found = {}
    for rule in RULES:
        described = rule.describe()
        if described.has_limits:
            found[described.id] = {row.id: row for row in bundled_limits(files(rule))}
    return found


TABLES = tables()
IN_FORCE = [
    limit
    for limits in TABLES.values()
    for limit in limits.values()
    if limit.standing is Standing.PUBLISHED and limit.condition is None
]


def test_every_fact_has_a_row_and_every_row_a_rule_or_a_reason() -> None:
    assert len(REGISTERED) == 497
    for row in REGISTERED.values():
        assert tuple(row) == COLUMNS
        assert bool(row["judged_by"]) != bool(row["why_not"]), row["row"]
        assert bool(row["judged_by"]) == bool(row["limits"]), row["row"]
        assert row["why_not"] != "not yet claimed", row["row"]


def test_every_judged_row_names_limit_rows_that_stand() -> None:
    for row in REGISTERED.values():
        rules = row["judged_by"].split()
        standing = {limit for rule in rules for limit in TABLES[rule]}
        named = row["limits"].split()
        assert set(named) <= standing, row["row"]
        for rule in rules:
            assert set(named) & set(TABLES[rule]), (row["row"], rule)


def test_every_limit_made_from_a_fact_stands_in_the_register() -> None:
    for rule, limits in TABLES.items():
        for limit in limits:
            if (fact := fact_of(limit)) in REGISTERED:
                assert limit in REGISTERED[fact]["limits"].split(), limit
                assert rule in REGISTERED[fact]["judged_by"].split(), limit


def test_the_register_is_what_the_rules_say_now() -> None:
    """Where it is not, run tests/rules/make_fact_rows.py."""
    assert list(rows(registered())) == list(REGISTERED.values())


def test_no_observation_habit_or_absence_is_a_published_limit() -> None:
    for row in REGISTERED.values():
        if row["bound"] in ("observed", *ABSENCES) or row["evidence"] == "practice":
            for rule in row["judged_by"].split():
                for limit in set(row["limits"].split()) & set(TABLES[rule]):
                    assert TABLES[rule][limit].standing is not Standing.PUBLISHED, limit


def test_no_limit_is_marked_surer_than_its_fact() -> None:
    for limits in TABLES.values():
        for limit in limits.values():
            fact = REGISTERED.get(fact_of(limit.id) or "")
            if fact is None or limit.standing is not Standing.PUBLISHED:
                continue
            assert limit.evidence == fact["evidence"], limit.id
            assert SEEN.index(limit.seen) >= SEEN.index(fact["seen"]), limit.id
            if limit.seen in ("memory", "searched"):
                assert limit.severity == "low", limit.id


def test_at_least_350_limits_are_in_force_each_with_its_evidence() -> None:
    assert len(IN_FORCE) >= 350
    for limit in IN_FORCE:
        assert limit.sources, limit.id
        assert limit.evidence, limit.id
        assert limit.seen in SEEN, limit.id


@pytest.mark.parametrize(
    ("evidence", "least"),
    [("standard", 50), ("handbook", 130), ("guideline", 90), ("trial", 3), ("survey", 3)],
)
def test_limits_in_force_by_their_evidence(evidence: str, least: int) -> None:
    """So that a slip in a table which empties a whole kind of source is seen."""
    assert Counter(limit.evidence for limit in IN_FORCE)[evidence] >= least

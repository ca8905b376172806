"""What a pack may rely on: the first contract, and a rule that says no more than it must."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from dietcheck.contract import Check, Diet, Rule, hookimpl, not_applicable
from dietcheck.screening.hookspecs import Pack
from dietcheck.screening.packs import rules_of


class Plain:
    """A rule as plain as can be."""

    @hookimpl
    def describe(self) -> Rule:
        """What it is."""
        return Rule(id="plain", title="Plain", folder=Path())

    @hookimpl
    def judge_group(self, diet: Diet) -> Iterable[Check]:
        """Nothing to judge."""
        return [not_applicable("x", diet.group.id)]


def test_a_plain_rule_of_the_first_contract_has_no_limits_and_can_be_switched_off() -> None:
    (loaded,) = rules_of(Pack("p", "0", 1, (Plain(),)))
    assert (loaded.rule.id, loaded.rule.has_limits, loaded.rule.always_on) == (
        "plain", False, False,
    )  # fmt: skip

"""The entry of an accepted risk, with what it rests on: the diet, the heads, the weights."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Context

from msgspec import Struct

from dietcheck.collection.collection import Collection
from dietcheck.commands.arguments import Usage
from dietcheck.errors import JobError
from dietcheck.history.covered import accepted_digest, weight_bands
from dietcheck.quantities import Interval
from dietcheck.quantities.show import plain
from dietcheck.reading.problems import show
from dietcheck.screening.acceptance import VET
from dietcheck.screening.checks import Severity
from dietcheck.screening.findings import Finding
from dietcheck.screening.report import Report


class Risk(Struct, frozen=True):
    """A finding that is accepted, why and until when."""

    finding: Finding
    group: str
    reason: str
    until: date
    up_to: str | None


def risk_of(given: argparse.Namespace, report: Report, on: date) -> Risk:
    """The risk that --accept names. Raises Usage or JobError when it cannot be accepted."""
    if not given.reason or given.until is None:
        raise Usage("an accepted risk needs a reason and an end.", "Add --reason and --until.")
    if given.until < on:
        raise Usage("--until: that day is over.", "Name the last day on which it is to count.")
    finding = next((f for f in report.findings if f.id == given.accept), None)
    if finding is None:
        raise Usage(
            f"no finding is called {show(given.accept)}.",
            "The HTML report shows the name of each finding, and so do json and csv.",
        )
    if finding.accepted is not None:
        raise JobError(
            f"that finding is accepted already, until {finding.accepted.acceptance.until}.",
            "Wait for its end, or take that acceptance away first.",
        )
    if finding.group is None or not _may_be(finding, report):
        raise JobError(
            f"this kind of finding can never be accepted: {show(finding.check.message, 300)}",
            "Put it right; until then feed the last approved sheet.",
        )
    if finding.severity is Severity.HIGH and given.role != VET:
        raise JobError("only a vet can accept what is high.", "Ask the vet to sign.")
    if (finding.check.food is None) is not (given.up_to is None):
        raise Usage(
            "--up-to says the most of the food that each animal may be offered in a day.",
            "Name it, such as --up-to '3 g'."
            if finding.check.food
            else "Leave it out: this finding is about no single food.",
        )
    return Risk(finding, finding.group, given.reason, given.until, given.up_to)


def _may_be(finding: Finding, report: Report) -> bool:
    rule = report.rules.get(finding.rule)
    return rule is not None and not rule.always_on and not finding.check.never_accepted


def lines(risk: Risk, collection: Collection, on: date) -> Iterator[str]:
    """The lines of the record for an accepted risk, bound to what it rests on today."""
    check = risk.finding.check
    group = collection.groups[risk.group]
    yield "accepts:"
    yield f"  - rule: {q(risk.finding.rule)}"
    yield f"    group: {q(risk.group)}"
    if check.food:
        yield f"    food: {q(check.food)}"
    if check.animals and not group.is_colony:
        yield f"    animals: [{', '.join(q(name) for name in check.animals)}]"
    yield f"    reason: {q(risk.reason)}"
    yield f"    until: {risk.until}"
    if risk.up_to:
        yield f"    up_to: {q(risk.up_to)}"
    yield f"    content: {accepted_digest(collection, risk.group, check.food, on)}"
    heads = group.head_count(on)
    if heads.low >= 1:
        yield f"    heads: {_range(heads)}"
    bands = weight_bands(group, check.animals, on)
    if bands:
        yield "    weights:"
        yield from (f"      {q(name)}: {q(_range(band) + ' g')}" for name, band in bands.items())


def q(text: str) -> str:
    """The text as a quoted value, which no sign in it can break out of."""
    return json.dumps(text, ensure_ascii=True)


def _range(value: Interval) -> str:
    low = Context(prec=4, rounding=ROUND_FLOOR).plus(value.low)
    high = Context(prec=4, rounding=ROUND_CEILING).plus(value.high)
    return plain(low) if low == high else f"{plain(low)} to {plain(high)}"

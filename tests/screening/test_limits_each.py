"""Limits that apply side by side, each on its own basis. All limits are invented."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from dietcheck.collection.animals import Group
from dietcheck.screening.limits import Limit, Limits, Standing
from tests import records

GROUP: Group = records.linked(records.small()).groups["tapir"]


def row(id: str, taxon: str = "Tapirus", **changes: Any) -> Limit:
    """A common-practice ceiling on sugars, by default a share of dry matter over the rota."""
    fields: dict[str, Any] = {
        "id": id,
        "quantity": "sugars",
        "taxon": taxon,
        "unit": "%",
        "basis": "dry matter",
        "over": "rota",
        "severity": "medium",
        "standing": Standing.COMMON_PRACTICE,
        "at_most": Decimal(10),
    }
    return Limit(**{**fields, **changes})


def applied(*rows: Limit) -> set[str]:
    """The ids of the limits that apply to the tapirs side by side."""
    return {one.limit.id for one in Limits(rows).each(GROUP, "sugars")}


def test_a_ratio_and_an_amount_stand_side_by_side() -> None:
    assert applied(row("share"), row("amount", basis="body mass", unit="g/kg", over="day")) == {
        "share",
        "amount",
    }


def test_a_wider_taxon_adds_nothing_on_another_basis() -> None:
    assert applied(row("own"), row("wide", "Mammalia", basis="body mass")) == {"own"}


def test_a_site_limit_replaces_the_unsourced_rows_of_its_basis_only() -> None:
    site = row("site", standing=Standing.SITE_RULE, over="day", at_most=Decimal(20))
    assert applied(row("share"), row("amount", basis="body mass"), site) == {"amount", "site"}


def test_beside_a_published_limit_the_stricter_applies() -> None:
    published = row("published", standing=Standing.PUBLISHED)
    assert applied(published, row("site", standing=Standing.SITE_RULE, at_most=Decimal(5))) == {
        "site"
    }
    assert applied(published, row("site", standing=Standing.SITE_RULE, at_most=Decimal(50))) == {
        "published"
    }


def test_what_is_passed_over_hides_nothing_that_stands_after_it() -> None:
    """A wider taxon, then a default that the site replaces, then what is published."""
    rows = [
        row("wide", "Mammalia"),
        row("default"),
        row("published", standing=Standing.PUBLISHED, at_most=Decimal(5)),
        row("site", "Mammalia", standing=Standing.SITE_RULE, at_most=Decimal(50)),
        row("amount", basis="body mass"),
    ]
    assert applied(*rows) == {"published", "amount"}


def test_that_nothing_is_published_stands_beside_a_floor() -> None:
    absent = row("absent", at_most=None, standing=Standing.NO_PUBLISHED_LIMIT)
    assert applied(absent) == {"absent"}
    assert applied(absent, row("floor", at_most=None, at_least=Decimal(3))) == {"absent", "floor"}

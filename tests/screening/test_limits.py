"""Which limit applies, and how a figure stands against it. All limits are invented."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import given

from dietcheck.collection.animals import Group
from dietcheck.contract import Measure, Severity, Verdict, When
from dietcheck.quantities import Interval, exact
from dietcheck.reading import read_trusted
from dietcheck.screening.judging import Figure, excess, hold
from dietcheck.screening.limits import Limit, Limits, SourceRef, Standing
from dietcheck.screening.tables import TableError, bundled_limits, site_limits
from tests import records

GROUP: Group = records.linked(records.small()).groups["tapir"]


def row(taxon: str = "Mammalia", at_most: int | None = 10, **changes: Any) -> Limit:
    """A limit on sugars in g per kg dry matter."""
    fields: dict[str, Any] = {
        "id": f"{taxon}-{at_most}",
        "quantity": "sugars",
        "taxon": taxon,
        "unit": "g/kg",
        "basis": "dry matter",
        "over": "rota",
        "severity": "medium",
        "standing": Standing.PUBLISHED,
        "at_most": None if at_most is None else Decimal(at_most),
    }
    return Limit(**{**fields, **changes})


def chosen(*rows: Limit, **how: Any) -> str | None:
    """The id of the limit that applies to the tapirs."""
    applied = Limits(rows).applying(GROUP, "sugars", **how)
    return applied.limit.id if applied else None


def test_the_most_specific_taxon_wins_even_when_laxer() -> None:
    assert chosen(row("Mammalia", 5), row("Tapirus", 20), row("Perissodactyla", 7)) == "Tapirus-20"


def test_of_one_taxon_the_strictest_applies_and_the_others_are_shown() -> None:
    applied = Limits([row(at_most=9), row(at_most=4)]).applying(GROUP, "sugars")
    assert applied is not None
    assert applied.limit.id == "Mammalia-4"
    assert [other.id for other in applied.others] == ["Mammalia-9"]


def test_the_strictest_floor_is_the_highest() -> None:
    floors = [row(at_most=None, at_least=Decimal(n), id=str(n)) for n in (3, 8)]
    assert chosen(*floors) == "8"


def test_other_taxa_stages_conditions_and_windows_are_passed_over() -> None:
    assert chosen(row("Aves")) is None
    assert chosen(row(condition="at-risk horses")) is None
    assert chosen(row(stage="lactating")) is None
    assert chosen(row(stage="lactating"), stage="lactating") == "Mammalia-10"
    assert chosen(row(stage="all"), stage="lactating") == "Mammalia-10"
    assert chosen(row(over="meal"), over="day") is None
    assert chosen(row(basis="as fed"), basis="dry matter") is None
    assert Limits([row()]).applying(GROUP, "starch") is None


def test_rows_for_adults_are_for_animals_without_a_stage_too() -> None:
    assert chosen(row(stage="adult")) == "Mammalia-10"
    assert chosen(row(stage="adult"), stage="adult") == "Mammalia-10"
    assert chosen(row(stage="adult"), stage="lactating") is None


def test_each_question_has_its_own_answer_whatever_was_asked_before() -> None:
    young = row(at_most=3, stage="juvenile", id="young")
    limits = Limits([row(), young, row(over="day", at_most=4, id="day")])
    found = [
        limits.applying(GROUP, "sugars", **how)
        for how in (
            {},
            {"over": "rota"},
            {"over": "day"},
            {"stage": "juvenile"},
            {"basis": "as fed"},
        )
    ]
    assert [one.limit.id if one else None for one in found] == [
        "day", "Mammalia-10", "day", "young", None,
    ]  # fmt: skip
    sides = [
        {one.limit.id for one in limits.each(GROUP, "sugars", stage=stage)}
        for stage in (None, "juvenile")
    ]
    assert sides == [{"Mammalia-10", "day"}, {"young", "day"}]


@pytest.mark.parametrize("order", [1, -1])
def test_the_limit_of_one_group_is_not_its_neighbours_of_the_same_kind(order: int) -> None:
    others = {n: records.group(n, enclosure=n) for n in ("tapir2", "tapir3")}
    groups = records.linked(records.small(**others)).groups
    own = {
        name: row("", most, group=name, standing=Standing.SITE_RULE, id=name)
        for name, most in (("tapir", 4), ("tapir2", 5))
    }
    limits = Limits([row(), *own.values()])
    for name in ("tapir", "tapir2", "tapir3")[::order]:
        applied = limits.applying(groups[name], "sugars")
        assert applied is not None
        expected = name if name in own else "Mammalia-10"
        assert applied.limit.id == expected
        assert [one.limit.id for one in limits.each(groups[name], "sugars")] == [expected]


def test_limits_on_single_foods_stand_apart() -> None:
    """Of the bundled ones on a food those of the nearest taxon count, and all of the site."""
    banana, grape = {"food": "banana"}, {"food": "grape"}
    site = {"standing": Standing.SITE_RULE}
    rows = [
        row("Mammalia", 9, **grape),
        row("Mammalia", 8, **banana),
        row("Tapirus", 7, **banana),
        row("Perissodactyla", 6, **banana),
        row("Aves", 5, **banana),
        row("Mammalia", 4, **banana, **site),
        row("Tapirus", 11, **grape, **site),
        row("Tapirus", 3, **grape, condition="at-risk horses"),
        row("Tapirus", 2, **grape, stage="juvenile"),
        row("Tapirus", 1),
    ]
    limits = Limits(rows)
    assert [one.id for one in limits.on_foods(GROUP, "sugars")] == [
        "Mammalia-9", "Tapirus-7", "Mammalia-4", "Tapirus-11",
    ]  # fmt: skip
    young = limits.on_foods(GROUP, "sugars", stage="juvenile")
    assert [one.id for one in young] == ["Tapirus-7", "Mammalia-4", "Tapirus-11", "Tapirus-2"]
    assert limits.on_foods(GROUP, "starch") == []
    assert chosen(*rows) == "Tapirus-1"


def test_an_absence_never_stands_before_a_figure() -> None:
    absence = row(at_most=None, standing=Standing.NOT_YET_SOURCED, id="absent")
    assert chosen(absence) == "absent"
    assert chosen(absence, row()) == "Mammalia-10"


def test_a_site_limit_replaces_a_default_without_a_source() -> None:
    default = row("Tapirus", 4, standing=Standing.COMMON_PRACTICE)
    site = row("Tapirus", 9, standing=Standing.SITE_RULE, id="site")
    assert chosen(default, site) == "site"


@pytest.mark.parametrize(("site", "expected"), [(4, "site"), (12, "Mammalia-10")])
def test_beside_a_published_limit_the_stricter_applies(site: int, expected: str) -> None:
    own = row("Tapirus", site, standing=Standing.SITE_RULE, id="site")
    assert chosen(row(), own) == expected


def test_a_site_limit_may_be_for_one_group_alone() -> None:
    assert chosen(row("", 4, group="tapir", standing=Standing.SITE_RULE, id="own")) == "own"
    assert chosen(row("", 4, group="otter", standing=Standing.SITE_RULE)) is None


def figure(low: int, high: int, best: int | None = None) -> Figure:
    """A figure of the first tapir."""
    return Figure(GROUP.animals[0], Interval(low, high, best))


@pytest.mark.parametrize(
    ("value", "verdict", "severity"),
    [
        (figure(1, 10), Verdict.KEPT, Severity.MEDIUM),
        (figure(10, 10), Verdict.KEPT, Severity.MEDIUM),
        (figure(11, 12), Verdict.BREACH, Severity.MEDIUM),
        (figure(9, 11), Verdict.CANNOT_TELL, Severity.MEDIUM),
        (figure(9, 11, 10), Verdict.CANNOT_TELL, Severity.LOW),
        (figure(8, 12, 11), Verdict.CANNOT_TELL, Severity.MEDIUM),
    ],
)
def test_how_a_figure_stands(value: Figure, verdict: Verdict, severity: Severity) -> None:
    (alike,) = hold([value], row())
    assert (alike.verdict, alike.severity) == (verdict, severity)


def test_an_estimate_past_the_limit_is_not_outweighed_by_one_inside() -> None:
    (alike,) = hold([figure(9, 11, 10), figure(9, 11, 11)], row())
    assert alike.severity is Severity.MEDIUM
    (alike,) = hold([figure(9, 11, 10), figure(9, 11)], row())
    assert alike.severity is Severity.MEDIUM
    (alike,) = hold([figure(9, 11, 10), figure(9, 12, 9)], row())
    assert alike.severity is Severity.LOW


def test_a_cannot_tell_is_never_graver_than_medium_nor_than_its_limit() -> None:
    (alike,) = hold([figure(9, 11)], row(severity="high"))
    assert alike.severity is Severity.MEDIUM
    (alike,) = hold([figure(9, 11)], row(severity="low"))
    assert alike.severity is Severity.LOW


def test_figures_alike_stand_together_the_worst_first() -> None:
    found = list(hold([figure(11, 11), figure(30, 31), figure(2, 3), figure(5, 15)], row()))
    assert [a.verdict for a in found] == [Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT]
    assert found[0].worst.value == Interval(30, 31)
    assert found[0].animals == ("T1",)


def test_occasions_and_animals_of_figures_alike_are_told_once_and_in_order() -> None:
    on = [When(records.ON, n) for n in (1, 2, 3)]
    figures = [
        Figure(GROUP.animals[0], exact(11), (on[2], on[1])),
        Figure(GROUP.animals[0], exact(12), (on[1], on[0])),
    ]
    (alike,) = hold(figures, row())
    assert alike.occasions == tuple(on)
    assert alike.animals == ("T1",)
    assert Measure.against(exact(3), row()) == Measure(exact(3), "g/kg", "dry matter")


@pytest.mark.parametrize(
    ("value", "limit", "over"),
    [
        (exact(12), row(), 2),
        (Interval(5, 7), row(), -3),
        (Interval(5, 7), row(at_most=None, at_least=Decimal(6)), 1),
        (Interval(5, 7), row(at_most=8, at_least=Decimal(2)), -1),
        (Interval(5, 7), row(at_most=20, at_least=Decimal(4)), -1),
    ],
)
def test_how_far_the_worst_possible_value_is_past_a_limit(
    value: Interval, limit: Limit, over: int
) -> None:
    assert excess(value, limit) == over


@given(st.integers(0, 100), st.integers(0, 100))
def test_excess_is_negative_exactly_when_there_is_room(low: int, width: int) -> None:
    value = Interval(low, low + width)
    limit = row()
    assert (excess(value, limit) <= 0) == (limit.stands(value) == "inside")
    assert excess(exact(1), row(at_most=None)) == Decimal("-Infinity")


class Table:
    """A folder that holds one limit table."""

    def __init__(self, text: str) -> None:
        self._text = text

    def joinpath(self, _: str) -> Table:
        """Itself: there is one file."""
        return self

    def read_bytes(self) -> bytes:
        """The table."""
        return self._text.encode()


GOOD = (
    "{id: a, taxon: Mammalia, quantity: sugars, at_most: 6 g per kg body mass, over: day,"
    " severity: medium, standing: common practice}"
)


def table(*rows: str) -> tuple[Limit, ...]:
    """The limits of a table with these rows."""
    text = "limits:\n" + "".join(f"  - {one}\n" for one in rows)
    return bundled_limits(Table(text))  # type: ignore[arg-type]


def test_a_row_is_read_with_its_unit_and_basis() -> None:
    (limit,) = table(GOOD)
    assert (limit.at_most, limit.basis, limit.at_least) == (Decimal(6), "body mass", None)
    (both,) = table(GOOD.replace("at_most: 6", "at_least: 6 g per kg body mass, at_most: 6"))
    assert (both.at_least, both.at_most) == (Decimal(6), Decimal(6))


PUBLISHED = (
    GOOD.replace("common practice", "published")[:-1]
    + ", source: [Renn2020], locator: p. 3, evidence: trial, seen: abstract, note: of a few}"
)


def test_a_published_row_is_read_with_its_source() -> None:
    (limit,) = table(PUBLISHED)
    assert (limit.sources, limit.note) == ((SourceRef("Renn2020", "p. 3"),), "of a few")
    assert (limit.evidence, limit.seen) == ("trial", "abstract")


@pytest.mark.parametrize(
    "bad",
    [
        PUBLISHED.replace("seen: abstract, ", ""),
        PUBLISHED.replace("source: [Renn2020], ", ""),
        GOOD.replace("quantity: sugars, ", ""),
        GOOD.replace("over: day", "over: year"),
        GOOD.replace("severity: medium", "severity: grave"),
        GOOD.replace("standing: common practice", "standing: published"),
        GOOD.replace("at_most: 6 g per kg body mass, ", ""),
        GOOD.replace("standing: common practice", "standing: no published limit"),
        GOOD.replace("6 g per kg body mass", "six grams"),
        GOOD.replace("{", "{sauce: x, "),
        GOOD.replace("at_most: 6 g", "at_least: 9 g per kg body mass, at_most: 6 g"),
        GOOD.replace("at_most: 6 g", "at_least: 1 % of dry matter, at_most: 6 g"),
    ],
)
def test_a_wrong_row_is_refused(bad: str) -> None:
    with pytest.raises((TableError, ValueError)):
        table(bad)


def test_two_rows_with_one_id_are_refused() -> None:
    with pytest.raises(TableError):
        table(GOOD, GOOD)


def test_a_site_limit_becomes_a_row_with_person_and_date() -> None:
    files = records.small()
    files["limits.yaml"] = (
        "record: limits\nlimits:\n  - {taxon: Tapirus, quantity: sugars, at_most: 2 g per kg body"
        " mass, over: day, why: teeth, set_by: Dr Vale, on: 2026-03-10, source: letter}\n"
        "  - {group: tapir, quantity: starch, at_least: 3 % of dry matter, why: x, set_by: Dr Vale,"
        " on: 2026-03-10}\n"
    )
    limits = records.linked(files).limits
    (found,) = site_limits(limits, frozenset({"sugars"}))
    assert (found.id, found.taxon, found.at_most) == ("site-1", "Tapirus", Decimal(2))
    assert (found.unit, found.basis) == ("g/kg", "body mass")
    assert (found.set_by, found.on, found.note) == ("Dr Vale", "2026-03-10", "teeth (letter)")
    assert found.standing is Standing.SITE_RULE
    (other,) = site_limits(limits, frozenset({"starch"}))
    assert (other.group, other.at_least, other.over) == ("tapir", Decimal(3), "rota")
    assert (other.taxon, other.unit, other.basis) == ("", "%", "dry matter")


def test_a_trusted_table_with_a_fault_says_its_line() -> None:
    with pytest.raises(ValueError, match="line 2"):
        read_trusted(b"a: 1\na: 2\n")


def sides(*rows: Limit) -> list[str]:
    """The ids of all limits that apply side by side."""
    return [applied.limit.id for applied in Limits(rows).each(GROUP, "sugars")]


def test_a_ceiling_never_hides_a_floor_of_another_row() -> None:
    floors = [row(at_most=None, at_least=Decimal(n), id=f"floor-{n}") for n in (1, 2)]
    assert sides(row(at_most=9), row(at_most=4), *floors) == ["Mammalia-4", "floor-2"]


def test_a_range_stands_for_both_sides_where_it_is_the_strictest() -> None:
    span = row(at_most=8, at_least=Decimal(2), id="span")
    assert sides(span, row(at_most=9)) == ["span"]
    assert sides(span, row(at_most=4)) == ["Mammalia-4", "span"]


def test_limits_in_different_units_are_never_compared() -> None:
    own = row(at_most=4, unit="%", standing=Standing.SITE_RULE, id="site")
    assert sides(row(), own) == ["Mammalia-10", "site"]

"""Figures of a batch against the limits for feed. Batches, feeds and animals are invented; each
limit named here stands in the rule's table with its source.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from dietcheck.contract import Check, Interval, Severity, Verdict, exact
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import batch_limit
from dietcheck_rules.batch_limit.figures import on_basis
from tests import records

BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
HIGH, MEDIUM, LOW = Severity.HIGH, Severity.MEDIUM, Severity.LOW
TAPIR, RHEA, DOG, HORSE, CATTLE, HEN = (
    "Tapirus terrestris", "Rhea americana", "Canis lupus familiaris", "Equus caballus",
    "Bos taurus", "Gallus gallus",
)  # fmt: skip
Said = list[tuple[Verdict, Severity]]


def feed(
    contaminants: str, kind: str = "compound feed", moisture: str = "12 %", more: str = ""
) -> str:
    """A feed with a laboratory's figures; at 12 % moisture unless said otherwise."""
    found = f", contaminants: {{{contaminants}}}" if contaminants else ""
    return (
        f"{{class: {kind}, label: {{basis: as fed, moisture: {moisture}}}, batch: B1{found}{more}}}"
    )


def checks(
    entry: str,
    species: str = TAPIR,
    *,
    stage: str = "",
    limits: str = "",
    name: str = "food",
) -> tuple[Check, ...]:
    """What the rule says of animals that get this food twice a day."""
    more = f", stage: {stage}" if stage else ""
    animal = f"{{id: A1, weighings: [{{on: 2026-11-20, mass: 50 kg}}]{more}}}"
    files = {
        "group": records.group(species=species, animals=(animal,)),
        "foods": records.foods(**{"carrot": "{same_as: carrot}", name: entry}),
        "sheet": records.sheet(
            {"roots": [f"{{food: {name.replace('_', '-')}, amount: 100 g per animal}}"]}
        ),
    }
    if limits:
        files["limits"] = limits
    outcome = outcome_of(batch_limit, records.small(**files), records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


def said(found: Sequence[Check]) -> Said:
    """Verdict and grade of what is no pass."""
    return [(c.verdict, c.severity) for c in found if c.verdict in (BREACH, CANNOT_TELL)]


def test_food_without_a_laboratory_figure_is_not_judged() -> None:
    (check,) = checks("{same_as: carrot}")
    assert check.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("figure", "expected"), [("20 µg/kg", KEPT), ("20.1 µg/kg", BREACH), ("0.02 mg/kg", KEPT)]
)
def test_aflatoxin_b1_in_cereals_at_the_european_maximum_and_past_it(
    figure: str, expected: Verdict
) -> None:
    """20 µg/kg: TOX23-T7, Table 7."""
    found = checks(feed(f"basis: 12 % moisture, aflatoxin_b1: {figure}", "grain"))
    (check,) = (c for c in found if c.about == "aflatoxin B1 in cereals")
    assert (check.verdict, check.severity) == (expected, HIGH)
    assert check.measured is not None
    assert [source.key for source in check.sources] == ["TOX23-T7"]


@pytest.mark.parametrize(("figure", "expected"), [("20 µg/kg", KEPT), ("21 µg/kg", BREACH)])
def test_aflatoxins_in_any_feed_at_the_american_guidance(figure: str, expected: Verdict) -> None:
    """20 µg/kg for any species not listed: MO-AFLA, IL-AFLA. Guidance grades medium at most."""
    found = checks(feed(f"basis: as fed, aflatoxins: {figure}"), RHEA)
    (check,) = (c for c in found if c.about == "aflatoxins in feed")
    assert (check.verdict, check.severity) == (expected, MEDIUM)


def test_the_feed_that_killed_four_rheas_is_caught() -> None:
    """66.9 µg/kg in bird feed (incident, PubMed 35613655)."""
    found = said(checks(feed("basis: as fed, aflatoxin_b1: 66.9 µg/kg"), RHEA))
    assert found == [(BREACH, MEDIUM)]


@pytest.mark.parametrize(
    ("basis", "figure", "expected"),
    [
        ("as fed", "20.2 µg/kg", KEPT),  # 20.2 × 0.88 ÷ 0.90 = 19.75
        ("as fed", "20.5 µg/kg", BREACH),  # 20.5 × 0.88 ÷ 0.90 = 20.04
        ("dry matter", "22.7 µg/kg", KEPT),  # 22.7 × 0.88 = 19.98
        ("dry matter", "22.8 µg/kg", BREACH),  # 22.8 × 0.88 = 20.06
    ],
)
def test_european_maxima_are_held_at_12_per_cent_moisture(
    basis: str, figure: str, expected: Verdict
) -> None:
    entry = feed(f"basis: {basis}, aflatoxin_b1: {figure}", "grain", moisture="10 %")
    (check,) = (c for c in checks(entry) if c.about == "aflatoxin B1 in cereals")
    assert check.verdict is expected


def test_without_a_known_water_content_a_figure_near_the_limit_cannot_be_told() -> None:
    entry = feed("basis: as fed, aflatoxin_b1: 19.8 µg/kg", "grain", moisture='"<= 14 %"')
    (check,) = (c for c in checks(entry) if c.about == "aflatoxin B1 in cereals")
    assert check.verdict is CANNOT_TELL  # 17.4 to 20.3 at 12 % moisture
    assert check.settles == "the water in the feed"


def test_recalled_limits_grade_low_and_say_that_they_were_not_read() -> None:
    found = checks(feed("basis: 12 % moisture, aflatoxin_b1: 11 µg/kg"))
    assert said(found) == [(BREACH, LOW)]
    assert "not read" in found[0].message


def test_the_recalled_limit_follows_taxon_and_stage() -> None:
    """Cattle 20, calves 5, any other 10 µg/kg: all three recalled."""
    entry = feed("basis: 12 % moisture, aflatoxin_b1: 8 µg/kg")
    assert said(checks(entry, CATTLE)) == []
    assert said(checks(entry, CATTLE, stage="juvenile")) == [(BREACH, LOW)]
    assert said(checks(entry)) == []


@pytest.mark.parametrize(
    ("species", "most"), [(TAPIR, 300), ("Sus scrofa", 200), (DOG, 50), (HORSE, 50)]
)
def test_theobromine_by_taxon(species: str, most: int) -> None:
    """EU-2009-141, annex, row 10."""
    kept = feed(f"basis: 12 % moisture, theobromine: {most} mg/kg")
    past = feed(f"basis: 12 % moisture, theobromine: {most + 1} mg/kg")
    assert said(checks(kept, species)) == []
    assert said(checks(past, species)) == [(BREACH, MEDIUM)]


@pytest.mark.parametrize(
    ("name", "kind", "most"),
    [
        ("feed", "compound feed", 50),
        ("lucerne", "hay", 50),
        ("linseed", "seed", 250),
        ("linseed_cake", "seed", 350),
        ("cassava_chips", "root vegetable", 100),
    ],
)
def test_hydrocyanic_acid_by_the_kind_of_feed(name: str, kind: str, most: int) -> None:
    """EU-HCN, annex."""
    kept = feed(f"basis: 12 % moisture, hydrocyanic_acid: {most} mg/kg", kind)
    past = feed(f"basis: 12 % moisture, hydrocyanic_acid: {most + 1} mg/kg", kind)
    assert said(checks(kept, name=name)) == []
    assert said(checks(past, name=name)) == [(BREACH, HIGH)]


def test_chicks_have_a_stricter_limit_than_hens() -> None:
    """10 mg/kg under six weeks: EU-HCN."""
    entry = feed("basis: 12 % moisture, hydrocyanic_acid: 20 mg/kg")
    assert said(checks(entry, HEN)) == []
    assert said(checks(entry, HEN, stage="infant")) == [(BREACH, HIGH)]


SUBSTANCES = ("deoxynivalenol", "zearalenone", "fumonisins", "ochratoxin_a", "t2_and_ht2_toxin",
              "lead", "mercury", "cadmium", "arsenic", "fluorine", "nitrite")  # fmt: skip


@pytest.mark.parametrize("substance", SUBSTANCES)
def test_a_substance_without_a_limit_here_is_said_and_never_passes(substance: str) -> None:
    found = checks(feed(f"basis: as fed, {substance}: 0.1 mg/kg"))
    assert said(found) == [(CANNOT_TELL, LOW)]
    assert "not yet sourced" in found[0].message


def test_several_substances_without_a_limit_are_one_finding() -> None:
    found = checks(feed("basis: as fed, lead: 1 mg/kg, mercury: 0.1 mg/kg, nitrite: 5 mg/kg"))
    assert said(found) == [(CANNOT_TELL, LOW)]


def site(quantity: str, most: str) -> str:
    """A limit of the site's own."""
    return (
        f"record: limits\nlimits: [{{taxon: Mammalia, quantity: {quantity}, at_most: {most}, "
        "severity: high, why: after a bad batch, set_by: Dr Vale, on: 2026-01-01}]\n"
    )


@pytest.mark.parametrize(
    ("most", "expected"),
    [
        ("10 mg per kg as fed", []),
        ("9 mg per kg as fed", [(BREACH, HIGH)]),
        ("11 mg per kg dry matter", [(BREACH, HIGH)]),  # 10 ÷ 0.88 = 11.4 of dry matter
        ("12 mg per kg dry matter", []),
        ("0.002 %", []),
        ("3 g per kg body mass", [(CANNOT_TELL, MEDIUM)]),
    ],
)
def test_a_site_may_set_its_own_limit(most: str, expected: Said) -> None:
    found = checks(feed("basis: as fed, lead: 10 mg/kg"), limits=site("lead in feed", most))
    assert said(found) == expected


def test_b1_condemns_the_sum_and_clears_nothing() -> None:
    nuts = feed("basis: as fed, aflatoxin_b1: 25 µg/kg", "nut")
    assert said(checks(nuts)) == [(BREACH, MEDIUM)]
    low = feed("basis: as fed, aflatoxin_b1: 15 µg/kg", "nut")
    assert said(checks(low)) == [(CANNOT_TELL, LOW)]


def test_a_batch_without_a_number_is_told_as_weak() -> None:
    entry = feed("basis: 12 % moisture, theobromine: 20 mg/kg").replace("batch: B1", "piece: 1 g")
    assert any("batch" in weak for check in checks(entry) for weak in check.weak)


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (feed(""), [(CANNOT_TELL, LOW)]),
        (feed("basis: as fed, aflatoxin_b1: '<= 2 µg/kg'"), []),
        (feed("basis: as fed, aflatoxin_b1: 1 µg/kg").replace("batch: B1", "piece: 1 g"),
         [(CANNOT_TELL, LOW)]),
        (feed("", "grain"), []),
    ],
)  # fmt: skip
def test_rhea_feed_is_asked_for_the_result_of_its_batch(entry: str, expected: Said) -> None:
    assert said(checks(entry, RHEA)) == expected
    assert said(checks(feed(""))) == []


def test_rhino_feed_is_asked_for_the_vitamin_d_of_its_batch() -> None:
    assert said(checks(feed(""), "Diceros bicornis")) == [(CANNOT_TELL, LOW)]
    tested = (
        "{class: compound feed, batch: B1, "
        "analysis: {basis: as fed, moisture: 12 %, vitamin_d3: 250 IU/kg}}"
    )
    assert said(checks(tested, "Diceros bicornis")) == []


def test_a_bad_batch_in_a_mix_is_not_thinned_away() -> None:
    files = {
        "foods": records.foods(
            carrot="{same_as: carrot}",
            maize=feed("basis: as fed, aflatoxin_b1: 100 µg/kg", "grain"),
            mash="{mix: {maize: 1 %, carrot: 99 %}}",
        ),
        "sheet": records.sheet({"roots": ["{food: mash, amount: 100 g per animal}"]}),
    }
    found = checks_of(outcome_of(batch_limit, records.small(**files), records.ON), "tapir")
    assert (BREACH, HIGH) in said(found)
    assert {check.food for check in found} == {"maize"}


BASES = ("as fed", "dry matter", "12 % moisture")
SHARES = st.decimals(min_value="0.05", max_value=1, places=3)


@given(st.decimals(0, 1000, places=3), st.sampled_from(BASES), st.sampled_from(BASES), SHARES)
@settings(max_examples=100)
def test_there_and_back_gives_the_figure_again(
    figure: Decimal, own: str, other: str, dry: Decimal
) -> None:
    value, dry_part = exact(figure), exact(dry)
    back = on_basis(on_basis(value, own, other, dry_part), other, own, dry_part)
    assert back.low <= figure <= back.high
    assert back.high - back.low <= Decimal("1e-20") * max(figure, Decimal(1))


@given(st.decimals(0, 100, places=2), SHARES, SHARES)
@settings(max_examples=50)
def test_more_doubt_about_the_water_never_narrows_a_figure(
    figure: Decimal, one: Decimal, two: Decimal
) -> None:
    low, high = sorted((one, two))
    wide = on_basis(exact(figure), "as fed", "12 % moisture", Interval(low, high))
    narrow = on_basis(exact(figure), "as fed", "12 % moisture", exact(low))
    assert wide.low <= narrow.low
    assert narrow.high <= wide.high


def test_a_feed_of_which_nobody_knows_the_water_is_never_cleared() -> None:
    dry_part = Interval(Decimal(0), Decimal(1))
    assert on_basis(exact("1"), "as fed", "12 % moisture", dry_part).high == Decimal("Infinity")


def test_a_batch_inside_a_mix_is_named_with_the_mix_it_hides_in() -> None:
    files = records.small(
        foods=records.foods(
            carrot="{same_as: carrot}",
            pellet=feed("basis: as fed, lead: 90 mg/kg"),
            mash="{mix: {carrot: 50 %, pellet: 50 %}}",
        ),
        sheet=records.sheet({"roots": ["{food: mash, amount: 100 g per animal}"]}),
    )
    hidden = checks_of(outcome_of(batch_limit, files, records.ON), "tapir")
    (told,) = (check for check in hidden if check.food == "pellet")
    (plain,) = checks(feed("basis: as fed, lead: 90 mg/kg"))
    assert "in mash" in told.message
    assert "in mash" not in plain.message
    assert '"food" in' not in plain.message


def test_two_stages_held_to_one_limit_are_one_check() -> None:
    animals = tuple(f"{{id: A{n}, stage: {s}}}" for n, s in enumerate(("adult", "geriatric")))
    files = records.small(
        group=records.group(animals=animals),
        foods=records.foods(food=feed("basis: 12 % moisture, aflatoxin_b1: 30 µg/kg", "grain")),
        sheet=records.sheet({"roots": ["{food: food, amount: 100 g per animal}"]}),
    )
    found = checks_of(outcome_of(batch_limit, files, records.ON), "tapir")
    assert len([c for c in found if c.about == "aflatoxin B1 in cereals"]) == 1


def test_a_range_across_the_limit_asks_for_one_figure() -> None:
    found = checks(feed("basis: 12 % moisture, aflatoxin_b1: 10 to 30 µg/kg", "grain"))
    (check,) = (c for c in found if c.about == "aflatoxin B1 in cereals")
    assert check.verdict is CANNOT_TELL
    assert "range" in check.settles

"""What harms animals of the same order, where the table is silent on the animal itself.

Diets are invented; who is harmed by what stands in the rule's own table with its sources.
"""

from __future__ import annotations

import pytest

from dietcheck.contract import Check, Severity, Verdict
from dietcheck.testing import checks_of, outcome_of
from dietcheck_rules import toxic_item
from tests import records

BREACH, CANNOT_TELL, KEPT = Verdict.BREACH, Verdict.CANNOT_TELL, Verdict.KEPT
HIGH, LOW = Severity.HIGH, Severity.LOW
RED_PANDA, OTTER, MEERKAT, TAPIR = (
    "Ailurus fulgens", "Aonyx cinereus", "Suricata suricatta", "Tapirus terrestris",
)  # fmt: skip
FOXGLOVE = "{name: x, organism: Digitalis purpurea, part: leaf, unknown_composition: x}"
LABURNUM_LEAF = "{name: x, organism: Laburnum anagyroides, part: leaf, unknown_composition: x}"
LABURNUM_POD = LABURNUM_LEAF.replace("leaf", "pod")


def said(species: str, entry: str) -> tuple[Check, ...]:
    files = records.small(
        group=records.group(
            species=species,
            animals=("{id: A1, weighings: [{on: 2026-11-20, mass: 6 kg}]}",),
        ),
        foods=records.foods(looked_at=entry),
        sheet=records.sheet({"roots": ["{food: looked-at, amount: 10 g per animal}"]}),
    )
    outcome = outcome_of(toxic_item, files, records.ON)
    assert not outcome.failures
    return checks_of(outcome, "tapir")


@pytest.mark.parametrize(
    ("species", "entry"),
    [
        (RED_PANDA, "{same_as: leek}"),
        (OTTER, "{same_as: onion}"),
        (MEERKAT, "{same_as: grape}"),
        ("Macaca mulatta", "{same_as: avocado}"),  # harms lemurs
        (TAPIR, FOXGLOVE),  # harms horses
        (RED_PANDA, "{name: onion powder, unknown_composition: x}"),
    ],
)
def test_harm_to_kin_is_asked_about_at_low(species: str, entry: str) -> None:
    (check,) = said(species, entry)
    assert (check.verdict, check.severity, check.food) == (CANNOT_TELL, LOW, "looked-at")
    assert "same order" in check.message
    assert "No dose" in check.message
    assert check.sources
    assert check.settles
    assert "vet" in check.advice
    assert check.places


@pytest.mark.parametrize(
    ("species", "entry", "verdict"),
    [
        ("Canis lupus familiaris", "{same_as: onion}", BREACH),  # its own row
        ("Felis catus", "{same_as: onion}", BREACH),
        (
            TAPIR,
            "{name: dark chocolate, unknown_composition: x}",
            CANNOT_TELL,
        ),  # its class has a row
        ("Felis catus", "{same_as: grape}", KEPT),  # its own tolerance, published
        ("Ursus arctos", "{same_as: grape}", KEPT),  # its own tolerance, from memory
        ("Mustela putorius", "{same_as: grape}", KEPT),  # its domestic form's
        ("Lemur catta", "{same_as: grape}", KEPT),  # dogs are of another order
        (TAPIR, "{same_as: grape}", KEPT),
        (RED_PANDA, "{same_as: avocado}", KEPT),  # milder in dogs, which says nothing of it
        ("Macaca mulatta", "{same_as: oil-cod-liver}", BREACH),  # its own row, for vitamin A
        (TAPIR, LABURNUM_LEAF, KEPT),  # seed, pod and bark are listed
        ("Echinops telfairi", "{same_as: onion}", KEPT),  # no order in the table
    ],
)
def test_the_animal_s_own_row_or_tolerance_and_another_order_or_part_ask_nothing_of_kin(
    species: str, entry: str, verdict: Verdict
) -> None:
    checks = said(species, entry)
    assert not any("same order" in check.message for check in checks)
    assert {check.verdict for check in checks} == {verdict}


def test_the_part_that_is_listed_is_asked_about_and_an_unknown_one_too() -> None:
    for entry in (LABURNUM_POD, "{name: laburnum, unknown_composition: x}"):
        assert "same order" in said(TAPIR, entry)[0].message


def test_a_word_with_several_meanings_is_asked_about_no_graver_than_its_kin_allows() -> None:
    (check,) = said(RED_PANDA, "{name: currants, unknown_composition: x}")
    assert (check.verdict, check.severity) == (CANNOT_TELL, LOW)
    assert check.about.startswith("which ")


@pytest.mark.parametrize("name", ["kidney bean", "Kidney Beans", "kidney-beans"])
def test_kidney_beans_are_asked_about_raw_or_cooked(name: str) -> None:
    (check,) = said("Cavia porcellus", f"{{name: {name}, unknown_composition: x}}")
    assert check.verdict is CANNOT_TELL
    assert "raw or cooked" in check.settles

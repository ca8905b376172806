"""Prey that is fed alive, and animal protein for animals whose law bars it."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Food, Severity, Verdict, find_taxon
from dietcheck_rules.feed_origin.report import check
from dietcheck_rules.feed_origin.tables import legal_points, table, words
from dietcheck_rules.feed_origin.words import clauses_of, says, state_of
from dietcheck_rules.shared.reaching import named
from dietcheck_rules.toxic_item.exposure import Exposure

VERTEBRATES = frozenset({"whole prey", "fish", "meat"})
PROTEIN_LAW = "animal protein for ruminants"


def is_live_prey(food: Food) -> bool:
    """Whether a vertebrate is fed alive, by its form or its names."""
    if food.mix or food.food_class not in VERTEBRATES:
        return False
    taxon = find_taxon(food.organism) if food.organism else None
    if taxon is not None and not taxon.is_in("Vertebrata"):
        return False
    if taxon is None and says(state_of(food), words("invertebrates")):
        return False
    return bool(says(state_of(food), ("live", "alive", "living")))


def live_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check for a vertebrate that is fed alive: the vet decides, in writing."""
    yield check(
        diet, exposure, "live vertebrate prey", Verdict.BREACH, Severity.HIGH,
        f"{named(exposure)} is a vertebrate that is fed alive. That harms the prey, and prey that "
        "fights back wounds the animal.",
        "Feed it dead. Where the vet finds no other way, the vet writes down why and until when.",
        laws=("live prey",),
        weak=("why live prey harms is common knowledge, no source",),
    )  # fmt: skip


def is_animal_protein(food: Food) -> bool:
    """Whether a food is protein of an animal; milk and eggs are not judged."""
    protein = table("origins.yaml")["protein"]
    if food.mix:
        return False
    return food.food_class in protein["classes"] or bool(
        says(clauses_of(food), tuple(protein["names"]))
    )


def protein_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check for animal protein in the food of ruminants, graded by whether their law was read."""
    if not diet.group.taxon.is_in("Ruminantia"):
        return
    country = diet.settings.country
    read = any(p.topic == PROTEIN_LAW and country in p.countries for p in legal_points())
    yield check(
        diet, exposure, "animal protein for a ruminant",
        Verdict.BREACH if read else Verdict.CANNOT_TELL,
        Severity.MEDIUM if read else Severity.LOW,
        f"{named(exposure)} is protein of an animal, offered to a ruminant. "
        + ("The feed law that was read bars it." if read else "Feed laws may bar it; none was read "
           f"for {country}."),
        "Leave it out until the vet has checked the law that holds here.",
        settles="" if read else f"the feed law of {country}", laws=(PROTEIN_LAW,),
    )  # fmt: skip

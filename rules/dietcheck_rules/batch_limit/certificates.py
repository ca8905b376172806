"""Feeds that have killed in a bad batch: is there a result of this batch?"""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import Check, Diet, Food, Pointer, Severity, Taxon, Verdict
from dietcheck_rules.batch_limit.tables import Certificate, certificates
from dietcheck_rules.shared.reaching import about, named
from dietcheck_rules.toxic_item.exposure import Exposure


def asked_of(food: Food, taxon: Taxon) -> tuple[Certificate, ...]:
    """The results that are asked for of a food that animals of this taxon eat."""
    return tuple(
        one for one in certificates() if food.food_class in one.classes and taxon.is_in(one.taxon)
    )


def certificate_checks(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check for each result that is asked for, kept where the batch and its figure stand."""
    if not exposure.own:
        return
    food = exposure.part
    for one in asked_of(food, diet.group.taxon):
        has_batch = bool(food.record.get("batch"))
        filed = has_batch and _figure(food, one)
        open_line = "no batch is named" if not has_batch else f"no figure for {one.of} is written"
        yield Check(
            verdict=Verdict.KEPT if filed else Verdict.CANNOT_TELL,
            about=about(f"{one.of} of the batch", exposure),
            food=food.id,
            severity=Severity.LOW,
            message=f"{diet.group.called}: {named(exposure)} has its batch tested for {one.of}."
            if filed
            else f"{diet.group.called}: of {named(exposure)} {open_line}. Asked because {one.why}; "
            "common practice, no source; the vet sets this.",
            advice="" if filed else _ask(one),
            settles="" if filed else f"the result for {one.of} of this batch",
            animals=() if filed else tuple(animal.id for animal in exposure.animals(diet)),
            places=() if filed else (food.place, *_lines(exposure)),
        )


def _figure(food: Food, one: Certificate) -> bool:
    if one.nutrient:
        return "analysis" in food.record and one.nutrient in food.declared
    return any(substance in food.contaminants for substance in one.contaminants)


def _ask(one: Certificate) -> str:
    where = (
        f"contaminants: {one.contaminants[0]}" if one.contaminants else f"analysis: {one.nutrient}"
    )
    return (
        f"Ask the supplier for the result of this batch and write it into the food record "
        f"(batch; {where})."
    )


def _lines(exposure: Exposure) -> tuple[Pointer, ...]:
    return tuple(offer.line.place.at("food") for offer in exposure.offers)

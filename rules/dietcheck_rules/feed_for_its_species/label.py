"""Whether the label of a feed names the animal."""

from __future__ import annotations

from collections.abc import Iterator

from dietcheck.contract import (
    Check,
    Diet,
    Food,
    Pointer,
    Severity,
    Verdict,
    find_taxon,
    known_taxon_name,
    near_taxa,
)
from dietcheck_rules.feed_for_its_species.feeds import (
    MadeFor,
    is_compound,
    made_for,
    meant_for,
)
from dietcheck_rules.shared.reaching import about, most_words, named
from dietcheck_rules.toxic_item.exposure import Exposure

OTHER_FEED = "Feed the feed that is made for this animal, or ask the vet before this one is fed."


def label_check(diet: Diet, exposure: Exposure) -> Iterator[Check]:
    """A check where the label names others, names nobody, or names nobody known here.

    Of the group's own food only: a neighbour's feed is made for the neighbour, and what may be in
    it is judged for all who reach it.
    """
    if not exposure.own:
        return
    food, taxon = exposure.part, diet.group.taxon
    who, feed = diet.group.called, named(exposure)
    match made_for(food, taxon):
        case MadeFor.OTHERS:
            yield _check(
                diet, exposure, Verdict.BREACH, Severity.MEDIUM,
                f"{who}: {feed} is made for {taxa_words(food)}, not for {taxon.scientific_name}; "
                f"its minerals and additives are set for other animals.{_amount(diet, exposure)}",
                OTHER_FEED,
            )  # fmt: skip
        case MadeFor.UNCLEAR:
            unknown = [name for name in meant_for(food) if not known_taxon_name(name)]
            near = [*dict.fromkeys(name for one in unknown for name in near_taxa(one))][:3]
            hint = f" Nearest: {', '.join(near)}." if near else ""
            yield _check(
                diet, exposure, Verdict.CANNOT_TELL, Severity.MEDIUM,
                f"{who}: {feed} is made for {', '.join(unknown)}, not among the scientific "
                "names known here; whether that takes in these animals cannot be told.",
                f"Write the scientific name of the species or family on the label.{hint}",
                "the scientific names of the animals on the label (meant_for)",
            )  # fmt: skip
        case MadeFor.NOT_STATED if is_compound(food):
            yield _check(
                diet, exposure, Verdict.CANNOT_TELL, Severity.LOW,
                f"{who}: for which animals {feed} is made is not written.{_amount(diet, exposure)}",
                "Copy the species on the label into the food record (meant_for).",
                "the animals on the label (meant_for)",
            )  # fmt: skip


def _amount(diet: Diet, exposure: Exposure) -> str:
    most = most_words(diet, exposure)
    return f" They get {most}." if most else ""


def taxa_words(food: Food) -> str:
    """The taxa on the label, with their English names where they have one."""
    return ", ".join(_taxon_words(name) for name in meant_for(food))


def _taxon_words(name: str) -> str:
    taxon = find_taxon(name)
    return f"{name} ({taxon.english_name})" if taxon and taxon.english_name else name


def places(exposure: Exposure, field: str) -> tuple[Pointer, ...]:
    """The lines that offer the feed, and then the line of its record."""
    food = exposure.part
    own = food.place.at(field) if field in food.record else food.place
    return (*(offer.line.place.at("food") for offer in exposure.offers), own)


def _check(
    diet: Diet,
    exposure: Exposure,
    verdict: Verdict,
    severity: Severity,
    message: str,
    advice: str,
    settles: str = "",
) -> Check:
    return Check(
        verdict=verdict,
        about=about("label species", exposure),
        food=exposure.part.id,
        severity=severity,
        message=message,
        advice=advice,
        settles=settles,
        animals=tuple(animal.id for animal in exposure.animals(diet)),
        occasions=exposure.occasions(),
        places=places(exposure, "meant_for"),
    )
